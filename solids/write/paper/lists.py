"""The lists of a joint that do not fit beside its numbers: where each tail is knifed, at which slopes, and which
chisels fit."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Spacer, Table, TableStyle

from solids.base.fonts import fitted
from solids.base.lengths import CALIPER, MOST, format_length
from solids.bench.listing import bevel_lines, cells_of, heads_of, pin_rows, tail_name
from solids.bench.place_words import measured_from
from solids.bench.settings import bench_of
from solids.layout import Layout, Tail
from solids.write.paper.typesetting.flow import head, safe, style
from solids.write.paper.typesetting.letters import PLAIN
from solids.write.paper.typesetting.pdf import CAP_HEIGHT, INK, PALE

ROWS_SHOWN, FITS_SHOWN = 12, 9
"""How many tails, and kinds of socket with bevels, the first page lists one by one."""

BLOCK_ROWS = 50
"""How many tails stand in one column of the second page."""


def is_long(layout: Layout) -> bool:
    """Whether tails, slopes or sockets are so many that they take a page of their own."""
    lines = len(bench_of(layout).chisels) + len(listed_bevels(layout))
    return len(layout.tails) > ROWS_SHOWN or lines > FITS_SHOWN


def listed_bevels(layout: Layout) -> list[str]:
    """A line for each bevel, where there are several."""
    return list(bevel_lines(layout)) if len(layout.ratios) > 1 else []


def short_lists(layout: Layout, size: float, width: float) -> list[Flowable]:
    """Both lists in a column of the first page, or where they stand."""
    if is_long(layout):
        what = "All tails, bevels and chisels" if listed_bevels(layout) else "All tails and chisels"
        where = Paragraph(f"{what} are listed on the next page.", style(size * 0.92))
        return [tails_head(layout, size), where, Spacer(1, size * 0.5)]
    return _both_lists(layout, size, tail_table(layout, layout.counted(layout.tails), size, width))


def long_lists(layout: Layout, size: float, width: float) -> list[Flowable]:
    """Both lists in full, the tails in columns side by side; empty where the first page has them."""
    if not is_long(layout):
        return []
    tails = layout.counted(layout.tails)
    blocks = [tails[low : low + BLOCK_ROWS] for low in range(0, len(tails), BLOCK_ROWS)]
    side = width / max(2, len(blocks))
    tables = Table([[tail_table(layout, block, size, side - 6.0) for block in blocks]], [side * mm] * len(blocks))
    tables.setStyle(TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)]))
    tables.hAlign = "LEFT"
    return [*_both_lists(layout, size, tables), Spacer(1, size)]


def _both_lists(layout: Layout, size: float, tails: Table) -> list[Flowable]:
    chisels = head("Chisels", size), *chisel_lines(layout, size)
    gap = Spacer(1, size * 0.5)
    told = [Paragraph(safe(words), style(size * 0.92)) for words in listed_bevels(layout)]
    bevels = [head("Bevels", size), *told, gap] if told else []
    return [tails_head(layout, size), tails, gap, *bevels, *chisels]


def tails_head(layout: Layout, size: float) -> Flowable:
    """The heading over the tails."""
    return head(f"Tails on the raw end, from the {measured_from(layout)}", size)


def tail_table(layout: Layout, tails: Sequence[Tail], size: float, width: float) -> Table:
    """Each tail's edges on the raw end, where it is knifed, and its width on the finished face."""
    end = layout.as_cut.tail_end
    rows = []
    for tail in tails:
        lengths = (*layout.measured(*layout.tail_edges(tail, end)), tail.width)
        rows.append((tail_name(tail), *cells_of(layout, *lengths)))
    first = 17.0 if any(tail.is_half for tail in tails) else 7.0
    return number_table(("", *heads_of(layout, "from", "to", "shows as")), rows, size, width, first)


def pin_table(layout: Layout, size: float, width: float) -> Table:
    """Each pin's width as cut, on both faces, and the gap that it goes into."""
    return number_table(*pin_rows(layout), size, width, 16.0)


def number_table(heads: Sequence[str], rows: Sequence[Sequence[str]], size: float, width: float, first: float) -> Table:
    """Lengths in columns to the right of a first one, which is `first` wide (mm). In inches each takes two columns. A
    head may take two lines."""
    small, columns = size * 0.92, len(heads) - 1
    fine = small if columns == 3 else small * 0.85
    wide = (width - first) / columns
    told = [fitted(text, wide - 3.0, CAP_HEIGHT * fine / mm, most_lines=2) for text in heads]
    lines = max(len(words) for words, _ in told)
    of_heads = min(height for _, height in told) / CAP_HEIGHT * mm
    table = Table(
        [["\n".join(words) for words, _ in told], *map(list, rows)],
        colWidths=[first * mm, *[wide * mm] * columns],
        rowHeights=[lines * small * 1.25, *[small * 1.25] * len(rows)],
        repeatRows=1,
    )
    table.setStyle(
        TableStyle(
            [
                ("FONT", (0, 1), (-1, -1), PLAIN, fine),
                ("FONT", (0, 0), (-1, 0), PLAIN, of_heads),
                ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
                ("TEXTCOLOR", (0, 0), (-1, 0), PALE),
                ("ALIGN", (1, 0), (-1, -1), "RIGHT"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 1),
                ("TOPPADDING", (0, 0), (-1, -1), 0),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
                ("LINEBELOW", (0, 0), (-1, 0), 0.18 * mm, INK),
            ]
        )
    )
    return table


def chisel_lines(layout: Layout, size: float) -> list[Flowable]:
    """For each kind of socket the widest chisel, and the widest of the maker's own where the kit names some."""
    units, named = layout.recipe.units, bool(layout.recipe.kit.chisels)
    lines = list[Flowable]()
    for fit in bench_of(layout).chisels:
        widest = "any" if fit.is_open else f"up to {format_length(fit.widest, units, MOST)}"
        mine = "none fits" if fit.own is None else format_length(fit.own, units, CALIPER)
        own = f"; yours: {mine}" if named else ""
        lines.append(Paragraph(safe(f"{fit.sockets}, {fit.side}: {widest}{own}."), style(size * 0.92)))
    return lines
