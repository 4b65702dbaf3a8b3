"""A lid that is a board of its own, and what it does through the year. Pure arithmetic, lengths in mm.

One that lifts off is rebated round its underside, so that the wood within the rebate, its tongue, drops between the
boards. In a direction in which it moves, inside faces D apart, with room c at each edge and growth by g and shrinkage
by s as shares of its size, the tongue is made D - 2c - gD wide. In the dampest air it is left
D - (D - 2c - gD)(1 + g) = g^2 D + 2c(1 + g) of room. In the driest, pushed to one side, it lies on the board on the
other side by (T + S)(1 - s) - D, where T is the width of the tongue and S that of the rebate there.

One that is hinged is held at the back and moves at the front.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Protocol

from solids.base.geometry import Slab, Span
from solids.layout.box.fitted.bodies import Body, Cut, Fitted, Fitting, block
from solids.layout.box.model import BoxLayout
from solids.layout.box.rows import panel_row
from solids.recipe.tables.box_resolved import Side
from solids.recipe.tables.lid_resolved import LidBoard

LID = "lid"
FACES = ("underside", "upper face", "front edge", "right edge", "back edge", "left edge")
TONGUE = ("tongue, underside", "", *(f"{side} shoulder" for side in ("front", "right", "back", "left")))
MARKS = {"lift off": "arrow to the front; tongue down", "hinged": "arrow to the front; good face up"}
STEPS = {
    "lift off": "With the box glued and upright, set the lid on it.",
    "hinged": "With the box glued and upright, hang the lid on its hinges.",
}

SIDES_OF: tuple[tuple[Side, Side], tuple[Side, Side]] = (("left", "right"), ("front", "back"))
"""The sides that bound the box in X and in Y, the nearer to its corner first."""


class Mortises(Protocol):
    """What makes the mortises for hinges, in the back of a box or in its lid."""

    def __call__(self, box: BoxLayout, *, on_lid: bool) -> tuple[Cut, ...]:
        """Where they are in the closed box."""


def lid_board(box: BoxLayout, mortises: Mortises) -> Fitting:
    """The lid with its `mortises`, and those in the back, if it is a board of its own."""
    lid = box.recipe.lid_board
    if lid is None:
        return Fitting()
    (x, y), rim, spare = outline(box, lid), box.recipe.rim, box.recipe.rough
    whole = Slab(x, y, (rim - lid.drop, rim + lid.rises))
    bodies: tuple[Body, ...] = (block(x, y, (rim, rim + lid.rises), FACES),)
    if lid.drop:
        bodies = (*bodies, block(*tongue(box, lid), (rim - lid.drop, rim), TONGUE))
    let_in = mortises(box, on_lid=True)
    part = Fitted(
        LID,
        lid.panel.wood,
        bodies,
        panel_row(LID, lid.panel, whole, spare, MARKS[lid.kind]),
        STEPS[lid.kind],
        comes="from above",
        cuts=tuple(_named(cut, cut.wood) for cut in let_in),
        tools=tuple(_named(cut, cut.tool) for cut in let_in),
        late=True,
    )
    return Fitting((part,), mortises(box, on_lid=False))


def _named(cut: Cut, body: Body) -> Body:
    return replace(body, names=tuple(f"{cut.name}, {name}" for name in body.names))


def outline(box: BoxLayout, lid: LidBoard) -> tuple[Span, Span]:
    """From where to where it reaches in X and in Y, as made."""
    (long, wide), over = box.outside, lid.overhang
    return (-over, long + over), (-over, wide + (0.0 if lid.kind == "hinged" else over))


def tongue(box: BoxLayout, lid: LidBoard) -> tuple[Span, Span]:
    """The same of what drops between the boards."""
    spans = []
    for axis, (low, high) in enumerate(box.inside):
        room = lid.panel.room(high - low, 0.0) if axis in lid.panel.moves else 0.0
        aside = lid.panel.clearance + room / 2
        spans.append((low + aside, high - aside))
    return spans[0], spans[1]


# --- through the year --------------------------------------------------------------------------------


def grows_by(lid: LidBoard, axis: int) -> Span:
    """The shares of its size by which it grows and shrinks along X (0) or Y (1)."""
    return (lid.panel.grows, lid.panel.shrinks) if axis in lid.panel.moves else (0.0, 0.0)


def moves_by(box: BoxLayout, lid: LidBoard) -> Span:
    """How much it grows until the dampest time and shrinks until the driest, where it does so most."""
    low, high = max((outline(box, lid)[axis] for axis in lid.panel.moves), key=lambda span: span[1] - span[0])
    return lid.panel.grows * (high - low), lid.panel.shrinks * (high - low)


def room_when_damp(box: BoxLayout, lid: LidBoard) -> float:
    """How much room one that lifts off is left between the boards in the dampest air, both edges together, where it is
    least."""
    rooms = []
    for axis, (low, high) in enumerate(tongue(box, lid)):
        (start, end), (grows, _) = box.inside[axis], grows_by(lid, axis)
        rooms.append(end - start - (high - low) * (1.0 + grows))
    return min(rooms)


def lies_on(box: BoxLayout, lid: LidBoard) -> dict[Side, float]:
    """By how much it lies on each board across its thickness in the driest air: pushed away from there as far as it
    goes, or held by its hinges."""
    found: dict[Side, float] = {}
    for axis, (near, far) in enumerate(SIDES_OF):
        (start, end), (low, high), (_, shrinks) = box.inside[axis], outline(box, lid)[axis], grows_by(lid, axis)
        thick = {near: start, far: box.outside[axis] - end}
        if lid.kind == "hinged":
            fixed = high if axis == 1 else (low + high) / 2
            edges = (fixed + (low - fixed) * (1.0 - shrinks), fixed + (high - fixed) * (1.0 - shrinks))
            reach = {near: start - edges[0], far: edges[1] - end}
        else:
            left, right = tongue(box, lid)[axis]
            reach = {
                near: (right - low) * (1.0 - shrinks) - (end - start),
                far: (high - left) * (1.0 - shrinks) - (end - start),
            }
        found |= {side: min(reach[side], thick[side]) for side in reach}
    return found


def bearing(box: BoxLayout, lid: LidBoard) -> float:
    """The area over which it lies on the upper edges, as made (mm2): all of them but what the leaves of hinges take."""
    (left, right), (front, back) = box.inside
    let_in = lid.hinge.let_in if lid.hinge else 0.0
    return box.outside[0] * box.outside[1] - (right - left) * (back - front) - let_in
