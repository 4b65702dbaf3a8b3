"""Slope, pins, half pins and tails: what the maker gave, and what the look of the joint chooses. Lengths in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.lengths import format_both
from solids.base.messages import Key, Words, message
from solids.base.sources import NOYES, OWN_SIZES
from solids.recipe.completing.choosing import Choosing, leave_out_or_take
from solids.recipe.completing.corner.by_eye import BY_EYE, FIRST_SEED
from solids.recipe.completing.corner.looks import (
    FINE_UP_TO,
    STOUT_FROM,
    Look,
    tail_shares,
    usual_slope,
    usual_stoutness,
)
from solids.recipe.tables.resolved import Choice, thickest
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


class TailChoosing(Choosing):
    """Goes through the keys of a corner that say where its tails are."""

    def __init__(self, asked: Asked) -> None:
        super().__init__(asked.units)
        self.asked = asked
        needed = (getattr(getattr(asked, table), key) for table, key in NEEDED.items())
        self.width, self.tail_thickness, self.pin_thickness = map(thickest, needed)
        self.sound = True
        """Whether the joint can be laid out, so that the layout may add its own problems."""

    def _unsound(self, key: str, wrong: Words, remedy: Words, tries: tuple[Words, ...] = ()) -> None:
        """A problem that leaves no joint to lay out."""
        self._problem(key, wrong, remedy, tries)
        self.sound = False

    def _slope(self, wood: Wood, depth: float) -> float:
        ratio, rule = usual_slope(wood, depth)
        return self._or(self.asked.joint.slope, "joint.slope", ratio, rule, f"1:{ratio:g}")

    def _tails(
        self, slope_ratio: float, lap: float, woods: tuple[Wood, Wood]
    ) -> tuple[float, float, tuple[float, ...], str]:
        """The pin, the half pin, the tails' widths relative to each other, and the name of the spacing."""
        joint, chisels = self.asked.joint, self.asked.kit.chisels or ()
        look, rules = self._look(slope_ratio, lap, woods)
        chosen, why = look.pin(self.width, chisels), rules.pin
        if chosen > look.pin(self.width):
            why = f"lets your narrowest chisel, {format_both(min(chisels), self.units)}, down to the baseline"
        pin = self._length(joint.pin, "joint.pin", chosen, why)
        spacing = self._or(joint.spacing, "joint.spacing", "even", "tails of one width")
        if joint.grading is not None and spacing != "graduated":
            remedy = leave_out_or_take("joint.spacing", "graduated")
            self._problem("joint.grading", f"{joint.grading:g} has no effect here", remedy)
        if isinstance(spacing, tuple):
            return pin, self._listed(spacing, pin), spacing, "listed"
        half_pin = self._length(joint.half_pin, "joint.half_pin", look.half_pin(self.width, pin), rules.half_pin)
        grading = (GRADING_USUAL if joint.grading is None else joint.grading) if spacing == "graduated" else 0.0
        tails = joint.tails or self._tail_count(look, pin, half_pin, grading)
        if spacing == "graduated":
            self._or(joint.grading, "joint.grading", grading, "each tail grows by 15 % of the first toward the middle")
        return pin, half_pin, self._shares(tails, grading), str(spacing)

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
        tails = look.tails(self.width, pin, half_pin, self.asked.kit.chisels or (), grading)
        pitch, widest = format_both(look.pitch(self.width), self.units), format_both(tol.TAIL_WIDEST, self.units)
        rule = (
            f"about {pitch} from tail to tail, which suits boards so wide and so thick; a tail over {widest} "
            "is for planks only"
        )
        return self._or(None, "joint.tails", tails, rule, source=NOYES)

    def _shares(self, tails: int, grading: float) -> tuple[float, ...]:
        """The widths of the tails as shares of the first."""
        shares = tail_shares(tails, grading)
        if min(shares) <= 0:
            self._unsound(
                "joint.grading",
                f"{grading:g} leaves no width for the tail in the middle",
                f"accepted is {_least_grading(tails):g} or more with {tails} tails",
            )
        return shares

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
