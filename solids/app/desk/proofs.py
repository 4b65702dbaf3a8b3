"""What proofs have found, for the shelf, over the end of a sitting: by what was proved, to the letter, and by what.

What is known stands under a digest of the recipe's text, the maker's shop and the versions of the tool and its kernel,
so that nothing is called proved that was not. The file lies where the system keeps such things for its user, and not
beside the recipes: a folder may come from a stranger. It may be lost at any time; a damaged one counts as none.
"""

from __future__ import annotations

import hashlib
import json
import threading
from collections.abc import Mapping
from contextlib import suppress
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from solids import __version__
from solids.app.recipe_files import write_over
from solids.base.errors import FileError
from solids.recipe.completing.shop import Shop
from solids.recipe.text.texts import text_of

MOST = 2000
"""How many proofs are kept; the oldest go first."""

LARGEST_BYTES = 4_000_000
LONGEST_LINE = 1000
SEVERITIES = ("pass", "warning", "fail")

Found = tuple[str, str]
"""How grave the worst finding is, and the proof in one line."""


def proofs_file() -> Path:
    """Where the file is, or would be."""
    from platformdirs import user_cache_path

    return user_cache_path("halfpin", appauthor=False) / "proofs.json"


class Proofs:
    """What is known of proofs. Every method may be called from any thread."""

    def __init__(self, shop: Shop, file: Path | None = None) -> None:
        """`file` is where it is kept; without one it is forgotten at the end."""
        self._file = file
        self.use(shop)
        self._lock = threading.Lock()
        self._known = _kept(file)
        self._new: dict[str, Found] = {}

    def use(self, shop: Shop) -> None:
        """Goes by another shop from now on."""
        self._proved_by = (*_versions(), json.dumps(dict(shop.tables), sort_keys=True, default=str))

    def of(self, text: str) -> Found | None:
        """What the proof of a recipe's text has found, as far as that is known."""
        return self._known.get(self._digest(text))

    def add(self, text: str, proof: Mapping[str, Any]) -> None:
        """Takes in a proof, as pages are told of it."""
        digest, found = self._digest(text), (str(proof["severity"]), str(proof["line"])[:LONGEST_LINE])
        with self._lock:
            if self._known.get(digest) != found:
                self._known[digest] = self._new[digest] = found

    def save(self) -> None:
        """Keeps what is new, beside what another sitting has kept meanwhile. Where that fails, it is proved again some
        other day."""
        with self._lock:
            new, self._new = self._new, {}
            if not new or self._file is None or self._file.is_symlink():
                return
            there = {**_kept(self._file), **new}
            latest = dict(list(there.items())[-MOST:])
            with suppress(FileError):
                write_over(self._file, json.dumps(latest, indent=0))

    def _digest(self, text: str) -> str:
        return hashlib.sha256("\0".join((*self._proved_by, text)).encode("utf-8", "replace")).hexdigest()


@cache
def _versions() -> tuple[str, str]:
    try:
        return __version__, version("cadquery-ocp")
    except PackageNotFoundError:
        return __version__, ""


def _kept(file: Path | None) -> dict[str, Found]:
    """What a file holds, as far as it is what we write."""
    if file is None or file.is_symlink():
        return {}
    try:
        found = json.loads(text_of(file, LARGEST_BYTES))
    except (FileNotFoundError, FileError, ValueError, RecursionError):
        return {}
    if not isinstance(found, dict):
        return {}
    return {digest: (value[0], value[1]) for digest, value in found.items() if _is_found(value)}


def _is_found(value: object) -> bool:
    if not isinstance(value, list) or len(value) != 2 or not all(isinstance(one, str) for one in value):
        return False
    return value[0] in SEVERITIES and len(value[1]) <= LONGEST_LINE
