"""Puts marks in order from the reference edge, whatever order they were written in, and refuses what no joint can be.
Pure arithmetic, lengths in mm."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import replace

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.errors import Problem, RecipeError
from solids.base.messages import message
from solids.recipe.text.measured.marks import HALF_PIN, HALF_TAIL, SAME, Mark, Marks, flank_name

EDGE_NAMES = ("reference edge", "other edge")
EDGE_ROWS = f'where a half tail lies at an edge, write "{EDGE_NAMES[0]},{HALF_TAIL}" or "{EDGE_NAMES[1]},{HALF_TAIL}"'


def in_order(marks: Marks) -> Marks:
    """The same with its flanks from the reference edge, two for each tail, and with both edges known: a half tail lies
    where it was said, or where the first mark is 0 or the last one the width. The flush edge of a half tail is among
    the flanks then, whether it was marked or not. RecipeError with what cannot be, by row and flank."""
    found = sorted(marks.marks, key=lambda mark: (mark.outer, mark.base))
    _raise(marks, [*_beyond(marks), *_equal(found, marks.name)])
    edges = _edges(marks, found)
    flanks = _with_flush_edges(found, edges, marks.width)
    _raise(marks, [*_at_odds(marks, found), *_odd(flanks, marks.name)])
    ordered = replace(marks, edges=edges, marks=tuple(flanks))
    _raise(marks, list(_crossing(ordered)))
    _raise(marks, list(_nothing_held(ordered)))
    return ordered


def _raise(marks: Marks, problems: Sequence[Problem]) -> None:
    if problems:
        raise RecipeError(problems, marks.units)


def _beyond(marks: Marks) -> Iterator[Problem]:
    for mark in marks.marks:
        for place, plane in ((mark.outer, "outer"), (mark.base, "baseline")):
            if place > marks.width + SAME:
                wrong = message("the {} mark, {}, lies beyond the width, {}", plane, typed(place), typed(marks.width))
                yield Problem(f"{marks.name}, row {mark.row}", wrong, "measure it again from the reference edge")


def _equal(by_place: Sequence[Mark], name: str) -> Iterator[Problem]:
    for one, other in itertools.pairwise(by_place):
        if other.outer - one.outer < SAME and abs(other.base - one.base) < SAME:
            where = f"{name}, rows {one.row} and {other.row}"
            yield Problem(where, "both are one flank", "take one out, or measure the other flank again")


# --- the edges -------------------------------------------------------------------------------------


def _edges(marks: Marks, by_place: Sequence[Mark]) -> tuple[str, str]:
    """What lies at both edges: as it was said, or else by the marks."""
    reference, other = (
        said or (HALF_TAIL if _is_at(mark, place) else HALF_PIN)
        for said, mark, place in zip(marks.edges, (by_place[0], by_place[-1]), (0.0, marks.width), strict=True)
    )
    return reference, other


def _with_flush_edges(by_place: Sequence[Mark], edges: tuple[str, str], width: float) -> list[Mark]:
    """All flanks, with those flush edges of half tails that were left out."""
    flanks = list(by_place)
    for edge, place, at in zip(edges, (0.0, width), (0, -1), strict=True):
        if edge == HALF_TAIL and not _is_at(flanks[at], place):
            flanks.insert(0 if at == 0 else len(flanks), Mark(place, place))
    return flanks


def _is_at(mark: Mark, place: float) -> bool:
    return abs(mark.outer - place) < SAME and abs(mark.base - place) < SAME


def _at_odds(marks: Marks, by_place: Sequence[Mark]) -> Iterator[Problem]:
    for name, said, mark, place in zip(
        EDGE_NAMES, marks.edges, (by_place[0], by_place[-1]), (0.0, marks.width), strict=True
    ):
        if said == HALF_PIN and _is_at(mark, place):
            wrong = f"it is the flush edge of a half tail, but {name} says {HALF_PIN}"
            yield Problem(f"{marks.name}, row {mark.row}", wrong, f'write "{name},{HALF_TAIL}", or take the row out')


# --- the flanks ------------------------------------------------------------------------------------


def _odd(flanks: Sequence[Mark], name: str) -> Iterator[Problem]:
    """Left flanks lean to the right toward the baseline, and right ones to the left: two alike in a row have lost the
    one between them."""
    if len(flanks) % 2 == 0:
        return
    wrong = f"there are {len(flanks)} flanks, an odd number"
    alike = (
        f"rows {one.row} and {other.row} lean the same way, one after the other: is a flank between them missing?"
        for one, other in itertools.pairwise(flanks)
        if (one.base - one.outer) * (other.base - other.outer) > 0
    )
    yield Problem(name, wrong, next(alike, f"each tail has two; {EDGE_ROWS}"))


def _crossing(marks: Marks) -> Iterator[Problem]:
    """Flanks that cross or meet between the baseline and the finished face, and those that run out at an edge."""
    width, flanks = marks.width, marks.marks
    named = [(f"row {mark.row}", flank_name(number), mark) for number, mark in enumerate(flanks)]
    first = ("", f"the {EDGE_NAMES[0]}", Mark(0.0, 0.0))
    last = ("", f"the {EDGE_NAMES[1]}", Mark(width, width))
    inner = [one for one in named if not marks.is_flush(one[2])]
    for (row, name, low), (next_row, next_name, high) in itertools.pairwise([first, *inner, last]):
        at_base, at_face = high.base - low.base, marks.at_face(high) - marks.at_face(low)
        if min(at_base, at_face) >= tol.LEAST_FEATURE:
            continue
        plane = "baseline" if at_base < at_face else "finished face"
        how = "cross" if min(at_base, at_face) < -SAME else "meet"
        rows = " and ".join(part for part in (row, next_row) if part)
        wrong = f"{name} and {next_name} {how} at the {plane}"
        remedy = message("at least {} of wood lies between two flanks; measure them again", typed(tol.LEAST_FEATURE))
        yield Problem(f"{marks.name}, {rows}", wrong, remedy)


def _nothing_held(marks: Marks) -> Iterator[Problem]:
    """Marks of which no tail is wider at the finished face: not the board, but the table is the other way round."""
    if all(grown < SAME for grown in marks.growths):
        wrong = "no tail would be wider at the finished face than at the baseline, so nothing would hold"
        yield Problem(marks.name, wrong, f"each row has the outer mark first, then the baseline's; {EDGE_ROWS}")
