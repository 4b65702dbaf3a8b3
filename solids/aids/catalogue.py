"""The one table of shop aids, and the one way to make them: each is made, proved, and kept only where it passes."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass, replace

from pydantic_core import PydanticCustomError

from solids.aids.aid import Aid, Maker, Refusal
from solids.aids.cauls import cauls
from solids.aids.cnc_jig import cnc_jigs
from solids.aids.coupon import coupons
from solids.aids.marking_template import marking_templates
from solids.aids.names import KIND_NAMES
from solids.aids.paring_block import paring_blocks
from solids.aids.proof import prove_aid
from solids.aids.saw_guides import saw_guides
from solids.aids.transfer_rest import transfer_rests
from solids.comparing import slopes_in
from solids.errors import InputError
from solids.findings import Finding, fails
from solids.layout import Layout
from solids.recipe.fields import Slope


@dataclass(frozen=True)
class Kind:
    """One kind of aid: what `--only` calls it, what it is for, and who makes it."""

    name: str
    purpose: str
    make: Maker


KINDS: tuple[Kind, ...] = (
    Kind("marking-template", "mark the flanks and square lines", marking_templates),
    Kind("saw-guides", "steady the saw along the flanks", saw_guides),
    Kind("paring-blocks", "pare to the baseline", paring_blocks),
    Kind("transfer-rest", "hold the boards while the tails are knifed onto the pins", transfer_rests),
    Kind("cauls", "press on tails or pins only", cauls),
    Kind("cnc-jig", "mill the pin board upright with a guide bush", cnc_jigs),
    Kind("coupon", "try printer or router on one tail and its pins", coupons),
)


@dataclass(frozen=True)
class AidsAsked:
    """Which kinds are wanted, all where none is named, and further slopes (N of 1:N) for marking templates."""

    only: tuple[str, ...] = ()
    slopes: tuple[float, ...] = ()


@dataclass(frozen=True)
class Proved:
    """An aid and every check of it."""

    aid: Aid
    findings: tuple[Finding, ...]

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


def make_aids(layout: Layout, asked: AidsAsked) -> Workshop:
    """The aids that are asked for, each with its proof. InputError names the nearest kind where one is not known."""
    printing = layout.recipe.printing
    wanted = _wanted(asked.only)
    made = [item for kind in KINDS if kind.name in wanted for item in kind.make(layout, printing)]
    if "marking-template" in wanted:
        for ratio in asked.slopes:
            other = replace(layout, recipe=replace(layout.recipe, slope_ratio=ratio))
            made += [_renamed(item, ratio) for item in marking_templates(other, printing)]
    proved = [Proved(item, prove_aid(item, printing)) for item in made if isinstance(item, Aid)]
    return Workshop(
        good=tuple(item for item in proved if item.passes),
        failed=tuple(item for item in proved if not item.passes),
        refused=tuple(item for item in made if isinstance(item, Refusal)),
    )


def asked_for(only: Iterable[str], slopes: str) -> AidsAsked:
    """What a command asks for: kinds by name, and slopes as in "1:6,1:8". InputError names what is not known."""
    kinds = tuple(dict.fromkeys(only))
    _wanted(kinds)
    return AidsAsked(kinds, tuple(_ratio(part) for part in slopes_in(slopes)))


def _ratio(text: str) -> float:
    try:
        return Slope().read(text, "mm")
    except PydanticCustomError as err:
        context = err.context or {}
        raise InputError(f"--slope: {context['wrong']}; {context['remedy']}") from None


def _wanted(only: Iterable[str]) -> set[str]:
    names = list(KIND_NAMES)
    asked = set(only) or set(names)
    for name in sorted(asked - set(names)):
        near = difflib.get_close_matches(name, names, n=1, cutoff=0.0)[0]
        raise InputError(f"{name[:40]!r} is no shop aid; the nearest is {near}. There are: {', '.join(names)}")
    return asked


def _renamed(item: Aid | Refusal, ratio: float) -> Aid | Refusal:
    """A template for another slope has the slope in its name."""
    return replace(item, name=f"{item.name}-1-{ratio:.4g}".replace(".", "-"))
