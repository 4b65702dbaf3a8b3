"""What is told to a maker, kept as values until it is shown.

A message is a text with gaps and the values that belong there: amounts, keys of a recipe, or further messages.
`said` makes the sentence, once, in the reader's units. Nothing takes a sentence apart again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

Units = Literal["mm", "in"]
"""What the reader thinks in."""


@dataclass(frozen=True)
class Amount:
    """A quantity, as mm, N or N m, and the function that tells it, mostly one of `lengths.py`: `how(*figures,
    units=units)`. Figures that are told together, as those of a range or the sizes of one thing, are one amount."""

    how: Callable[..., str]
    figures: tuple[float, ...]

    def said(self, units: Units) -> str:
        """The amount with its unit."""
        return self.how(*self.figures, units=units)


@dataclass(frozen=True)
class Key:
    """A key of a recipe, as that of a single corner until it is known what the maker wrote."""

    name: str


@dataclass(frozen=True)
class Series:
    """Several things in a row, what stands between them, and what before the last."""

    items: tuple[Words, ...]
    between: str
    before_last: str


@dataclass(frozen=True)
class Message:
    """A text with gaps, `{}`, and what goes into each, in their order."""

    text: str
    values: tuple[Words | float, ...]


Words = str | Amount | Key | Series | Message
"""What can be said. A plain text holds neither lengths nor keys."""


def message(text: str, *values: Words | float) -> Message:
    """A message from a text and the values of its gaps. The text is one of ours; what a maker typed is a value."""
    return Message(text, values)


def series(items: Iterable[Words]) -> Series:
    """A choice of things: "a, b, or c"."""
    return Series(tuple(items), ", ", ", or ")


def joined(items: Iterable[Words], between: str = " ") -> Series:
    """Things one after another; without more, sentences."""
    return Series(tuple(items), between, between)


def counted(count: int, thing: str) -> str:
    """ "1 joint", "3 joints"."""
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


def in_runs(numbers: Iterable[int]) -> str:
    """Numbers that rise; where more than two follow each other, from the first to the last: "1, 2, 4 to 6"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)


def capital(name: str) -> str:
    """A name as a sentence begins with it."""
    return name[:1].upper() + name[1:]


def said(words: Words, units: Units = "mm") -> str:
    """The sentence, in the reader's units."""
    if isinstance(words, str):
        return words
    if isinstance(words, Amount):
        return words.said(units)
    if isinstance(words, Key):
        return words.name
    if isinstance(words, Series):
        *first, last = (said(item, units) for item in words.items)
        return words.before_last.join(part for part in (words.between.join(first), last) if part)
    values = (value if isinstance(value, int | float) else said(value, units) for value in words.values)
    return words.text.format(*values)


def renamed(words: Words, keys: Mapping[str, Words]) -> Words:
    """The same with other names for some keys, or with what is said in their place."""
    if isinstance(words, Key):
        other = keys.get(words.name, words)
        return Key(other) if isinstance(other, str) else other
    if isinstance(words, Series):
        return replace(words, items=tuple(renamed(item, keys) for item in words.items))
    if isinstance(words, Message):
        values = (value if isinstance(value, int | float) else renamed(value, keys) for value in words.values)
        return replace(words, values=tuple(values))
    return words
