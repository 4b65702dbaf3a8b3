"""Text that came from outside, on its way out: to a terminal or a list, where it must not act as a command, and into a
table, where a spreadsheet must not take it for a formula."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence

FORMULA = "=+-@\uff1d\uff0b\uff0d\uff20"
"""What a spreadsheet takes for the beginning of a formula, in both widths (OWASP, CSV Injection)."""


def printable(text: str) -> str:
    """The text as one line that shows all that it holds. What a terminal would act on, or what turns the text around,
    stands there by its number, as in \\x1b."""
    if text.isprintable():
        return text
    return "".join(ch if ch.isprintable() else _shown(ch) for ch in text)


def _shown(ch: str) -> str:
    if ch in "\t\n\r" or unicodedata.category(ch) == "Zs":
        return " "
    return ch.encode("unicode_escape").decode("ascii")


def csv_table(rows: Iterable[Sequence[object]]) -> bytes:
    """A table as CSV (RFC 4180) in UTF-8."""
    import csv
    import io

    text = io.StringIO()
    csv.writer(text, lineterminator="\r\n").writerows([csv_cell(value) for value in row] for row in rows)
    return text.getvalue().encode("utf-8")


def csv_cell(value: object) -> str:
    """A cell's text. One that a spreadsheet would take for a formula has an apostrophe before it."""
    text = f"{value:.6g}" if isinstance(value, float) else printable(str(value))
    return f"'{text}" if text.lstrip().startswith(tuple(FORMULA)) and not _is_number(text) else text


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True
