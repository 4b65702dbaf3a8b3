"""The sheet of the whole box, finished: the front, the plan above it and the view from the right beside it, with the
outside sizes; where it is cut open on the next sheet; and a picture of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from solids.base.geometry import Slab, Span
from solids.base.lengths import CALIPER, format_dimension, format_sizes
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.fitted.lining import room_within
from solids.layout.box.lid_words import inside_z
from solids.layout.box.model import BoxLayout
from solids.proof.assembly import PieceProof
from solids.write.drafting.dimensions import extent
from solids.write.drafting.fitted import fitted_in
from solids.write.drafting.paper import PaperSize
from solids.write.drafting.sheet import Distance, Item, Label, Stroke, placed
from solids.write.drafting.whole.framed import Page, largest_scale, paper_of, room_of
from solids.write.drafting.whole.looks import FRONT, PLAN, RIGHT, Ends, Look, ends_of, strokes_of
from solids.write.drafting.whole.planes import OUT, Planes, plane_marks

LEFT, BETWEEN, BESIDE = 20.0, 22.0, 8.0
"""Room on paper: left of the front view, between it and the view from the right, and right of that and its words."""

FOOT, MIDDLE, HEAD = 10.0, OUT + 6.0, OUT + 0.8
"""Room below the front view, between it and the plan, and above the plan."""

DIMENSION, ROW, NAME, RISE = 7.0, 6.0, 2.5, 2.2
"""How far a dimension stands off its view, and a second one off the first; the height of the name of a view, and how
far that stands above it."""

PICTURE = 25.0
"""The least room that the picture takes, either way."""


def elevations_page(proof: PieceProof, planes: Planes, picture: Sequence[Stroke]) -> Page:
    """The sheet, at the largest scale that fits; `picture` is the box in isometric projection. InputError where no
    scale fits."""
    box, ends = proof.box, ends_of(proof.finished)
    paper, size = paper_of(box), _size(ends)
    scale = largest_scale(box, lambda scale: _fits(box, size, paper, scale))
    long, wide, tall = (mm * scale for mm in size)
    low, high = room_of(paper)
    foot = FOOT + ROW * (len(list(_dimensions(box, RIGHT, scale))) - 1)
    spare = high[1] - low[1] - foot - MIDDLE - HEAD - tall - wide
    front = low[0] + LEFT, low[1] + foot + spare / 3
    plan = front[0], front[1] + tall + MIDDLE + spare / 3
    side = front[0] + long + BETWEEN, front[1]
    items: list[Item] = []
    solids = [part.in_place for part in proof.finished]
    for look, at, name in ((FRONT, front, "front"), (PLAN, plan, "plan"), (RIGHT, side, "from the right")):
        (x, _), (y, _) = look.spans(ends)
        shift = at[0] - x * scale, at[1] - y * scale
        items += placed(strokes_of(solids, look), scale, shift)
        items += placed(_dimensions(box, look, scale), 1.0, shift)
        high_end = at[1] + (wide if look is PLAN else tall)
        items.append(Label(name, (at[0], high_end + RISE), NAME, "left"))
        if look is PLAN:
            items += plane_marks(planes, at, (long, wide), scale, shift)
    corner = side[0], side[1] + tall + 10.0
    if min(high[0] - corner[0], high[1] - corner[1]) > PICTURE + 12.0:
        items += fitted_in(picture, corner, (high[0] - 8.0, high[1] - 8.0))
    return Page("plan and elevations, finished", scale, tuple(items), tuple(_rows(box)))


def _size(ends: Ends) -> tuple[float, float, float]:
    x, y, z = (high - low for low, high in zip(*ends, strict=True))
    return x, y, z


def _fits(box: BoxLayout, size: tuple[float, float, float], paper: PaperSize, scale: float) -> bool:
    (left, low), (right, high) = room_of(paper)
    long, wide, tall = (mm * scale for mm in size)
    # The words of a short dimension stand beyond its right end.
    sizes = list(_dimensions(box, RIGHT, scale))
    wide = max(wide, *(extent(dim)[1] for dim in sizes))
    foot = FOOT + ROW * (len(sizes) - 1)
    rooms = LEFT + BETWEEN + BESIDE, foot + MIDDLE + HEAD
    return long + wide + rooms[0] <= right - left and tall + size[1] * scale + rooms[1] <= high - low


def overall(box: BoxLayout) -> tuple[Span, Span, Span]:
    """From where to where the whole finished box reaches in X, Y and Z, with its lip and all that is fitted to it, from
    the layout."""
    fitting = fitting_of(box)
    parts = (part.lowered for part in fitting.parts)
    whole = Slab.around([Slab(*_boards(box)), *parts, *(strip.wood.extent for strip in fitting.strips)])
    return whole.x, whole.y, whole.z


def _boards(box: BoxLayout) -> tuple[Span, Span, Span]:
    """The same of its four boards."""
    return (0.0, box.outside[0]), (0.0, box.outside[1]), (0.0, box.recipe.closed_height)


def _dimensions(box: BoxLayout, look: Look, scale: float) -> Iterator[Distance]:
    """On paper, from the zero of the box: length and height at the front, the width at the view from the right; and a
    second time over all that is fitted to it, where that is more."""
    (_, _, (low, _)), (left, _, _) = overall(box), overall(box)
    wanted: dict[Look, tuple[tuple[int, Literal["across", "up"]], ...]] = {
        FRONT: ((0, "across"), (2, "up")),
        RIGHT: ((1, "across"),),
    }
    for axis, way in wanted.get(look, ()):
        # It stands clear of what is fitted below the boards, or on their left.
        clear = DIMENSION - (low if way == "across" else left[0]) * scale
        for row, span in enumerate(dict.fromkeys((_boards(box)[axis], overall(box)[axis]))):
            yield _dimension(box, span, way, scale, clear + ROW * row)


def _dimension(box: BoxLayout, span: Span, way: Literal["across", "up"], scale: float, clear: float) -> Distance:
    told = format_dimension(span[1] - span[0], box.recipe.units, CALIPER)
    start, end = ((mm * scale, 0.0) if way == "across" else (0.0, mm * scale) for mm in span)
    return Distance(start, end, -clear, told, way, reading=CALIPER)


def _between(box: BoxLayout) -> str:
    """What the inside is measured between, where that is not from edge to edge and from board to board."""
    ends = [*(["above the bottom"] if box.panel else []), *(["below the top"] if box.recipe.top else [])]
    ends += ["below the lid"] if box.recipe.lid_board else []
    ends += ["within its lining"] if room_within(box) != box.recipe.inside else []
    return f", {' and '.join(ends)}" if ends else ""


def _rows(box: BoxLayout) -> Iterator[str]:
    units = box.recipe.units
    yield "Third-angle projection: the plan stands above the front, the view from the right beside it."
    yield f"Outside {format_sizes((*box.outside, box.recipe.closed_height), units, CALIPER)}, finished."
    low, high = inside_z(box)
    if overall(box) != _boards(box):
        sizes = [high - low for low, high in overall(box)]
        lip = "its lip and " if box.recipe.lip else ""
        yield f"Over {lip}all that is fitted to it {format_sizes(sizes, units, CALIPER)}."
    yield f"Inside {format_sizes((*room_within(box), high - low), units, CALIPER)}{_between(box)}."
    yield "Dashed: edges behind wood. A-A and B-B: cut open there on the next sheet."
