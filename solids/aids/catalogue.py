"""The one table of shop aids, and the one way to make them: each is made, proved, and kept only where it passes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from solids.aids.cauls.catalogue import cauls
from solids.aids.cnc.comb import cnc_jigs
from solids.aids.making.aid import Aid, Maker, Refusal
from solids.aids.making.asked import AidsAsked
from solids.aids.making.lips import clear_of_lip
from solids.aids.making.modelling import surface_of
from solids.aids.making.names import SAMPLE
from solids.aids.making.plates import too_large
from solids.aids.making.print_way import PrintWay, Takes, about_minutes, print_way, print_words, takes
from solids.aids.making.slopes import slope_name
from solids.aids.marking.template import marking_templates
from solids.aids.marking.transfer_rest import transfer_rests
from solids.aids.mitre_block.plan import NO_MITRE, mitre_blocks
from solids.aids.paring_block.plan import paring_blocks
from solids.aids.proof import SOUND_WALL, WALLS_OF_A_NOZZLE, prove_aid
from solids.aids.saw_guides.plan import saw_guides
from solids.aids.trial.coupon import coupons
from solids.aids.trial.sample import samples
from solids.base.amounts import in_mm, most_in_mm
from solids.base.findings import Finding, fails, in_units
from solids.base.messages import Key, Words, message, renamed
from solids.base.parallel import parallel_map
from solids.layout import Layout
from solids.model.kernel import Mesh, bounds
from solids.recipe.tables.resolved import Printing


@dataclass(frozen=True)
class AidKind:
    """One kind of aid: what `--only` calls it, and who makes it."""

    name: str
    make: Maker


KINDS: tuple[AidKind, ...] = (
    AidKind("marking-template", marking_templates),
    AidKind("saw-guides", saw_guides),
    AidKind("paring-blocks", paring_blocks),
    AidKind("mitre-block", mitre_blocks),
    AidKind("transfer-rest", transfer_rests),
    AidKind("cauls", cauls),
    AidKind("cnc-jig", cnc_jigs),
    AidKind("coupon", coupons),
)

SHORT_BOARDS = AidKind(SAMPLE, samples)
"""No tool, and made only where it is asked for."""


@dataclass(frozen=True)
class Proved:
    """An aid, every check of it, its triangles, and how it is printed; None where it is milled."""

    aid: Aid
    findings: tuple[Finding, ...]
    surface: Mesh
    way: PrintWay | None

    @cached_property
    def takes(self) -> Takes | None:
        """What printing one takes."""
        return takes(self.surface, self.way) if self.way else None

    @property
    def print_words(self) -> Words:
        """How it is printed and what that takes, in a sentence; "" where it is milled."""
        return print_words(self.way, self.takes, self.aid.copies) if self.way and self.takes else ""

    @property
    def passes(self) -> bool:
        """Whether no check fails."""
        return not fails(self.findings)


@dataclass(frozen=True)
class Workshop:
    """The aids for one joint that pass, those that fail their own proof, and those that cannot be made, and why."""

    good: tuple[Proved, ...]
    failed: tuple[Proved, ...]
    refused: tuple[Refusal, ...]

    @property
    def first_words(self) -> str:
        """Which two to print first, and why: the coupon, and the one that meets wood first, as the table has the aids
        in the order of their use. "" where there is no such choice."""
        named = {item.aid.name: item for item in self.good if item.aid.to_print}
        trial = [named[name] for name in FIRST_TRIAL if name in named]
        wood = next((item for name, item in named.items() if not name.startswith(NO_TOOLS)), None)
        if len(trial) < len(FIRST_TRIAL) or wood is None:
            return ""
        pair = " with ".join(FIRST_TRIAL)
        return (
            f"Print {pair} first ({_about(trial)} together): they are small, and show whether what your printer makes "
            f"fits. Then print {wood.aid.name} ({_about([wood])}), the first that you use on the wood."
        )


FIRST_TRIAL = ("coupon-tail", "coupon-pin-2")
"""The tail coupon, and the pins with the clearance that the recipe has."""

NO_TOOLS = ("coupon", SAMPLE)
"""How the names of aids begin that try a fit and do no work."""


def _about(aids: Iterable[Proved]) -> str:
    return f"about {about_minutes(sum(item.takes.minutes for item in aids if item.takes))}"


def make_aids(layout: Layout, asked: AidsAsked) -> Workshop:
    """The aids that are asked for, each with its proof. InputError names the nearest kind where one is not known."""
    printing, units = layout.recipe.printing, layout.recipe.units
    wanted = asked.kinds
    made = [item for kind in (*KINDS, SHORT_BOARDS) if kind.name in wanted for item in kind.make(layout, printing)]
    if "mitre-block" in asked.only and not any(layout.mitred):
        made.append(NO_MITRE)
    if "marking-template" in wanted:
        # Slopes that are named alike are one.
        for name, ratio in {slope_name(ratio): ratio for ratio in asked.slopes}.items():
            marker = replace(layout.recipe.marker, slopes=(ratio,))
            other = replace(layout, recipe=replace(layout.recipe, marker=marker))
            templates = marking_templates(other, printing)
            made += [replace(item, name=f"{item.name}-{name}") for item in templates]
    made = [_on_the_bed(clear_of_lip(item, layout), printing) for item in made]
    aids = [item for item in made if isinstance(item, Aid)]
    # The triangles come back with the checks, as a process that helps leaves nothing else behind.
    checked = parallel_map(lambda aid: (in_units(prove_aid(aid, printing), units), surface_of(aid.solid)), aids)
    ways = [print_way(printing.nozzle, aid.strength) if aid.to_print else None for aid in aids]
    proved = [Proved(aid, *found, way) for aid, found, way in zip(aids, checked, ways, strict=True)]
    refused = [item for item in made if isinstance(item, Refusal)]
    refused += [_too_thin(item, printing) for item in proved if _is_too_thin(item)]
    proved = [item for item in proved if not _is_too_thin(item)]
    if any(layout.strips):
        refused += [_no_room(item) for item in proved if _stands_in_wood(item)]
        proved = [item for item in proved if not _stands_in_wood(item)]
    refused = [replace(item, remedy=renamed(item.remedy, dict(layout.keys))) for item in refused]
    return Workshop(
        good=tuple(item for item in proved if item.passes),
        failed=tuple(item for item in proved if not item.passes),
        refused=tuple(refused),
    )


def _is_too_thin(item: Proved) -> bool:
    """Whether only the nozzle is at fault: it is too wide for walls that other printers make, and nothing else is
    wrong."""
    wrong = [finding for finding in item.findings if finding.severity == "fail"]
    return [finding.code for finding in wrong] == ["walls"] and (wrong[0].measured or 0.0) >= SOUND_WALL


def _too_thin(item: Proved, printing: Printing) -> Refusal:
    thinnest = next(finding.measured or 0.0 for finding in item.findings if finding.code == "walls")
    words = "Its thinnest wall of {} is thinner than two lines of a nozzle of {}."
    remedy = message("Set {} to {} or less.", Key("print.nozzle"), most_in_mm(thinnest / WALLS_OF_A_NOZZLE))
    return Refusal(item.aid.name, message(words, in_mm(thinnest), in_mm(printing.nozzle)), remedy)


def _stands_in_wood(item: Proved) -> bool:
    """Whether wood of a board lies where an aid would stand; it may then bear on less, too."""
    return any(finding.code == "meets" and finding.severity == "fail" for finding in item.findings)


def _no_room(item: Proved) -> Refusal:
    return Refusal(
        item.aid.name,
        "It would stand where the tail board runs on beside this joint.",
        "Work to the gauged lines there, or take the same aid of a corner whose boards are alike in width.",
    )


def _on_the_bed(item: Aid | Refusal, printing: Printing) -> Aid | Refusal:
    """An aid that the bed does not hold is refused; most makers find that out before they model it."""
    if isinstance(item, Refusal) or not item.to_print:
        return item
    (x1, y1, _), (x2, y2, _) = bounds(item.solid)
    return too_large(item.name, x2 - x1, y2 - y1, printing) or item
