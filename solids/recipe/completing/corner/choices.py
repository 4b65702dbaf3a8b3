"""Fills in what the maker of a corner left out, each value by a rule of the trade, and checks that the keys agree.

Rules without a source are common practice. Lengths in mm.
"""

from __future__ import annotations

from functools import partial
from typing import Literal

from solids.base import tolerances as tol
from solids.base.amounts import at_most, too_little, too_much, typed
from solids.base.errors import RecipeError
from solids.base.lengths import CALIPER, format_both, format_decimal
from solids.base.messages import Key, message
from solids.base.sources import FROM_MEMORY, OWN_SIZES
from solids.recipe.completing.board_rules import board_problems
from solids.recipe.completing.choosing import MM_STEP, leave_out_or_take, usual_lap, wood_rule
from solids.recipe.completing.corner.by_eye import BY_EYE, drawn
from solids.recipe.completing.corner.tails import TailChoosing
from solids.recipe.tables.accepted import no_less_than, up_to
from solids.recipe.tables.air import HomeAsked
from solids.recipe.tables.resolved import (
    Board,
    EntryChamfer,
    Finish,
    Hand,
    JointKind,
    Kit,
    Magnet,
    Marker,
    Paper,
    PaperName,
    Printing,
    Recipe,
    Undercut,
    unevenness,
)
from solids.recipe.tables.schema import Asked, BoardTable
from solids.wood import DEFAULT, Wood
from solids.wood.glues import GLUES, USUAL, Glue, glue_words

Ends = Literal["flush", "proud"]

LENGTH_USUAL = 150.0
CHAMFER_SHORT = 3.0
LAND_USUAL = 2.0
BED, NOZZLE, CLEARANCE, MAGNET = (220.0, 220.0), 0.4, 0.2, Magnet(10.0, 2.0)
"""A printer that many have, and magnets that many shops sell. Common practice, as is 0.2 to 0.3 mm a side for a sliding
fit."""


def resolve_corner(asked: Asked) -> Recipe:
    """The corner with nothing left out. RecipeError holds every disagreement between keys."""
    return _CornerChoices(asked).recipe()


