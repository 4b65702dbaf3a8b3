"""The keys of a box and those of its corners: what the maker wrote for single corners goes into their recipes, and what
is wrong with a corner is told under the keys that the maker wrote."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from solids.base.amounts import typed
from solids.base.errors import Problem
from solids.base.messages import Key, Words, message, renamed
from solids.recipe.box_resolved import CORNERS, BoxRecipe, CornerName
from solids.recipe.box_schema import Table
from solids.recipe.schema import Asked, JointsTable, known_keys

Written = Mapping[CornerName, Mapping[str, str]]
"""Of each corner, the keys of the box that stand for keys of its own recipe."""

SHAPING_TABLES = ("entry_chamfer", "undercut")
"""Tables that a corner of a box may have of its own, beside the keys of its joint."""


def scopes_of(name: CornerName) -> tuple[str, str]:
    """The tables under [box.joints] that speak of a corner, the more special one last."""
    end, hand = name.split()
    return end, f"{end}_{hand}"


def of_joints(joints: JointsTable | None, name: CornerName) -> tuple[dict[str, dict[str, Any]], dict[str, str]]:
    """What [box.joints] says of a corner, by table and key of a corner's own recipe, and which keys came from where."""
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
    """Whether one corner of the box or more is a through joint."""
    kinds = (of_joints(joints, name)[0]["joint"].get("kind", asked.joint.kind) for name in CORNERS)
    return any(kind in (None, "through") for kind in kinds)


def merged(asked: Asked, tables: Mapping[str, Mapping[str, Any]]) -> Asked:
    """A recipe with other values, by table and key. They are the inside form of what has been read already."""
    changed = {table: getattr(asked, table).model_copy(update=dict(values)) for table, values in tables.items()}
    return asked.model_copy(update=changed)


def changes(names: Sequence[CornerName], written: Written) -> dict[str, str]:
    """For keys of a corner, the keys of the box that change these corners and no other."""
    of_joints = {
        key: _that_changes(key, names, written)
        for key in known_keys()
        if key.partition(".")[0] in ("joint", *SHAPING_TABLES) and key != "joint.width"
    }
    return {key: of_box for name in names for key, of_box in written[name].items()} | of_joints


def keys_of(recipe: BoxRecipe, names: Sequence[CornerName]) -> dict[str, Words]:
    """The same, with what is said for the sizes of the boards that meet there. Their lengths follow from the box."""
    tails, pins = ("box.width", "box.length") if recipe.tails_on_sides else ("box.length", "box.width")
    sizes = {"joint.width": width_of(recipe, names[0]), "tail_board.length": tails, "pin_board.length": pins}
    return {**changes(names, recipe.written), **sizes}


def width_of(recipe: BoxRecipe, name: CornerName) -> Words:
    """The key that the boards of a corner have their width from. A back that stands above the bottom is narrower than
    the other boards."""
    key = Key(recipe.written[name]["joint.width"])
    below = recipe.height - recipe.corners[name].width
    return message("{} less {}", key, typed(below)) if below else key


def _that_changes(key: str, names: Sequence[CornerName], written: Written) -> str:
    own = key.removeprefix("joint.")
    if len(names) == len(CORNERS) and not any(key in written[name] for name in names):
        return key

    def of(name: CornerName) -> str:
        end, single = (f"box.joints.{scope}.{own}" for scope in scopes_of(name))
        both = {other for other in CORNERS if other.startswith(end_of(name))} <= set(names)
        return end if both and written[name].get(key) != single else single

    return " and ".join(dict.fromkeys(map(of, names)))


def end_of(name: CornerName) -> str:
    """Front or back."""
    return name.split()[0]


def of_corners(found: Mapping[CornerName, Iterable[Problem]], written: Written) -> list[Problem]:
    """What is wrong with corners, each told once: under the key that the maker wrote, with a remedy that changes no
    corner but those it is told of."""
    at: dict[tuple[str, Problem], list[CornerName]] = {}
    for name, problems in found.items():
        for problem in problems:
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
