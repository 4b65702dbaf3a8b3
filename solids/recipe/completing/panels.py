"""The bottom of a box: what holds it, how thick it is and what becomes of its edge. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from solids.base import tolerances as tol
from solids.base.amounts import at_least, typed
from solids.base.errors import Problem
from solids.base.messages import Key, Words, message
from solids.recipe.completing.choosing import Choosing, leave_out_or_take, wood_rule
from solids.recipe.tables.accepted import no_less_than, no_more_than
from solids.recipe.tables.box_resolved import Groove, moves_across
from solids.recipe.tables.box_schema import PanelTable
from solids.recipe.tables.panel import CLEARANCE, SLIP_ABOVE, SLIP_BACK, Edge, Held, Panel, PanelFace
from solids.recipe.tables.schema import Asked, BoxTable
from solids.wood import DEFAULT

GROOVE_WIDTH = 6.0
"""The usual groove, and the usual rebate's height. Common practice. NOYES (Handwork in Wood, p. 190) has 1/4 in for a
drawer bottom."""

THICKER = 1.5
"""A bottom with a tongue is so many times as thick as that. Common practice."""

BEVEL = 5.0
"""A bevel is so many times as wide as it is high: about 11 degrees. Common practice."""

LEAST_SHOULDER = 0.5
"""The least height of a shoulder or bevel: less than that no plane sets. Common practice."""

LEAST_SLIP_BACK = 1.0
"""The least wood behind the groove of a slip. Common practice."""


class PanelChoices(Choosing):
    """Settles the bottom, first what it is and how it moves, and its shape once its groove is known."""

    asked: Asked
    box: BoxTable
    above: bool

    @property
    def _has_bottom(self) -> bool:
        """Whether a bottom is asked for: by its groove, by what is said of it, or by a back that stands above it."""
        width = self.box.groove.width if self.box.groove else None
        if width is not None:
            return width > 0
        return self.box.groove is not None or self.above or bool((self.box.panel or PanelTable()).given())

    def _panel(self, inside: tuple[float, float]) -> Panel:
        """The bottom before its groove is known. `inside` is the distance between the inside faces in X and in Y."""
        panel, air = self.box.panel or PanelTable(), self._air(self.asked.climate)
        if not self._has_bottom:  # and so nothing is chosen for one
            return Panel("solid", DEFAULT, "flat", "length", 0.0, 0.0, 0.0, under_back=self.above)
        longer: Any = "length" if self.above or inside[0] >= inside[1] else "width"
        rule = "so that it moves toward the open back" if self.above else "along the longer side"
        kind, wood, sawn = self._stuff("box.panel", panel, DEFAULT, wood_rule(None))
        held: Held = self._or(panel.held, "box.panel.held", "groove", "it needs no screws and cannot fall out")
        grain = self._or(panel.grain, "box.panel.grain", longer, rule)
        clearance = self._length(panel.clearance, "box.panel.clearance", CLEARANCE, "so that it goes in")
        grows, shrinks = moves_across(wood, sawn, *air)
        return Panel(kind, wood, sawn, grain, clearance, grows, shrinks, under_back=self.above, held=held)

    def _needed_depth(self, panel: Panel, inside: tuple[float, float]) -> float:
        """How deep a groove must be to hold the bottom as it moves."""
        between, slip = inside[panel.across(inside)], (self.box.panel or PanelTable()).slip
        if panel.held != "slips":
            return panel.depth_for(between, tol.PANEL_HELD)
        if slip is None:
            return panel.depth_in_slips(between, tol.PANEL_HELD)
        return panel.depth_for(between - 2 * slip, tol.PANEL_HELD)

    def _groove_width(self) -> float:
        """The width of the groove that the maker asked for, or that of a usual one; the height of a rebate."""
        panel, asked = self.box.panel or PanelTable(), self.box.groove.width if self.box.groove else None
        if panel.thickness is not None and panel.edge in (None, "plain"):
            rule = "as high as the bottom is thick" if panel.held == "rebate" else "as wide as the bottom is thick"
            return self._or(asked, "box.groove.width", float(panel.thickness), rule, self._told(panel.thickness))
        return self._length(asked, "box.groove.width", GROOVE_WIDTH, "a usual bottom")

    def _least_up(self, width: float) -> float:
        """How high a groove so wide must lie, so that a bottom with its shoulder on the underside does not stand out
        below the boards."""
        panel = self.box.panel or PanelTable()
        shaped = panel.edge in ("rebated", "fielded") or (panel.edge is None and panel.thickness is not None)
        if panel.face == "upper face" or not shaped:
            return 0.0
        thickness = self._usual_thickness(width) if panel.thickness is None else panel.thickness
        return max(thickness - width, 0.0)

    def _shaped(self, panel: Panel, groove: Groove) -> Panel:
        """The bottom with the thickness and the edge that go with its groove."""
        table, wide = self.box.panel or PanelTable(), groove.width
        if not wide:
            return panel
        thicker = table.thickness is not None and table.thickness > wide + tol.ROUNDING
        tongued = thicker and panel.held != "rebate"
        why = "a tongue as thick as its groove is wide" if tongued else "it is no thicker than its groove"
        edge: Edge = self._or(table.edge, "box.panel.edge", "rebated" if tongued else "plain", why)
        usual = wide if edge == "plain" else self._usual_thickness(wide)
        rule = "as thick as its groove is wide" if edge == "plain" else "half as thick again as its tongue"
        thickness = self._or(table.thickness, "box.panel.thickness", usual, rule, self._told(usual))
        made = replace(panel, thickness=thickness, tongue=thickness, edge=edge)
        if panel.held == "slips":
            slip = groove.depth + SLIP_BACK
            rule = "the depth of the groove, and the wood behind it"
            made = replace(made, slip=self._length(table.slip, "box.panel.slip", slip, rule))
        if edge == "plain":
            return made
        made = replace(made, tongue=wide)
        hides = self.above or made.step <= groove.up + tol.ROUNDING
        why = "so that the box is flat inside" if hides else "so that it does not stand out below the boards"
        face: PanelFace = self._or(table.face, "box.panel.face", "underside" if hides else "upper face", why)
        usual, rule = groove.depth, "its tongue as long as the groove is deep, so that the shoulder stays clear"
        if edge == "fielded":
            usual += BEVEL * max(made.step, LEAST_SHOULDER)
            rule = "a tongue as long as the groove is deep, and a bevel five times as wide as it is high"
        return replace(made, face=face, border=self._length(table.border, "box.panel.border", usual, rule))

    def _usual_thickness(self, width: float) -> float:
        return self._rounded(THICKER * width)


def panel_faults(panel: Panel, groove: Groove, table: PanelTable, between: float, height: float) -> Iterator[Problem]:
    """What cannot be of the shape of a bottom. `between` is the distance between the inside faces of the sides, and
    `height` that of the boards."""
    if not groove.width:
        yield from _no_groove(table)
        return
    yield from _idle_keys(panel, table)
    if panel.in_rebate:
        yield from _in_rebate(panel, groove)
        return
    if panel.held == "slips":
        yield from _slips(panel, groove, between, height)
    if panel.thickness < groove.width - tol.ROUNDING:
        wrong = message("{} is less than its groove is wide, {} (box.groove.width)", *_both(panel, groove))
        yield Problem("box.panel.thickness", wrong, *no_less_than(groove.width))
    elif panel.edge == "plain" and panel.thickness > groove.width + tol.ROUNDING:
        wrong = message(
            "plain, a bottom of {} does not go into a groove of {} (box.groove.width)", *_both(panel, groove)
        )
        remedy = message('take "rebated" or "fielded", or a groove of {}', typed(panel.thickness))
        yield Problem("box.panel.edge", wrong, remedy, ('"rebated"',))
    elif panel.edge != "plain":
        yield from _tongue(panel, groove, height)


OF_ITS_SHAPE = ("held", "thickness", "edge", "face", "border", "slip")
"""The keys of a bottom that ask for one, and do not only say of what it would be."""


def _no_groove(table: PanelTable) -> Iterator[Problem]:
    """A bottom that is asked for, and a groove of no width, which is none. That a groove would hold it, which freezing
    once wrote of boxes without a bottom too, asks for none."""
    asked = [f"box.panel.{name}" for name in OF_ITS_SHAPE if getattr(table, name) not in (None, "groove")]
    if asked:
        wrong = message("0 is no bottom, and {} asks for one", Key(asked[0]))
        yield Problem("box.groove.width", wrong, "leave one of them out")


def _both(panel: Panel, groove: Groove) -> tuple[Any, Any]:
    return typed(panel.thickness), typed(groove.width)


def _idle_keys(panel: Panel, table: PanelTable) -> Iterator[Problem]:
    """Keys of what the bottom does not have."""
    if table.slip is not None and panel.held != "slips":
        yield Problem("box.panel.slip", "there are no slips", leave_out_or_take("box.panel.held", "slips"))
    if panel.edge == "plain" and not panel.in_rebate:
        for name in ("face", "border"):
            if getattr(table, name) is not None:
                remedy = leave_out_or_take("box.panel.edge", "rebated")
                yield Problem(f"box.panel.{name}", "a plain edge has neither shoulder nor bevel", remedy)


def _in_rebate(panel: Panel, groove: Groove) -> Iterator[Problem]:
    wrong: Words
    if panel.under_back:
        wrong = "a bottom in a rebate does not slide in under the back"
        yield Problem("box.back_above_bottom", wrong, leave_out_or_take("box.panel.held", "groove"))
    if groove.up:
        wrong = message("{} is no place for a rebate, which lies along the reference edge", typed(groove.up))
        yield Problem("box.groove.up", wrong, leave_out_or_take("box.panel.held", "groove"))
    if panel.edge != "plain":
        wrong = "a bottom in a rebate lies flat and has no tongue"
        yield Problem("box.panel.edge", wrong, leave_out_or_take("box.panel.held", "groove"))
    elif panel.thickness > groove.width + tol.ROUNDING:
        wrong = message("{} stands out below a rebate that is {} high (box.groove.width)", *_both(panel, groove))
        yield Problem("box.panel.thickness", wrong, *no_more_than(groove.width))


def _slips(panel: Panel, groove: Groove, between: float, height: float) -> Iterator[Problem]:
    wrong: Words
    if not panel.under_back:
        wrong = "between slips the bottom slides in under the back"
        yield Problem("box.back_above_bottom", wrong, 'take true, or box.panel.held = "groove"', ("true",))
    if panel.slip < groove.depth + LEAST_SLIP_BACK - tol.ROUNDING:
        wrong = message(
            "{} leaves too little behind a groove {} deep (box.groove.depth)", typed(panel.slip), typed(groove.depth)
        )
        yield Problem("box.panel.slip", wrong, *no_less_than(groove.depth + LEAST_SLIP_BACK))
    left, high = between - 2 * panel.slip, groove.top + SLIP_ABOVE
    if left < tol.LEAST_WIDTH:
        wrong = message("two slips of {} leave {} of {}", *map(typed, (panel.slip, max(left, 0.0), between)))
        yield Problem("box.panel.slip", wrong, *no_more_than((between - tol.LEAST_WIDTH) / 2))
    if high > height + tol.ROUNDING:
        wrong = message("the slips round it reach {} up, past boards of {}", typed(high), typed(height))
        yield Problem("box.groove.up", wrong, *no_more_than(groove.up - (high - height)))


def _tongue(panel: Panel, groove: Groove, height: float) -> Iterator[Problem]:
    """A tongue and its shoulder or bevel: whether there is one, and where it stands."""
    if panel.step < LEAST_SHOULDER - tol.ROUNDING:
        wrong = message("{} leaves no shoulder above a tongue of {} (box.groove.width)", *_both(panel, groove))
        least = no_less_than(groove.width + LEAST_SHOULDER)
        yield Problem("box.panel.thickness", wrong, message('{}, or box.panel.edge = "plain"', least[0]), least[1])
        return
    if panel.face == "upper face" and panel.under_back:
        stands = "the back stands on the upper face, which must be flat to slide in under it"
        yield Problem("box.panel.face", stands, 'accepted is "underside"', ('"underside"',))
    elif panel.hangs > groove.up + tol.ROUNDING:
        out = "{} stands {} out below the boards: its groove of {} lies only {} up"
        figures = (panel.thickness, panel.hangs - groove.up, groove.width, groove.up)
        most = no_more_than(groove.width + groove.up)
        ways = "{}; or raise the groove to {} ({}){}"
        turn = "" if panel.under_back else ', or turn it over (box.panel.face = "upper face")'
        remedy = message(ways, most[0], at_least(panel.hangs), Key("box.groove.up"), turn)
        yield Problem("box.panel.thickness", message(out, *map(typed, figures)), remedy, most[1])
    left = height - groove.top - panel.rises
    if left < tol.LEAST_WIDTH and panel.rises:
        wrong = message("{} leaves {} above it in boards of {}", *map(typed, (panel.thickness, max(left, 0.0), height)))
        yield Problem("box.panel.thickness", wrong, *no_more_than(height - groove.up - tol.LEAST_WIDTH))
    yield from _border(panel, groove)


def _border(panel: Panel, groove: Groove) -> Iterator[Problem]:
    """A shoulder or a bevel that would bind on the board before the tongue fills the groove, or a bevel too steep."""
    least, why = groove.depth, "the shoulder would meet the boards before the tongue fills the groove"
    if panel.edge == "fielded":
        least, why = groove.depth + panel.step, "the bevel would be steeper than 45 degrees beside its tongue"
    if panel.border < least - tol.ROUNDING:
        wrong = "{} is too little for a groove {} deep (box.groove.depth): {}"
        yield Problem(
            "box.panel.border", message(wrong, typed(panel.border), typed(groove.depth), why), *no_less_than(least)
        )
