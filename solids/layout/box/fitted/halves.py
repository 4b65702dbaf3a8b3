"""A box that a lid is sawn off, as two boxes: the one below the cut and the lid above it, each a ring of four corners
of its own. Volumes, overlaps and the rules for grooves hold for them as for any box. Pure arithmetic, lengths in mm."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from solids.base import tolerances as tol
from solids.base.geometry import Span
from solids.layout.box.model import BoxLayout
from solids.layout.box.rows import Size
from solids.layout.joint.shape.flanks import Tail
from solids.layout.joint.shape.model import Layout
from solids.layout.joint.shape.placing import place
from solids.recipe.tables.box_resolved import NO_GROOVE, SIDES, BoxRecipe, CornerName, Side
from solids.recipe.tables.resolved import EdgeName, Listed, Recipe

LID = "lid"


def lid_name(side: Side) -> str:
    """What the lid's part of a board is called."""
    return f"{LID} {side}"


@dataclass(frozen=True)
class Halves:
    """What is below the cut and what is above it, each as a box whose lower edge is its reference edge."""

    box: BoxLayout
    lid: BoxLayout


def halves_of(box: BoxLayout) -> Halves | None:
    """Both halves; None where no lid is sawn off. A half without any tail at a corner has the tails of the whole there,
    so that it can be laid out and refused."""
    recipe, lid = box.recipe, box.recipe.lid
    if lid is None:
        return None
    below = _half(recipe, (0.0, lid.low))
    above = _half(recipe, (lid.high, recipe.height))
    groove = recipe.top_groove
    raised = replace(groove, up=groove.up - lid.high) if groove.width else NO_GROOVE
    above = replace(above, groove=raised, panel=recipe.top or recipe.panel)
    return Halves(BoxLayout(below), BoxLayout(above))


def _half(recipe: BoxRecipe, span: Span) -> BoxRecipe:
    corners = {name: part_of_corner(corner, span) for name, corner in recipe.corners.items()}
    return replace(recipe, height=span[1] - span[0], corners=corners, lid=None, top_groove=NO_GROOVE, top=None)


def tails_cut_by(corner: Recipe, span: Span) -> tuple[int, ...]:
    """The numbers of the tails that a cut from one height to another takes wood from, the widest anywhere on their
    length, counted from the reference edge."""
    layout = place(corner)
    raw = layout.as_cut.tail_end
    cut = []
    for tail in layout.tails:
        edges = [layout.tail_edges(tail, y) for y in (0.0, layout.depth, raw)]
        left, right = min(low for low, _ in edges), max(high for _, high in edges)
        if left < span[1] - tol.ROUNDING and span[0] + tol.ROUNDING < right:
            cut.append(tail.number)
    return tuple(cut)


def tails_within(layout: Layout, span: Span) -> list[Tail]:
    """The tails of a corner that lie whole between two heights."""
    low, high = span
    return [tail for tail in layout.tails if low - tol.ROUNDING <= tail.left and tail.right <= high + tol.ROUNDING]


def part_of_corner(corner: Recipe, span: Span) -> Recipe:
    """The joint between two heights of a corner, its tails where they are, as the maker could list it."""
    low, high = span
    whole = place(corner)
    tails = tails_within(whole, span) or [*whole.tails]
    ends: list[EdgeName] = ["half pin", "half pin"]
    mitre = [0.0, 0.0]
    for end, is_edge in enumerate((low <= 0.0, high >= corner.width)):
        if is_edge:
            ends[end], mitre[end] = corner.listed.edges[end], corner.mitre[end]
    ratios = []
    for tail in tails:
        for flank in (tail.flank(-1), tail.flank(1)):
            ratios.append(flank.ratio if flank else corner.slope_ratio)
    faces = tuple((tail.left - low, tail.right - low) for tail in tails)
    sides = [x for face in faces for x in face]
    pins = [right - left for left, right in zip(sides[1:-1:2], sides[2::2], strict=True)]
    spare = (sides[0] - mitre[0], high - low - mitre[1] - sides[-1])
    half_pins = [width for width, end in zip(spare, ends, strict=True) if end == "half pin"]
    return replace(
        corner,
        width=high - low,
        pin=min(pins, default=0.0),
        half_pin=min(half_pins, default=0.0),
        tail_shares=tuple(right - left for left, right in faces),
        spacing="listed",
        listed=Listed(ratios=tuple(ratios), faces=faces, edges=(ends[0], ends[1])),
        mitre=(mitre[0], mitre[1]),
    )


@dataclass(frozen=True)
class SawnPart:
    """What becomes of a board once the lid is sawn off: its name, the board, its finished length, width and thickness,
    how much lower it lies in the closed box than it was glued up, and its volume (mm3) before anything else is cut from
    it."""

    name: str
    side: Side
    size: Size
    drop: float
    volume: float

    @property
    def is_on_lid(self) -> bool:
        """Whether it is a part of the lid."""
        return self.drop > 0.0


def sawn_parts(box: BoxLayout, volume: Callable[[BoxLayout, Side], float]) -> tuple[SawnPart, ...]:
    """The parts of all boards, finished: those of the box, then those of its lid; none where no lid is sawn off.
    `volume` is that of a finished board of a half (mm3)."""
    halves, lid = halves_of(box), box.recipe.lid
    if halves is None or lid is None:
        return ()
    found = []
    for half, drop in ((halves.box, 0.0), (halves.lid, lid.lost)):
        for side in SIDES:
            board = half.boards[side]
            size = (board.end_to_end(finished=True), board.width, board.board.thinnest - box.planing)
            name = lid_name(side) if drop else side
            found.append(SawnPart(name, side, size, drop, volume(half, side)))
    return tuple(found)


def half_pins_left(box: BoxLayout) -> dict[CornerName, Span]:
    """How wide the half pins beside the cut are at each corner where they are narrowest, below it and above it."""
    lid = box.recipe.lid
    assert lid is not None
    found: dict[CornerName, Span] = {}
    for name, corner in box.corners.items():
        layout = corner.layout
        below = max((tail.right for tail in layout.tails if tail.right <= lid.at), default=0.0)
        above = min((tail.left for tail in layout.tails if tail.left >= lid.at), default=layout.width)
        found[name] = (lid.low - below, above - lid.high)
    return found
