"""What a mistyped name was meant to be: the likest of the known ones, or nothing. A wrong guess is worse than none."""

from __future__ import annotations

import difflib
import re
from collections.abc import Collection, Iterable

LIKE_ENOUGH = 0.72
"""The least share of letters, in order, that two names have in common where one is taken for the other. Common
practice: a letter left out, doubled or exchanged in a word of four or more letters stays above it."""

LONGEST_NAME = 80
"""Comparing takes a time that grows with the square of the length; no known name is longer."""


def plain(name: str) -> str:
    """A name without case, spaces, hyphens and the like."""
    return "".join(ch for ch in name[:LONGEST_NAME].lower() if ch.isalnum())


def words_of(name: str) -> list[str]:
    """The words of a name such as "half_pin" or "red oak"."""
    return [word for word in re.split(r"[\W_]+", name[:LONGEST_NAME].lower()) if word]


def likest(name: str, known: Iterable[str]) -> list[str]:
    """The known name that is so like a name that it may be meant, or none."""
    by_plain = {plain(each): each for each in known}
    wanted = plain(name)
    if not wanted:
        return []
    return [by_plain[each] for each in difflib.get_close_matches(wanted, by_plain, n=1, cutoff=LIKE_ENOUGH)]


def sharing_a_word(name: str, known: Iterable[str]) -> list[str]:
    """The known names that have every word of a name, as "flank_gap" has "gap", with or without a plural's s."""
    wanted = {word.removesuffix("s") for word in words_of(name)}
    return [each for each in known if wanted and wanted <= {word.removesuffix("s") for word in words_of(each)}]


def hint_of(name: str, known: Collection[str]) -> str:
    """What to write in place of a name that is not known: the nearest, if one is near, and all there are."""
    near = likest(name, known) or sharing_a_word(name, known)
    every = f"here are: {', '.join(known)}"
    return f"the nearest is {near[0]}. T{every}" if len(near) == 1 else f"t{every}"
