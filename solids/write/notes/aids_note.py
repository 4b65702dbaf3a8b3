"""The note of the shop aids: for each how to print and use it, its own figures, what was checked, and the cautions."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from solids import __version__
from solids.base.cautions import BY_HAND
from solids.base.findings import REPORT
from solids.base.lengths import format_both
from solids.base.messages import said
from solids.bench.place_words import place_words
from solids.layout import Layout
from solids.layout.box.kinds import and_so_on
from solids.write.templates import template

if TYPE_CHECKING:
    from solids.aids.catalogue import Workshop

END = "A printed aid shows where to cut. It will not stop a blade."


def note_bytes(layout: Layout, workshop: Workshop) -> bytes:
    """The note as UTF-8."""
    recipe = layout.recipe
    text = template(__package__, "aids-note.md.jinja").render(
        title=recipe.title,
        say=partial(said, units=recipe.units),
        version=__version__,
        bed=" x ".join(format_both(side, recipe.units) for side in recipe.printing.bed),
        place=place_words(layout),
        right=and_so_on(layout.standing.mirrored),
        good=workshop.good,
        failed=workshop.failed,
        refused=workshop.refused,
        report=REPORT,
        cautions=BY_HAND,
        end=END,
    )
    return text.encode("utf-8")
