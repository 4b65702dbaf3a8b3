"""What the page shows of a piece: its keys, what is wrong, the drawings with their handles, and what matters at the
bench. From the recipe's text alone; no kernel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from solids.app.desk.piece.box.corner_keys import inherited
from solids.app.desk.piece.box.plan import corner_places, plan_view
from solids.app.desk.piece.box.section import section_view
from solids.app.desk.piece.box.sizes import box_handles, size_records, with_sizes
from solids.app.desk.piece.drawings import end_view, face_view
from solids.app.desk.piece.figures import box_figures, figures_of, groove_figures
from solids.app.desk.piece.handles import handles_of
from solids.app.desk.piece.joints import alone, joint_of, kinds_of
from solids.app.desk.piece.values import values_of
from solids.base.errors import InputError, RecipeError, Told
from solids.layout import Layout
from solids.layout.assembly import JointKind
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
    recipe = plan.recipe if plan else None
    boxed = is_box(dict(tables)) or (reading.tables is None and isinstance(plan, BoxLayout))
    state: dict[str, Any] = {
        "title": _title(tables, plan),
        "units": reading.units,
        "piece": "box" if boxed else "corner",
        "text": reading.text,
        "keys": _keys(values_of(tables, recipe, reading.problems, is_box=boxed), plan),
        "problems": [{"key": told.key, "wrong": told.wrong, "accepted": told.remedy} for told in reading.problems],
        "good": reading.plan is not None,
        "drawings": {"face": None, "end": None},
        "handles": [],
        "bench": [],
    }
    return state | _shown(plan, tables) if plan else state


def _keys(keys: dict[str, dict[str, Any]], plan: Plan | None) -> dict[str, dict[str, Any]]:
    """The values of all keys; of a box, also where they follow from others of its own."""
    return with_sizes(inherited(keys, plan.recipe), plan) if isinstance(plan, BoxLayout) else keys


def _title(tables: Mapping[str, Any], plan: Plan | None) -> str:
    """What the maker calls the piece now, though the rest cannot be read."""
    written = tables.get("title")
    return written if isinstance(written, str) else plan.recipe.title if plan else ""


def _shown(plan: Plan, tables: Mapping[str, Any]) -> dict[str, Any]:
    """Drawings, handles and figures: of a box those of its first kind of corner, each kind by itself, and the whole."""
    joints = [_joint(plan, kind, tables) for kind in kinds_of(plan)]
    if isinstance(plan, Layout):
        return joints[0]
    first = {part: joints[0][part] for part in ("drawings", "handles")}
    return {**first, "bench": _rows(box_figures(plan)), "joints": joints, "box": _box(plan)}


def _joint(plan: Plan, kind: JointKind, tables: Mapping[str, Any]) -> dict[str, Any]:
    """A kind of joint. In a box a handle changes all corners that are made alike, `together`. The same handle under the
    name of a single corner changes that one, and `alone` has the key for it, by corner and by the key of the joint."""
    joint, face, end = joint_of(plan, kind), face_view(kind.layout), end_view(kind.layout)
    handles = handles_of(joint, tables, face, end)
    shown = {
        "drawings": {"face": face.as_json(), "end": end.as_json()},
        "handles": [handle.as_json() for handle in handles],
        "bench": _rows(figures_of(kind.layout)),
    }
    if isinstance(plan, Layout):
        return shown
    singles = {name: alone(plan, kind.layout, name) for name in kind.names}
    keys = {name: {handle.of: single.at(handle.of)[0] for handle in handles} for name, single in singles.items()}
    names = {"corners": list(kind.names), "together": list(joint.names), "alone": keys}
    return {**shown, **names, "title": kind.title, "together_title": joint.title}


def _box(box: BoxLayout) -> dict[str, Any]:
    """A whole box: from above, its corners there, and cut through the groove, with what can be moved; and its sizes."""
    plan, section = plan_view(box), section_view(box)
    return {
        "plan": plan.as_json(),
        "section": section.as_json() if section else None,
        "corners": corner_places(box, plan),
        "handles": [handle.as_json() for handle in box_handles(box, plan, section)],
        "sizes": size_records(box),
        "groove": _rows(groove_figures(box)),
    }


def _rows(figures: list[tuple[str, str]]) -> list[dict[str, str]]:
    return [{"words": words, "value": value} for words, value in figures]
