"""The share of whole matrices, and of what needs other programs, that a run tries: another with each seed, and all in
time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, cast

import pytest

from tests.sampling import is_in_share


@dataclass(frozen=True)
class StandIn:
    """A test with some markers."""

    nodeid: str
    marks: tuple[str, ...]

    def get_closest_marker(self, name: str) -> str | None:
        return name if name in self.marks else None


def drawn(seed: int, *marks: str) -> set[str]:
    tests = [StandIn(f"tests/test_a.py::test_b[{number}]", marks) for number in range(300)]
    return {test.nodeid for test in tests if is_in_share(cast("Any", test), 3, 2, seed)}


@pytest.mark.parametrize("seed", [0, 1, 987_654_321])
def test_about_a_third_is_drawn_and_the_same_again(seed: int) -> None:
    assert 70 < len(drawn(seed, "whole")) < 130
    assert drawn(seed, "whole") == drawn(seed, "whole") == drawn(seed, "whole", "outside")


def test_half_of_what_needs_another_program_is_drawn() -> None:
    assert 120 < len(drawn(5, "outside")) < 180


def test_other_seeds_draw_others_and_leave_out_none() -> None:
    for mark in ("whole", "outside"):
        assert len(set().union(*(drawn(seed, mark) for seed in range(30)))) == 300


def test_all_others_are_always_tried() -> None:
    assert len(drawn(5)) == 300
