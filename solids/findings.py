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
    `remedy` is empty where nothing needs doing."""

    code: str
    severity: Severity
    sentence: str
    place: str = ""
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    remedy: str = ""


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """What fails first, then what warns, what passes, and what is worth knowing; in each, the order of the proof."""
    return sorted(findings, key=lambda finding: _ORDER.index(finding.severity))


def fails(findings: Iterable[Finding]) -> bool:
    """Whether any finding fails."""
    return any(finding.severity == "fail" for finding in findings)
