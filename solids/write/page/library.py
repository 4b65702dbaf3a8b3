"""three.js, the WebGL library of the page, which the package `trimesh` carries for its own viewer. None of it is copied
into this project."""

from __future__ import annotations

import importlib.util
import zipfile
from functools import lru_cache
from pathlib import Path

from solids.base.errors import FaultError

REVISION = "140"
"""The revision that the page is written for and tested with. It is under the MIT licence, with whose words it
begins."""

ARCHIVE, TEMPLATE = Path("resources") / "templates" / "viewer.zip", "viewer.html.template"
BEGINS, ENDS = "/**\n * @license", "\n(function(){const _changeEvent"
"""How three.js begins, and what follows it in the template."""


@lru_cache(maxsize=1)
def three_js() -> str:
    """The library's text, licence and all. FaultError where the installed `trimesh` does not carry this revision."""
    # Found, not imported: trimesh takes half a second to load.
    spec = importlib.util.find_spec("trimesh")
    folder = Path(((spec and spec.submodule_search_locations) or [""])[0])
    try:
        with zipfile.ZipFile(folder / ARCHIVE) as archive:
            text = archive.read(TEMPLATE).decode("utf-8")
        library = text[text.index(BEGINS) : text.index(ENDS)]
    except (OSError, KeyError, ValueError, zipfile.BadZipFile):
        library = ""
    if "Three.js Authors" not in library or f'="{REVISION}"' not in library or "</script" in library:
        raise FaultError(
            f"page: the package trimesh that is installed does not carry three.js revision {REVISION}; "
            "install the versions of constraints.txt"
        )
    return library
