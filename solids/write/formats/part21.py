"""Mends the clear text (ISO 10303-21) that Open CASCADE writes: its characters, the order of its colours, its time."""

from __future__ import annotations

import datetime
import itertools
import os
import re

REFERENCE = re.compile(r"#(\d+)")
STATEMENT = re.compile(r"^#(\d+) = ([^;]*);", re.MULTILINE)
STYLES = re.compile(
    r"""(?: ^ \# \d+ \ =\  (?: MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION
        | (?:OVER_RIDING_)?STYLED_ITEM | PRESENTATION_STYLE_ASSIGNMENT | SURFACE_STYLE_USAGE | SURFACE_SIDE_STYLE
        | SURFACE_STYLE_FILL_AREA | FILL_AREA_STYLE | FILL_AREA_STYLE_COLOUR | COLOUR_RGB )
        \( [^;]* ;\n )+""",
    re.MULTILINE | re.VERBOSE,
)
"""The colours of all parts, which stand together in one run of statements. No string in them holds a semicolon."""

FIRST_STYLE = " = MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION("
"""How the first statement of that run continues after its number."""


STAMP = "%Y-%m-%dT%H:%M:%S"


def encoded(text: str) -> str:
    """A text in ASCII, as ISO 10303-21 clause 6.4.3 asks: \\X2\\00E9\\X0\\ for other characters, no control characters.

    Open CASCADE writes raw UTF-8, which a strict reader refuses. It passes this encoding through and decodes it on
    reading.
    """
    printable = (ch for ch in text if ch >= " " and ch != "\x7f")
    return "".join(_encoded_run(digits, "".join(run)) for digits, run in itertools.groupby(printable, _hex_digits))


def _hex_digits(ch: str) -> int:
    """How many hexadecimal digits a character needs; 0 where it stands for itself."""
    return 0 if ch < "\x7f" else 4 if ord(ch) <= 0xFFFF else 8


def _encoded_run(digits: int, run: str) -> str:
    if digits == 0:
        return run
    codes = "".join(f"{ord(ch):0{digits}X}" for ch in run)
    return f"\\X{digits // 2}\\{codes}\\X0\\"


def unfold_texts(text: str) -> str:
    """A STEP text without line breaks inside quoted strings.

    Open CASCADE folds lines at 72 characters, even in the middle of an encoded character, and then cannot read its own
    file.
    """
    parts = text.split("'")  # every second part stands in quotes; a doubled quote merely splits a string in two
    parts[1::2] = [part.replace("\n", "") for part in parts[1::2]]
    return "'".join(parts)


def order_styles(text: str) -> str:
    """A STEP text with the colours in the order of the parts, each statement on one line.

    Open CASCADE writes them in the order of a map keyed by addresses, which differs from run to run, and its own means
    of reordering entities cannot be used from Python. A part's own colour comes before those of its faces; a colour
    that several parts share follows the first of them.
    """
    found = STYLES.match(text, text.rfind("\n", 0, max(text.find(FIRST_STYLE), 0)) + 1)
    if found is None:
        return text
    bodies = {int(n): re.sub(r"\n\s*", "", body) for n, body in STATEMENT.findall(found[0])}
    groups: list[list[int]] = []
    for number, body in bodies.items():
        if body.startswith("MECHANICAL_DESIGN"):
            groups.append([])
        if not body.startswith("COLOUR_RGB"):
            groups[-1].append(number)

    def last_references(group: list[int], name: str) -> list[int]:
        return [int(bodies[n].rpartition("#")[2].strip("()")) for n in group if bodies[n].startswith(name + "(")]

    ordered: list[int] = []
    for group in sorted(groups, key=lambda group: last_references(group, "STYLED_ITEM")):
        ordered += group
        ordered += [n for n in dict.fromkeys(last_references(group, "FILL_AREA_STYLE_COLOUR")) if n not in ordered]
    place = dict(zip(ordered, sorted(bodies), strict=True))

    def renumbered(body: str) -> str:
        return REFERENCE.sub(lambda found: f"#{place.get(int(found[1]), int(found[1]))}", body)

    lines = [f"#{place[number]} = {renumbered(bodies[number])};\n" for number in ordered]
    return text[: found.start()] + "".join(lines) + text[found.end() :]


def timestamp(date: str = "") -> str:
    """The date and time of a header, as ISO 8601 has them: a recipe's own `date`, else SOURCE_DATE_EPOCH (seconds,
    reproducible-builds.org), else a fixed day, so that bytes do not change."""
    if date:
        return datetime.datetime.fromisoformat(date).strftime(STAMP)
    try:
        seconds = int(os.environ.get("SOURCE_DATE_EPOCH", "0"))
        moment = datetime.datetime.fromtimestamp(seconds, tz=datetime.UTC)
    except (ValueError, OverflowError, OSError):
        moment = datetime.datetime.fromtimestamp(0, tz=datetime.UTC)
    return moment.strftime(STAMP)