class _CornerChoices(TailChoosing):
    """Goes through the keys of one corner, in the order in which they depend on each other."""

    def recipe(self) -> Recipe:
        asked, joint = self.asked, self.asked.joint
        title = self._or(asked.title, "title", "corner", "no title was given")
        kind: JointKind = self._or(joint.kind, "joint.kind", "through", "the plain joint")
        tail_board, pin_board = self._boards(kind)
        lap = self._lap(kind)
        if joint.lid_tails is not None:
            remedy = 'leave it out, or give a box a lid of kind "sawn off" (box.lid.kind)'
            self._problem("joint.lid_tails", "no lid is sawn off here", remedy)
        slope_ratio = self._slope(tail_board.wood, self.pin_thickness - lap)
        tails = self._tails(slope_ratio, lap, (tail_board.wood, pin_board.wood))
        recipe = Recipe(
            title=title,
            units=self.units,
            kind=kind,
            width=self.width,
            slope_ratio=slope_ratio,
            pin=tails.pin,
            half_pin=tails.half_pin,
            tail_shares=tails.shares,
            spacing=tails.spacing,
            seed=self._seed(tails.spacing),
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
            marker=self._marker(tail_board, pin_board),
            rack=self._rack(asked.stock),
            glue=self._glue(),
            choices=tuple(self.choices),
            notices=(),
            author=asked.author or "",
            date=asked.date or "",
            listed=tails.listed,
            mitre=self._mitre(),
            rebate=asked.tail_board.rebate or 0.0,
        )
        if recipe.spacing == BY_EYE:
            recipe = drawn(recipe, len(tails.shares))
        if self.problems:
            raise RecipeError(self.problems, self.units, usable=recipe if self.sound else None)
        return recipe

    # --- the boards ------------------------------------------------------------------------------

    def _boards(self, kind: JointKind) -> tuple[Board, Board]:
        tails, pins = self.asked.tail_board, self.asked.pin_board
        known = tails.wood or pins.wood
        rule, wood = wood_rule(known), known or DEFAULT
        tail_proud = tol.PROUD_USUAL if kind == "through" else 0.0
        if kind == "half-blind" and tails.proud:
            wrong = message("{} cannot stand proud in a half-blind joint", typed(tails.proud))
            self._problem("tail_board.proud", wrong, leave_out_or_take("joint.kind", "through"))
        return (
            self._board("tail_board", tails, wood, rule, tail_proud, enclosed=kind == "half-blind"),
            self._board("pin_board", pins, wood, rule, tol.PROUD_USUAL, enclosed=False),
        )

    def _board(self, name: str, board: BoardTable, wood: Wood, rule: str, proud: float, *, enclosed: bool) -> Board:
        about = "1/32 in" if self.units == "in" else "0.5 mm"
        standing = "the ends are enclosed by the lap" if enclosed else f"about {about}, to be planed off"
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
        rule = "a quarter of the pin board, as 3/16 in of 3/4 in, and no thin lap where half the board allows it"
        lap = self._length(given, "joint.lap", usual_lap(thickness), rule)
        if lap > thickness - tol.LEAST_FEATURE + tol.ROUNDING:
            most = at_most(thickness - tol.LEAST_FEATURE)
            self._unsound(
                "joint.lap",
                message("{} leaves no depth in a pin board of {}", typed(lap), typed(thickness)),
                message("accepted is up to {}; a quarter of the thickness is usual", most),
                (most,),
            )
        return lap

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
        return Kit(
            kit.chisels or (),
            kit.saw_kerf or 0.0,
            kit.knife or 0.0,
            kit.cutters or (),
            kit.bush or 0.0,
            kit.scale or 0.0,
        )

    def _air_is_assumed(self) -> bool:
        climate = self.asked.climate
        nobody_named_it = climate.shop is None and climate.home in (None, HomeAsked())
        return nobody_named_it if climate.assumed is None else climate.assumed

    def _paper(self) -> Paper:
        size: PaperName = "Letter" if self.units == "in" else "A4"
        rule = "the usual sheet where lengths are in " + ("inches" if self.units == "in" else "millimetres")
        asked = self.asked.paper
        return Paper(
            size=self._or(asked.size, "paper.size", size, rule),
            corner_relief=bool(asked.corner_relief),
            dxf_units=asked.dxf_units or "mm",
            dxf_version=asked.dxf_version or "R2010",
        )

    def _printing(self) -> Printing:
        asked, say = self.asked.print, partial(format_decimal, units=self.units)
        bed = self._or(asked.bed, "print.bed", BED, "a small printer", " x ".join(map(say, BED)))
        nozzle = self._or(asked.nozzle, "print.nozzle", NOZZLE, "the usual nozzle", say(NOZZLE))
        sliding = "a sliding fit, each side"
        clearance = self._or(asked.clearance, "print.clearance", CLEARANCE, sliding, say(CLEARANCE))
        words = f"{say(MAGNET.diameter)} by {say(MAGNET.thickness)}"
        given = Magnet(asked.magnet.diameter, asked.magnet.thickness) if asked.magnet else None
        return Printing(bed, nozzle, clearance, self._or(given, "print.magnet", MAGNET, "a common disc magnet", words))

    def _marker(self, *boards: Board) -> Marker:
        asked = self.asked.aids.marker
        thickest, proud = max(board.thickness for board in boards), max(board.proud for board in boards)
        if asked.thickest is not None and asked.thickest < thickest:
            accepted, tries = no_less_than(thickest)
            wrong = message("{} is less than the {} of a board here", too_little(asked.thickest), typed(thickest))
            self._problem("aids.marker.thickest", wrong, message("{}, or leave it out", accepted), tries)
        across = max(asked.thickest or 0.0, thickest)
        if asked.leg is not None and asked.leg < across + proud - tol.ROUNDING:
            accepted, tries = no_less_than(across + proud)
            words = "legs of {} do not reach across the thickest board, {}{}"
            more = message(", with {} that its ends stand proud", typed(proud)) if proud else ""
            wrong = message(words, too_little(asked.leg), typed(across), more)
            self._problem("aids.marker.leg", wrong, message("{}, or leave it out", accepted), tries)
        return Marker(
            asked.body or "plain",
            asked.slopes or (),
            asked.thickest or 0.0,
            asked.leg or 0.0,
            asked.words or "",
            asked.hang_hole or 0.0,
        )

    def _glue(self) -> Glue:
        """The glue. What the bottle says goes before what its kind usually gives; where only one of both times to work
        in is given, the other follows from it where the usual one would contradict it."""
        asked = self.asked.glue
        usual = GLUES[self._or(asked.kind, "glue.kind", USUAL, "the glue of most shops")]
        opened, assembly = asked.open_time, asked.assembly_time
        if opened is not None and assembly is not None and opened > assembly:
            times = glue_words("assembly_time", assembly), glue_words("open_time", opened)
            wrong = f"{times[0]} to the last clamp are less than the {times[1]} of open time (glue.open_time)"
            remedy = f"accepted is {opened:g} or more; a maker's sheet calls it total assembly time"
            self._problem("glue.assembly_time", wrong, remedy, (f"{opened:g}",))

        def chosen(name: str, figure: float, bound: float | None = None, other: str = "") -> float:
            """The bottle's figure; else the usual one, or the `bound` that the `other` time sets where that
            contradicts it."""
            rule, source = f"usual for {usual.kind}; your bottle's word goes first", FROM_MEMORY
            if bound is not None:
                figure, rule, source = bound, f"as long as glue.{other}, which the usual time contradicts", OWN_SIZES
            given: float | None = getattr(asked, name)
            return self._or(given, f"glue.{name}", figure, rule, glue_words(name, figure), source)

        shorter = assembly if assembly is not None and assembly < usual.open_min else None
        longer = opened if opened is not None and opened > usual.assembly_min else None
        return Glue(
            usual.kind,
            chosen("open_time", usual.open_min, shorter, "assembly_time"),
            chosen("assembly_time", usual.assembly_min, longer, "open_time"),
            chosen("clamp_time", usual.clamp_min),
            chosen("spread", usual.spread_g_m2),
        )

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
