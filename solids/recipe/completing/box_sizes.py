"""The sizes of a box. Those left out follow from the others, and the maker is told how. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from solids.base import tolerances as tol
from solids.base.amounts import fine, typed
from solids.base.errors import Problem
from solids.base.lengths import format_fine
from solids.base.messages import Amount, Key, message
from solids.base.sources import OWN_SIZES
from solids.recipe.completing.choosing import Choosing
from solids.recipe.tables.accepted import no_less_than, up_to
from solids.recipe.tables.box_resolved import SIDES, BackStands, Groove, Side
from solids.recipe.tables.box_schema import THICKNESS, WIDTH, SideTable
from solids.recipe.tables.panel import Held
from solids.recipe.tables.resolved import Choice, Measured, thickest
from solids.recipe.tables.schema import Asked, BoxTable

OPPOSITE: dict[Side, Side] = {"front": "back", "back": "front", "left": "right", "right": "left"}


def held_by(box: BoxTable) -> Held:
    """What holds the bottom: what the maker asked for, or grooves."""
    return (box.panel.held if box.panel else None) or "groove"


class BoxSizes(Choosing):
    """Settles the sizes of a box in the order in which they depend on each other. Each key by itself is sound."""

    def __init__(self, asked: Asked, box: BoxTable) -> None:
        super().__init__(asked.units)
        self.asked, self.box = asked, box
        self.title = self._or(asked.title, "title", "box", "no title was given")
        on = self._or(box.tails_on, "box.tails_on", "sides", "the joints then show on the sides")
        self.tails_on_sides = on == "sides"
        slides = held_by(box) == "slips"
        rule = "the bottom slides in between the slips" if slides else "the bottom is held all round"
        told = "true" if slides else "false"
        self.above = self._or(box.back_above_bottom, "box.back_above_bottom", slides, rule, told)
        self.above_key = "box.panel.held" if slides and box.back_above_bottom is None else "box.back_above_bottom"
        """What the maker wrote that has the back stand above the bottom."""
        self.planing = asked.finish.planing or 0.0
        self.thickness = {"tail_board": asked.tail_board.thickness, "pin_board": asked.pin_board.thickness}
        """By table, for the boards that have none of their own."""
        self.height_key = "box.height"
        self.unknown: set[Side] = set()

    def _follows(self, key: str, mm: float, rule: str) -> None:
        """Notes once how a size follows from the others."""
        made = Choice(key, format_fine(mm, self.units), rule, mm, OWN_SIZES)
        self.choices += [] if made in self.choices else [made]

    def _table_of(self, side: Side) -> str:
        return "tail_board" if (side in ("left", "right")) == self.tails_on_sides else "pin_board"

    def _thicknesses(self) -> dict[Side, Measured]:
        """The thickness of each board: its own, or that of its table, or what the outside and inside sizes leave."""
        found: dict[Side, Measured] = {}
        for side in SIDES:
            own: SideTable | None = getattr(self.box, side)
            thickness = own.thickness if own else None
            if thickness is None:
                thickness = self.thickness[self._table_of(side)]
            found[side] = self._thickness_between(side) if thickness is None else thickness
        return found

    def _thickness_between(self, side: Side) -> float:
        word, table = "length" if side in ("left", "right") else "width", self._table_of(side)
        outside, inside = getattr(self.box, word), getattr(self.box, f"inside_{word}")
        if outside is None or inside is None:
            self.unknown.add(side)
            self._problem(f"{table}.thickness", "is missing", "give it, as in thickness = 12")
            return tol.LEAST_THICKNESS
        both = float(outside - inside) + 2 * self.planing
        mate: SideTable | None = getattr(self.box, OPPOSITE[side])
        own = thickest(mate.thickness) if mate and mate.thickness is not None else None
        thickness = both / 2 if own is None else both - own
        if thickness < tol.LEAST_THICKNESS:
            self.unknown.add(side)
            if OPPOSITE[side] in self.unknown:
                return tol.LEAST_THICKNESS  # told for the other
            other = OPPOSITE[side]
            wrong = message(
                "{} less {}, {}, leaves {} for the {} and the {} board{}",
                typed(outside),
                Key(f"box.inside_{word}"),
                typed(inside),
                typed(max(both, 0.0)),
                side,
                other,
                message(", of which the {} takes {}", other, typed(own)) if own else "",
            )
            remedy = f"make them differ by more, or leave one out and give {table}.thickness"
            self._problem(f"box.{word}", wrong, remedy)
            return tol.LEAST_THICKNESS
        share = "half of what" if own is None else f"what the {OPPOSITE[side]} board leaves of what"
        rule = f"{share} box.{word} and box.inside_{word} leave"
        self._follows(f"{table}.thickness", thickness, rule)
        self._check(THICKNESS, f"{table}.thickness", thickness)
        self.thickness[table] = thickness
        return thickness

    def _height(self, floor: float) -> float:
        """The height of the boards. It may be given in more than one way, if they agree. `floor` is how high the upper
        face of the bottom is."""
        inside = self.box.inside_height
        said = {
            "box.height": self.box.height,
            "joint.width": self.asked.joint.width,
            "box.inside_height": None if inside is None else inside + floor,
        }
        named = {key: float(value) for key, value in said.items() if value is not None}
        if not named:
            self._problem("box.height", "is missing", "give it, as in height = 96")
            return 100.0
        key, height = next(iter(named.items()))
        self.height_key = key
        for other, value in named.items():
            if abs(value - height) > tol.ROUNDING:
                wrong = message(
                    "{} does not agree with {}, which makes the boards {} wide", typed(height), Key(other), typed(value)
                )
                self._problem(key, wrong, "give one of them")
        self._check(WIDTH, key, height)
        if key != "box.height":
            rule = "as joint.width says" if key == "joint.width" else "box.inside_height and the bottom below it"
            self._follows("box.height", height, rule)
        return height

    def _back_down(self) -> float:
        """How far the back's upper edge lies below the sides': level, unless it is asked for."""
        given = self.box.back.down if self.box.back else None
        if given is not None or not self.above:
            return given or 0.0
        return self._or(None, "box.back.down", 0.0, "level with the sides", "0")

    def _back(self, groove: Groove, height: float) -> BackStands:
        """How the back stands between the sides."""
        rise = groove.top if self.above else 0.0
        back = BackStands(self.above, rise, self._back_down(), self.tails_on_sides, self.above_key)
        self.problems += back_problems(groove, height, back)
        return back

    def _inside(self, word: str, thick: Mapping[Side, float], sides: tuple[Side, Side]) -> float:
        """The distance between the inside faces, from the outside size, the inside size, or both."""
        outside, inside = getattr(self.box, word), getattr(self.box, f"inside_{word}")
        boards = sum(thick[side] for side in sides) - 2 * self.planing
        if outside is None and inside is None:
            self._problem(f"box.{word}", "is missing", f"give it, as in {word} = 300, or inside_{word}")
            return 100.0
        if self.unknown & set(sides):
            return 100.0  # what is wrong with the boards is told already
        if inside is None:
            inside = outside - boards
            self._follows(f"box.inside_{word}", inside, f"box.{word} less two boards")
        elif outside is None:
            told = format_fine(inside + boards, self.units)
            self.choices.append(
                Choice(f"box.{word}", told, f"box.inside_{word} and two boards", inside + boards, OWN_SIZES)
            )
        elif abs(outside - inside - boards) > tol.ROUNDING:
            wrong = message(
                "{} less {} for two boards is not {}, {}",
                typed(outside),
                typed(boards),
                Key(f"box.inside_{word}"),
                typed(inside),
            )
            self._problem(f"box.{word}", wrong, "give one of them")
        if inside < tol.LEAST_WIDTH:
            wrong = message("leaves {} inside between boards that take {}", typed(inside), typed(boards))
            self._problem(f"box.{word}", wrong, *no_less_than(boards + tol.LEAST_WIDTH))
        return float(inside)


def back_problems(groove: Groove, height: float, back: BackStands) -> Iterator[Problem]:
    """What a back lacks that is narrower than the sides."""
    keys = (*([back.above_key] if back.above else []), *(["box.back.down"] if back.down else []))
    if keys and not back.tails_on_sides:
        needs = "between slips the bottom slides in under the back, which needs" if back.is_above_slips else "needs"
        yield Problem(keys[0], f"{needs} the tails on the sides", 'set box.tails_on = "sides"')
    if back.above and not groove.width:
        if not back.is_above_slips:  # of slips it is told at their groove
            yield Problem(back.above_key, "needs a groove", "give box.groove.width")
        return
    left = height - back.narrower
    if not keys or left >= tol.LEAST_WIDTH:
        return
    if height - back.rise >= tol.LEAST_WIDTH:
        wrong = message("{} leaves {} for the back in boards that are {} wide", *_told(back.down, left), fine(height))
        if back.above:
            wrong = message("{}, above a groove that ends at {}", wrong, typed(groove.top))
        yield Problem("box.back.down", wrong, *up_to(height - back.rise - tol.LEAST_WIDTH))
        return
    wrong = message(
        "{} leaves {} for the back, above a groove that ends at {}",
        *(fine(height), typed(max(left, 0.0)), typed(groove.top)),
    )
    yield Problem("box.height", wrong, "take a higher box or a lower groove")


def _told(given: float, left: float) -> tuple[Amount, Amount]:
    return typed(given), typed(max(left, 0.0))
