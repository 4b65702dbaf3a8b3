"""The bill of materials of a piece: its parts as they are when it is done, how many of each, of which wood and how
heavy; and the hardware it takes. Pure arithmetic, lengths in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

from solids.base.lengths import format_length
from solids.base.messages import Units
from solids.bench.buying import screws_for
from solids.layout.assembly import Assembly
from solids.layout.boards import boards_of
from solids.layout.box.cut_list import Size

LB = 0.45359237
"""Kilograms in a pound. Exact: international yard and pound agreement, 1959."""


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
    alike: dict[tuple[object, ...], list[str]] = {}
    for name in (*assembly.parts, *(name for name in assembly.loose if name not in assembly.parts)):
        alike.setdefault(_kind(assembly, sizes, name), []).append(name)
    return (*(_item(assembly, sizes, tuple(names)) for names in alike.values()), *_hardware(assembly))


def weight_kg(assembly: Assembly) -> float:
    """How heavy the piece is when it is done, at 12 % moisture, without glue, finish and hardware."""
    return sum(item.all_kg for item in bill_of_materials(assembly))


def weight_words(assembly: Assembly) -> str:
    """The same in a sentence."""
    return f"Weight when done: about {told_mass(weight_kg(assembly), assembly.plan.recipe.units)}, at 12 % moisture."


def told_mass(kg: float, units: Units) -> str:
    """A mass to two figures, as a scale in a kitchen or a workshop shows it."""
    metric = f"{_figures(kg)} kg" if kg >= 1.0 else f"{_figures(kg * 1000)} g"
    imperial = f"{_figures(kg / LB)} lb" if kg >= LB else f"{_figures(kg / LB * 16)} oz"
    return f"{imperial} ({metric})" if units == "in" else f"{metric} ({imperial})"


def _figures(value: float) -> str:
    """Two figures, and no power of ten."""
    digits = max(0, 1 - math.floor(math.log10(value))) if value else 0
    return f"{round(value, 1 - math.floor(math.log10(value))) if value else 0:.{digits}f}"


def _kind(assembly: Assembly, sizes: dict[str, Size], name: str) -> tuple[object, ...]:
    size, volume = _size(assembly, sizes, name), assembly.volume(name, finished=True)
    return tuple(round(mm, 6) for mm in size), round(volume, 3), _wood(assembly, name)


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
    return stuff.wood.told, stuff.wood.density


def _hardware(assembly: Assembly) -> tuple[Item, ...]:
    if assembly.box is None or (screws := screws_for(assembly.box)) is None:
        return ()
    count, long = screws
    told = f"{format_length(long, assembly.box.recipe.units)} long, with a washer each"
    return (Item(("thin screw",), count, None, "steel", None, told),)
