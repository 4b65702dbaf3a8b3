"""PDF (ISO 32000) with reportlab: drawings in mm on pages that print at 1:1.

`invariant` keeps dates and random identifiers out of the file, so that the same drawing gives the same bytes.
PrintScaling None asks the print dialogue not to shrink the page.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable
from pathlib import Path

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfdoc import PDFString
from reportlab.pdfgen.canvas import Canvas

from solids import __version__
from solids.base.errors import ReadBackError
from solids.base.geometry import PlanePoint
from solids.write.drafting.dimensions import drawn
from solids.write.drafting.layers import layer_of
from solids.write.drafting.sheet import Item, Label, Sheet, Stroke
from solids.write.paper.typesetting.letters import BOLD, PLAIN, in_font, register, width_of

CAP_HEIGHT = 0.711
"""Height of Roboto's capitals as a share of the font size. Drawings give the height of capitals (ISO 3098)."""

EDGE = 12.0
"""What text leaves free along the edges of the paper, in mm."""

FOOT, FOOT_SIZE = 6.2, 8.5
"""How far the line at the foot stands above the paper's lower edge (mm), and the size of its letters (points)."""

COUNT = "pages"
"""The form that holds it. Each page shows the form, which is filled in when the last page is done."""

INK, PALE = HexColor("#000000"), HexColor("#666666")


class Pages:
    """A PDF file in the making. The `canvas` is in points, sizes and drawings are in mm. With `numbered`, each page
    says at its foot which one it is, of how many."""

    def __init__(self, title: str, subject: str, width: float, height: float, *, numbered: bool = False) -> None:
        register()
        self.width, self.height = width, height
        self._number = 1 if numbered else 0
        self._file = io.BytesIO()
        self.canvas = Canvas(self._file, pagesize=(width * mm, height * mm), invariant=1, pageCompression=1)
        self.canvas.setTitle(title)
        self.canvas.setSubject(subject)
        self.canvas.setCreator(f"halfpin {__version__}")
        self.canvas.setAuthor("")
        self.canvas.setViewerPreference("PrintScaling", "None")
        self.canvas.setViewerPreference("DisplayDocTitle", "true")
        self.canvas.setCatalogEntry("Lang", PDFString("en"))

    def draw(self, items: Iterable[Item], at: PlanePoint = (0.0, 0.0)) -> None:
        """Draws printed items with the origin at `at` (mm from the lower left corner)."""
        self.canvas.saveState()
        self.canvas.translate(at[0] * mm, at[1] * mm)
        draw_items(self.canvas, items)
        self.canvas.restoreState()

    def chapter(self, title: str) -> None:
        """Begins a chapter on this page: it stands in the outline that a reader shows beside the pages."""
        self.canvas.bookmarkPage(title)
        self.canvas.addOutlineEntry(in_font(title), title, level=0)

    def turn(self, width: float, height: float) -> None:
        """Gives this page, and those that follow, another size (mm)."""
        self.width, self.height = width, height
        self.canvas.setPageSize((width * mm, height * mm))

    def stamp(self) -> None:
        """The tool and its version, at the right of the foot of a page that has no number."""
        self.canvas.saveState()
        self.canvas.setFont(PLAIN, FOOT_SIZE)
        self.canvas.setFillColor(PALE)
        self.canvas.drawRightString((self.width - EDGE) * mm, FOOT * mm, f"halfpin {__version__}")
        self.canvas.restoreState()

    def next_page(self) -> None:
        """Ends a page."""
        if self._number:
            self._number_page()
            self._number += 1
        self.canvas.showPage()

    def _number_page(self) -> None:
        """ "page 2 of 6" at the right of the foot. The last figure comes from a form."""
        right = (self.width - EDGE) * mm - width_of("00", FOOT_SIZE)
        self.canvas.saveState()
        self.canvas.setFont(PLAIN, FOOT_SIZE)
        self.canvas.setFillColor(PALE)
        self.canvas.drawRightString(right, FOOT * mm, f"page {self._number} of ")
        self.canvas.translate(right, FOOT * mm)
        self.canvas.doForm(COUNT)
        self.canvas.restoreState()

    def bytes(self) -> bytes:
        """The whole file."""
        if self._number:
            self.canvas.beginForm(COUNT, 0, -5, 100, 20)
            self.canvas.setFont(PLAIN, FOOT_SIZE)
            self.canvas.setFillColor(PALE)
            self.canvas.drawString(0, 0, str(self._number - 1))
            self.canvas.endForm()
        self.canvas.save()
        return self._file.getvalue()


def draw_items(canvas: Canvas, items: Iterable[Item]) -> None:
    """Draws printed items on a canvas, from its present origin."""
    for item in drawn(items):
        if isinstance(item, Stroke):
            _stroke(canvas, item)
        else:
            _label(canvas, item)


def _stroke(canvas: Canvas, stroke: Stroke) -> None:
    layer = layer_of(stroke.layer)
    canvas.setStrokeColor(HexColor(layer.ink))
    canvas.setLineWidth(layer.width * mm)
    canvas.setDash([part * mm for part in layer.dashes])
    path = canvas.beginPath()
    (x, y), *rest = stroke.points
    path.moveTo(x * mm, y * mm)
    for x, y in rest:
        path.lineTo(x * mm, y * mm)
    if stroke.closed:
        path.close()
    canvas.drawPath(path, stroke=1, fill=0)


def _label(canvas: Canvas, label: Label) -> None:
    text, size = in_font(label.text), label.height / CAP_HEIGHT * mm
    canvas.saveState()
    canvas.translate(label.at[0] * mm, label.at[1] * mm)
    canvas.rotate(label.turn_deg)
    canvas.setFont(BOLD if label.bold else PLAIN, size)
    draw = {
        "left": canvas.drawString,
        "middle": canvas.drawCentredString,
        "right": canvas.drawRightString,
    }[label.align]
    draw(0, 0, text)
    canvas.restoreState()


def reread(path: Path) -> None:
    """ReadBackError unless the PDF file on disk is whole: its header, its end, and a cross-reference table where it
    says."""
    data = path.read_bytes()
    found = re.search(rb"startxref\s+(\d+)\s+%%EOF\s*\Z", data)
    if not data.startswith(b"%PDF-1.") or found is None or data[int(found[1]) :][:4] != b"xref":
        raise ReadBackError(f"{path.name} is not a whole PDF file")


def sheet_pdf(first: Sheet, subject: str, *others: Sheet, title: str = "") -> bytes:
    """One drawing on one page, others on pages that follow. The file has its own title, or that of the first."""
    pages = Pages(in_font(title or first.title), subject, first.width, first.height)
    for sheet in (first, *others):
        pages.turn(sheet.width, sheet.height)
        pages.draw(sheet.items)
        pages.next_page()
    return pages.bytes()
