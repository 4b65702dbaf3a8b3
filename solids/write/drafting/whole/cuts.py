"""The sheet of sections: the finished box cut open along its length and across, the wood that is cut hatched, with
inside sizes, thicknesses and the groove."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from solids.base.geometry import PlanePoint, Span
from solids.base.lengths import CALIPER, format_dimension
from solids.layout.box.lid_words import inside_z
from solids.layout.box.model import BoxLayout
from solids.model.sections import OpenPart, cut_open
from solids.proof.assembly import PieceProof
from solids.write.drafting.dimensions import stacked
from solids.write.drafting.sheet import Distance, Item, Label, Stroke, placed
from solids.write.drafting.whole.framed import Page, largest_scale, paper_of, room_of
from solids.write.drafting.whole.hatching import APART, hatch_angles, hatched
from solids.write.drafting.whole.looks import FRONT, RIGHT, Ends, Look, ends_of, strokes_of
from solids.write.drafting.whole.planes import Planes

LEFT, BESIDE = 32.0, 16.0
"""Room on paper left and right of a section: left of it stand its name and its heights."""

FOOT, HEAD = 10.5, 22.0
"""Room below and above it."""

FIRST, STEP, ROWS = 7.0, 5.0, 3
"""Dimensions over a section: where the first row stands, the step to the next, and how many rows there may be."""

COLUMN, NAME = 6.0, 2.8
"""How far apart dimension lines stand beside a section; the height of its name."""


@dataclass(frozen=True)
class Section:
    """A box cut open: its name, how it is looked at, what is left of each part, and from where to where the two boards
    reach that are cut across, on the left and on the right."""

    name: str
    look: Look
    parts: tuple[OpenPart, ...]
    inside: Span
    outside: Span

    @property
    def outlines(self) -> list[list[list[PlanePoint]]]:
        """Of the wood that is cut, by the parts that are cut, as seen."""
        return [[[self.look.flat(point) for point in loop] for loop in part.outlines] for part in self.cut]

    @property
    def cut(self) -> tuple[OpenPart, ...]:
        """The parts that the plane cuts."""
        return tuple(part for part in self.parts if part.outlines)


def sections_of(proof: PieceProof, planes: Planes) -> tuple[Section, Section]:
    """B-B along the box, seen from the front, and A-A across it, seen from the right."""
    box, parts = proof.box, proof.finished
    (x, y), (long, wide) = box.inside, box.outside
    return (
        Section("B-B", FRONT, cut_open(parts, 1, planes.along, -1), x, (0.0, long)),
        Section("A-A", RIGHT, cut_open(parts, 0, planes.across, 1), y, (0.0, wide)),
    )


def sections_page(proof: PieceProof, planes: Planes) -> Page:
    """The sheet, both sections side by side or one above the other, whichever shows them larger. InputError where no
    scale fits."""
    box, ends, room = proof.box, ends_of(proof.finished), room_of(paper_of(proof.box))
    sections = sections_of(proof, planes)
    scale = largest_scale(
        box, lambda scale: any(_corners(sections, ends, room, scale, beside=b) for b in (True, False))
    )
    corners = _corners(sections, ends, room, scale, beside=True) or _corners(sections, ends, room, scale, beside=False)
    items: list[Item] = []
    for section, at in zip(sections, corners, strict=True):
        (x, right), (y, top) = section.look.spans(ends)
        drawn = [*_strokes(section, scale), *_dimensions(box, section, scale, (y, top))]
        items += placed(drawn, scale, (at[0] - x * scale, at[1] - y * scale))
        items.append(Label(section.name, (at[0] + (right - x) * scale, at[1] - 2.5 - NAME), NAME, "right", bold=True))
    return Page("sections, finished", scale, tuple(items), tuple(_rows(box)))


def _corners(
    sections: Sequence[Section], ends: Ends, room: tuple[PlanePoint, PlanePoint], scale: float, *, beside: bool
) -> list[PlanePoint]:
    """Where the lower left corner of each section goes on paper, beside or above each other; none where they do not
    fit."""
    (left, foot), (right, head) = room
    blocks = []
    for section in sections:
        across, up = section.look.spans(ends)
        blocks.append((LEFT + (across[1] - across[0]) * scale + BESIDE, FOOT + (up[1] - up[0]) * scale + HEAD))
    wide, tall = (list(sizes) for sizes in zip(*blocks, strict=True))
    whole = (sum(wide), max(tall)) if beside else (max(wide), sum(tall))
    spare = right - left - whole[0], head - foot - whole[1]
    if min(spare) < 0.0:
        return []
    start = left + spare[0] / 2 + LEFT, foot + spare[1] / 2 + FOOT
    if beside:
        return [start, (start[0] + wide[0], start[1])]
    return [(start[0], start[1] + tall[1]), start]


def _strokes(section: Section, scale: float) -> Iterator[Item]:
    """The edges in sight, and the wood that is cut."""
    yield from strokes_of([solid for part in section.parts for solid in part.solids], section.look, hidden=False)
    for outlines, angle in zip(section.outlines, hatch_angles(section.outlines), strict=True):
        yield from hatched(outlines, angle, APART / scale)
        yield from (Stroke("visible edges", tuple(loop), closed=True) for loop in outlines)


# --- dimensions ----------------------------------------------------------------------------------


def _dimensions(box: BoxLayout, section: Section, scale: float, heights: Span) -> Iterator[Item]:
    """Over each section the inside size and both thicknesses; beside B-B the heights; below it how deep the groove is;
    beside A-A how high a back begins that stands above the bottom."""
    (low, high), (left, right) = section.inside, section.outside
    whole, top = _across(box, heights[1], low, high), heights[1]
    thick = [[_across(box, top, *span)] for span in ((left, low), (high, right))]
    on_paper = [_scaled(dim, scale) for dim in (whole, *(dim for places in thick for dim in places))]
    first, *rest = on_paper
    stack = stacked(first, [[dim] for dim in rest], FIRST, STEP, ROWS)
    yield from placed(stack, 1.0 / scale, (0.0, 0.0))
    if section.look is FRONT:
        yield from _heights(box, section, scale, heights[0])
    elif box.recipe.back_rise:
        yield _up(box, right, (0.0, box.recipe.back_rise), COLUMN)


def _scaled(dim: Distance, scale: float) -> Distance:
    (found,) = placed([dim], scale, (0.0, 0.0))
    assert isinstance(found, Distance)
    return found


def _heights(box: BoxLayout, section: Section, scale: float, foot: float) -> Iterator[Distance]:
    """From the outside of the left board: the groove, the height inside, and that of the board; how deep the groove is,
    below all, which begins at the height `foot`."""
    groove, tall, (low, _) = box.recipe.groove, box.recipe.closed_height, section.inside
    rows: list[tuple[float, Span]] = [(0.0, (0.0, tall))]
    if box.panel:
        floor = low - groove.depth
        rows = [(floor, (0.0, groove.up)), (floor, (groove.up, groove.top)), (low, inside_z(box)), *rows]
        yield _across(box, groove.up, floor, low, -((groove.up - foot) * scale + FIRST))
    for number, (x, span) in enumerate(rows):
        yield _up(box, x, span, -(x * scale + FIRST + COLUMN * number))


def _across(box: BoxLayout, y: float, start: float, end: float, offset: float = 0.0) -> Distance:
    told = format_dimension(end - start, box.recipe.units, CALIPER)
    return Distance((start, y), (end, y), offset, told, reading=CALIPER)


def _up(box: BoxLayout, x: float, span: Span, offset: float) -> Distance:
    told = format_dimension(span[1] - span[0], box.recipe.units, CALIPER)
    return Distance((x, span[0]), (x, span[1]), offset, told, "up", reading=CALIPER)


def _rows(box: BoxLayout) -> Iterator[str]:
    yield "A-A: across the box, seen from the right. B-B: along it, seen from the front. Hatched: wood that is cut."
    if box.panel:
        yield "Left of B-B: the groove's place and width, the height inside above the bottom, the height of the boards."
        yield "Below B-B: how deep the groove is."
    yield "Sizes are those of the finished box."
