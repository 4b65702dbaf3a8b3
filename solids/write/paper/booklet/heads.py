"""The heading of a chapter."""

from __future__ import annotations

from solids.base.fonts import fitted
from solids.write.drafting.sheet import Label
from solids.write.paper.typesetting.pdf import EDGE, Pages

HEIGHT = 5.0


def put_head(file: Pages, words: str) -> float:
    """Puts it on top of the page. Returns the height below which the page is free (mm)."""
    lines, height = fitted(words, file.width - 2 * EDGE, HEIGHT, bold=True)
    y = file.height - EDGE - height
    file.draw([Label(lines[0], (EDGE, y), height, "left", bold=True)])
    return y - 4.0
