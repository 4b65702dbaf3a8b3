"""The keys of a box and those of its corners: what the maker wrote for single corners goes into their recipes, and what
is wrong with a corner is reported under the keys that the maker wrote."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import replace
from functools import cache
from typing import Any, TypeVar

from solids.base.amounts import typed
from solids.base.errors import Problem
from solids.base.messages import Key, Words, message, renamed
from solids.recipe.tables.box_resolved import CORNERS, BoxRecipe, CornerName
from solids.recipe.tables.schema import Asked, JointsTable, known_keys
from solids.recipe.tables.table import Table

Written = Mapping[CornerName, Mapping[str, str]]
"""For each corner, the key of the box that each key of its own recipe came from."""

SHAPING_TABLES = ("entry_chamfer", "undercut")
"""Tables that a single corner of a box may have, besides the keys of its joint."""


def scopes_of(name: CornerName) -> tuple[str, str]:
    """The tables under [box.joints] that apply to a corner, the more specific one last."""
    end, hand = name.split()
    return end, f"{end}_{hand}"


def of_joints(joints: JointsTable | None, name: CornerName) -> tuple[dict[str, dict[str, Any]], dict[str, str]]:
    """What [box.joints] says about a corner, by table and key of the corner's own recipe, and where each key came
    from."""
    found: dict[str, dict[str, Any]] = {"joint": {}}
    written: dict[str, str] = {}
    for scope in scopes_of(name):
        for key, value in _joint_at(joints, scope).items():
            if key in SHAPING_TABLES:
                found.setdefault(key, {}).update(value.given())
                written |= {f"{key}.{part}": f"box.joints.{scope}.{key}.{part}" for part in value.given()}
            else:
                found["joint"][key] = value
                written[f"joint.{key}"] = f"box.joints.{scope}.{key}"
    return found, written


def _joint_at(joints: JointsTable | None, scope: str) -> dict[str, Any]:
    table: Table | None = getattr(joints, scope, None)
    return table.given() if table else {}


def has_through_corner(asked: Asked, joints: JointsTable | None) -> bool:
    """Whether any corner of the box is a through joint."""
    kinds = (of_joints(joints, name)[0]["joint"].get("kind", asked.joint.kind) for name in CORNERS)
    return any(kind in (None, "through") for kind in kinds)


def merged(asked: Asked, tables: Mapping[str, Mapping[str, Any]]) -> Asked:
    """The recipe with other values, by table and key; a table in another has its dotted name. They are not checked:
    each was read by a rule, or follows from what was."""
    for path, values in tables.items():
        asked = _with(asked, path.split("."), values)
    return asked


T = TypeVar("T", bound=Table)


def _with(table: T, path: Sequence[str], values: Mapping[str, Any]) -> T:
    if not path:
        return table.model_copy(update=dict(values))
    return table.model_copy(update={path[0]: _with(getattr(table, path[0]), path[1:], values)})


def changes(names: Sequence[CornerName], written: Written) -> dict[str, str]:
    """For each key of a corner, the key of the box that changes these corners and no others."""
    shaping = {key: " and ".join(places) for key, places in places_of(names, written).items()}
    return {key: of_box for name in names for key, of_box in written[name].items()} | shaping


def places_of(names: Sequence[CornerName], written: Written) -> dict[str, tuple[str, ...]]:
    """For each key that shapes a joint, all keys of the box that together change these corners and no others."""
    ends = [end_of(name) for name in names]
    whole_ends = {end for end in ends if ends.count(end) == 2}
    return {key: _that_change(key, names, written, whole_ends) for key in _shaping_keys()}


@cache
def _shaping_keys() -> tuple[str, ...]:
    tables = ("joint", *SHAPING_TABLES)
    return tuple(key for key in known_keys() if key.partition(".")[0] in tables and key != "joint.width")


def keys_of(recipe: BoxRecipe, names: Sequence[CornerName]) -> dict[str, Words]:
    """The same, with the sizes of the box that the widths and lengths of the boards there follow from."""
    tails, pins = ("box.width", "box.length") if recipe.tails_on_sides else ("box.length", "box.width")
    sizes = {"joint.width": width_of(recipe, names[0]), "tail_board.length": tails, "pin_board.length": pins}
    return {**changes(names, recipe.written), **sizes}


def width_of(recipe: BoxRecipe, name: CornerName) -> Words:
    """The key that gives a corner's boards their width. A back that stands above the bottom is narrower than the other
    boards."""
    key = Key(recipe.written[name]["joint.width"])
    below = recipe.height - recipe.corners[name].width
    return message("{} less {}", key, typed(below)) if below else key


def _that_change(key: str, names: Sequence[CornerName], written: Written, whole_ends: Set[str]) -> tuple[str, ...]:
    own = key.removeprefix("joint.")
    if len(names) == len(CORNERS) and not any(key in written[name] for name in names):
        return (key,)

    def of(name: CornerName) -> str:
        end, single = (f"box.joints.{scope}.{own}" for scope in scopes_of(name))
        return end if end_of(name) in whole_ends and written[name].get(key) != single else single

    return tuple(dict.fromkeys(map(of, names)))


def end_of(name: CornerName) -> str:
    """Front or back."""
    return name.split()[0]


def of_corners(found: Mapping[CornerName, Iterable[Problem]], written: Written) -> list[Problem]:
    """What is wrong with the corners, each problem once: under the key that the maker wrote, with a remedy that changes
    only the corners it names."""
    at: dict[tuple[str, Problem], list[CornerName]] = {}
    for name, problems in found.items():
        for problem in dict.fromkeys(problems):
            wrong = renamed(problem.wrong, written[name])
            told = replace(problem, key=written[name].get(problem.key, problem.key), wrong=wrong)
            at.setdefault((problem.key, told), []).append(name)
    return [_at(names, key, problem, written) for (key, problem), names in at.items()]


def _at(names: Sequence[CornerName], key: str, problem: Problem, written: Written) -> Problem:
    keys = changes(names, written)
    remedy = renamed(problem.remedy, keys)
    alone = keys.get(key, key)
    if problem.tries and alone != problem.key:
        remedy = message("{}; {} changes these corners alone", remedy, Key(alone))
    if len(names) == len(CORNERS):
        return replace(problem, remedy=remedy)
    wrong = message("{} ({})", problem.wrong, ", ".join(names))
    return replace(problem, wrong=wrong, remedy=remedy)
