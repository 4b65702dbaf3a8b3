"""A fixed few of a matrix for the default run; the rest carry the marker `whole`, and `.ci/run` runs them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

import pytest

Case = TypeVar("Case")


def few(cases: Iterable[Case], count: int) -> list[Case]:
    """All cases, for `pytest.mark.parametrize`, of which so many, spread evenly from the first on, are for the default
    run. A case of several values is a tuple."""
    listed = list(cases)
    assert 0 < count < len(listed), "there is something to leave out, and something to keep"
    kept = {index * len(listed) // count for index in range(count)}
    return [
        case if index in kept else pytest.param(*_values(case), marks=pytest.mark.whole)  # type: ignore[misc]
        for index, case in enumerate(listed)
    ]


def _values(case: object) -> tuple[object, ...]:
    return case if isinstance(case, tuple) else (case,)
