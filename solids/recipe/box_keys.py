"""What is wrong with a corner of a box, told under the keys that the maker wrote."""

from __future__ import annotations

import re
from collections.abc import Mapping

from solids.errors import Problem

CORNER_KEY = re.compile(r"\b(?:joint|tail_board|pin_board)\.\w+")


def as_written(problem: Problem, written: Mapping[str, str]) -> Problem:
    """A problem of a corner under the keys that the maker wrote, in all that is said."""

    def told(text: str) -> str:
        return CORNER_KEY.sub(lambda key: written.get(key[0], key[0]), text)

    return Problem(told(problem.key), told(problem.wrong), told(problem.remedy))
