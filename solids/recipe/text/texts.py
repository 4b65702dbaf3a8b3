"""Where the text of a recipe comes from: a file, a preset that ships with the tool, or the report of a joint."""

from __future__ import annotations

import json
import re
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Literal

from solids.base import tolerances as tol
from solids.base.errors import FileError, InputError
from solids.base.likeness import likest
from solids.base.parsing import shown

REPORT_ENDING = ".json"
FROZEN = "frozen_recipe"
"""The key of a report that holds the recipe with nothing left to choose."""

BOX_TABLE = re.compile(r"^\[box[].]", re.MULTILINE)
"""What only the recipe of a box holds."""


def source_text(source: str | Path) -> str:
    """The TOML text of a recipe file, of a preset, or in a report."""
    path = recipe_file(source)
    if path is None:
        return preset_text(str(source))
    return _text_in_report(path) if is_report(path) else _file_text(path)


def recipe_file(source: str | Path) -> Path | None:
    """The file that a source names; None where it names a preset."""
    path = Path(source)
    looks_like_file = isinstance(source, Path) or path.suffix == ".toml" or is_report(path) or len(path.parts) != 1
    return path if looks_like_file or _is_file_before_preset(path) else None


def is_text(source: str | Path) -> bool:
    """Whether a source is the TOML itself: a text of more than one line that names no file."""
    return isinstance(source, str) and "\n" in source and not _is_file_before_preset(Path(source))


def _is_file_before_preset(path: Path) -> bool:
    """Whether something with this name exists. A folder of a preset's own files does not hide the preset."""
    try:
        return path.exists() and not (path.is_dir() and str(path) in _presets())
    except (OSError, ValueError):  # a name that no file system takes
        return False


def is_report(source: str | Path) -> bool:
    """Whether a source names a report, such as `report.json`, and not a recipe in TOML."""
    return Path(source).suffix.lower() == REPORT_ENDING


def _text_in_report(path: Path) -> str:
    """The recipe in a report written by this tool."""
    try:
        report = json.loads(_file_text(path, tol.REPORT_LARGEST_BYTES))
    except (ValueError, RecursionError):
        raise InputError(f"{path} is not JSON; give a recipe in TOML, or the report.json of a joint") from None
    text = report.get(FROZEN) if isinstance(report, dict) else None
    if isinstance(text, str):
        # Earlier versions left out units that were millimetres; a shop in inches must not read them otherwise.
        return text if re.search(r"^units = ", text, re.MULTILINE) else f'units = "mm"\n{text}'
    if isinstance(report, dict) and str(report.get("schema", "")).startswith("urn:halfpin:report"):
        raise InputError(f"{path} holds no recipe, as it was made by an earlier version; give the recipe itself")
    raise InputError(f"{path} is not the report of a joint; give a recipe in TOML, or the report.json of a joint")


def _file_text(path: Path, most: int = tol.RECIPE_LARGEST_BYTES) -> str:
    try:
        return text_of(path, most)
    except FileNotFoundError:
        known = ", ".join([*preset_names(), *box_preset_names()])
        raise FileError(f"{path} does not exist; give a recipe file, or a preset: {known}") from None


def text_of(
    path: Path, most: int = tol.RECIPE_LARGEST_BYTES, what: str = "recipe", kind: Literal["TOML", "CSV"] = "TOML"
) -> str:
    """The text of a file of at most so many bytes. FileError says why it cannot be read, and calls the file `what`, of
    a certain `kind`; FileNotFoundError where there is none."""
    try:
        if path.is_dir():
            raise FileError(f"{path} is a folder, not a {what}; give the {kind} file in it")
        if path.exists() and not path.is_file():
            raise FileError(f"{path} is not an ordinary file; give a {kind} file")
        with path.open("rb") as file:
            data = file.read(most + 1)
    except FileNotFoundError:
        raise
    except (OSError, ValueError) as err:
        if isinstance(err, FileError):
            raise
        reason = err.strerror if isinstance(err, OSError) and err.strerror else str(err)
        raise FileError(f"{str(path)[:200]!r} cannot be read: {reason}") from None
    if len(data) > most:
        limit = most // 1024
        raise FileError(f"{path} is over {limit} KiB, far more than a {what}; is it the right file?")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as err:
        line = data[: err.start].count(b"\n") + 1
        raise FileError(f"{path}, line {line}: not UTF-8 text; save the {what} as UTF-8") from None


# --- presets ---------------------------------------------------------------------------------------


def preset_names() -> tuple[str, ...]:
    """The names of the recipes for one corner that ship with the tool, in order."""
    return tuple(name for name, text in _presets().items() if not BOX_TABLE.search(text))


def box_preset_names() -> tuple[str, ...]:
    """The names of the recipes for a whole box that ship with the tool, in order."""
    return tuple(name for name, text in _presets().items() if BOX_TABLE.search(text))


@cache
def _presets() -> dict[str, str]:
    """Every preset's text by its name."""
    folder = resources.files("solids.presets")
    files = {item.name[:-5]: item for item in folder.iterdir() if item.name.endswith(".toml")}
    return {name: files[name].read_text("utf-8") for name in sorted(files)}


def preset_text(name: str) -> str:
    """The TOML text of a preset. InputError names the nearest one, or all."""
    names = [*preset_names(), *box_preset_names()]
    if name not in names:
        near = likest(name, names)
        hint = f"did you mean {near[0]!r}?" if near else f"presets are: {', '.join(names)}"
        raise InputError(f"{shown(name)} is neither a recipe file nor a preset; {hint}")
    return _presets()[name]
