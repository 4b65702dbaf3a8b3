"""The shelf: the recipes in one folder, and those put away. Nothing outside the folder is read or written, and nothing
is deleted."""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any

from pydantic_core import PydanticCustomError

from solids.app.desk.shelf.kept import Kept
from solids.app.desk.shelf.names import ENDING, is_name, left_out
from solids.app.recipe_files import recipe_text, write_new
from solids.base.errors import FileError, HalfpinError, InputError, Problem, RecipeError
from solids.base.lengths import CALIPER, format_sizes
from solids.base.windows import is_reserved, move, why_not
from solids.layout.assembly import Assembly, assembly_of
from solids.layout.plan import laid_out
from solids.recipe.completing.shop import Shop
from solids.recipe.tables.fields import Title
from solids.recipe.tables.resolved import slug
from solids.recipe.text.editing import with_added
from solids.recipe.text.measured.reading import read_marks
from solids.recipe.text.measured.writing import recipe_from
from solids.recipe.text.starter import starter_text
from solids.recipe.text.texts import box_preset_names, preset_names, preset_text
from solids.recipe.text.toml import Added, parse_toml

AWAY = "put away"
"""The folder inside the folder for recipes that were put away."""

TICKS = "ticks"
"""The folder inside the folder for what was ticked at the bench, a file for each recipe."""

GONE = "{} is gone. Put the folder back where it was, or connect its disk again"

NOT_PROVED, FAILS, UNREADABLE = "not yet proved", "fails", "cannot be read"


@dataclass(frozen=True)
class Summary:
    """What the shelf tells of a recipe: `state` is one of the words above, and `why` one sentence or nothing."""

    title: str
    size: str = ""
    piece: str | None = None
    state: str = NOT_PROVED
    why: str = ""


