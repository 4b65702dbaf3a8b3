"""What all sheets of a set have: frame, title block, a strip with words, and a scale of the series."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from solids.base.cautions import FAILS, IN_SHORT
from solids.base.errors import InputError
from solids.base.geometry import PlanePoint
from solids.layout.box.model import BoxLayout
from solids.proof.assembly import PieceProof
from solids.write.drafting.paper import PAPERS, SCALES, PaperSize, scale_in_words
from solids.write.drafting.sheet import Item, Sheet
from solids.write.drafting.titles import STRIP_HEIGHT, Shown, frame, rows_in_strip, title_block

STEPS = (*SCALES, 0.4, 0.04)
"""Those of ISO 5455, and 1:2.5 and 1:25, which scale rules have too: without them a box would often be drawn small."""


@dataclass(frozen=True)
class Page:
    """One sheet before it has its frame: `what` it shows, its scale (None: to none), what is drawn, and the rows of
    words beside its title block."""

    what: str
    scale: float | None
    items: tuple[Item, ...]
    rows: tuple[str, ...]


def paper_of(box: BoxLayout) -> PaperSize:
    """The sheet that a set is drawn on, on its side."""
    return PAPERS[box.recipe.corners["front left"].paper.size].turned()


def room_of(paper: PaperSize) -> tuple[PlanePoint, PlanePoint]:
    """Lower left and upper right corner of the room above the strip."""
    low, high = paper.frame
    return (low[0], low[1] + STRIP_HEIGHT), high


def largest_scale(box: BoxLayout, fits: Callable[[float], bool]) -> float:
    """The largest scale of the series that fits. InputError where none does."""
    for scale in sorted(STEPS, reverse=True):
        if fits(scale):
            return scale
    size = paper_of(box).name
    raise InputError(f"The drawings of the box do not fit {size} at {scale_in_words(SCALES[-1])}; take a smaller box")


def framed(proof: PieceProof, page: Page, number: int, count: int) -> Sheet:
    """The whole sheet, the `number`th of `count`."""
    paper, recipe = paper_of(proof.box), proof.box.recipe
    of = f"sheet {number} of {count}"
    what = f"{page.what}; {of}" if proof.passes else f"{FAILS} ({of})"
    shown = Shown(recipe.title, what, recipe.units, is_warning=not proof.passes)
    words = rows_in_strip([*page.rows, IN_SHORT], paper)
    items = (*page.items, *frame(paper), *title_block(shown, paper, page.scale), *words)
    return Sheet(f"{recipe.title}: {page.what}", paper.width, paper.height, page.scale or 1.0, items)
