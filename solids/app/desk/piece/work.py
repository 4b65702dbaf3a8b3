"""A piece as it is read at the bench: drawings, what is set, and the order of work, step by step. From its layout, and
of a box from its proof too; no kernel.

The steps are those that the papers print, with the cautions that the papers end with.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import Any

from solids.app.desk.piece.drawings import end_view, face_view
from solids.app.desk.piece.figures import box_figures, figures_of
from solids.base.cautions import BY_HAND, FAILS
from solids.base.lengths import format_sizes
from solids.base.messages import capital
from solids.bench.box_procedure import box_stages
from solids.bench.procedure import Stage, corner_stages
from solids.bench.worktime import corners_of, time_words
from solids.layout import Layout
from solids.layout.assembly import JointKind, assembly_of
from solids.layout.box.cut_list import cut_list
from solids.layout.box.model import BoxLayout

WAITS = "The order in which the boards go together comes with the proof."


def work_of(plan: Layout | BoxLayout, proof: Mapping[str, Any] | None) -> dict[str, Any]:
    """All of it as plain values. `proof` is that of this very plan, None where it is not known yet. Each step has a
    `step`, its name, which stays the same when its words change."""
    piece = assembly_of(plan)
    together: Sequence[str] = (proof or {}).get("steps", ())
    layouts = [kind.layout for kind in piece.kinds]
    parts: Sequence[str] = (proof or {}).get("parts", ())
    stages = corner_stages(layouts[0]) if piece.box is None else box_stages(piece.box, layouts, together, parts)
    return {
        "joints": [_joint(kind) for kind in piece.kinds],
        "figures": _rows(box_figures(piece.box)) if piece.box else [],
        "cut_list": _cut_list(piece.box) if piece.box else None,
        "time": time_words(corners_of(piece)),
        "stages": [{"title": stage.title, "steps": list(_steps(stage))} for stage in stages],
        "waits": WAITS if piece.box and proof is None else "",
        "fails": FAILS if proof and proof["severity"] == "fail" else "",
        "watch": _watch(proof),
        "cautions": [{"topic": caution.topic, "text": caution.text} for caution in BY_HAND],
    }


def _cut_list(box: BoxLayout) -> dict[str, Any]:
    """What is sawn, and how each board is marked: wood is bought by other papers."""
    say = partial(format_sizes, units=box.recipe.units)
    rows = [[row.name, say(row.saw_to), say(row.finished), capital(row.mark)] for row in cut_list(box)]
    return {"heads": ["board", "saw to", "finished", "marks"], "rows": rows}


def _joint(kind: JointKind) -> dict[str, Any]:
    views = face_view(kind.layout), end_view(kind.layout)
    return {
        "title": kind.title,
        "drawings": {view.name: view.as_json() for view in views},
        "figures": _rows(figures_of(kind.layout)),
    }


def _rows(figures: Sequence[tuple[str, str]]) -> list[dict[str, str]]:
    return [{"words": words, "value": value} for words, value in figures]


def _steps(stage: Stage) -> Iterator[dict[str, str]]:
    """A step without a name of its own is counted; so is one whose name stands twice in its stage."""
    count: Counter[str] = Counter()
    for step in stage.steps:
        count[step.what] += 1
        number = f", {count[step.what]}" if not step.what or count[step.what] > 1 else ""
        yield {"step": f"{stage.title}: {step.what or 'in this order'}{number}", "what": step.what, "how": step.how}


def _watch(proof: Mapping[str, Any] | None) -> list[str]:
    """What fails, and what to take care with."""
    grave = [one for one in (proof or {}).get("findings", ()) if one["severity"] in ("fail", "warning")]
    return [f"{one['sentence']} {one['remedy']}".strip() for one in grave]
