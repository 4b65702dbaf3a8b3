"""A fixed few of each matrix for the default run. The rest carry the marker `whole`; `.ci/run` runs a share of them,
and of what needs a program from outside, another one each time."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import TypeVar
from zlib import crc32

import pytest

Case = TypeVar("Case")

KEPT = 2
"""How many cases of a test the default run tries, where the test does not say it itself."""


def leave_most_to_whole_runs(tests: Iterable[pytest.Item]) -> None:
    """Of each test with many cases, marks all but a few, spread evenly from the first on; none of a test that has
    marked some itself."""

    def name(test: pytest.Item) -> str:
        return test.nodeid.partition("[")[0]

    for _, found in groupby(sorted(tests, key=name), key=name):
        cases = list(found)
        if not any(map(_is_whole, cases)):
            for at in set(range(len(cases))) - _spread(len(cases), KEPT):
                cases[at].add_marker(pytest.mark.whole)


def is_in_share(test: pytest.Item, share: int, outside_share: int, seed: int) -> bool:
    """Whether a test is among the one in `share` that a seed draws of those marked `whole`, or the one in
    `outside_share` of those marked `outside` alone. All others always are."""
    of = share if _is_whole(test) else outside_share if test.get_closest_marker("outside") else 1
    return crc32(f"{seed} {test.nodeid}".encode()) % of == 0


def _is_whole(test: pytest.Item) -> bool:
    return test.get_closest_marker("whole") is not None


def few(cases: Iterable[Case], count: int) -> list[Case]:
    """All cases, for `pytest.mark.parametrize`, of which so many, spread evenly from the first on, are for the default
    run. A case of several values is a tuple."""
    listed = list(cases)
    assert 0 < count < len(listed), "there is something to leave out, and something to keep"
    kept = _spread(len(listed), count)
    return [
        case if index in kept else pytest.param(*_values(case), marks=pytest.mark.whole)  # type: ignore[misc]
        for index, case in enumerate(listed)
    ]


def _spread(of: int, count: int) -> set[int]:
    """So many places out of all, evenly, from the first on; all where there are no more."""
    return {index * of // count for index in range(count)} if of > count else set(range(of))


def _values(case: object) -> tuple[object, ...]:
    return case if isinstance(case, tuple) else (case,)
