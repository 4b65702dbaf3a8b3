"""Findings: data about a judgement, put in order and summed up elsewhere."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.findings import Finding, fails, worst_first

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
    assert (found.place, found.measured, found.limit, found.unit, found.remedy) == ("", None, None, "", "")
    with pytest.raises(dataclasses.FrozenInstanceError):
        found.severity = "fail"  # type: ignore[misc]
