"""Findings: data about a judgement, put in order and summed up elsewhere."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.base.findings import CONTRADICTS, Finding, fails, without_contradicted, worst_first
from solids.write.files.table import prove_layout
from tests.boxes import job_of_box
from tests.recipes import laid_out

SEVERITIES = ("fail", "warning", "pass")


def findings(*severities) -> list[Finding]:
    return [Finding(f"code-{i}", severity, "A sentence.") for i, severity in enumerate(severities)]


def test_what_fails_comes_first_and_each_kind_keeps_its_order() -> None:
    mixed = findings("pass", "warning", "fail", "pass", "fail", "warning")
    assert [found.code for found in worst_first(mixed)] == ["code-2", "code-4", "code-1", "code-5", "code-0", "code-3"]


@given(st.lists(st.sampled_from(SEVERITIES)))
def test_ordering_loses_nothing_and_leaves_its_input_alone(severities) -> None:
    before = findings(*severities)
    given_to_it = list(before)
    ordered = worst_first(given_to_it)
    assert given_to_it == before
    assert sorted(ordered, key=before.index) == before
    assert [SEVERITIES.index(found.severity) for found in ordered] == sorted(map(SEVERITIES.index, severities))


@pytest.mark.parametrize(
    ("severities", "failing"),
    [((), False), (("pass",), False), (("warning", "pass"), False), (("pass", "fail"), True), (("fail",), True)],
)
def test_a_joint_fails_when_one_finding_does(severities, failing: bool) -> None:
    assert fails(iter(findings(*severities))) is failing


def test_a_finding_is_complete_with_three_words_and_never_changes() -> None:
    (found,) = findings("pass")
    assert (found.place, found.measured, found.limit, found.unit, found.advice) == ("", None, None, "", "")
    with pytest.raises(dataclasses.FrozenInstanceError):
        found.severity = "fail"  # type: ignore[misc]


# --- a failing row -----------------------------------------------------------------------------------


def codes(findings: Iterable[Finding], severity: str = "pass") -> set[str]:
    return {finding.code for finding in findings if finding.severity == severity}


def test_a_joint_that_is_too_tight_is_not_said_to_go_in() -> None:
    """0.06 mm is more than 0.05, which hardwood forgives."""
    found = prove_layout(laid_out("fit.flank_gap=-0.06")).proof.findings
    assert codes(found, "fail") == {"overlap"}
    assert not codes(found) & {"overlap", "entry", "contact-flank", "order"}
    assert {"solid", "contact-shoulder", "contact-floor"} <= codes(found), "these are good all the same"


def test_a_box_that_is_too_tight_has_no_order_and_no_good_word_of_overlaps() -> None:
    found = job_of_box("keepsake-box", "fit.flank_gap=-0.06").proof.findings
    assert codes(found, "fail") == {"overlap"}
    assert not codes(found) & {"corner", "box-overlap", "box-joint", "order"}
    assert {"ring", "square", "bottom"} <= codes(found)


def test_what_passes_is_told_whole() -> None:
    tight = laid_out("fit.flank_gap=-0.02")
    found = prove_layout(tight).proof.findings
    assert {"entry", "contact-flank"} <= codes(found)
    assert {"order", "box-overlap"} <= codes(job_of_box("keepsake-box").proof.findings)


@pytest.mark.parametrize(("failing", "denied"), CONTRADICTS.items())
def test_only_good_words_are_left_out(failing: str, denied: frozenset[str]) -> None:
    bad = Finding(failing, "fail", "It fails.")
    others = [Finding(code, severity, "x") for code in sorted(denied) for severity in ("pass", "warning", "fail")]
    kept = without_contradicted([bad, *others, Finding("solid", "pass", "x"), Finding("order", "pass", "x")])
    assert kept == (bad, *(each for each in others if each.severity != "pass"), Finding("solid", "pass", "x"))
    assert without_contradicted(others[:1]) == tuple(others[:1])
