"""The one font (see `base/fonts`) as the PDF library knows it."""

from __future__ import annotations

from functools import cache
from importlib import resources

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from solids.base import fonts
from solids.base.fonts import BOLD_FILE, NOWHERE, PLAIN_FILE, font_file, in_font, replaced

__all__ = ["BOLD", "FAMILY", "NOWHERE", "PLAIN", "in_font", "load", "register", "replaced", "width_of"]

FAMILY = "Roboto"
PLAIN, BOLD = "Roboto", "Roboto-Bold"


@cache
def register() -> tuple[TTFont, ...]:
    """Makes the font known to the PDF library, and returns its two weights."""
    found = []
    for name, file in ((PLAIN, PLAIN_FILE), (BOLD, BOLD_FILE)):
        with resources.as_file(font_file(file)) as path:
            found.append(TTFont(name, str(path)))
        pdfmetrics.registerFont(found[-1])
    pdfmetrics.registerFontFamily(FAMILY, normal=PLAIN, bold=BOLD, italic=PLAIN, boldItalic=BOLD)
    return tuple(found)


def load() -> None:
    """Loads the font and its widths, which otherwise whoever first writes a word waits for."""
    register()
    for bold in (False, True):
        fonts.width_of("", 1.0, bold=bold)


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """Width of a text in the unit of `size`, which is the size of the font, not the height of its capitals."""
    register()
    return float(pdfmetrics.stringWidth(text, BOLD if bold else PLAIN, size))
