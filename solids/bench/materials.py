"""The bill of materials of a piece: its parts as they are when it is done, how many of each, of which wood and how
heavy; and the hardware it takes. Pure arithmetic, lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solids.base.geometry import as_compared
from solids.base.lengths import format_length
from solids.base.masses import told_mass
from solids.bench.buying import foot_screws, screws_for
from solids.layout.assembly import Assembly
from solids.layout.boards import boards_of
from solids.layout.box.rows import Size
from solids.wood import stock


@dataclass(frozen=True)
class Item:
    """One line of the bill: the parts that are alike, by name, their finished size and wood, and the mass of each in kg
    at 12 % moisture. Hardware has a size in words alone, and no mass."""

    names: tuple[str, ...]
    count: int
    size: Size | None
    wood: str
    mass_kg: float | None
    note: str = ""

    @property
    def all_kg(self) -> float:
        """The mass of all of them; 0 for hardware."""
        return (self.mass_kg or 0.0) * self.count


def bill_of_materials(assembly: Assembly) -> tuple[Item, ...]:
    """Every part once, alike ones on one line, then the hardware."""
    sizes = {row.name: row.finished for row in boards_of(assembly.plan)}
    sizes |= {part.name: part.size for part in assembly.sawn.values()}
    alike: dict[tuple[object, ...], list[str]] = {}
    for name in (*assembly.parts, *(name for name in assembly.loose if name not in assembly.parts)):
        alike.setdefault(_kind(assembly, sizes, name), []).append(name)
    return (*(_item(assembly, sizes, tuple(names)) for names in alike.values()), *_hardware(assembly))


def weight_kg(assembly: Assembly) -> float:
    """How heavy the piece is when it is done, at 12 % moisture, without glue, finish, hardware and carcase."""
    carcase = {name for name, stuff in assembly.parts.items() if stuff.of_carcase}
    return sum(item.all_kg for item in bill_of_materials(assembly) if carcase.isdisjoint(item.names))


def weight_words(assembly: Assembly) -> str:
    """The same in a sentence."""
    return f"Weight when done: about {told_mass(weight_kg(assembly), assembly.plan.recipe.units)}, at 12 % moisture."


def _kind(assembly: Assembly, sizes: dict[str, Size], name: str) -> tuple[object, ...]:
    size, volume = _size(assembly, sizes, name), assembly.volume(name, finished=True)
    return tuple(map(as_compared, size)), as_compared(volume / 1000), _wood(assembly, name)


def _item(assembly: Assembly, sizes: dict[str, Size], names: tuple[str, ...]) -> Item:
    first = names[0]
    told, density = _wood(assembly, first)
    mass = assembly.volume(first, finished=True) / 1e9 * density
    return Item(names, len(names), _size(assembly, sizes, first), told, mass)


def _size(assembly: Assembly, sizes: dict[str, Size], name: str) -> Size:
    return sizes[name] if name in sizes else assembly.loose[name].size


def _wood(assembly: Assembly, name: str) -> tuple[str, float]:
    """What a part is of, and its density (kg/m3). A plug is of the wood of the tail board that it fills."""
    stuff = assembly.parts.get(name)
    if stuff is None:
        at = name.removeprefix("plug ")
        stuff = next(assembly.parts[joint.tail_board] for joint in assembly.joints if joint.name == at)
    return stock(stuff.wood.told, stuff.sawn), stuff.wood.density


def _hardware(assembly: Assembly) -> Iterator[Item]:
    box = assembly.box
    if box is None:
        return
    units = box.recipe.units
    if hinge := box.recipe.hinge:
        yield Item(("butt hinge",), hinge.count, None, "metal", None, f"leaf {format_length(hinge.leaf, units)} long")
    if feet := foot_screws(box):
        yield Item(("screw",), feet[0], None, "steel", None, f"{format_length(feet[1], units)} long, for the feet")
    if screws := screws_for(box):
        told = f"{format_length(screws[1], units)} long, with a washer each"
        yield Item(("thin screw",), screws[0], None, "steel", None, told)
