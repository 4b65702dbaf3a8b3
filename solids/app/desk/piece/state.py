"""What the page shows of a piece: its keys, what is wrong, the drawings with their handles, and what matters at the
bench. From the recipe's text alone; no kernel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from solids.app.desk.piece.drawings import end_view, face_view
from solids.app.desk.piece.figures import box_figures, figures_of
from solids.app.desk.piece.handles import handles_of
from solids.app.desk.piece.values import values_of
from solids.base.errors import InputError, RecipeError, Told
from solids.layout import Layout
from solids.layout.assembly import Assembly, JointKind, assembly_of
from solids.layout.box.model import BoxLayout
from solids.layout.plan import laid_out, plan_of
from solids.recipe.completing.shop import Shop, in_words_of
from solids.recipe.text.problems import units_in
from solids.recipe.text.reading import is_box
from solids.recipe.text.toml import Raw, raw_in

Plan = Layout | BoxLayout


@dataclass(frozen=True)
class Reading:
    """A recipe's text as it was understood: its `tables`, None where it is no TOML; its `plan`, None where it cannot be
    laid out; and all that is wrong with it, a problem of the whole text under the key ""."""

    text: str
    tables: Raw | None
    plan: Plan | None
    problems: tuple[Told, ...] = ()
    units: str = "mm"


def read(text: str, shop: Shop, *, live: bool = False) -> Reading:
    """Lays a recipe out. While a handle moves (`live`), remedies are told as they come: none is tried."""
    try:
        tables, found = raw_in(text, "the recipe")
    except InputError as err:
        return Reading(text, None, None, (_of_the_text(err),))
    units = units_in(in_words_of(shop, tables))
    try:
        plan = (laid_out if live else plan_of)(tables, found, shop)
    except RecipeError as err:
        return Reading(text, tables, None, err.told, err.units)
    except InputError as err:
        return Reading(text, tables, None, (_of_the_text(err),), units)
    except RecursionError:
        return Reading(text, tables, None, (Told("", "it is nested too deep for a recipe", "mend the text"),), units)
    return Reading(text, tables, plan, (), units)


def _of_the_text(err: InputError) -> Told:
    return Told("", str(err), "mend the text, or undo")


def state_of(reading: Reading, last_good: Plan | None) -> dict[str, Any]:
    """What the page shows, as plain values. Where the text cannot be laid out, drawings and figures are those of the
    `last_good` joint, and `good` is false."""
    plan = reading.plan or last_good
    tables: Mapping[str, Any] = reading.tables if reading.tables is not None else plan.recipe.tables if plan else {}
    piece = assembly_of(plan) if plan else None
    boxed = is_box(dict(tables)) or (reading.tables is None and isinstance(plan, BoxLayout))
    state: dict[str, Any] = {
        "title": _title(tables, plan),
        "units": reading.units,
        "piece": "box" if boxed else "corner",
        "text": reading.text,
        "keys": values_of(tables, plan.recipe if plan else None, reading.problems, is_box=boxed),
        "problems": [{"key": told.key, "wrong": told.wrong, "accepted": told.remedy} for told in reading.problems],
        "good": reading.plan is not None,
        "drawings": {"face": None, "end": None},
        "handles": [],
        "bench": [],
    }
    return state | _shown(piece, tables) if piece else state


def _title(tables: Mapping[str, Any], plan: Plan | None) -> str:
    """What the maker calls the piece now, though the rest cannot be read."""
    written = tables.get("title")
    return written if isinstance(written, str) else plan.recipe.title if plan else ""


def _shown(piece: Assembly, tables: Mapping[str, Any]) -> dict[str, Any]:
    """Drawings, handles and figures: of a box those of its first kind of corner, and each kind by itself."""
    joints = [_joint(kind, tables) for kind in piece.kinds]
    if piece.box is None:
        return joints[0]
    titled = [{"title": kind.title, **joint} for kind, joint in zip(piece.kinds, joints, strict=True)]
    return {**joints[0], "bench": _rows(box_figures(piece.box)), "joints": titled}


def _joint(kind: JointKind, tables: Mapping[str, Any]) -> dict[str, Any]:
    face, end = face_view(kind.layout), end_view(kind.layout)
    return {
        "drawings": {"face": face.as_json(), "end": end.as_json()},
        "handles": [handle.as_json() for handle in handles_of(kind, tables, face, end)],
        "bench": _rows(figures_of(kind.layout)),
    }


def _rows(figures: list[tuple[str, str]]) -> list[dict[str, str]]:
    return [{"words": words, "value": value} for words, value in figures]