class Shelf:
    """The recipes in a folder by their names, which are the names of their files without the ending."""

    def __init__(self, folder: Path, shop: Shop) -> None:
        self.folder, self.shop = folder.resolve(), shop
        self._known: dict[Path, tuple[str, Shop, Summary]] = {}

    def use(self, shop: Shop) -> None:
        """Puts another shop behind all recipes."""
        self.shop = shop

    # --- names and places

    def path_of(self, name: str) -> Path:
        """The file of a recipe that is there. FileError where there is none of that name."""
        return self._there(self.folder, name)

    def ticks_of(self, name: str) -> Path:
        """The file for what is ticked of a recipe that is there."""
        return ticks_of(self.path_of(name))

    def kept(self, name: str) -> Kept:
        """The states that are kept of a recipe. FileError where there is none of that name."""
        return Kept(self.path_of(name))

    def names(self) -> list[str]:
        """The names of all recipes, in order. FileError where the folder cannot be read."""
        return self._names(self.folder)

    def left_out(self) -> list[dict[str, str]]:
        """A record of each file that looks like a recipe, and that cannot be shown because of its name: name, why."""
        return left_out(self._files(self.folder))

    def _there(self, folder: Path, name: str) -> Path:
        path = folder / f"{name}{ENDING}"
        if not is_name(name) or not _is_there(path):
            raise FileError(f"there is no recipe of the name {name[:80]!r} in {folder}")
        return path

    def _names(self, folder: Path) -> list[str]:
        found = (Path(file) for file in self._files(folder))
        return sorted(file.stem for file in found if file.suffix == ENDING and is_name(file.stem))

    def _files(self, folder: Path) -> list[str]:
        try:
            found = [path.name for path in folder.iterdir()]
        except FileNotFoundError:
            if folder == self.folder:
                raise FileError(GONE.format(folder)) from None
            found = []
        except OSError as err:
            raise FileError(f"{folder} cannot be read: {why_not(err)}") from None
        return found

    def _free(self, folder: Path, name: str) -> Path:
        """A file that is not there yet, named so or with a number behind. Nor is anything kept or ticked of it."""
        for number in range(1, 10_000):
            path = folder / f"{name}{f'-{number}' if number > 1 else ''}{ENDING}"
            if not any(_is_there(one) for one in (path, Kept(path).folder, ticks_of(path))):
                return path
        raise FileError(f"{folder} holds too many recipes of the name {name}; give another title")

    # --- what is there

    def recipes(self) -> list[dict[str, Any]]:
        """A record of each recipe: name, title, size, piece, state, why, changed, and how many states are kept."""
        return [self._record(self.folder / f"{name}{ENDING}") for name in self.names()]

    def away(self) -> list[dict[str, str]]:
        """A record of each recipe that was put away: name, title, changed."""
        folder = self.folder / AWAY
        names = [] if folder.is_symlink() else self._names(folder)
        records = [self._record(folder / f"{name}{ENDING}") for name in names]
        return [{key: record[key] for key in ("name", "title", "changed")} for record in records]

    def _record(self, path: Path) -> dict[str, Any]:
        found, when = self._summary(path), ""
        with suppress(OSError, ValueError, OverflowError):
            when = datetime.fromtimestamp(path.stat().st_mtime).strftime("%Y-%m-%d %H:%M")
        return {"name": path.stem, **vars(found), "changed": when, "kept": Kept(path).count}

    def _summary(self, path: Path) -> Summary:
        try:
            text = self.text_at(path)
        except FileError as err:
            self._known.pop(path, None)
            return Summary(path.stem, state=UNREADABLE, why=str(err))
        # The shop is in it: it may change while a summary is made for the one before.
        known, shop = self._known.get(path), self.shop
        if known is None or known[:2] != (text, shop):
            known = self._known[path] = text, shop, summary_of(text, path.stem, shop)
        return known[2]

    def last_text(self, name: str) -> str | None:
        """The text that was read last for the record of a recipe; None where it could not be read."""
        known = self._known.get(self.folder / f"{name}{ENDING}")
        return known[0] if known else None

    @staticmethod
    def presets() -> list[dict[str, str]]:
        """A record of each preset: name, title."""
        names = (*preset_names(), *box_preset_names())
        return [{"name": name, "title": _title_in(preset_text(name), name)} for name in names]

    def text_of(self, name: str) -> str:
        """The text of a recipe. FileError where it cannot be read."""
        return self.text_at(self.path_of(name))

    def text_at(self, path: Path) -> str:
        """The text of a file of the shelf. FileError where it cannot be read, or is a link."""
        try:
            return recipe_text(path)
        except FileNotFoundError:
            raise FileError(f"{path.name} is not in the folder any more") from None

    # --- what is done with them; each gives the name of the recipe

    def new(self, preset: str, title: str) -> str:
        """Makes a recipe from a preset."""
        return self._write(starter_text(preset, _title(title)), title)

    def measured(self, title: str, marks: str) -> str:
        """Makes the recipe of a joint that is there, from a table of marks (CSV)."""
        text, _ = recipe_from(read_marks(marks, "the marks"), _title(title) if title.strip() else None)
        return self._write(text, title)

    def copy(self, name: str) -> str:
        """Copies a recipe, under a title that says so."""
        text = self.text_of(name)
        title = f"{_title_in(text, name)[:70]}, copy"
        return self._write(with_title(text, title, name), title)

    def take_in(self, file_name: str, text: str) -> str:
        """Takes in a recipe from elsewhere. InputError where it is no TOML."""
        stem = PurePosixPath(PureWindowsPath(file_name).as_posix()).stem
        parse_toml(text, stem[:80] or "the recipe")
        return self._write(text, _title_in(text, stem))

    def rename(self, name: str, title: str) -> str:
        """Moves a recipe to the name that its new title gives. Its text is changed by whoever has it open."""
        path = self.path_of(name)
        wanted = _slug(_title(title))
        return name if wanted == name else self._moved(path, self._free(self.folder, wanted))

    def put_away(self, name: str) -> str:
        """Moves a recipe into the folder of those put away."""
        path = self.path_of(name)
        folder = self.folder / AWAY
        if folder.is_symlink():
            raise FileError(f"{folder} is a link to another place; put a folder there")
        try:
            folder.mkdir(exist_ok=True)
        except OSError as err:
            raise FileError(f"{folder} cannot be made: {why_not(err)}") from None
        return self._moved(path, self._free(folder, name))

    def bring_back(self, name: str) -> str:
        """Moves a recipe back that was put away."""
        folder = self.folder / AWAY
        if folder.is_symlink():
            raise FileError(f"{folder} is a link to another place; nothing is taken from there")
        return self._moved(self._there(folder, name), self._free(self.folder, name))

    def _write(self, text: str, title: str) -> str:
        path = self._free(self.folder, _slug(title.strip() or _title_in(text, "corner")))
        write_new(path, text)
        return path.stem

    def _moved(self, path: Path, target: Path) -> str:
        """Moves a recipe with the states that are kept of it, and with what was ticked."""
        Kept(path).go_along(target)
        try:
            _move_ticks(path, target)
            move(path, target)
        except OSError as err:
            with suppress(OSError):
                _move_ticks(target, path)
            Kept(target).go_along(path)
            raise FileError(f"{path.name} cannot be moved to {target.parent}: {why_not(err)}") from None
        return target.stem


