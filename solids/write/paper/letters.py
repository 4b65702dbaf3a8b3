"""The one font of all paper, Roboto from the package `font-roboto` (Apache-2.0), and what is done with a character that
is not in it: it is written in plain Latin letters (package `anyascii`, ISC), and the maker is told."""

from __future__ import annotations

from functools import cache
from importlib import resources

from anyascii import anyascii
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

FAMILY = "Roboto"
PLAIN, BOLD = "Roboto", "Roboto-Bold"
_FILES = {PLAIN: "Roboto-Regular.ttf", BOLD: "Roboto-Bold.ttf"}
NOWHERE = "?"
"""Stands for a character that has no Latin letters either."""


@cache
def register() -> tuple[TTFont, ...]:
    """Makes the font known to the PDF library, and hands out its two weights."""
    folder = resources.files("font_roboto") / "files"
    fonts = []
    for name, file in _FILES.items():
        with resources.as_file(folder / file) as path:
            fonts.append(TTFont(name, str(path)))
        pdfmetrics.registerFont(fonts[-1])
    pdfmetrics.registerFontFamily(FAMILY, normal=PLAIN, bold=BOLD, italic=PLAIN, boldItalic=BOLD)
    return tuple(fonts)


@cache
def _known() -> frozenset[int]:
    """The characters that both weights of the font have."""
    plain, bold = (frozenset(font.face.charToGlyph) for font in register())
    return plain & bold


def in_font(text: str) -> str:
    """The text with every character outside the font in plain Latin letters."""
    return "".join(ch if ord(ch) in _known() else (anyascii(ch) or NOWHERE) for ch in text)


def replaced(text: str) -> dict[str, str]:
    """Which characters of a text are written otherwise, and how."""
    return {ch: in_font(ch) for ch in text if ord(ch) not in _known()}


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """Width of a text in the unit of `size`."""
    register()
    return float(pdfmetrics.stringWidth(text, BOLD if bold else PLAIN, size))
