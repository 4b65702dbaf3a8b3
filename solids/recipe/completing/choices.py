"""Fills in what the maker of a corner left out, each value by a rule of the trade, and checks that the keys agree.

Rules without a source are common practice. Lengths in mm.
"""

from __future__ import annotations

import math
from functools import partial
from typing import Literal

from solids.base import tolerances as tol
from solids.base.amounts import at_most, too_much, typed
from solids.base.errors import RecipeError
from solids.base.lengths import CALIPER, format_both, format_decimal
from solids.base.messages import Key, Words, message
from solids.base.sources import NOYES, OWN_SIZES
from solids.recipe.completing.board_rules import board_problems
from solids.recipe.completing.choosing import MM_STEP, Choosing, leave_out_or_take
from solids.recipe.tables.accepted import up_to
from solids.recipe.tables.air import HomeAsked
from solids.recipe.tables.resolved import (
    Board,
    Choice,
    EntryChamfer,
    Finish,
    Hand,
    JointKind,
    Kit,
    Magnet,
    Paper,
    PaperName,
    Printing,
    Recipe,
    Undercut,
    thickest,
    unevenness,
)
from solids.recipe.tables.schema import NEEDED, Asked, BoardTable
from solids.wood import DEFAULT, Wood

Ends = Literal["flush", "proud"]

LENGTH_USUAL = 150.0
PIN_TO_HALF_PIN = 1.5
TAIL_OVER_THICKNESS = 10.0
GRADING_USUAL = 0.15
CHAMFER_SHORT = 3.0
LAND_USUAL = 2.0
BED, NOZZLE, CLEARANCE, MAGNET = (220.0, 220.0), 0.4, 0.2, Magnet(10.0, 2.0)
"""A printer that many have, and magnets that many shops sell. Common practice, as is 0.2 to 0.3 mm a side for a sliding
fit."""


def resolve_corner(asked: Asked) -> Recipe:
    """The corner with nothing left out. RecipeError holds every disagreement between keys."""
    return _CornerChoices(asked).recipe()


