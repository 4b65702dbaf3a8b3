"""`corner.html`: the joint to turn, to take apart and to cut open, the layout with its numbers, the proof, the files
and the cautions, in one file that opens from disk. HTML Living Standard; the model is drawn by three.js (WebGL)."""

from __future__ import annotations

from collections.abc import Sequence
from importlib import resources
from pathlib import Path

import jinja2

from solids import __version__
from solids.cautions import CAUTIONS
from solids.errors import ReadBackError
from solids.findings import worst_first
from solids.fit import Proof
from solids.layout import Layout
from solids.lengths import format_both
from solids.listing import headline, pin_rows, raw_end_rows, tail_rows
from solids.scene import GAPS, Scene
from solids.write.page.contents import flat_layout, scene_json
from solids.write.page.library import three_js

LABELS = {"fail": "fails", "warning": "warning", "pass": "passes", "note": "note"}


def page_bytes(
    layout: Layout, proof: Proof, scene: Scene, files: Sequence[tuple[str, str]], *, live: int | None = None
) -> bytes:
    """The page. `files` are the names and contents of what lies next to it; a `live` page has none: it
    has this number, and asks the process that served it for later ones."""
    folder = resources.files("solids.write.page")
    environment = jinja2.Environment(
        undefined=jinja2.StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    recipe = layout.recipe
    text = environment.from_string((folder / "corner.html.jinja").read_text("utf-8")).render(
        title=recipe.title,
        headline=headline(layout).removeprefix(f"{recipe.title}: "),
        version=__version__,
        live=live,
        passes=proof.passes,
        boards=[
            (name, format_both(board.thickness, recipe.units), board.wood.name, board.wood.colour)
            for name, board in (("tail board", recipe.tail_board), ("pin board", recipe.pin_board))
        ],
        gaps=GAPS,
        flat=flat_layout(layout),
        tables=[
            ("Tails on the show face", tail_rows(layout)),
            ("Pins on the show face", pin_rows(layout)),
            ("Tails on the raw end, to mark", raw_end_rows(layout)),
        ],
        findings=[(finding, LABELS[finding.severity]) for finding in worst_first(proof.findings)],
        files=files,
        cautions=CAUTIONS,
        style=_text(folder, "page.css"),
        library=three_js(),
        script=_text(folder, "page.js"),
        scene=scene_json(scene),
    )
    return text.encode("utf-8")


def _text(folder: resources.abc.Traversable, name: str) -> str:
    return (folder / name).read_text("utf-8")


def reread(path: Path) -> None:
    """The page on disk is whole and asks for nothing from elsewhere; else ReadBackError."""
    text = path.read_text("utf-8")
    missing = [caution.topic for caution in CAUTIONS if caution.topic not in text]
    if missing or not text.endswith("</html>\n"):
        raise ReadBackError(f"{path.name} is not whole: {', '.join(missing) or 'its end'} is missing")
