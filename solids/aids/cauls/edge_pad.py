"""The edge pad: a block that presses sideways on a half pin's edge only. It has no lip: one over the show face would
stand where the pins' caul presses. Its plate is flush with the pin board instead. One shape serves both edges."""

from __future__ import annotations

from solids.aids.aid import Aid, Plane, Refusal, Rest, Use
from solids.aids.cauls.keys import Outline, raised
from solids.aids.cauls.marks import marked, spot_on
from solids.aids.cauls.plans import off_ends, too_short
from solids.aids.modelling import FOOT, MINUS_X, MINUS_Z, X, Y, Z, area
from solids.aids.plates import too_large
from solids.base import tolerances as tol
from solids.base.amounts import in_mm
from solids.base.geometry import Frame
from solids.layout import Layout
from solids.model.corner import Corner
from solids.model.kernel.shaping import Flat
from solids.recipe.resolved import Printing

PLATE, PAD = 8.0, 3.0
"""Thickness of the plate, and how far the pad rises from it: the plate hovers so far beside the boards' edges."""

CLEAR = 0.5
"""The distance to the tail board along X that the proof asks for."""

PRESSES = 0.8
"""The share of the pad that must bear."""


def edge_pad(layout: Layout, printing: Printing, corner: Corner) -> Aid | Refusal:
    """The pad, tried on both edges."""
    state = layout.as_cut
    for length, what in ((layout.depth, "The joint is deep"), (state.pin_end, "The pins rise past the baseline by")):
        if length - 2 * off_ends(length) < 2 * printing.nozzle - tol.ROUNDING:
            return too_short("edge-pad", what, length)
    refusal = too_large("edge-pad", state.show_y, state.pin_end, printing)
    if refusal:
        return refusal
    # On the bed U lies along Y and V along Z. The pad is in the middle of the plate, so that a jaw presses straight.
    across = (off_ends(layout.depth), layout.depth - off_ends(layout.depth))
    up = (off_ends(state.pin_end), state.pin_end - off_ends(state.pin_end))
    start = layout.depth - state.show_y
    pad = _box((across[0] - start, across[1] - start), up)
    plate = _box((0.0, state.show_y - start), (0.0, state.pin_end))
    sides = across[1] - across[0], up[1] - up[0]
    size = f"{sides[0]:.4g} x {sides[1]:.4g}"
    spot = spot_on(pad, PLATE + PAD, 2 * printing.nozzle)
    solid, text, _ = marked(raised(plate, FOOT, PLATE, [(pad, PLATE + PAD)]), (f"edge {size}", size, "edge"), [spot])
    presses = PRESSES * area(pad)
    places = (
        ("On the reference edge", 0.0, X, Frame.of(Y, Z, X, (-PLATE - PAD, start, 0.0))),
        (
            "Turned over, on the far edge",
            layout.width,
            MINUS_X,
            Frame.of(Y, MINUS_Z, MINUS_X, (layout.width + PLATE + PAD, start, state.pin_end)),
        ),
    )
    uses = tuple(
        Use(
            words=words,
            place=place,
            boards=corner.boards,
            rests=(Rest("pin board", toward, presses),),
            clears=(("tail board", toward, CLEAR),),
            works_in=Plane((edge, 0.0, 0.0), X),
            least_face=presses,
        )
        for words, edge, toward, place in places
    )
    return Aid(
        name="edge-pad",
        title="Pad for the edges of the end pins",
        solid=solid,
        engraved=text,
        uses=uses,
        how_to="Tape it to the edge of the end pin, its plate flush with the pin board's show face and with the pin's "
        "raw end. The pad then presses on the pin and not on the tail board. One shape serves both edges: turn it over "
        "for the far one. Press lightly, until the end pin closes. Cover the pad with packing tape or wax, so that "
        "glue does not hold it (common practice).",
        cautions=("Clamps", "Printed aids are not guards"),
        printing="Print two, as they lie, with four walls and 40 % infill (common practice). They need no support.",
        copies=2,  # one for either edge
        figures=(("pad", in_mm(*sides)), ("plate off the boards' edges", in_mm(PAD))),
    )


def _box(across: Flat, up: Flat) -> Outline:
    return [(across[0], up[0]), (across[1], up[0]), (across[1], up[1]), (across[0], up[1])]
