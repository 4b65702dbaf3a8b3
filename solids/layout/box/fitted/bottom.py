"""The bottom of a box: plain, rebated to a tongue, or fielded, which is bevelled to a tongue round a field. Lengths in
mm."""

from __future__ import annotations

from solids.base.geometry import Point, Slab, Span
from solids.layout.box.fitted.bodies import Body, Fitted, Fitting, block
from solids.layout.box.model import BoxLayout
from solids.layout.box.rows import panel_row
from solids.recipe.tables.panel import Glued, Panel

BOTTOM = "bottom"
FACES = ("underside", "upper face", "front edge", "right edge", "back edge", "left edge")
MARK = "arrow to the front; good face up"

GLUE: dict[Glued, str] = {
    "all round": "",
    "in the middle": "It stays dry but for the dabs.",
}
"""What is told of glue where a bottom goes into its grooves with the boards."""

IN_REBATE = "Lay the bottom into its rebate {}, once the glue has set."
UNDER_BACK = "Slide in the bottom {}, once the glue has set."


def bottom(box: BoxLayout) -> Fitting:
    """The bottom, if there is one."""
    slab, panel = box.panel, box.recipe.panel
    if slab is None:
        return Fitting()
    row = panel_row(BOTTOM, panel, slab, box.recipe.rough, MARK)
    bodies = bodies_of(panel, slab, box.recipe.groove.depth)
    if panel.glued == "nowhere":
        step, comes = (IN_REBATE, "from below") if panel.in_rebate else (UNDER_BACK, "from the back")
        return Fitting((Fitted(BOTTOM, panel.wood, bodies, row, step, comes=comes, late=True),))
    return Fitting((Fitted(BOTTOM, panel.wood, bodies, row, "Slide in the bottom {}.", GLUE[panel.glued]),))


def bodies_of(panel: Panel, slab: Slab, tongue_long: float) -> tuple[Body, ...]:
    """The bottom within the block that holds it: itself, or its tongue and what stands on one face of that. A bevel
    leaves `tongue_long` of a fielded one's tongue."""
    if panel.edge == "plain":
        return (block(slab.x, slab.y, slab.z, FACES),)
    (low, high), up = slab.z, panel.face == "upper face"
    middle = low + panel.tongue if up else high - panel.tongue
    tongue = (low, middle) if up else (middle, high)
    names = ("underside", "tongue's upper face") if up else ("tongue's underside", "upper face")
    foot = panel.border if panel.edge == "rebated" else tongue_long
    start, end = (_within(slab, inset, panel, z) for inset, z in ((foot, middle), (panel.border, high if up else low)))
    return block(slab.x, slab.y, tongue, (*names, *FACES[2:])), _raised(panel, start, end)


def _raised(panel: Panel, start: tuple[Point, ...], end: tuple[Point, ...]) -> Body:
    """What stands on the tongue, its sides named by where they are; under the back its end is the bottom's own."""
    what = "shoulder" if panel.edge == "rebated" else "bevel"
    front, right, back, left = (f"{side} {what}" for side in ("front", "right", "back", "left"))
    back = "back edge" if panel.under_back else back
    flat = panel.face if panel.edge == "rebated" else f"field, {panel.face}"
    if panel.face == "upper face":
        return Body(start, end, ("", flat, front, right, back, left))
    # Seen from below, the corners run the other way round.
    return Body(start[::-1], end[::-1], ("", flat, back, right, front, left))


def _within(slab: Slab, inset: float, panel: Panel, z: float) -> tuple[Point, ...]:
    """The outline at a height, so far inside the edges; at the back not, where the bottom slides in under it."""
    x: Span = (slab.x[0] + inset, slab.x[1] - inset)
    y: Span = (slab.y[0] + inset, slab.y[1] - (0.0 if panel.under_back else inset))
    return (x[0], y[0], z), (x[1], y[0], z), (x[1], y[1], z), (x[0], y[1], z)
