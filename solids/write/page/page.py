"""`corner.html`: the joint to turn, to take apart and to cut open, the layout with its numbers, the proof, the files
and the cautions, in one file that opens from disk. HTML Living Standard; the model is drawn by three.js (WebGL)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from importlib import resources
from pathlib import Path
from typing import Any

from solids import __version__
from solids.base.cautions import CAUTIONS
from solids.base.errors import ReadBackError
from solids.base.findings import Finding, worst_first
from solids.base.lengths import format_both
from solids.bench.listing import pin_rows, raw_end_rows, summary, tail_rows
from solids.bench.place_words import place_words
from solids.layout import Layout
from solids.proof.corner import Proof
from solids.write.page.contents import flat_layout, scene_json
from solids.write.page.library import three_js
from solids.write.scene import GAPS, Scene
from solids.write.templates import template

FAILS_WORDS = "This joint fails its proof. Do not cut it."
SCRIPT = re.compile(r"<script>.*?</script>", re.DOTALL)
ELSEWHERE = re.compile(r"""(?:src|href)\s*=\s*["']?(?:https?:)?//[^"'\s>]*""", re.IGNORECASE)
"""What a page must not ask for; the text of scripts is no markup."""

LABELS = {"fail": "fails", "warning": "warning", "pass": "passes", "note": "note"}


def page_bytes(
    layout: Layout, proof: Proof, scene: Scene, files: Sequence[tuple[str, str]], *, live: int | None = None
) -> bytes:
    """The page. `files` are the names and contents of what lies next to it; a `live` page has none: it
    has this number, and asks the process that served it for later ones."""
    recipe = layout.recipe
    return render(
        title=recipe.title,
        headline=summary(layout),
        what="The joint",
        kind="the corner",
        verdict="Proved: the two boards go together." if proof.passes else FAILS_WORDS,
        passes=proof.passes,
        boards=[
            (name, format_both(board.thickness, recipe.units), board.wood.name, board.wood.colour)
            for name, board in (("tail board", recipe.tail_board), ("pin board", recipe.pin_board))
        ],
        gaps=GAPS,
        sections=("across the width", "along the tail board", "along the pin board"),
        joints=[joint_words("", layout)],
        findings=proof.findings,
        scene=scene,
        files=files,
        live=live,
    )


def joint_words(title: str, layout: Layout) -> dict[str, Any]:
    """One joint on the page: drawn flat, with its numbers beside it."""
    tables = [
        ("Tails on the show face", tail_rows(layout)),
        ("Pins on the show face", pin_rows(layout)),
        ("Tails on the raw end, to mark", raw_end_rows(layout)),
    ]
    words = {"edge_side": layout.edge_side, "place": " ".join(place_words(layout))}
    return {"title": title, "flat": flat_layout(layout), "tables": tables, **words}


def render(*, findings: Sequence[Finding], scene: Scene, **words: Any) -> bytes:
    """The page with its words and its scene."""
    folder = resources.files("solids.write.page")
    text = template("solids.write.page", "corner.html.jinja").render(
        version=__version__,
        findings=[(finding, LABELS[finding.severity]) for finding in worst_first(findings)],
        cautions=CAUTIONS,
        style=_text(folder, "page.css"),
        library=three_js(),
        script=_text(folder, "page.js"),
        scene=scene_json(scene),
        **words,
    )
    return text.encode("utf-8")


def _text(folder: resources.abc.Traversable, name: str) -> str:
    return (folder / name).read_text("utf-8")


def reread(path: Path) -> None:
    """The page on disk is whole and asks for nothing from elsewhere; else ReadBackError."""
    try:
        text = path.read_text("utf-8")
    except UnicodeDecodeError as err:
        raise ReadBackError(f"{path.name} cannot be read back: {err}") from None
    if elsewhere := ELSEWHERE.search(SCRIPT.sub("", text)):
        raise ReadBackError(f"{path.name} asks for something from elsewhere: {elsewhere[0]}")
    missing = [caution.topic for caution in CAUTIONS if caution.topic not in text]
    if missing or not text.endswith("</html>\n"):
        raise ReadBackError(f"{path.name} is not whole: {', '.join(missing) or 'its end'} is missing")
