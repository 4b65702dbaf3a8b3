"""The campaign tells what went wrong with the number that does it again, and a number always means the same."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from tests import properties
from tests.campaign import __main__ as campaign
from tests.campaign.jobs import JOBS
from tests.campaign.random_recipes import accepted
from tests.mixed_pieces import Dice, accepted_piece, features, mixed_piece


def tried(monkeypatch: pytest.MonkeyPatch, bad: int) -> bool:
    def job(number: int) -> str:
        if number == bad:
            raise ValueError("planted")
        return "right"

    monkeypatch.setitem(JOBS, "planted", job)
    with ThreadPoolExecutor(2) as pool:
        return campaign.run(pool, "planted", 100, count=30)


def test_a_case_that_goes_wrong_is_told_with_its_command(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert not tried(monkeypatch, 129)
    said = capsys.readouterr().out
    assert "planted 129: wrong: ValueError: planted" in said
    assert "tests.campaign planted 1 --seed 129" in said
    assert "planted 30: {'right': 29, 'wrong': 1}" in said


def test_all_right_is_good(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    assert tried(monkeypatch, 130), "the thirty end before it"
    assert "planted 30: {'right': 30}" in capsys.readouterr().out


def test_two_cases_that_are_refused_at_once_do_not_bring_a_thousand_slow_ones(monkeypatch: pytest.MonkeyPatch) -> None:
    handed: list[int] = []

    class AtOnce(ThreadPoolExecutor):
        def map(self, _: object, *items: Sequence[Any], **__: Any) -> Iterator[Any]:
            handed.append(len(items[0]))
            return iter(["refused"] * len(items[0]))

    ticks = itertools.count(0.0, 1e-6)
    monkeypatch.setattr(campaign.time, "perf_counter", lambda: next(ticks))
    with AtOnce() as pool:
        assert len(list(campaign.outcomes(pool, "fuzz", 1, 50, math.inf))) == 50
    assert handed == [2, 8, 32, 8]


@pytest.mark.whole
def test_a_property_that_does_not_hold_is_told_with_the_example(monkeypatch: pytest.MonkeyPatch) -> None:
    drawn, _ = properties.PROPERTIES["arithmetic"]

    def never(text: str) -> None:
        raise AssertionError("planted")

    monkeypatch.setitem(properties.PROPERTIES, "arithmetic", (drawn, never))
    said = campaign.outcome("arithmetic", 5)
    assert said.startswith("wrong: AssertionError: planted")
    assert "[joint]" in said


def test_a_number_is_always_the_same_recipe_and_another_is_another() -> None:
    assert accepted(7).recipe == accepted(7).recipe
    assert accepted(7).recipe != accepted(8).recipe


@pytest.mark.whole
def test_mixed_pieces_have_all_that_a_box_can_have() -> None:
    """Many are refused, each with reasons; what is left of the first sixty still has everything."""
    pieces = [accepted_piece(Dice(number)) for number in range(60)]
    assert sum(refused for _, refused in pieces) > 60
    assert {feature for found, _ in pieces for feature in features(found)} >= {
        *("opening", "lid", "lining", "feet", "dividers", "rack", "half-blind", "no bottom"),
        *("bottom in groove", "bottom in rebate", "bottom in slips"),
    }


@pytest.mark.parametrize("number", [7, 8])
def test_a_mixed_piece_is_proved(number: int) -> None:
    assert mixed_piece(number) == "proved"


def test_one_half_tail_is_stopped_by_the_strip_beside_its_joint() -> None:
    """By hand, at 1:7 with 0.05 mm at the flank: it slides 0.05 x sqrt(50) = 0.354 mm before the flank binds."""
    found, _ = accepted_piece(Dice(146_525_338))
    back = found.corners["back left"].turned
    assert [(len(back.flanks), back.flanks[0].ratio, back.recipe.flank_gap)] == [(1, 7, 0.05)]
    play = 0.05 * math.sqrt(50)
    assert back.free_play() == pytest.approx(play)
    assert properties.furthest_out(back) == pytest.approx(play)


@pytest.mark.parametrize("job", list(JOBS))
def test_each_job_tries_a_case(job: str) -> None:
    assert not JOBS[job](20_261).startswith("wrong")
