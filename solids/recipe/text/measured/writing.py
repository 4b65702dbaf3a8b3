"""The recipe of a joint that is there already, from its marks."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from fractions import Fraction
from typing import Any

import tomlkit
from pydantic_core import PydanticCustomError

from solids.base.lengths import MM_PER_INCH
from solids.base.messages import Units
from solids.recipe.tables.fields import Title
from solids.recipe.text.editing import with_added
from solids.recipe.text.measured.marks import HALF_TAIL, RAW_END, Mark, Marks
from solids.recipe.text.measured.order import in_order
from solids.recipe.text.measured.slips import Slip, slips
from solids.recipe.text.starter import commented
from solids.recipe.text.toml import Added, Raw

DECIMALS = 6
"""A 64th of an inch has six decimals, and a 64th in mm has as many."""

HOW_FLANKS = "from the reference edge: at the finished face, at the baseline"


def recipe_from(marks: Marks, title: str | None = None) -> tuple[str, list[Slip]]:
    """The TOML of a recipe with the flanks as they were marked, under `title` where the marks have none and it can be
    one, and what looks like a slip, which stands beside its flank too. RecipeError where the marks can be no joint."""
    ordered = in_order(marks)
    found = slips(ordered)
    text = commented(_tables(ordered, title), _begun(ordered))
    items = [Added("joint.flanks", _flanks(ordered, found), HOW_FLANKS)]
    if HALF_TAIL in ordered.edges:
        items.append(Added("joint.edges", list(ordered.edges), "at the reference edge, and at the other"))
    return with_added(text, tuple(items)), found


def _begun(marks: Marks) -> str:
    plane = f"at their {RAW_END}" if marks.proud is not None else "at the finished face"
    return f"A recipe for one dovetailed corner, from the marks in {marks.name}: {marks.board}, marked {plane}."


def _tables(marks: Marks, title: str | None) -> Raw:
    """Everything but the flanks, in the units of the marks."""
    units = marks.units
    raw: Raw = {"units": units}
    with suppress(PydanticCustomError):
        raw["title"] = Title().read(marks.title or title, "mm")
    raw["joint"] = {"kind": "half-blind" if marks.lap else "through", "width": in_units(marks.width, units)}
    if marks.lap:
        raw["joint"]["lap"] = in_units(marks.lap, units)
    raw["tail_board"] = {"thickness": in_units(marks.tail_board, units)}
    raw["pin_board"] = {"thickness": in_units(marks.pin_board, units)}
    if marks.proud is not None:
        raw["tail_board"]["proud"] = in_units(marks.proud, units)
    return raw


def _flanks(marks: Marks, found: list[Slip]) -> Any:
    """The list, a line for each flank, with the marks as they were typed and any slip behind it."""
    lines = tomlkit.array()
    for number, mark in enumerate(marks.marks):
        comment = "; ".join(_said(number, mark, found))
        lines.add_line(_value(marks, mark), indent="    ", comment=comment)
    lines.add_line(indent="")
    return lines


def _value(marks: Marks, mark: Mark) -> Any:
    """A flank as [x at the finished face, x at the baseline], and a flush edge as one x."""
    if marks.is_flush(mark):
        return in_units(mark.base, marks.units)
    return [in_units(marks.at_face(mark), marks.units), in_units(mark.base, marks.units)]


def _said(number: int, mark: Mark, found: list[Slip]) -> Iterator[str]:
    side = "right" if number % 2 else "left"
    yield f"tail {number // 2 + 1} {side}" + (f", row {mark.row}: {', '.join(mark.typed)}" if mark.row else ", flush")
    yield from (f"looks like a slip: it {slip.why}" for slip in found if slip.flank == number)


def in_units(mm: float, units: Units) -> int | float:
    """A length as a plain number of the recipe, whole where it is."""
    value = round(float(Fraction(mm) / MM_PER_INCH) if units == "in" else mm, DECIMALS)
    return int(value) if value == int(value) else value
