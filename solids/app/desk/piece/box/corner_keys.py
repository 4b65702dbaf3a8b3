"""What holds at a key of a box that the maker left out: at one of a single corner or board, what holds for the wider
place; at one of all corners, what each of them has where they differ."""

from __future__ import annotations

from typing import Any

from solids.layout.box.kinds import and_so_on
from solids.recipe.completing.box_keys import SHAPING_TABLES, scopes_of
from solids.recipe.tables.box_resolved import CORNERS, SIDES, BoxRecipe

JOINT, JOINTS = "joint.", "box.joints."
EVERYWHERE, AT_THIS_END = "as at all corners", "as at both corners of this end"


def inherited(keys: dict[str, dict[str, Any]], recipe: BoxRecipe) -> dict[str, dict[str, Any]]:
    """The same keys, where those that nobody gave show what holds there."""
    found = {key: _filled(key, value, keys, recipe) for key, value in keys.items()}
    return {key: _by_corner(key, value, found) for key, value in found.items()}


def _by_corner(key: str, value: dict[str, Any], keys: dict[str, dict[str, Any]]) -> dict[str, Any]:
    """What the corners have, each value once, where no single one holds at all of them."""
    if not key.startswith(JOINT) or value["value"] or value["shown"]:
        return value
    at: dict[str, list[str]] = {}
    for corner in CORNERS:
        _, single = scopes_of(corner)
        there = keys.get(f"{JOINTS}{single}.{key.removeprefix(JOINT)}", value)
        if shown := there["value"] or there["shown"]:
            at.setdefault(shown, []).append(corner)
    if not at:
        return value
    rule = "; ".join(f"{shown} at {and_so_on(corners)}" for shown, corners in at.items())
    return {**value, "shown": " / ".join(at), "by": "corner", "rule": rule}


def _filled(key: str, value: dict[str, Any], keys: dict[str, dict[str, Any]], recipe: BoxRecipe) -> dict[str, Any]:
    if value["value"] or value["shown"]:
        return value
    for wider, rule in _wider(key, recipe):
        found = keys.get(wider)
        if found and (shown := found["value"] or found["shown"]):
            return {**value, "shown": shown, "rule": rule}
    return value


def _wider(key: str, recipe: BoxRecipe) -> list[tuple[str, str]]:
    """The keys that hold where this one is left out, the nearest first, each with how that is told."""
    if key.startswith(JOINTS):
        scope, _, own = key.removeprefix(JOINTS).partition(".")
        everywhere = own if own.partition(".")[0] in SHAPING_TABLES else f"joint.{own}"
        end = next((end for end, single in map(scopes_of, CORNERS) if single == scope), None)
        return [*([(f"{JOINTS}{end}.{own}", AT_THIS_END)] if end else []), (everywhere, EVERYWHERE)]
    side, _, own = key.removeprefix("box.").partition(".")
    if side not in SIDES:
        return []
    carries_tails = (side in ("left", "right")) == recipe.tails_on_sides
    table, which = ("tail_board", "tail boards") if carries_tails else ("pin_board", "pin boards")
    return [(f"{table}.{own}", f"as both {which}")]
