"""What all notes share: they are Markdown (CommonMark), and each holds every caution."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from solids.base.cautions import CAUTIONS
from solids.base.errors import ReadBackError
from solids.write.templates import template

WIDTH = 100


def note(name: str, **words: Any) -> bytes:
    """A note as UTF-8: the template of this name with its gaps filled, and its lines of one width."""
    return wrapped(template(__package__, name).render(words, linked=linked)).encode("utf-8")


def escaped(text: str) -> str:
    """Text from the recipe, escaped so that none of it acts as Markdown."""
    return re.sub(r"([\\`*_{}\[\]<>#|&])", r"\\\1", text)


def linked(name: str) -> str:
    """The name of a file beside the note, as a link to it."""
    return f"[`{name}`]({name})"


def table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table; its cells are escaped."""
    lines = [heads, ["---"] * len(heads), *([escaped(cell) for cell in row] for row in rows)]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def wrapped(text: str) -> str:
    """Paragraphs and list items filled to one width; tables, headings and indented lines stay as they are."""
    blocks = []
    for block in text.strip().split("\n\n"):
        if block.startswith(("|", "#", "    ")):
            blocks.append(block)
        elif re.match(r"(- |\d+\. )", block):
            blocks.append("\n".join(_filled(item) for item in re.split(r"\n(?=- |\d+\. )", block)))
        else:
            blocks.append(_filled(block))
    return "\n\n".join(blocks) + "\n"


def _filled(text: str) -> str:
    mark = re.match(r"- |\d+\. |", text)
    indent = " " * len(mark[0]) if mark else ""
    return textwrap.fill(
        " ".join(text.split()), WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    )


def reread(path: Path, end: str = "") -> None:
    """ReadBackError unless the note on disk holds every caution and stops with its `end`; it names what is missing."""
    text = _flat(path.read_text("utf-8"))
    missing = [caution.topic for caution in CAUTIONS if _flat(caution.text) not in text]
    if missing or not text.endswith(end):
        raise ReadBackError(f"{path.name} is not whole: {', '.join(missing) or 'its end'} is missing")


def _flat(text: str) -> str:
    return " ".join(text.split())
