"""A judgement as a record: what was found, how grave it is, where, and what to do. Printed and written elsewhere."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Severity = Literal["pass", "note", "warning", "fail"]

REPORT = "This is a fault of ours; please report it with the recipe."
"""The remedy where our own solids are wrong."""

_ORDER: tuple[Severity, ...] = ("fail", "warning", "pass", "note")


@dataclass(frozen=True)
class Finding:
    """One judgement. `code` is stable for scripts; `measured` and `limit` are in `unit`, or None where none applies;
    `remedy` is empty where nothing needs doing; `source` is where the limit comes from, one of `sources.SOURCES`, and
    empty where the judgement rests on no figure of the trade."""

    code: str
    severity: Severity
    sentence: str
    place: str = ""
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    remedy: str = ""
    source: str = ""

    @property
    def words(self) -> str:
        """The sentence, what to do, and where the limit comes from: what a maker reads."""
        source = f"({self.source})" if self.source else ""
        return " ".join(part for part in (self.sentence, self.remedy, source) if part)


DENIES: dict[str, frozenset[str]] = {
    "overlap": frozenset({"contact-flank", "entry", "box-joint", "box-overlap"}),
    "opinions": frozenset({"overlap", "entry", "box-overlap"}),
    "contact": frozenset({"box-joint"}),
    "ring": frozenset({"square"}),
    "box-place": frozenset({"bottom"}),
}
"""By what fails, the checks whose good word would be about the same thing: a flank too tight to go in is no good flank,
and does not go in."""

ONLY_WHERE_ALL_IS_WELL = frozenset({"order"})
"""What says that the whole goes together."""


def said_truly(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings without those that call good what another of them fails."""
    found = tuple(findings)
    failed = {finding.code for finding in found if finding.severity == "fail"}
    denied = frozenset().union(*(DENIES.get(code, frozenset()) for code in failed))
    denied |= ONLY_WHERE_ALL_IS_WELL if failed else frozenset()
    return tuple(finding for finding in found if finding.severity != "pass" or finding.code not in denied)


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """What fails first, then what warns, what passes, and what is worth knowing; in each, the order of the proof."""
    return sorted(findings, key=lambda finding: _ORDER.index(finding.severity))


def fails(findings: Iterable[Finding]) -> bool:
    """Whether any finding fails."""
    return any(finding.severity == "fail" for finding in findings)
