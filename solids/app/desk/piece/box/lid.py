"""A lid on the drawings of a box. Of one that is sawn off: the saw's lines on the sides, the top from above, and both
in the cut through one side, all as the box is glued up. Of one that is a board of its own: its outline and that of its
tongue, and the board in the cut. Pure arithmetic, lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator

from solids.app.desk.piece.drawings import Shape, area
from solids.base.geometry import PlanePoint, Slab, Span
from solids.base.lengths import CALIPER, format_length
from solids.layout.box.fitted.lid_board import LID, outline, tongue
from solids.layout.box.fitted.lining import ring
from solids.layout.box.fitted.top import TOP
from solids.layout.box.model import BoxLayout, with_top
from solids.recipe.tables.lid_resolved import LidBoard, Lining

SAWN = "the lid is sawn off here"


def kerf_of(box: BoxLayout) -> tuple[float, ...]:
    """The heights of both lines that the saw runs between; none without a lid."""
    lid = box.recipe.lid
    return (lid.at - lid.kerf / 2, lid.at + lid.kerf / 2) if lid else ()


def kerf_on_side(box: BoxLayout, long: float) -> Iterator[tuple[Shape, tuple[PlanePoint, ...]]]:
    """The saw's lines on a side so long, by how far along the box they run, and how high."""
    for high in kerf_of(box):
        yield Shape("hidden", (), SAWN), ((0.0, high), (long, high))


def top_slab(box: BoxLayout) -> Slab | None:
    """The top where it lies as the box is glued up; None where there is none."""
    return with_top(box).panel


def top_from_above(box: BoxLayout) -> Iterator[Shape]:
    """The edges of the top, which lie in its groove; those of a lid, and of what drops between the boards; those of a
    lining, inside."""
    board = box.recipe.lid_board
    for spans, words in _edges(box, board) if board else ():
        (left, right), (front, back) = spans
        yield Shape("hidden", (*area((left, front), (right, back)), (left, front)), words)
    if box.recipe.lining:
        inner = ring(box, box.recipe.lining.thickness)
        yield Shape("hidden", (*inner, inner[0]), "lining")
    slab = top_slab(box)
    if slab is not None:
        (left, right), (front, back) = slab.x, slab.y
        yield Shape("hidden", (*area((left, front), (right, back)), (left, front)), TOP)


def _edges(box: BoxLayout, lid: LidBoard) -> Iterator[tuple[tuple[Span, Span], str]]:
    yield outline(box, lid), LID
    if lid.drop:
        yield tongue(box, lid), "tongue of the lid"


def _board_in_section(box: BoxLayout, lid: LidBoard, axis: int, into: float) -> Iterator[Shape]:
    """The lid on the upper edges."""
    rim, low = box.recipe.rim, outline(box, lid)[axis][0]
    start = tongue(box, lid)[axis][0] if lid.drop else into
    foot = ((start, rim), (start, rim - lid.drop), (into, rim - lid.drop)) if lid.drop else ((into, rim),)
    yield Shape("wood", ((low, rim), *foot, (into, rim + lid.rises), (low, rim + lid.rises)), LID)
    yield Shape("number", (((low + 3 * into) / 4, rim + lid.rises / 2),), LID)


def groove_in_section(box: BoxLayout, thick: float) -> Iterator[PlanePoint]:
    """The outline of the top's groove in the inside face of a side so thick, from below."""
    groove = box.recipe.top_groove
    if groove.width:
        floor = thick - groove.depth
        yield from ((thick, groove.up), (floor, groove.up), (floor, groove.top), (thick, groove.top))


def _lining_in_section(box: BoxLayout, lining: Lining, axis: int) -> Iterator[Shape]:
    """The lining before the side, dashed, as it comes in once the lid is off."""
    low, rim, face, thick = box.recipe.floor, box.recipe.rim, box.inside[axis][0], lining.thickness
    eased = ((face, rim), (face + lining.clearance, rim)) if lining.clearance else ()
    head = ((face + lining.clearance, rim + lining.stands), (face + thick, rim + lining.stands))
    yield Shape("hidden", ((face, low), *eased, *head, (face + thick, low), (face, low)), "lining")


def in_section(box: BoxLayout, axis: int, across: Span, beside: float) -> Iterator[Shape]:
    """The top, and the saw's lines, in a cut across X (0) or Y (1). `across` is from the show face of the side to as
    far as is drawn; dimensions stand at `beside`."""
    lid, slab = box.recipe.lid, top_slab(box)
    if box.recipe.lid_board:
        yield from _board_in_section(box, box.recipe.lid_board, axis, across[1])
    if lid is None:
        return
    if lid.lining:
        yield from _lining_in_section(box, lid.lining, axis)
    if slab is not None:
        edge = (slab.x, slab.y)[axis][0]
        yield Shape("wood", area((edge, slab.z[0]), (across[1], slab.z[1])), TOP)
        yield Shape("number", (((edge + 3 * across[1]) / 4, sum(slab.z) / 2),), TOP)
    thick = box.board_of("left" if axis == 0 else "front").thickness - box.planing
    for high in kerf_of(box):
        yield Shape("hidden", ((across[0], high), (thick, high)), SAWN)
    yield Shape("dimension", ((beside, 0.0), (beside, lid.at)), format_length(lid.at, box.recipe.units, CALIPER))
