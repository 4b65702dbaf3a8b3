"""The page's own files, which come with the tool; nothing is fetched from the network."""

from __future__ import annotations

from importlib import resources
from pathlib import PurePosixPath

from starlette.responses import Response

from solids.base.errors import FileError

KINDS = {
    ".css": "text/css",
    ".html": "text/html",
    ".js": "text/javascript",
    ".json": "application/json",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".woff2": "font/woff2",
}
"""The media type by the ending (IANA Media Types). Nothing else is handed out."""

WEB = "solids.app.desk"
LIBRARY = "three.js"


def page_file(name: str) -> Response:
    """A file of the page, by its bare name. FileError where there is none."""
    if name == LIBRARY:
        from solids.write.page.library import three_js

        return Response(three_js(), media_type=KINDS[".js"])
    kind = KINDS.get(PurePosixPath(name).suffix)
    if kind and name == PurePosixPath(name).name and not name.startswith(".") and "\\" not in name:
        for place in (resources.files(WEB) / "web", resources.files("solids.write.page")):
            file = place / name
            if file.is_file():
                return Response(file.read_bytes(), media_type=kind)
    raise FileError(f"the page has no file of the name {name[:80]!r}")
