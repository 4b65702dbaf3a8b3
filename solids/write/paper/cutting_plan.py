"""The cutting plan on paper: pages on their side with the boards drawn to scale, then the cuts as a list to tick, what
is left, what is missing, and the cautions."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus import Flowable, Paragraph, Spacer

from solids.base.cautions import SAWING
from solids.base.messages import Units
from solids.bench.cutting_words import HOW, board_heading, cut_words, how_good, left_words, short_words
from solids.layout.cutting.model import BoardPlan, CuttingPlan
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.tables.resolved import Recipe
from solids.write.drafting.cutting import BETWEEN, MARGIN, TITLE, Block, blocks, heading, scale_for
from solids.write.drafting.paper import PAPERS
from solids.write.paper.typesetting.columns import put_text
from solids.write.paper.typesetting.flow import cautions_flow, head, safe, style, to_tick
from solids.write.paper.typesetting.letters import in_font
from solids.write.paper.typesetting.pdf import Pages

SIZES = (10.0, 9.5, 9.0, 8.5, 8.0, 7.5)
CAUTION_SHARE = 0.85


def cutting_plan_bytes(plan: CuttingPlan, recipe: Recipe | BoxRecipe) -> bytes:
    """The PDF file."""
    corner = recipe if isinstance(recipe, Recipe) else recipe.corners["front left"]
    sheet = PAPERS[corner.paper.size].turned()
    file = Pages(in_font(recipe.title), "cutting plan", sheet.width, sheet.height, numbered=True)
    room = file.width - 2 * MARGIN
    for page in _pages(blocks(plan, room, recipe.units), file.height - 2 * MARGIN - TITLE):
        top = file.height - MARGIN
        what = f"{in_font(recipe.title)}: cutting plan"
        file.draw(heading(what, scale_for(plan, room), top, room, recipe.units))
        top -= TITLE
        for block in page:
            top -= block.height
            file.draw(block.items, (MARGIN, top))
            top -= BETWEEN
        file.next_page()
    put_text(file, lambda size: list(_text(plan, recipe, size)), file.height - MARGIN, SIZES)
    file.next_page()
    return file.bytes()


def _pages(drawn: list[Block], room: float) -> Iterator[list[Block]]:
    """The boards page by page, as many on each as it has room for."""
    page, left = list[Block](), room
    for block in drawn:
        if page and block.height > left:
            yield page
            page, left = [], room
        page.append(block)
        left -= block.height + BETWEEN
    if page:
        yield page


def _text(plan: CuttingPlan, recipe: Recipe | BoxRecipe, size: float) -> Iterator[Flowable]:
    body = style(size, after=size * 0.3)
    yield head(f"{recipe.title}: what to cut", size * 1.2)
    for words in (*short_words(plan, recipe.units), how_good(plan), HOW):
        if words:
            yield Paragraph(safe(words), body)
    for board in plan.boards:
        yield Spacer(1, size * 0.4)
        yield from _board(board, recipe.units, size)
    yield Spacer(1, size * 0.6)
    yield head("Cautions", size)
    small = style(size * CAUTION_SHARE, after=size * 0.2)
    for caution in SAWING:
        yield Paragraph(f"<b>{safe(caution.topic)}.</b> {safe(caution.text)}", small)
    yield from cautions_flow(size * CAUTION_SHARE)


def _board(plan: BoardPlan, units: Units, size: float) -> Iterator[Flowable]:
    """The cuts of one board, with boxes to tick, and what is left."""
    yield head(board_heading(plan, units), size)
    for cut in plan.cuts:
        yield to_tick(Paragraph(safe(f"{cut.number}. {cut_words(cut, units)}"), style(size)), size)
    yield Paragraph(safe(left_words(plan, units)), style(size, after=size * 0.3))