def _least_grading(tails: int) -> float:
    """The least grading, in hundredths, at which no tail vanishes in the middle."""
    return (math.floor(-100.0 / ((tails - 1) // 2)) + 1) / 100


class _CornerChoices(Choosing):
    """Goes through the keys of one corner, in the order in which they depend on each other."""

    def __init__(self, asked: Asked) -> None:
        super().__init__(asked.units)
        self.asked = asked
        needed = (getattr(getattr(asked, table), key) for table, key in NEEDED.items())
        self.width, self.tail_thickness, self.pin_thickness = map(thickest, needed)
        self.sound = True
        """Whether the joint can be laid out, so that the layout may add its own problems."""

    def recipe(self) -> Recipe:
        asked, joint = self.asked, self.asked.joint
        title = self._or(asked.title, "title", "corner", "no title was given")
        kind: JointKind = self._or(joint.kind, "joint.kind", "through", "the plain joint")
        tail_board, pin_board = self._boards(kind)
        lap = self._lap(kind)
        slope_ratio = self._slope(tail_board.wood)
        pin = self._length(joint.pin, "joint.pin", tol.PIN_USUAL, "about 3 mm, wide enough for a marking knife")
        half_pin, shares, spacing = self._spacing(pin, slope_ratio, lap)
        recipe = Recipe(
            title=title,
            units=self.units,
            kind=kind,
            width=self.width,
            slope_ratio=slope_ratio,
            pin=pin,
            half_pin=half_pin,
            tail_shares=shares,
            spacing=spacing,
            allow_thin_half_pin=bool(joint.allow_thin_half_pin),
            lap=lap,
            tail_board=tail_board,
            pin_board=pin_board,
            flank_gap=self._length(asked.fit.flank_gap, "fit.flank_gap", 0.0, "knifed to the line"),
            hand=self._hand(),
            entry_chamfer=self._entry_chamfer(tail_board.proud),
            undercut=self._undercut(min(tail_board.thickness, pin_board.thickness - lap)),
            finish=self._finish(kind, tail_board, pin_board, lap),
            kit=self._kit(),
            shop=(air := self._air(asked.climate))[0],
            home=air[1],
            air_is_assumed=self._air_is_assumed(),
            paper=self._paper(),
            printing=self._printing(),
            choices=tuple(self.choices),
            notices=(),
        )
        if self.problems:
            raise RecipeError(self.problems, self.units, usable=recipe if self.sound else None)
        return recipe

    def _unsound(self, key: str, wrong: Words, remedy: Words, tries: tuple[Words, ...] = ()) -> None:
        """A problem that leaves no joint to lay out."""
        self._problem(key, wrong, remedy, tries)
        self.sound = False

    # --- the boards ------------------------------------------------------------------------------

    def _boards(self, kind: JointKind) -> tuple[Board, Board]:
        tails, pins = self.asked.tail_board, self.asked.pin_board
        known = tails.wood or pins.wood
        rule = "the same wood as the other board" if known else "no wood was named; a plain hardwood is assumed"
        wood = known or DEFAULT
        tail_proud = tol.PROUD_USUAL if kind == "through" else 0.0
        if kind == "half-blind" and tails.proud:
            wrong = message("{} cannot stand proud in a half-blind joint", typed(tails.proud))
            self._problem("tail_board.proud", wrong, leave_out_or_take("joint.kind", "through"))
        return (
            self._board("tail_board", tails, wood, rule, tail_proud, enclosed=kind == "half-blind"),
            self._board("pin_board", pins, wood, rule, tol.PROUD_USUAL, enclosed=False),
        )

    def _board(self, name: str, board: BoardTable, wood: Wood, rule: str, proud: float, *, enclosed: bool) -> Board:
        standing = "the ends are enclosed by the lap" if enclosed else "about 0.5 mm, to be planed off"
        given = 0.0 if enclosed and board.proud is not None else board.proud
        return Board(
            thickness=self.tail_thickness if name == "tail_board" else self.pin_thickness,
            length=self._length(board.length, f"{name}.length", LENGTH_USUAL, "long enough to show the joint"),
            wood=self._or(board.wood, f"{name}.wood", wood, rule, wood.name),
            sawn=self._or(board.sawn, f"{name}.sawn", "flat", "most boards are"),
            proud=self._length(given, f"{name}.proud", proud, standing),
            uneven=unevenness(board.thickness or 0.0),
            cup=board.cup or 0.0,
        )

    def _lap(self, kind: JointKind) -> float:
        given, thickness = self.asked.joint.lap, self.pin_thickness
        if kind == "through":
            if given is not None:
                wrong = message("{} asks for a lap in a through joint", typed(given))
                self._problem("joint.lap", wrong, leave_out_or_take("joint.kind", "half-blind"))
            return 0.0
        rule = "a quarter of the pin board, as 3/16 in of 3/4 in"
        lap = self._length(given, "joint.lap", tol.LAP_SHARE * thickness, rule)
        if lap > thickness - tol.LEAST_FEATURE:
            most = at_most(thickness - tol.LEAST_FEATURE)
            self._unsound(
                "joint.lap",
                message("{} leaves no depth in a pin board of {}", typed(lap), typed(thickness)),
                message("accepted is up to {}; a quarter of the thickness is usual", most),
                (most,),
            )
        return lap

    # --- the tails ---------------------------------------------------------------------------------

    def _slope(self, wood: Wood) -> float:
        ratio = 8.0 if wood.is_hardwood else 6.0
        rule = "1:8 in hardwood, 1:6 in softwood, by the wood of the tail board"
        return self._or(self.asked.joint.slope, "joint.slope", ratio, rule, f"1:{ratio:g}")

    def _spacing(self, pin: float, slope_ratio: float, lap: float) -> tuple[float, tuple[float, ...], str]:
        """The half pin, the tails' widths relative to each other, and the name of the spacing."""
        joint = self.asked.joint
        spacing = self._or(joint.spacing, "joint.spacing", "even", "tails of one width")
        if joint.grading is not None and spacing != "graduated":
            remedy = leave_out_or_take("joint.spacing", "graduated")
            self._problem("joint.grading", f"{joint.grading:g} has no effect here", remedy)
        if isinstance(spacing, tuple):
            return self._listed(spacing, pin), spacing, "listed"
        half_pin = self._length(
            joint.half_pin,
            "joint.half_pin",
            max(tol.HALF_PIN_LEAST, PIN_TO_HALF_PIN * pin),
            "half as wide again as the pins, and at least 5 mm, where both are narrowest",
        )
        tails = joint.tails
        if tails is None:
            tails = self._tail_count(pin, half_pin, slope_ratio, lap)
        grading = 0.0
        if spacing == "graduated":
            rule = "each tail grows by 15 % of the first toward the middle"
            grading = self._or(joint.grading, "joint.grading", GRADING_USUAL, rule)
        shares = tuple(1.0 + grading * min(i, tails - 1 - i) for i in range(tails))
        if min(shares) <= 0:
            self._unsound(
                "joint.grading",
                f"{grading:g} leaves no width for the tail in the middle",
                f"accepted is {_least_grading(tails):g} or more with {tails} tails",
            )
        return half_pin, shares, str(spacing)

    def _listed(self, widths: tuple[float, ...], pin: float) -> float:
        """The half pin beside a list of tails, which fixes their number: the pins stay, the half pins take the rest."""
        joint = self.asked.joint
        if joint.tails not in (None, len(widths)):
            self._problem(
                "joint.tails",
                f"{joint.tails} tails do not agree with a list of {len(widths)}",
                "leave it out: the list says how many",
            )
        inner = sum(widths) + (len(widths) - 1) * pin
        rest = (self.width - inner) / 2
        if rest < tol.LEAST_FEATURE:
            wrong = "tails and pins sum to {}; of {} nothing is left for half pins"
            self._unsound(
                "joint.spacing",
                message(wrong, typed(inner), typed(self.width)),
                "take narrower or fewer tails, thinner pins or a wider board",
            )
            return tol.LEAST_FEATURE
        if joint.half_pin is not None:
            total = inner + 2 * joint.half_pin
            if abs(total - self.width) > tol.SUM_SLACK:
                wrong = "tails, pins and half pins sum to {}, not to the width {}"
                remedy = "leave out {} ({} would be left for each) or change the list"
                self._unsound(
                    "joint.spacing",
                    message(wrong, typed(total), typed(self.width)),
                    message(remedy, Key("joint.half_pin"), typed(rest)),
                )
            return joint.half_pin
        rule = "what a list of tails leaves, half at each edge"
        self.choices.append(Choice("joint.half_pin", format_both(rest, self.units), rule, rest, OWN_SIZES))
        return rest

    def _tail_count(self, pin: float, half_pin: float, slope_ratio: float, lap: float) -> int:
        """The number of tails whose width is nearest to the boards' mean thickness plus 10 mm."""
        target = min((self.tail_thickness + self.pin_thickness) / 2 + TAIL_OVER_THICKNESS, tol.TAIL_WIDEST)
        room = self.width - 2 * half_pin
        neck_lost = 2 * (self.pin_thickness - lap) / slope_ratio + tol.LEAST_FEATURE
        widths = {n: (room - (n - 1) * pin) / n for n in range(1, tol.MOST_TAILS + 1)}
        fitting = {n: w for n, w in widths.items() if w > neck_lost} or {1: widths[1]}
        slender = {n: w for n, w in fitting.items() if w <= tol.TAIL_WIDEST} or fitting
        best = min(slender, key=lambda n: (abs(slender[n] - target), n))
        rule = (
            f"tails near {format_both(target, self.units)} wide: the boards' mean thickness and 10 mm, "
            "never over 1 3/4 in"
        )
        return self._or(None, "joint.tails", best, rule, source=NOYES)

    # --- fit, chamfer, undercut ----------------------------------------------------------------------

    def _hand(self) -> Hand:
        fit = self.asked.fit
        sigma = self._or(
            fit.sigma, "fit.sigma", tol.HAND_SIGMA, "a practised hand", format_both(tol.HAND_SIGMA, self.units, CALIPER)
        )
        return Hand(sigma, fit.shift or 0.0)

    def _entry_chamfer(self, proud: float) -> EntryChamfer:
        asked = self.asked.entry_chamfer
        if asked.width is None and asked.back is not None:
            self._no_effect("entry_chamfer.back", asked.back, "entry_chamfer.width")
        if not asked.width:
            return EntryChamfer(0.0, 0.0)
        rule = "about 3 mm short of the raw end"
        back = self._length(asked.back, "entry_chamfer.back", max(CHAMFER_SHORT - proud, MM_STEP), rule)
        return EntryChamfer(asked.width, back)

    def _undercut(self, floor: float) -> Undercut:
        asked = self.asked.undercut
        if asked.depth is None and asked.land is not None:
            self._no_effect("undercut.land", asked.land, "undercut.depth")
        if not asked.depth:
            return Undercut(0.0, 0.0)
        land = min(LAND_USUAL, floor / 4)
        rule = "2 mm, or a quarter of a short floor"
        return Undercut(asked.depth, self._or(asked.land, "undercut.land", land, rule, format_both(land, self.units)))

    def _no_effect(self, key: str, value: float, needs: str) -> None:
        wrong = message("{} has no effect by itself", typed(value))
        self._problem(key, wrong, message("give {} too, or leave it out", Key(needs)))

    # --- tools, air and paper ------------------------------------------------------------------------

    def _kit(self) -> Kit:
        kit = self.asked.kit
        return Kit(kit.chisels or (), kit.saw_kerf or 0.0, kit.knife or 0.0, kit.cutters or (), kit.bush or 0.0)

    def _air_is_assumed(self) -> bool:
        climate = self.asked.climate
        nobody_named_it = climate.shop is None and climate.home in (None, HomeAsked())
        return nobody_named_it if climate.assumed is None else climate.assumed

    def _paper(self) -> Paper:
        size: PaperName = "Letter" if self.units == "in" else "A4"
        rule = "the usual sheet where lengths are in " + ("inches" if self.units == "in" else "millimetres")
        return Paper(self._or(self.asked.paper.size, "paper.size", size, rule), bool(self.asked.paper.corner_relief))

    def _printing(self) -> Printing:
        asked, say = self.asked.print, partial(format_decimal, units=self.units)
        bed = self._or(asked.bed, "print.bed", BED, "a small printer", " x ".join(map(say, BED)))
        nozzle = self._or(asked.nozzle, "print.nozzle", NOZZLE, "the usual nozzle", say(NOZZLE))
        sliding = "a sliding fit, each side"
        clearance = self._or(asked.clearance, "print.clearance", CLEARANCE, sliding, say(CLEARANCE))
        words = f"{say(MAGNET.diameter)} by {say(MAGNET.thickness)}"
        given = Magnet(asked.magnet.diameter, asked.magnet.thickness) if asked.magnet else None
        return Printing(bed, nozzle, clearance, self._or(given, "print.magnet", MAGNET, "a common disc magnet", words))

    # --- the finish --------------------------------------------------------------------------------

    def _finish(self, kind: JointKind, tails: Board, pins: Board, lap: float) -> Finish:
        finish = self.asked.finish
        ends: Ends = self._or(finish.ends, "finish.ends", "flush", "planed off after gluing")
        standing = min(tails.proud, pins.proud)
        if ends == "flush":
            chamfer = finish.chamfer or 0.0
            if chamfer:
                wrong = message("{} needs ends that stand proud", typed(chamfer))
                self._problem("finish.chamfer", wrong, leave_out_or_take("finish.ends", "proud"))
        elif kind == "half-blind":
            self._problem(
                "finish.ends", '"proud" is for through joints; the lap encloses the tails here', 'take "flush"'
            )
            chamfer = 0.0
        else:
            half = standing / 2 if standing / 2 >= tol.LEAST_STEP else 0.0
            rule = "half of what stands proud"
            chamfer = self._or(finish.chamfer, "finish.chamfer", half, rule, format_both(half, self.units))
            if chamfer > standing:
                wrong = message("{} is more than the {} that stand proud", too_much(chamfer), typed(standing))
                accepted, tries = up_to(standing)
                self._problem("finish.chamfer", wrong, message("{}, or let the ends stand further", accepted), tries)
        planing = self._length(finish.planing, "finish.planing", 0.0, "nothing is taken off the show faces")
        if planing and ends == "proud":
            self._problem(
                "finish.planing",
                message("{} cannot be planed across ends that are left standing", typed(planing)),
                message('take 0, or {} = "flush"', Key("finish.ends")),
            )
        self.problems += board_problems(tails, pins, lap, planing)
        return Finish(ends, chamfer, planing)
