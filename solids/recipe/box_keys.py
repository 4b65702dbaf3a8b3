"""The keys of a box and those of its corners: what the maker wrote for single corners goes into their recipes, and what
is wrong with a corner is told under the keys that the maker wrote."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from solids.base.errors import Problem
from solids.recipe.box_resolved import CORNERS, CornerName

SHAPING_TABLES = ("entry_chamfer", "undercut")
"""Tables that a corner of a box may have of its own, beside the keys of its joint."""

CORNER_KEY = re.compile(r"\b(?:joint|tail_board|pin_board|entry_chamfer|undercut)\.\w+")


def scopes_of(name: CornerName) -> tuple[str, str]:
    """The tables under [box.joints] that speak of a corner, the more special one last."""
    end, hand = name.split()
    return end, f"{end}_{hand}"


def put_joint(raw: dict[str, Any], joints: Mapping[str, Any], name: CornerName) -> dict[str, str]:
    """Puts what [box.joints] says of a corner into its recipe, and tells which keys came from where."""
    written: dict[str, str] = {}
    for scope in scopes_of(name):
        for key, value in joints.get(scope, {}).items():
            if key in SHAPING_TABLES:
                raw[key] = raw.get(key, {}) | value
                written |= {f"{key}.{part}": f"box.joints.{scope}.{key}.{part}" for part in value}
            else:
                raw["joint"][key] = value
                written[f"joint.{key}"] = f"box.joints.{scope}.{key}"
    return written


def has_through_corner(joint: Mapping[str, Any], joints: Mapping[str, Any]) -> bool:
    """Whether one corner of the box or more is a through joint."""

    def kind(name: CornerName) -> object:
        told = [joints.get(scope, {}).get("kind") for scope in reversed(scopes_of(name))]
        return next((word for word in (*told, joint.get("kind")) if word), "through")

    return any(kind(name) == "through" for name in CORNERS)


def as_written(problem: Problem, written: Mapping[str, str]) -> Problem:
    """A problem of a corner under the keys that the maker wrote, in all that is said."""

    def told(text: str) -> str:
        return CORNER_KEY.sub(lambda key: written.get(key[0], key[0]), text)

    return replace(problem, key=told(problem.key), wrong=told(problem.wrong), remedy=told(problem.remedy))
