"""The index of a run: `index.csv` (RFC 4180), and `index.html`, a page that sorts and filters without a network."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any
from urllib.parse import quote

from solids.app.batch.worker import Outcome
from solids.base.lengths import MM_PER_INCH
from solids.base.messages import Units
from solids.base.safe_text import csv_table, printable
from solids.write.templates import template

HEADS = ("title", "verdict", "kind", "tails", "slope", "width_mm", "tail_board_mm", "pin_board_mm")
SIZES = {"width_mm": "width", "tail_board_mm": "tail board", "pin_board_mm": "pin board"}
IN_OPENING = {
    "opening_width_mm": "opening's width",
    "opening_height_mm": "opening's height",
    "opening_depth_mm": "opening's depth",
    "free_damp_mm": "free above at the dampest",
    "free_dry_mm": "free above at the driest",
    "free_sides_mm": "free at each side",
    "free_behind_damp_mm": "free behind at the dampest",
    "lip_covers_mm": "covered by the lip",
}
"""What is told of a drawer in its opening, where a run has any, under the names of its report, with its head on the
page."""

LAST = ("warnings", "message", "folder", "origin", "seconds")
VERDICTS = ("passes", "fails", "refused", "crashed", "too slow")


def summary(outcomes: Sequence[Outcome]) -> str:
    """ "198 pass, 1 fails, 1 refused"."""
    counts: Counter[str] = Counter(outcome.verdict for outcome in outcomes)
    words = {"passes": "pass", "fails": "fail"}
    told = [
        f"{count} {verdict if count == 1 else words.get(verdict, verdict)}"
        for verdict in VERDICTS
        if (count := counts[verdict])
    ]
    return ", ".join(told) or "none"


def csv_bytes(outcomes: Sequence[Outcome], folder: Path) -> bytes:
    """The index as CSV, one row per joint."""
    more = _of_openings(outcomes)
    return csv_table([(*HEADS, *more, *LAST), *(_csv_row(outcome, folder, more) for outcome in outcomes)])


def _of_openings(outcomes: Sequence[Outcome]) -> list[str]:
    """The columns of drawers that some joints of a run have."""
    return [head for head in IN_OPENING if any(head in outcome.size for outcome in outcomes)]


def _csv_row(outcome: Outcome, folder: Path, more: Sequence[str]) -> list[object]:
    cells = {"title": outcome.title, "verdict": outcome.verdict, **outcome.size}
    has_files = _owns_folder(outcome) and (folder / outcome.slug / "report.json").is_file()
    return [
        *(cells.get(head, "") for head in (*HEADS, *more)),
        " ".join(outcome.warnings),
        outcome.message,
        outcome.slug if has_files else "",
        outcome.origin,
        f"{outcome.seconds:.3f}",
    ]


def _owns_folder(outcome: Outcome) -> bool:
    """Whether the folder of the joint's name is its own. A refused joint may have the same name as another."""
    return outcome.verdict in ("passes", "fails")


def html_bytes(outcomes: Sequence[Outcome], folder: Path) -> bytes:
    """The index as a page, in the order of the run: in inches where every recipe is, else in millimetres."""
    units: Units = "in" if {outcome.size.get("units") for outcome in outcomes if outcome.size} == {"in"} else "mm"
    more = _of_openings(outcomes)
    rows = [_html_row(outcome, folder, units, more) for outcome in outcomes]
    told = SIZES | {head: IN_OPENING[head] for head in more}
    text = template("solids.app.batch", "index.html.jinja").render(
        outcomes=rows,
        heads=[*HEADS[: -len(SIZES)], *(f"{size}, {units}" for size in told.values()), "notes", "from"],
        sizes=list(told),
        summary=summary(outcomes),
        verdicts=[verdict for verdict in VERDICTS if any(row["verdict"] == verdict for row in rows)],
        files=any(row["files"] for row in rows),
        pictures=any(row["picture"] for row in rows),
    )
    return text.encode("utf-8")


def _html_row(outcome: Outcome, folder: Path, units: Units, more: Sequence[str]) -> dict[str, Any]:
    place = folder / outcome.slug
    pictures = [name for name in ("corner.png", "box.png") if (place / name).is_file()]
    pages = [name for name in ("corner.html", "box.html", "") if (place / name).exists()]
    mm = float(MM_PER_INCH) if units == "in" else 1.0
    told = {head: size / mm if head.endswith("_mm") else size for head, size in outcome.size.items()}
    sizes = {head: _cell_text(told.get(head, "")) for head in (*HEADS[2:], *more)}
    base = quote(outcome.slug)
    return {
        **sizes,
        "title": printable(outcome.title),
        "verdict": outcome.verdict,
        "warnings": outcome.warnings,
        "words": printable(" ".join([outcome.message, *outcome.warnings]).strip()),
        "origin": printable(outcome.origin),
        "link": f"{base}/{pages[0]}" if _owns_folder(outcome) and pages and place.is_dir() else "",
        "files": _files_in(place) if _owns_folder(outcome) else [],
        "picture": f"{base}/{pictures[0]}" if _owns_folder(outcome) and pictures else "",
    }


def _files_in(place: Path) -> list[tuple[str, str]]:
    """Every file in a joint's folder: the link to it from the index, and its name there."""
    inside = sorted(path.relative_to(place).as_posix() for path in place.rglob("[!.]*") if path.is_file())
    return [(quote(f"{place.name}/{name}"), name) for name in inside]


def _cell_text(value: object) -> str:
    return f"{round(value, 3):g}" if isinstance(value, float) else str(value)
