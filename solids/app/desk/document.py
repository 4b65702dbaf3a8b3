"""One recipe that is open on the page, or the maker's shop: its text, undo and redo over the whole sitting, and its
file on disk.

Every change is made to the text as it stands on disk at that moment, key by key, so that two pages, or a page and an
editor, do not undo each other's work. Nothing here goes by the clock.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from solids.app.recipe_files import recipe_text, write_over
from solids.base.errors import FaultError, FileError, InputError, Problem, RecipeError
from solids.recipe.tables.keys import put_at, value_at
from solids.recipe.text.editing import with_added, without
from solids.recipe.text.toml import Added, Raw, parse_toml

SETTLED, LONGEST_CHANGING = 0.02, 0.5
"""How long a file that another program writes must be unchanged before it is taken in, as editors write in steps; and
how long that is waited for (s)."""

LONGEST_AWAY = 0.25
"""How long a file is waited for that was there before (s): some editors move it away, and then write another."""

Changes = Mapping[str, Any]
"""Values by their keys, as TOML holds them; None takes a key out."""


@dataclass(frozen=True)
class Step:
    """A change of a text: at `at`, `old` gave way to `new`. `keys` are those whose values differ since. An open step
    is that of a handle which still moves: more may join it."""

    at: int
    old: str
    new: str
    keys: tuple[str, ...]
    is_open: bool = False

    def done(self, text: str) -> str:
        """The text with the change."""
        return text[: self.at] + self.new + text[self.at + len(self.old) :]

    @property
    def back(self) -> Step:
        """The change that undoes this one."""
        return replace(self, old=self.new, new=self.old, is_open=False)


def step_between(before: str, after: str, keys: tuple[str, ...], is_open: bool = False) -> Step:
    """The change from one text to another, in which these keys differ."""
    at = _alike(before, after)
    tail = _alike(before[at:][::-1], after[at:][::-1])
    return Step(at, before[at : len(before) - tail], after[at : len(after) - tail], keys, is_open)


def _alike(one: str, other: str) -> int:
    """How many signs two texts have in common from their beginning."""
    pairs = enumerate(zip(one, other, strict=False))
    return next((place for place, (a, b) in pairs if a != b), min(len(one), len(other)))


class Document:
    """An open recipe, or another TOML file whose text `text_at` gives. `text` is what the page shows; `version` counts
    its changes; `changed` are the keys of the last. `unsaved` says why the disk holds another text, and is empty where
    it holds the same."""

    def __init__(self, path: Path, text_at: Callable[[Path], str] = recipe_text) -> None:
        """Opens a file. FileError where it cannot be read."""
        self.path, self._text_at = path, text_at
        self.text = self._disk = read(path, text_at)
        self.version = 1
        self.changed: tuple[str, ...] = ()
        self.unsaved = ""
        self._done: list[Step] = []
        self._undone: list[Step] = []
        self._waiting: dict[str, Any] = {}

    @property
    def name(self) -> str:
        """The recipe's name on the shelf."""
        return self.path.stem

    @property
    def can_undo(self) -> bool:
        """Whether there is a change to undo."""
        return bool(self._done)

    @property
    def can_redo(self) -> bool:
        """Whether there is a change to make again."""
        return bool(self._undone)

    @property
    def is_waiting(self) -> bool:
        """Whether a change is not on disk yet."""
        return self.text != self._disk

    @property
    def is_moving(self) -> bool:
        """Whether the last change was that of a handle which still moves."""
        return bool(self._done) and self._done[-1].is_open

    def renew(self, keys: tuple[str, ...]) -> None:
        """Counts another version of the same text, which now means something else: other settings stand behind it, in
        which these keys have changed."""
        self.version, self.changed = self.version + 1, keys

    def set(self, changes: Changes, live: bool = False) -> None:
        """Makes a change and saves it; while a handle moves (`live`), it is saved once `save` or `rest` is called.
        InputError where it cannot be made; nothing has changed then."""
        self.take_in()
        self.put(with_changes(self.text, changes, self.path.name), changes, live)

    def put(self, text: str, changes: Changes, live: bool) -> None:
        """The same, where the `text` with the changes is known already."""
        self._step_to(text, live=live)
        self._waiting |= changes
        if not live:
            self.rest()

    def replace(self, text: str) -> None:
        """Puts a whole other text in its place, as one step, and saves."""
        self.take_in()
        self._end_movement()
        self._step_to(text)
        self._waiting = {}
        self.save()

    def rest(self) -> None:
        """Ends a movement and saves."""
        self._end_movement()
        self.save()

    def save(self) -> None:
        """Saves what is not on disk yet. Where that fails, `unsaved` says why, the text stays here, and the next call
        tries again."""
        try:
            self._merge()
            if self.is_waiting:
                write_over(self.path, self.text)
        except FileError as err:
            self.unsaved = str(err)
            return
        if self.is_waiting:
            self._disk, self.unsaved = self.text, ""
        self._waiting = {}

    def undo(self) -> None:
        """Takes the last change back, wherever it came from, and saves. InputError where there is none."""
        self.take_in()
        if not self._done:
            raise InputError("there is nothing to undo")
        self._undone.append(self._done.pop())
        self._go(self._undone[-1].back)

    def redo(self) -> None:
        """Makes the change again that was undone last, and saves. InputError where there is none."""
        self.take_in()
        if not self._undone:
            raise InputError("there is nothing to do again")
        self._done.append(replace(self._undone.pop(), is_open=False))
        self._go(self._done[-1])

    def take_in(self) -> bool:
        """Takes in what another program has written to the file; whether there was anything. What is not on disk yet
        goes on top, key by key. Where the file is gone or cannot be read, `unsaved` says so, and the text stays."""
        try:
            return self._merge()
        except FileError as err:
            self.unsaved = str(err)
            return False

    def _merge(self) -> bool:
        try:
            found = self._found()
        except FileNotFoundError:
            if not self.is_waiting:
                self._disk = self.text
                self.unsaved = f"{self.path.name} is gone from its folder; the next change writes it again"
            return False
        if not self.is_waiting:
            self.unsaved = ""
        if found == self._disk:
            return False
        self._disk = found
        if found == self.text:
            return False
        waiting, self._waiting = self._waiting, {}
        self._end_movement()
        self._step_to(found)
        if waiting:
            with suppress(InputError):  # what was waiting can still be had back by undo
                self._step_to(with_changes(found, waiting, self.path.name))
                self._waiting = waiting
        return True

    def _found(self) -> str:
        """The text on disk. Where it is known to be gone, that is not waited for again."""
        try:
            return self._disk if self._text_at(self.path) == self._disk else settled(self.path, self._text_at)
        except FileNotFoundError:
            if self.unsaved:
                raise
            return returned(self.path, self._text_at)

    def _end_movement(self) -> None:
        if self.is_moving:
            self._done[-1] = replace(self._done[-1], is_open=False)

    def _step_to(self, text: str, live: bool = False) -> None:
        """Goes to a text. A movement of a handle is one step, however many changes it takes."""
        if text == self.text:
            return
        keys, before = changed_keys(self.text, text), self.text
        if self.is_moving and not set(keys).isdisjoint(self._done[-1].keys):
            last = self._done.pop()
            keys, before = tuple(dict.fromkeys((*last.keys, *keys))), last.back.done(before)
        self._done.append(step_between(before, text, keys, is_open=live))
        self._undone.clear()
        self._show(text, keys)

    def _go(self, step: Step) -> None:
        self._waiting = {}
        self._show(step.done(self.text), step.keys)
        self.rest()

    def _show(self, text: str, keys: tuple[str, ...]) -> None:
        self.text, self.changed = text, keys
        self.version += 1


