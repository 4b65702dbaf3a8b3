"""The one font of all paper and of all engraving: Roboto, from the package `font-roboto` (Apache-2.0). How wide words
are, how they are set in lines, and what is done with a character that the font lacks: it is written in plain Latin
letters (package `anyascii`, ISC), and the maker is told."""

from __future__ import annotations

from functools import cache, lru_cache
from importlib import resources
from importlib.resources.abc import Traversable
from io import BytesIO

from anyascii import anyascii
from fontTools.ttLib import TTFont

PLAIN_FILE, BOLD_FILE = "Roboto-Regular.ttf", "Roboto-Bold.ttf"
LEAST_HEIGHT = 0.2
"""Height of capitals (mm) below which nothing can be read."""

NOWHERE = "?"
"""Stands for a character that cannot be written in Latin letters either."""


def font_file(name: str) -> Traversable:
    """A file of the font package."""
    return resources.files("font_roboto") / "files" / name


@cache
def font(name: str) -> TTFont:
    """A font; each of its tables is read when it is first asked for, which saves most of the time. Its glyphs go by
    numbers, as naming them would take as long again."""
    found = TTFont(BytesIO(font_file(name).read_bytes()), lazy=True)
    found.setGlyphOrder([f"glyph{number}" for number in range(found["maxp"].numGlyphs)])
    return found


@cache
def _known() -> frozenset[int]:
    """The characters that both weights of the font have."""
    return frozenset(font(PLAIN_FILE).getBestCmap()) & frozenset(font(BOLD_FILE).getBestCmap())


def _is_plain(text: str) -> bool:
    """Whether a text holds nothing but what any font has. Most texts do, and our tables take a while to read."""
    return text.isascii() and text.isprintable()


def in_font(text: str) -> str:
    """The text with every character outside the font in plain Latin letters."""
    if _is_plain(text):
        return text
    return "".join(ch if ord(ch) in _known() else (anyascii(ch) or NOWHERE) for ch in text)


def replaced(text: str) -> dict[str, str]:
    """Which characters of a text are written otherwise, and how."""
    return {ch: in_font(ch) for ch in text if not _is_plain(ch) and ord(ch) not in _known()}


@cache
def _advances(name: str) -> dict[int, float]:
    """How wide each character of a font is, as a ratio to the height of its capitals."""
    face = font(name)
    advances, capitals = face["hmtx"], face["OS/2"].sCapHeight
    return {code: advances[glyph][0] / capitals for code, glyph in face.getBestCmap().items()}


def width_of(text: str, height: float, *, bold: bool = False) -> float:
    """Width of a text whose capitals are `height` high, as it is written in the font."""
    return height * _width(text, BOLD_FILE if bold else PLAIN_FILE)


@lru_cache(maxsize=10_000)
def _width(text: str, name: str) -> float:
    """The same for capitals of height 1. A sheet asks again and again, as it tries its sizes."""
    advances = _advances(name)
    return float(sum(advances[ord(ch)] for ch in in_font(text)))


def fitted(
    text: str, room: float, height: float, most_lines: int = 1, *, bold: bool = False
) -> tuple[list[str], float]:
    """A text in at most so many lines no wider than `room`, and the height of its capitals: `height`, or as much less
    as it takes."""
    plain = in_font(text)
    while height > LEAST_HEIGHT and room > LEAST_HEIGHT:
        lines = _wrapped(plain, room, height, bold=bold)
        if len(lines) <= most_lines and all(width_of(line, height, bold=bold) <= room for line in lines):
            return lines, height
        height *= 0.95
    return [plain], LEAST_HEIGHT


def _wrapped(text: str, room: float, height: float, *, bold: bool) -> list[str]:
    """Words in lines, each as full as possible; a word wider than the room is broken where it must be."""
    lines: list[str] = []
    for word in (piece for whole in text.split() for piece in _pieces(whole, room, height, bold=bold)):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_of(longer, height, bold=bold) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines or [text]


def _pieces(word: str, room: float, height: float, *, bold: bool) -> list[str]:
    pieces = [""]
    for ch in word:
        if pieces[-1] and width_of(pieces[-1] + ch, height, bold=bold) > room:
            pieces.append("")
        pieces[-1] += ch
    return pieces
