"""The list of a run: `index.csv` (RFC 4180) and `index.html`, sorted and filtered in the page, with no network."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any
from urllib.parse import quote

from solids.app.batch.worker import Outcome
from solids.base.safe_text import csv_table, printable
from solids.write.templates import template

HEADS = ("title", "verdict", "kind", "tails", "slope", "width_mm", "tail_board_mm", "pin_board_mm")
COLUMNS = (*HEADS, "warnings", "message", "folder", "origin", "seconds")
SHOWN = ("title", "verdict", "kind", "tails", "slope", "width, mm", "tail board, mm", "pin board, mm", "notes", "from")
VERDICTS = ("passes", "fails", "refused", "crashed", "too slow")


def summary(outcomes: Sequence[Outcome]) -> str:
    """ "198 pass, 1 fails, 1 refused"."""
    counts: Counter[str] = Counter(outcome.verdict for outcome in outcomes)
    words = {"passes": "pass", "fails": "fail"}
    told = [f"{counts[verdict]} {words.get(verdict, verdict)}" for verdict in VERDICTS if counts[verdict]]
    return ", ".join(told) or "none"


def csv_bytes(outcomes: Sequence[Outcome], folder: Path) -> bytes:
    """One row a joint."""
    return csv_table([COLUMNS, *(_cells(outcome, folder) for outcome in outcomes)])


def _cells(outcome: Outcome, folder: Path) -> list[object]:
    cells = {"title": outcome.title, "verdict": outcome.verdict, **outcome.size}
    has_files = _has_place(outcome) and (folder / outcome.slug / "report.json").is_file()
    return [
        *(cells.get(head, "") for head in HEADS),
        " ".join(outcome.warnings),
        outcome.message,
        outcome.slug if has_files else "",
        outcome.origin,
        f"{outcome.seconds:.3f}",
    ]


def _has_place(outcome: Outcome) -> bool:
    """Whether the folder of its name is its own. A joint that is refused may be called as another is."""
    return outcome.verdict in ("passes", "fails")


def html_bytes(outcomes: Sequence[Outcome], folder: Path) -> bytes:
    """The page, in the order of the run."""
    rows = [_row(outcome, folder) for outcome in outcomes]
    text = template("solids.app.batch", "index.html.jinja").render(
        outcomes=rows,
        heads=SHOWN,
        summary=summary(outcomes),
        verdicts=[verdict for verdict in VERDICTS if any(row["verdict"] == verdict for row in rows)],
        pictures=any(row["picture"] for row in rows),
    )
    return text.encode("utf-8")


def _row(outcome: Outcome, folder: Path) -> dict[str, Any]:
    place = folder / outcome.slug
    pictures = [name for name in ("corner.png", "box.png") if (place / name).is_file()]
    pages = [name for name in ("corner.html", "box.html", "") if (place / name).exists()]
    sizes = {head: _shown(outcome.size.get(head, "")) for head in HEADS[2:]}
    base = quote(outcome.slug)
    return {
        **sizes,
        "title": printable(outcome.title),
        "verdict": outcome.verdict,
        "warnings": outcome.warnings,
        "words": printable(" ".join([outcome.message, *outcome.warnings]).strip()),
        "origin": printable(outcome.origin),
        "link": f"{base}/{pages[0]}" if _has_place(outcome) and pages and place.is_dir() else "",
        "picture": f"{base}/{pictures[0]}" if _has_place(outcome) and pictures else "",
    }


def _shown(value: object) -> str:
    return f"{value:.6g}" if isinstance(value, float) else str(value)
