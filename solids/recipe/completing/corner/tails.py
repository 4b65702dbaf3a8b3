"""Slope, pins, half pins and tails: what the maker gave, and what the look of the joint chooses. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.lengths import format_both
from solids.base.messages import Key, Words, counted, message
from solids.base.sources import NOYES, OWN_SIZES
from solids.recipe.completing.choosing import Choosing, leave_out_or_take, round_up
from solids.recipe.completing.corner.by_eye import BY_EYE, FIRST_SEED
from solids.recipe.completing.corner.listed import Edges, edges_of, tails_of, takes_slope, with_flush
from solids.recipe.completing.corner.looks import (
    FINE_UP_TO,
    STOUT_FROM,
    Look,
    tail_shares,
    usual_slope,
    usual_stoutness,
)
from solids.recipe.tables.listed_fields import GivenFlank, MitreTable
from solids.recipe.tables.resolved import Choice, Listed, thickest
from solids.recipe.tables.schema import NEEDED, Asked
from solids.wood import Wood

GRADING_USUAL = 0.15


@dataclass(frozen=True)
class Rules:
    """Why the pins and half pins of a look are as they are."""

    pin: str
    half_pin: str


FINE = Rules(
    "about 3 mm, wide enough for a marking knife, and no slender pin in a thick tail board",
    "half as wide again as the pins, and at least 5 mm, where both are narrowest",
)
STOUT = Rules("half of the thinner board at the baseline", "as wide as the pins at the baseline")
BETWEEN = Rules(
    f"by thickness, between 3 mm in boards of {FINE_UP_TO:g} mm and half the board from {STOUT_FROM:g} mm on",
    f"by thickness, between wider than the pins in boards of {FINE_UP_TO:g} mm and as wide from {STOUT_FROM:g} mm on",
)


def _least_grading(tails: int) -> float:
    """The least grading, in hundredths, at which no tail vanishes in the middle."""
    return (math.floor(-100.0 / ((tails - 1) // 2)) + 1) / 100


@dataclass(frozen=True)
class TailWidths:
    """The narrowest pin and half pin, the tails' widths relative to each other, the name of the spacing, and what the
    maker gives one by one."""

    pin: float
    half_pin: float
    shares: tuple[float, ...]
    spacing: str
    listed: Listed


class TailChoosing(Choosing):
    """Goes through the keys of a corner that say where its tails are."""

    def __init__(self, asked: Asked) -> None:
        super().__init__(asked.units)
        self.asked = asked
        needed = (getattr(getattr(asked, table), key) for table, key in NEEDED.items())
        self.width, self.tail_thickness, self.pin_thickness = map(thickest, needed)
        self.inner = self.width
        """What the joint has to itself between mitred shoulders."""
        self.sound = True
        """Whether the joint can be laid out, so that the layout may add its own problems."""

    def _unsound(self, key: str, wrong: Words, remedy: Words, tries: tuple[Words, ...] = ()) -> None:
        """A problem that leaves no joint to lay out."""
        self._problem(key, wrong, remedy, tries)
        self.sound = False

    def _slope(self, wood: Wood, depth: float) -> float:
        """N of the slope, the steepest where there are several."""
        given = self.asked.joint.slope
        if isinstance(given, tuple):
            return min(given)
        ratio, rule = usual_slope(wood, depth)
        flanks = self.asked.joint.flanks
        if given is None and flanks and not takes_slope(flanks, self.width):
            return ratio  # which nothing is cut to
        return self._or(given, "joint.slope", ratio, rule, f"1:{ratio:g}")

    def _mitre(self) -> tuple[float, float]:
        asked = self.asked.joint.mitre or MitreTable()
        return asked.reference or 0.0, asked.other or 0.0

    def _tails(self, slope_ratio: float, lap: float, woods: tuple[Wood, Wood]) -> TailWidths:
        """What the maker gives flank by flank, or else pins, half pins and tails as given or by the look."""
        joint = self.asked.joint
        if joint.flanks is not None:
            return self._by_flanks(joint.flanks, slope_ratio, self.pin_thickness - lap)
        self.inner = self.width - sum(self._mitre())
        edges: Edges = joint.edges or ("half pin", "half pin")
        chisels = self.asked.kit.chisels or ()
        look, rules = self._look(slope_ratio, lap, woods)
        chosen, why = look.pin(self.inner, chisels), rules.pin
        if chosen > look.pin(self.inner):
            why = f"lets your narrowest chisel, {format_both(min(chisels), self.units)}, down to the baseline"
        pins = joint.pin if isinstance(joint.pin, tuple) else ()
        pin = min(pins) if pins else self._length(joint.pin, "joint.pin", chosen, why)  # type: ignore[arg-type]
        spacing = self._or(joint.spacing, "joint.spacing", "even", "tails of one width")
        if joint.grading is not None and spacing != "graduated":
            remedy = leave_out_or_take("joint.spacing", "graduated")
            self._problem("joint.grading", f"{joint.grading:g} has no effect here", remedy)
        if isinstance(spacing, tuple):
            half_pin, half_pins = self._listed(spacing, pins or (pin,) * (len(spacing) - 1), edges)
            shares, name = spacing, "listed"
        else:
            half_pin, half_pins = self._half_pins(look.half_pin(self.inner, pin), rules.half_pin, edges)
            grading = (GRADING_USUAL if joint.grading is None else joint.grading) if spacing == "graduated" else 0.0
            given = joint.tails or (len(pins) + 1 if pins else 0)
            tails = given or self._tail_count(look, pin, half_pin, grading)
            if spacing == "graduated":
                why = "each tail grows by 15 % of the first toward the middle"
                self._or(joint.grading, "joint.grading", grading, why)
            shares, name = self._shares(tails, grading, edges), str(spacing)
        listed = Listed(self._as_many_pins(pins, len(shares)), half_pins, self._ratios(len(shares), edges), (), edges)
        return TailWidths(pin, half_pin, shares, name, listed)

    def _half_pins(self, usual: float, rule: str, edges: Edges) -> tuple[float, tuple[()] | tuple[float, float]]:
        """The narrower half pin, and both where the maker gives each. Beside half tails alone there is none."""
        given = self.asked.joint.half_pin
        if isinstance(given, tuple):
            return min(
                width for width, edge in zip(given, edges, strict=True) if edge == "half pin" or "half pin" not in edges
            ), given
        if "half pin" not in edges:
            return round_up(usual, self.units) if given is None else given, ()
        return self._length(given, "joint.half_pin", usual, rule), ()

    def _as_many_pins(self, pins: tuple[float, ...], tails: int) -> tuple[float, ...]:
        if pins and len(pins) != tails - 1:
            wrong = f"{counted(len(pins), 'pin')} do not stand between {counted(tails, 'tail')}"
            self._unsound("joint.pin", wrong, f"give {tails - 1}, one for each pin between two tails")
        return pins

    def _ratios(self, tails: int, edges: Edges) -> tuple[float, ...]:
        """N of the slope of each side of a tail where the maker lists them; that of a flush side may be left out."""
        given = self.asked.joint.slope
        if not isinstance(given, tuple):
            return ()
        first, last = (int(edge == "half tail") for edge in edges)
        if len(given) == 2 * tails - first - last:
            return (*given[:1] * first, *given, *given[-1:] * last)
        if len(given) != 2 * tails:
            wrong = f"{counted(len(given), 'slope')} do not go with {counted(tails, 'tail')}"
            self._unsound("joint.slope", wrong, f"give {2 * tails - first - last}, one for each flank")
        return given

    def _by_flanks(self, given: Sequence[GivenFlank], slope_ratio: float, depth: float) -> TailWidths:
        """The tails as given flank by flank; pins and half pins are what lies between."""
        joint = self.asked.joint
        for key in ("pin", "half_pin", "spacing", "grading", "look"):
            if getattr(joint, key) is not None:
                told = "has no effect here: the flanks say where all tails and pins are"
                self._problem(f"joint.{key}", told, message("leave it out, or leave out {}", Key("joint.flanks")))
        edges = edges_of(given, self.width, joint.edges)
        flanks = with_flush(given, self.width, edges)
        if len(flanks) % 2:
            wrong = f"{counted(len(given), 'flank')} {'makes' if len(given) == 1 else 'make'} no whole tails"
            remedy = message(
                "give two for each tail; the flush side of a half tail is 0 or {}, or is left out and named in {}",
                typed(self.width),
                Key("joint.edges"),
            )
            self._unsound("joint.flanks", wrong, remedy)
            flanks = flanks[:-1] or [(self.width / 3, None), (self.width / 2, None)]
        tails = len(flanks) // 2
        if joint.tails not in (None, tails):
            wrong = f"{joint.tails} tails do not agree with {counted(len(given), 'flank')}"
            self._problem("joint.tails", wrong, message("leave it out: {} says how many", Key("joint.flanks")))
        slopes = self._ratios(tails, edges) or (slope_ratio,) * len(flanks)
        found = tails_of(flanks, (slopes * 2)[: len(flanks)], depth, edges)
        listed = Listed(ratios=found.ratios, faces=found.faces, edges=edges)
        (low, high), sides = self._mitre(), [x for span in found.faces for x in span]
        pins = [right - left for left, right in zip(sides[1:-1:2], sides[2::2], strict=True)]
        ends = (sides[0] - low, self.width - high - sides[-1])
        half_pins = [end for end, edge in zip(ends, edges, strict=True) if edge == "half pin"]
        widths = tuple(right - left for left, right in found.faces)
        return TailWidths(min(pins, default=0.0), min(half_pins, default=0.0), widths, "listed", listed)

    def _seed(self, spacing: str) -> int:
        """What tails by eye are drawn from; 0 for others."""
        given = self.asked.joint.seed
        if spacing == BY_EYE:
            return self._or(given, "joint.seed", FIRST_SEED, "the first; another number draws other tails")
        if given is not None:
            self._problem("joint.seed", f"{given} has no effect here", leave_out_or_take("joint.spacing", BY_EYE))
        return 0

    def _look(self, slope_ratio: float, lap: float, woods: tuple[Wood, Wood]) -> tuple[Look, Rules]:
        """The look asked for, or else the usual one by thickness, which is told where it chooses anything."""
        joint, thinner = self.asked.joint, min(self.tail_thickness, self.pin_thickness)
        stoutness = usual_stoutness(thinner) if joint.look is None else float(joint.look == "stout")
        tails = joint.tails or (joint.spacing if isinstance(joint.spacing, tuple) else None)
        if stoutness in (0.0, 1.0) and None in (joint.pin, joint.half_pin, tails):
            name, boards = ("stout", f"from {STOUT_FROM:g} mm") if stoutness else ("fine", f"up to {FINE_UP_TO:g} mm")
            self._or(joint.look, "joint.look", name, f"usual in boards {boards} thick")
        rules = {0.0: FINE, 1.0: STOUT}.get(stoutness, BETWEEN)
        neck, pin = (tol.slender_share(soft=wood.is_soft) for wood in woods)
        sizes = self.tail_thickness, self.pin_thickness, self.pin_thickness - lap
        return Look(stoutness, *sizes, slope_ratio, neck, pin), rules

    def _tail_count(self, look: Look, pin: float, half_pin: float, grading: float) -> int:
        tails = look.tails(self.inner, pin, half_pin, self.asked.kit.chisels or (), grading)
        pitch, widest = format_both(look.pitch(self.inner), self.units), format_both(tol.TAIL_WIDEST, self.units)
        rule = (
            f"about {pitch} from tail to tail, which suits boards so wide and so thick; a tail over {widest} "
            "is for planks only"
        )
        return self._or(None, "joint.tails", tails, rule, source=NOYES)

    def _shares(self, tails: int, grading: float, edges: Edges) -> tuple[float, ...]:
        """The widths of the tails as shares of the first whole one; a half tail is half as wide."""
        shares = tail_shares(tails, grading)
        halves = {end for end, edge in zip((0, tails - 1), edges, strict=True) if edge == "half tail"}
        shares = tuple(share / 2 if i in halves else share for i, share in enumerate(shares))
        if min(shares) <= 0:
            self._unsound(
                "joint.grading",
                f"{grading:g} leaves no width for the tail in the middle",
                f"accepted is {_least_grading(tails):g} or more with {tails} tails",
            )
        return shares

    def _listed(
        self, widths: tuple[float, ...], pins: tuple[float, ...], edges: Edges
    ) -> tuple[float, tuple[()] | tuple[float, float]]:
        """The half pin beside a list of tails, which fixes their number: the pins stay, the half pins take the rest."""
        joint = self.asked.joint
        if joint.tails not in (None, len(widths)):
            self._problem(
                "joint.tails",
                f"{joint.tails} tails do not agree with a list of {len(widths)}",
                "leave it out: the list says how many",
            )
        halves, inner = edges.count("half pin"), sum(widths) + sum(pins)
        rest = (self.inner - inner) / max(halves, 1)
        if halves and rest < tol.LEAST_FEATURE:
            wrong = "tails and pins sum to {}; of {} nothing is left for half pins"
            self._unsound(
                "joint.spacing",
                message(wrong, typed(inner), typed(self.inner)),
                "take narrower or fewer tails, thinner pins or a wider board",
            )
            return tol.LEAST_FEATURE, ()
        given = joint.half_pin if isinstance(joint.half_pin, tuple) else (joint.half_pin,) * 2
        sizes = [width for width, edge in zip(given, edges, strict=True) if edge == "half pin" and width is not None]
        if not halves or sizes:
            total = inner + sum(sizes)
            if abs(total - self.inner) > tol.SUM_SLACK:
                wrong = "tails, pins and half pins sum to {}, not to the width {}"
                remedy = "leave out {} ({} would be left for each) or change the list"
                self._unsound(
                    "joint.spacing",
                    message(wrong, typed(total), typed(self.inner)),
                    message(remedy, Key("joint.half_pin"), typed(rest)) if halves else "change the list",
                )
            return min(sizes, default=0.0), joint.half_pin if isinstance(joint.half_pin, tuple) else ()
        rule = "what a list of tails leaves, half at each edge" if halves > 1 else "what a list of tails leaves"
        self.choices.append(Choice("joint.half_pin", format_both(rest, self.units), rule, rest, OWN_SIZES))
        return rest, ()