# --- texts ---------------------------------------------------------------------------------------


def with_changes(text: str, changes: Changes, name: str) -> str:
    """A recipe's text with changed keys, and with every comment kept. InputError where a key has no place, or the text
    is no TOML."""
    before = parse_toml(text, name)
    wanted = parse_toml(text, name)
    for key, value in changes.items():
        _put(wanted, key, value)
        if value is not None:
            longer = with_added(text, (Added(key, value, ""),))
            text = longer if text else longer.lstrip("\n")
        elif value_at(before, key) is not None and value_at(parse_toml(text, name), key) is not None:
            text = without(text, key)
    if _leaves(parse_toml(text, name)) != _leaves(wanted):
        raise FaultError(f"{', '.join(changes)}: the change does not read back as it was meant; nothing was changed")
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        raise InputError(f"{', '.join(changes)}: holds a sign that is no text; type it again") from None
    return text


def _put(tables: Raw, key: str, value: Any) -> None:
    path = key.split(".")
    for depth in range(1, len(path)):
        above = ".".join(path[:depth])
        there = value_at(tables, above)
        if there is not None and not isinstance(there, dict):
            raise RecipeError([Problem(key, f"{above} is a value, not a table", f"give {above} back first")])
    if value is not None:
        put_at(tables, key, value)
    elif value_at(tables, key) is not None:
        put_at(tables, key, None)


def changed_keys(before: str, after: str) -> tuple[str, ...]:
    """The keys whose values differ between two texts; none where one of them is no TOML."""
    try:
        old, new = (_leaves(parse_toml(text, "")) for text in (before, after))
    except InputError:
        return ()
    return tuple(key for key in {**old, **new} if old.get(key) != new.get(key))


def _leaves(tables: Raw) -> dict[str, str]:
    """Every value, as Python shows it, by its dotted key. Tables that are left empty, and None, are not told."""
    return dict(_each("", tables))


def _each(place: str, value: Any) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _each(f"{place}.{key}" if place else key, inner)
    elif value is not None:
        yield place, repr(value)


# --- the file ------------------------------------------------------------------------------------


def read(path: Path, text_at: Callable[[Path], str] = recipe_text) -> str:
    """The text of a file. FileError where there is none, or it is no ordinary file, or too large."""
    try:
        return settled(path, text_at)
    except FileNotFoundError:
        raise FileError(f"{path.name} is not in the folder any more") from None


def settled(path: Path, text_at: Callable[[Path], str] = recipe_text) -> str:
    """The text of a file once it rests: a program may be in the middle of writing it."""
    latest = time.monotonic() + LONGEST_CHANGING
    text = text_at(path)
    while time.monotonic() < latest:
        time.sleep(SETTLED)
        before, text = text, text_at(path)
        if before == text and (text or not path.exists()):  # an empty file is mostly about to be written
            break
    return text


def returned(path: Path, text_at: Callable[[Path], str] = recipe_text) -> str:
    """The text of a file that is not there, if it comes back at once. FileNotFoundError where it does not."""
    latest = time.monotonic() + LONGEST_AWAY
    while True:
        time.sleep(SETTLED)
        try:
            return settled(path, text_at)
        except FileNotFoundError:
            if time.monotonic() > latest:
                raise
