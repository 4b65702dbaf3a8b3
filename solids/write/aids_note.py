"""The note of the shop aids: for each how to print and use it, its own figures, what was checked, and the cautions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from solids import __version__
from solids.base.cautions import BY_HAND
from solids.base.findings import REPORT
from solids.base.lengths import format_both
from solids.base.messages import Units, said
from solids.layout import Layout
from solids.layout.box import and_so_on
from solids.write.templates import template

if TYPE_CHECKING:
    from solids.aids.catalogue import Workshop

END = "A printed aid shows where to cut. It will not stop a blade."


def note_bytes(layout: Layout, workshop: Workshop) -> bytes:
    """The note as UTF-8."""
    recipe = layout.recipe
    bed = " x ".join(format_both(side, recipe.units) for side in recipe.printing.bed)
    yield f"# Shop aids for {recipe.title}"
    yield ""
    yield f"Made for this joint alone, by halfpin {__version__}. The files are in mm and lie as they are printed."
    yield f"The plates are laid out for a bed of {bed}. Let a part cool before you take it off."
    yield ""
    if layout.in_box.words:
        yield " ".join(layout.in_box.words)
        yield ""
    for proved in workshop.good:
        yield from _aid(proved, recipe.units)
    if workshop.failed or workshop.refused:
        yield "## Not made"
        yield ""
        for item in workshop.failed:
            yield f"- {item.aid.name}: it fails its own proof. {REPORT}"
        for refusal in workshop.refused:
            yield f"- {refusal.name}: {said(refusal.why, recipe.units)} {said(refusal.remedy, recipe.units)}"
        yield ""
    yield "## Cautions"
    yield ""
    for caution in BY_HAND:
        yield f"- **{caution.topic}.** {caution.text}"
    yield ""
    yield END


def _aid(proved: Proved, units: Units) -> Iterator[str]:
    aid = proved.aid
    yield f"## {said(aid.title, units)}"
    yield ""
    words = f"It carries the words: {aid.engraved}." if aid.engraved else "It is too small for words."
    yield f"`{aid.name}.stl`, `{aid.name}.step`. {words}"
    yield ""
    yield said(aid.how_to, units)
    yield ""
    yield said(aid.printing, units)
    yield ""
    for name, value in aid.figures:
        yield f"- {name}: {said(value, units)}"
    yield f"- checked: {' '.join(dict.fromkeys(finding.said for finding in proved.findings))}"
    yield f"- mind the cautions below: {', '.join(aid.cautions)}"
    yield ""


def reread(path: Path) -> None:
    """The note on disk holds every caution and its end."""
    text = path.read_text("utf-8")
    missing = [caution.topic for caution in BY_HAND if caution.text not in text]
    if missing or END not in text:
        raise ReadBackError(f"{path.name} is not whole: {', '.join(missing) or 'its end'} is missing")
