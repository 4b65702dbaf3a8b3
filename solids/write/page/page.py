"""`corner.html` and `box.html`: the piece to turn, to take apart and to cut open, its layout with numbers, the proof,
the files and the cautions, in one file that opens from disk. HTML Living Standard; three.js (WebGL) draws the model."""

from __future__ import annotations

import re
from collections.abc import Sequence
from importlib import resources
from pathlib import Path

from solids import __version__
from solids.base.cautions import CAUTIONS
from solids.base.errors import ReadBackError
from solids.base.findings import worst_first
from solids.proof.assembly import PieceProof
from solids.write.formats.scene import GAPS, Scene
from solids.write.named import PIECES
from solids.write.page.charts import piece_charts
from solids.write.page.contents import corner_names, headline, layouts, legend, scene_json
from solids.write.page.library import three_js
from solids.write.templates import template

SCRIPT = re.compile(r"<script>.*?</script>", re.DOTALL)
ELSEWHERE = re.compile(r"""(?:src|href)\s*=\s*["']?(?:https?:)?//[^"'\s>]*""", re.IGNORECASE)
"""What a page must not ask for. It is looked for outside the scripts."""

LABELS = {"fail": "fails", "warning": "warning", "pass": "passes", "note": "note"}


def page_bytes(
    proof: PieceProof,
    scene: Scene,
    files: Sequence[tuple[str, str]],
    more: Sequence[tuple[str, str, Sequence[str]]] = (),
) -> bytes:
    """The page of a piece. `files` are the names of the files beside it, and what each holds; `more` are the commands
    that write more, what that is, and its files."""
    piece, folder = proof.assembly, resources.files(__package__)
    text = template(__package__, "page.html.jinja").render(
        version=__version__,
        title=piece.recipe.title,
        piece=piece.name,
        kind=PIECES[piece.name],
        headline=headline(piece),
        passes=proof.passes,
        legend=list(legend(piece)),
        gaps=GAPS if scene.view.shows_gaps else (),
        sections=scene.view.sections,
        layouts=list(layouts(piece)),
        charts=piece_charts(piece),
        findings=[(finding, LABELS[finding.severity]) for finding in worst_first(proof.findings)],
        files=files,
        more=more,
        cautions=CAUTIONS,
        style=_text(folder, "page.css"),
        library=three_js(),
        solid=_text(folder, "solid-view.js"),
        script=_text(folder, "page.js"),
        scene=scene_json(scene.drawn),
        broken_off=scene.is_broken_off,
        corners=corner_names(scene),
    )
    return text.encode("utf-8")


def _text(folder: resources.abc.Traversable, name: str) -> str:
    return (folder / name).read_text("utf-8")


def reread(path: Path) -> None:
    """ReadBackError unless the page on disk is whole and asks for nothing from elsewhere."""
    try:
        text = path.read_text("utf-8")
    except UnicodeDecodeError as err:
        raise ReadBackError(f"{path.name} cannot be read back: {err}") from None
    if elsewhere := ELSEWHERE.search(SCRIPT.sub("", text)):
        raise ReadBackError(f"{path.name} asks for something from elsewhere: {elsewhere[0]}")
    missing = [caution.topic for caution in CAUTIONS if caution.topic not in text]
    if missing or not text.endswith("</html>\n"):
        raise ReadBackError(f"{path.name} is not whole: {', '.join(missing) or 'its end'} is missing")
