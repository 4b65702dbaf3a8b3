"""What matters at the bench, in short rows: gauges, bevel, lengths to saw, chisels, the bottom, and what the dry season
does. Pure arithmetic."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solids.base.lengths import CALIPER, MOST, RULE, format_cell, format_length
from solids.base.messages import capital
from solids.bench.listing import pitch_of
from solids.bench.movement import wood_movement
from solids.bench.settings import Bench, bench_of
from solids.bench.told import fine, say
from solids.layout import Layout
from solids.layout.box.cut_list import cut_list
from solids.layout.box.model import BoxLayout
from solids.layout.box.opening import room_in
from solids.layout.joint.shape.mitre import mitre_of, mitred_edges
from solids.layout.joint.shape.slopes import all_slopes, angle_words
from solids.recipe.tables.box_resolved import SIDES

Figure = tuple[str, str]
"""Words, and a value in the maker's units."""

LEAST_TOLD = 0.005
"""Of a step between end and face (mm); under it a caliper shows nothing."""


def figures_of(layout: Layout) -> list[Figure]:
    """Those of one joint. How long the boards of a box are sawn is told with the box."""
    bench, alone = bench_of(layout), not layout.standing.corners
    sawn = bench.cut_lengths if alone else ()
    return [
        *_settings(layout, bench),
        *((f"Saw the {cut.board} to", say(layout, cut.saw_to)) for cut in sawn),
        *_chisels(layout, bench),
        *_dry(layout),
    ]


def box_figures(box: BoxLayout) -> list[Figure]:
    """Those of a whole box: how long its boards are sawn, and the room that its bottom has."""
    units = box.recipe.units
    found = [(f"Saw the {row.name} to", format_length(row.saw_to[0], units)) for row in cut_list(box)]
    if box.panel:
        found += [
            *_room(box),
            (_held(box), format_length(box.panel_hold, units, CALIPER)),
        ]
    return found


def groove_figures(box: BoxLayout) -> list[Figure]:
    """Those of the groove and of the bottom in it; none where there is no bottom."""
    if box.panel is None:
        return []
    groove, units = box.recipe.groove, box.recipe.units
    thin = min(box.board_of(side).thinnest - box.planing for side in SIDES if box.is_grooved(side))
    sizes = " x ".join(format_length(size, units, CALIPER) for size in box.panel.size[:2])
    grows, shrinks = box.panel_moves
    wide = " / ".join(format_length(size, units, CALIPER) for size in (groove.width, groove.depth))
    up = ("Groove above the reference edge", format_length(groove.up, units, CALIPER))
    rebate = box.recipe.panel.in_rebate
    return [
        *(() if rebate else (up,)),
        ("Rebate, high and deep" if rebate else "Groove, wide and deep", wide),
        (
            f"Least wood behind the {'rebate' if rebate else 'groove'}",
            format_length(thin - groove.depth, units, CALIPER),
        ),
        ("Size of the bottom", sizes),
        *_edge_figures(box),
        ("The bottom grows by, at most", format_length(grows, units, CALIPER)),
        ("The bottom shrinks by, at most", format_length(shrinks, units, CALIPER)),
        *_room(box),
        (_held(box), format_length(box.panel_hold, units, CALIPER)),
    ]


def _room(box: BoxLayout) -> Iterator[Figure]:
    """What the bottom has to grow into: its grooves, or where it grows out under the back, what is free behind it."""
    panel, units, opening = box.recipe.panel, box.recipe.units, box.recipe.opening
    if not (panel.under_back and 1 in panel.moves):
        yield "Room for the bottom to grow", format_length(box.panel_room, units, CALIPER)
    elif opening:
        behind = room_in(box, opening).behind_damp
        yield "Free behind the bottom at the dampest", format_length(behind, units, CALIPER)


def _held(box: BoxLayout) -> str:
    return f"Held in the {'rebate' if box.recipe.panel.in_rebate else 'groove'} at the driest"


def _edge_figures(box: BoxLayout) -> Iterator[Figure]:
    """What a bottom has that is thicker than its groove, and the slips."""
    panel, units = box.recipe.panel, box.recipe.units
    if panel.edge != "plain":
        where = "shoulder" if panel.edge == "rebated" else "field"
        yield "Thickness of the bottom", format_length(panel.thickness, units, CALIPER)
        yield f"From its edge to the {where}", format_length(panel.border, units, CALIPER)
    if box.has_slips:
        yield "Thickness of the slips", format_length(panel.slip, units, CALIPER)


def _settings(layout: Layout, bench: Bench) -> Iterator[Figure]:
    for gauge in bench.gauges:
        yield f"Gauge, {gauge.board}", say(layout, gauge.setting)
    yield "Sliding bevel and marker", f"{all_slopes(layout)} ({angle_words(layout)})"
    if (pitch := pitch_of(layout)) is not None:
        yield "Dividers, from a tail to the next", format_length(pitch, layout.recipe.units, RULE)
    if layout.rebate:
        yield "Rebate across the tail board, deep", fine(layout, layout.rebate)
    if mitred_edges(layout):
        mitre = mitre_of(layout)
        yield "Mitre, tail board", f"{_degrees(mitre.on_tail_board)} to its faces"
        yield "Mitre, pin board", f"{_degrees(mitre.on_pin_board)} to its faces"
    for groove in layout.grooves:
        away, where = groove.gauged
        sizes = " / ".join(fine(layout, size) for size in (groove.width, groove.depth, away))
        yield f"{capital(groove.name)}: wide / deep / {where}", sizes


def _chisels(layout: Layout, bench: Bench) -> Iterator[Figure]:
    """For each kind of socket the maker's own chisel, or the widest that goes in: the narrower of both faces."""
    narrowest: dict[str, tuple[float, float | None]] = {}
    for fit in (fit for fit in bench.chisels if not fit.is_open):
        before = narrowest.get(fit.sockets)
        if before is None or fit.widest < before[0]:
            narrowest[fit.sockets] = (fit.widest, fit.own)
    for sockets, (widest, own) in narrowest.items():
        most = f"up to {format_cell(widest, layout.recipe.units, MOST)}"
        none = f"none of yours fits; {most}" if layout.recipe.kit.chisels else most
        yield f"Chisel, {sockets}", none if own is None else fine(layout, own)


def _dry(layout: Layout) -> Iterator[Figure]:
    """How far ends come to stand past the faces beside them at the driest time of the year."""
    dry = wood_movement(layout).dry
    for end, by in (("pins", dry.pins_stand), ("tails", dry.tails_stand)):
        if by is not None:
            told = f"{fine(layout, abs(by))} {'proud' if by > 0 else 'low'}"
            yield f"Dry season, ends of the {end}", told if abs(by) >= LEAST_TOLD else "flush"


def _degrees(angle: float) -> str:
    return f"{math.degrees(angle):.1f} degrees"
