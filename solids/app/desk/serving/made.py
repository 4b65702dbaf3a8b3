"""The files that were made of a recipe, as a browser gets them: a list, each by itself, and all in one archive."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from starlette.responses import FileResponse, Response

from solids.base.errors import FileError
from solids.recipe.tables.resolved import slug
from solids.write.named import USES, use_of

if TYPE_CHECKING:
    from solids.app.desk.sitting import Sitting

SHOWN = {
    ".html": ("text/html", "sandbox allow-scripts allow-downloads allow-modals"),
    ".svg": ("image/svg+xml", "default-src 'none'; style-src 'unsafe-inline'; sandbox"),
    ".png": ("image/png", "default-src 'none'; sandbox"),
    ".pdf": ("application/pdf", "default-src 'self'; style-src 'unsafe-inline'; object-src 'self'"),
    ".md": ("text/plain", "default-src 'none'; sandbox"),
    ".csv": ("text/plain", "default-src 'none'; sandbox"),
}
"""What a browser shows, by the ending: its media type and its policy. A page that was made has scripts of its own,
which its own policy names; in a sandbox it is a stranger here, and reaches nothing of ours. All else is saved."""


def files_made(sitting: Sitting, name: str) -> list[dict[str, Any]]:
    """A record of each file, those together that serve one use, and of these what is printed first: its name, that use
    and what it holds in words, whether it is out of date, its address."""
    records = sitting.hands.made_in(folder_of_files(sitting, name), sitting.plan(name))
    uses = list(USES)
    records = sorted(records, key=lambda one: (uses.index(use_of(one["name"])), not one["name"].endswith(".pdf")))
    return [
        {
            **one,
            "use": USES[use_of(one["name"])],
            "file": one["name"],
            "at": f"api/made/{quote(name)}/{quote(one['name'])}",
        }
        for one in records
    ]


def made_file(sitting: Sitting, name: str, file: str) -> Response:
    """A file by its name in the folder. FileError where it is not one of those that were made."""
    path = sitting.hands.made_file(folder_of_files(sitting, name), file)
    kind, policy = SHOWN.get(path.suffix, ("application/octet-stream", "sandbox"))
    return FileResponse(
        path,
        media_type=kind,
        filename=path.name,
        content_disposition_type="inline" if path.suffix in SHOWN else "attachment",
        headers={"Content-Security-Policy": f"{policy}; frame-ancestors 'none'"},
    )


def archive(sitting: Sitting, name: str) -> Response:
    """All files as one ZIP archive. FileError where none were made."""
    folder = folder_of_files(sitting, name)
    if not sitting.hands.made_in(folder, None):
        raise FileError("no files were made of it yet")
    return Response(sitting.hands.archive_of(folder), media_type="application/zip", headers=saved_as(f"{name}.zip"))


def saved_as(name: str) -> dict[str, str]:
    """The header with which a browser saves what it gets under a name (RFC 6266)."""
    return {"Content-Disposition": f"attachment; filename*=UTF-8''{quote(name, safe='')}"}


def folder_of_files(sitting: Sitting, name: str) -> Path:
    """The folder of a recipe's files, which need not be there. FileError where it would lie elsewhere."""
    folder = sitting.exports / slug(sitting.title(name))
    for place in (sitting.exports, folder):
        if place.is_symlink():
            raise FileError(f"{place} is a link to another place; no files are made there or handed out from it")
        if os.path.lexists(place) and not place.is_dir():
            raise FileError(f"{place} is a file where a folder is needed. Move it away, or give it another name")
    return folder
