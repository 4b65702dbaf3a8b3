"""A judgement as a record: what was found, how grave it is, where, and what to do. Printed and written elsewhere."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from solids.base.messages import Units, Words, said

Severity = Literal["pass", "note", "warning", "fail"]

REPORT = "This is a fault of ours. Please report it with the recipe."
"""What is said wherever the tool itself is wrong."""

DO_NOT_CUT = f"Do not cut. {REPORT}"
"""The remedy where the solids depart from their recipe."""

_ORDER: tuple[Severity, ...] = ("fail", "warning", "pass", "note")


@dataclass(frozen=True)
class Finding:
    """One judgement. `code` is stable for scripts; `measured` and `limit` are in `unit`, or None where none applies;
    `remedy` is empty where nothing needs doing; `source` is where the limit comes from, one of `sources.SOURCES`, and
    empty where the judgement rests on no figure of the trade. `units` are those that its reader thinks in."""

    code: str
    severity: Severity
    sentence: Words
    place: str = ""
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    remedy: Words = ""
    source: str = ""
    units: Units = "mm"

    @property
    def said(self) -> str:
        """What was found, as a maker reads it."""
        return said(self.sentence, self.units)

    @property
    def advice(self) -> str:
        """What to do, as a maker reads it."""
        return said(self.remedy, self.units)

    @property
    def words(self) -> str:
        """What was found, what to do, and where the limit comes from."""
        source = f"({self.source})" if self.source else ""
        return " ".join(part for part in (self.said, self.advice, source) if part)


CONTRADICTS: dict[str, frozenset[str]] = {
    "overlap": frozenset({"contact-flank", "entry", "box-joint", "box-overlap"}),
    "opinions": frozenset({"overlap", "entry", "box-overlap"}),
    "contact": frozenset({"box-joint"}),
    "ring": frozenset({"square"}),
    "box-place": frozenset({"bottom"}),
}
"""For each check that fails, those that may not pass beside it, because they judge the same thing: a flank too tight to
go in is not a good flank, and it does not go in."""

ONLY_IF_NOTHING_FAILS = frozenset({"order"})
"""Checks that speak for the whole piece."""


def without_contradicted(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings without those that call good what another of them fails."""
    found = tuple(findings)
    failed = {finding.code for finding in found if finding.severity == "fail"}
    denied = frozenset().union(*(CONTRADICTS.get(code, frozenset()) for code in failed))
    denied |= ONLY_IF_NOTHING_FAILS if failed else frozenset()
    return tuple(finding for finding in found if finding.severity != "pass" or finding.code not in denied)


def in_units(findings: Iterable[Finding], units: Units) -> tuple[Finding, ...]:
    """The findings for a reader who thinks in these units."""
    return tuple(replace(finding, units=units) for finding in findings)


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """Failures first, then warnings, passes and notes; within each, in the order of the proof."""
    return sorted(findings, key=lambda finding: _ORDER.index(finding.severity))


def fails(findings: Iterable[Finding]) -> bool:
    """Whether any finding fails."""
    return any(finding.severity == "fail" for finding in findings)
