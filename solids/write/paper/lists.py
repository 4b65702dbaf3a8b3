"""The lists of the setup sheet: where each tail is, and which chisel fits. Long ones take a page of their own."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Spacer, Table, TableStyle

from solids.base.lengths import CALIPER, MOST, format_cells, format_length, length_heads
from solids.bench.place_words import measured_from
from solids.bench.settings import bench_of
from solids.layout import Layout, Tail
from solids.write.paper.flow import head, safe, style
from solids.write.paper.letters import PLAIN

ROWS_SHOWN, FITS_SHOWN = 12, 9
"""How many tails, and kinds of socket, the first page lists one by one."""

BLOCK_ROWS = 40
"""How many tails stand in one column of the second page."""

INK, PALE = HexColor("#000000"), HexColor("#666666")


def is_long(layout: Layout) -> bool:
    """Whether tails or sockets are so many that they take a page of their own."""
    return len(layout.tails) > ROWS_SHOWN or len(bench_of(layout).chisels) > FITS_SHOWN


def short_lists(layout: Layout, size: float, width: float) -> list[Flowable]:
    """Both lists in a column of the first page, or where they stand."""
    heads = head(f"Tails, from the {measured_from(layout)}", size), head("Chisels", size)
    if is_long(layout):
        where = [Paragraph("All tails and chisels are listed on the second page.", style(size * 0.92))]
        return [heads[0], *where, Spacer(1, size * 0.5)]
    tails = tail_table(layout, layout.counted(layout.tails), size, width)
    return [heads[0], tails, Spacer(1, size * 0.5), heads[1], *chisel_lines(layout, size)]


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
    heads = head(f"Tails, from the {measured_from(layout)}", size), head("Chisels", size)
    return [heads[0], tables, Spacer(1, size * 0.5), heads[1], *chisel_lines(layout, size), Spacer(1, size)]


def tail_table(layout: Layout, tails: Sequence[Tail], size: float, width: float) -> Table:
    """Each tail's edges on the raw end, where it is knifed, and its width on the finished face."""
    end, units, rule = layout.as_cut.tail_end, layout.recipe.units, layout.recipe.rule
    rows = [["", *(cell for name in ("raw end, from", "to", "shows as") for cell in length_heads(name, units, rule))]]
    for tail in tails:
        lengths = (*layout.measured(*layout.tail_edges(tail, end)), tail.width)
        rows.append([str(tail.number), *(cell for mm in lengths for cell in format_cells(mm, units, rule))])
    small, columns = size * 0.92, len(rows[0]) - 1
    table = Table(
        rows, colWidths=[5 * mm, *[(width - 5) / columns * mm] * columns], rowHeights=[small * 1.25] * len(rows)
    )
    table.setStyle(
        TableStyle(
            [
                ("FONT", (0, 0), (-1, -1), PLAIN, small if units == "mm" else small * 0.85),
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
