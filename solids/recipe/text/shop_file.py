"""The maker's own settings: the file `shop.toml` in their folder of settings."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, cast

from pydantic import BaseModel, ValidationError
from pydantic_core import PydanticCustomError

from solids.base.errors import FileError, Problem, RecipeError
from solids.base.likeness import plain
from solids.base.parsing import shown
from solids.base.sources import SHOP_FILE
from solids.recipe.completing.shop import NO_SHOP, Shop, with_own_woods
from solids.recipe.tables.fields import Title
from solids.recipe.tables.keys import keys_of, nearest, table_type
from solids.recipe.tables.schema import ShopTables, known_keys
from solids.recipe.text.problems import problems_of, units_in
from solids.recipe.text.texts import text_of
from solids.recipe.text.toml import Raw, parse_toml

SETTINGS = "HALFPIN_SETTINGS"
"""The environment variable that names another folder of settings."""

ALONE = ("author", "units")
"""The settings that stand in no table."""


def shop_file() -> Path:
    """Where the file is, or would be."""
    named = os.environ.get(SETTINGS)
    if named:
        return Path(named) / SHOP_FILE
    from platformdirs import user_config_path

    return user_config_path("halfpin", appauthor=False) / SHOP_FILE


def settings_text(path: Path) -> str | None:
    """The text of the file; None where there is none. FileError if there is one that cannot be read."""
    try:
        return text_of(path, what="shop file")
    except FileNotFoundError:
        if path.is_symlink():
            raise FileError(f"{path} is a link to a file that is not there; mend it") from None
        return None


def shop_text(path: Path) -> str | None:
    """The same for a command, which can do without it."""
    try:
        return settings_text(path)
    except FileError as err:
        raise FileError(f"{err}; or leave it out with --no-shop") from None


def read_shop() -> Shop:
    """The maker's shop; NO_SHOP where they have no such file. FileError, or InputError with all that is wrong with it,
    if it cannot be used as a whole."""
    path = shop_file()
    text = shop_text(path)
    return NO_SHOP if text is None else shop_of(parse_toml(text, str(path)), str(path))


def shop_of(raw: Raw, name: str = SHOP_FILE, problems: Iterable[Problem] = ()) -> Shop:
    """The shop in parsed tables. RecipeError holds `problems` and all that is wrong with the tables, each with the
    `name` of the file before its key."""
    try:
        return settings_in(raw, problems)
    except RecipeError as err:
        raise RecipeError([replace(one, key=f"{name}, {one.key}") for one in err.problems], err.units) from None


def settings_in(raw: Raw, problems: Iterable[Problem] = ()) -> Shop:
    """The same, with the keys alone."""
    found = [*problems, *_bad_names(raw)]
    try:
        woods = raw.get("woods")
        worded = with_own_woods(raw, woods) if isinstance(woods, dict) else raw
        asked = ShopTables.model_validate(worded, context={"units": units_in(raw)})
    except ValidationError as err:
        found += problems_of(cast(Sequence[Mapping[str, Any]], err.errors(include_url=False)), _unknown, "the file")
    if found:
        raise RecipeError(found, units_in(raw))
    return Shop(asked, raw)


def shop_keys() -> dict[str, Any]:
    """Every key of the file with its example value, but for single woods."""
    return {key: example for key, example in keys_of(ShopTables) if not key.startswith("woods.")}


def shop_examples() -> Raw:
    """Tables with an example of every setting."""
    return _examples(ShopTables)


def _examples(model: type[BaseModel]) -> Raw:
    """An example of every key of a table; a table in it whose own example stands with it is a value."""
    tables: Raw = {}
    for name, field in model.model_fields.items():
        table = table_type(field.annotation)
        tables[name] = field.examples[0] if field.examples else table and _examples(table)
    return tables


def _unknown(key: str) -> Problem:
    if any(f"{known}.".startswith(f"{key}.") for known in known_keys()):
        fields = ShopTables.model_fields
        tables = ", ".join(name for name in fields if name not in ALONE)
        remedy = f"write it there; a shop has {' and '.join(ALONE)}, and the tables {tables}"
        return Problem(key, "belongs to a single recipe", remedy)
    return Problem(key[:80] or '""', "is not a key of a shop", f"the nearest known key is {nearest(key, shop_keys())}")


def _bad_names(raw: Raw) -> Iterable[Problem]:
    """Woods whose names could not be printed, or told from another's."""
    woods, first = raw.get("woods"), dict[str, str]()
    for name in woods if isinstance(woods, dict) else ():
        earlier = first.setdefault(plain(name), name)
        if earlier != name:
            wrong = (
                f"is told from {shown(earlier)} by case, spaces and hyphens alone, which a recipe may write as it likes"
            )
            yield Problem(f"woods.{name[:40]}", wrong, "keep one of them, or give another name")
        try:
            Title("the name of the wood").read(name, "mm")
        except PydanticCustomError as err:
            told = err.context or {}
            yield Problem(f"woods.{name[:40]!a}", told["wrong"], told["remedy"])