def ticks_of(recipe: Path) -> Path:
    """The file for what is ticked of a recipe, which need not be there."""
    return recipe.parent / TICKS / f"{recipe.stem}.json"


def _move_ticks(recipe: Path, target: Path) -> None:
    source, goal = ticks_of(recipe), ticks_of(target)
    if _is_there(source) and not (source.parent.is_symlink() or goal.parent.is_symlink()):
        goal.parent.mkdir(exist_ok=True)
        move(source, goal)


def summary_of(text: str, name: str, shop: Shop) -> Summary:
    """What the shelf tells of a recipe's text, from its layout alone."""
    title = name
    try:
        raw = parse_toml(text, f"{name}{ENDING}")
        title = _title_in(text, name)
        piece = assembly_of(laid_out(raw, (), shop))
    except RecipeError as err:
        return Summary(title, state=FAILS, why=str(err.told[0]))
    except HalfpinError as err:
        return Summary(title, state=UNREADABLE, why=str(err))
    return Summary(piece.recipe.title, _size(piece), piece.name)


def with_title(text: str, title: str, name: str) -> str:
    """A recipe's text under another title. InputError where it is no TOML, or where that can be no title."""
    parse_toml(text, name)
    return with_added(text, (Added("title", _title(title), ""),))


def _size(piece: Assembly) -> str:
    """Outside sizes of a box; of a corner its width and the thicknesses of tail board and pin board."""
    layout = piece.kinds[0].layout
    recipe = layout.recipe
    corner = (layout.width, recipe.pin_board.thickness, recipe.tail_board.thickness)
    sizes = (*piece.box.outside, layout.width) if piece.box else corner
    return format_sizes(sizes, recipe.units, CALIPER)


def _title(title: str) -> str:
    """A title that can be one. InputError says why not."""
    try:
        return str(Title().read(title, "mm"))
    except PydanticCustomError as err:
        said = err.context or {}
        raise RecipeError([Problem("title", said["wrong"], said["remedy"])]) from None


def _title_in(text: str, otherwise: str) -> str:
    """The title in a recipe's text, where it has one that can be read."""
    with suppress(InputError):
        title = parse_toml(text, "").get("title")
        if isinstance(title, str) and title.strip():
            return title.strip()
    return otherwise


def _slug(title: str) -> str:
    """The name of a recipe's file, by its title."""
    name = slug(title)[:80]
    return f"{name}-recipe" if is_reserved(name) else name


def _is_there(path: Path) -> bool:
    """Whether anything has this name, a broken link too."""
    return os.path.lexists(path)
