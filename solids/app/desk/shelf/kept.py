"""States of a recipe that its maker kept to come back to. Each is a recipe in a file of its own, and all of them lie in
a folder that goes wherever the recipe goes. Nothing is deleted: what is dropped lies in a folder beside them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from solids.app.recipe_files import write_new, write_over
from solids.base import tolerances as tol
from solids.base.errors import FileError, InputError
from solids.base.windows import move, why_not
from solids.recipe.text.texts import text_of

KEPT, DROPPED = "kept", "dropped"
"""The folder beside recipes for the states of each, and the folder of those that were dropped."""

MOST_KEPT = 20
"""Of one recipe: more than these, and nobody finds the one that is looked for."""

LONGEST_WORDS = 60
"""Of what a state is called, in letters."""

LARGEST = tol.RECIPE_LARGEST_BYTES + 1024
"""Of a state's file in bytes: the largest recipe, with the line above it."""

ABOVE = re.compile(r"# Kept (\d{4}-\d\d-\d\d \d\d:\d\d): ([^\r\n]*)\r?\n")
"""The line above the recipe in a state's file. All that follows is the text as it was kept."""

NUMBERED = re.compile(r"[1-9][0-9]{0,15}\.toml")
"""A state's file. A number is never given twice, so that no page takes one state for another."""


@dataclass(frozen=True)
class KeptState:
    """A state: its number, what it is called, when it was kept, and the recipe's text; or `why` it cannot be read."""

    number: int
    words: str
    when: str = ""
    text: str = ""
    why: str = ""


class Kept:
    """The states of one recipe, given by its file."""

    def __init__(self, recipe: Path) -> None:
        self.recipe = recipe
        self.folder = recipe.parent / KEPT / recipe.stem

    # --- what is there

    def states(self) -> list[KeptState]:
        """All that are kept, in the order in which they were. FileError where the folder cannot be read."""
        return [_state(path) for path in _files(self.folder)]

    def dropped(self) -> list[KeptState]:
        """All that were dropped."""
        return [_state(path) for path in _files(self.folder / DROPPED)]

    @property
    def count(self) -> int:
        """How many are kept; none where the folder cannot be read."""
        with suppress(FileError):
            return len(_files(self.folder))
        return 0

    def one(self, number: str) -> KeptState:
        """One that is kept. FileError where there is none of that number."""
        return _state(self._file(self.folder, number))

    def same(self, text: str) -> KeptState | None:
        """One that holds this very text, if there is one."""
        return next((state for state in self.states() if state.text == text and not state.why), None)

    # --- what is done with them; each gives the state

    def keep(self, text: str, words: str) -> KeptState:
        """Keeps a text. InputError where that is one too many, or it cannot be called that."""
        words = _checked(words)
        self._has_room()
        _make(self.folder)
        path = self.folder / f"{self._next()}.toml"
        write_new(path, "")  # so that no other program takes the same number
        try:
            write_over(path, f"# Kept {_now()}: {words}\n{text}")
        except FileError:
            with suppress(OSError):
                path.unlink()
            raise
        return _state(path)

    def call(self, number: str, words: str) -> KeptState:
        """Gives a state another name."""
        path, words = self._file(self.folder, number), _checked(words)
        state = _readable(path)
        write_over(path, f"# Kept {state.when or _now()}: {words}\n{state.text}")
        return _state(path)

    def drop(self, number: str) -> KeptState:
        """Drops one. It can be brought back."""
        path = self._file(self.folder, number)
        _make(self.folder / DROPPED)
        return _moved(path, self.folder / DROPPED / path.name)

    def bring_back(self, number: str) -> KeptState:
        """Brings one back that was dropped. InputError where that is one too many."""
        path = self._file(self.folder / DROPPED, number)
        self._has_room()
        return _moved(path, self.folder / path.name)

    def go_along(self, recipe: Path) -> None:
        """Goes where the recipe's file goes. FileError where that cannot be; all is then where it was."""
        if not self.folder.exists() and not self.folder.is_symlink():
            return
        _no_links(self.folder)
        there = Kept(recipe).folder
        _make(there.parent)
        _move(self.folder, there)

    def _has_room(self) -> None:
        if len(_files(self.folder)) >= MOST_KEPT:
            raise InputError(f"{MOST_KEPT} states are kept of this piece, and no more can be; drop one first")

    def _next(self) -> int:
        taken = [_number(path) for folder in (self.folder, self.folder / DROPPED) for path in _numbered(folder)]
        return max(taken, default=0) + 1

    def _file(self, folder: Path, number: str) -> Path:
        path = folder / f"{number}.toml"
        if not NUMBERED.fullmatch(path.name) or path not in _files(folder):
            raise FileError(f"{self.recipe.stem} has no kept state {number[:20]!r} any more")
        return path


def _checked(words: str) -> str:
    """What a state can be called: the text on one line."""
    words = " ".join(words.split())
    if not words.isprintable() or not 0 < len(words) <= LONGEST_WORDS:
        raise InputError(f"a kept state is called by 1 to {LONGEST_WORDS} letters, such as: with thin pins")
    return words


def _now() -> str:
    return datetime.now().strftime("%Y-%m-%d %H:%M")


# --- files -----------------------------------------------------------------------------------------------


def _numbered(folder: Path) -> Iterator[Path]:
    """The files of a folder that are called as states are. FileError where it cannot be read, or is a link."""
    _no_links(folder)
    try:
        yield from [path for path in folder.iterdir() if NUMBERED.fullmatch(path.name)]
    except FileNotFoundError:
        return
    except OSError as err:
        raise FileError(f"{folder} cannot be read: {why_not(err)}") from None


def _files(folder: Path) -> list[Path]:
    """The states in a folder by their numbers. An empty file only held a number, for a bench that was ended then."""
    return sorted(filter(_holds_any, _numbered(folder)), key=_number)


def _holds_any(path: Path) -> bool:
    with suppress(OSError):
        return path.lstat().st_size > 0
    return False


def _number(path: Path) -> int:
    return int(path.stem)


def _state(path: Path) -> KeptState:
    otherwise = f"state {path.stem}"
    if path.is_symlink():
        return KeptState(_number(path), otherwise, why=f"{path.name} is a link to another place, and is not followed")
    try:
        text = text_of(path, LARGEST)
    except FileNotFoundError:
        return KeptState(_number(path), otherwise, why=f"{path.name} is not in its folder any more")
    except FileError as err:
        return KeptState(_number(path), otherwise, why=str(err))
    above = ABOVE.match(text)
    if above is None:
        return KeptState(_number(path), otherwise, text=text)
    return KeptState(_number(path), above[2].strip() or otherwise, above[1], text[above.end() :])


def _readable(path: Path) -> KeptState:
    state = _state(path)
    if state.why:
        raise FileError(state.why)
    return state


def _moved(path: Path, target: Path) -> KeptState:
    _move(path, target)
    return _state(target)


def _move(path: Path, target: Path) -> None:
    try:
        move(path, target)
    except OSError as err:
        raise FileError(f"{path} cannot be moved to {target}: {why_not(err)}") from None


def _make(folder: Path) -> None:
    _no_links(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as err:
        raise FileError(f"{folder} cannot be made: {why_not(err)}") from None


def _no_links(folder: Path) -> None:
    """A folder of states lies at most three deep below that of the recipes; none of these may lead elsewhere."""
    for place in (folder, folder.parent, folder.parent.parent):
        if place.is_symlink():
            raise FileError(f"{place} is a link to another place; put a folder there")
