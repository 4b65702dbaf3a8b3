"""The sizes of a whole box: which the maker gave, outside or inside, and what moves them on the drawings. Lengths in
mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from solids.app.desk.piece.box.plan import on_side
from solids.app.desk.piece.box.section import holding_face
from solids.app.desk.piece.drawings import Handle, View, ViewName
from solids.app.desk.piece.joints import BETWEEN, has_own_thickness, thickness_at
from solids.app.desk.piece.typing_in import FINE_STEPS, STEPS, Changes, snapped, thickness_text, typed
from solids.app.desk.piece.values import typed_value
from solids.base.errors import InputError
from solids.base.geometry import PlanePoint
from solids.base.lengths import CALIPER, RULE, format_length
from solids.layout.box.kinds import and_so_on
from solids.layout.box.model import BoxLayout
from solids.recipe.tables.box_resolved import SIDES, Side
from solids.recipe.tables.keys import value_at
from solids.recipe.text.frozen import written_length

WHOLE = "box"
"""What the names of handles of a whole box begin with: "box: length"."""

Given = Literal["outside", "inside", "both"]
GROOVE = {"groove up": "up", "groove width": "width", "groove depth": "depth"}
BOARD = " thickness"
FOLLOWS = "it follows from your other sizes"


@dataclass(frozen=True)
class Size:
    """A size of a box, outside and inside, with the keys that hold it, and which of them the maker gave."""

    name: str
    outside: float
    inside: float
    keys: tuple[str, str]
    given: Given

    @property
    def key(self) -> str:
        """That which a change is written under."""
        return self.keys[self.given == "inside"]

    @property
    def value(self) -> float:
        """Its value."""
        return self.inside if self.given == "inside" else self.outside


def sizes_of(box: BoxLayout) -> list[Size]:
    """Length, width and height. The height outside is that of the boards, inside that above the bottom."""
    height = box.recipe.height
    found = [_size(box, name, outside, inside) for name, outside, inside in zip(
        ("length", "width"), box.outside, box.recipe.inside, strict=True)]  # fmt: skip
    return [*found, _size(box, "height", height, height - box.recipe.floor)]


def _size(box: BoxLayout, name: str, outside: float, inside: float) -> Size:
    tables, keys = box.recipe.tables, (f"box.{name}", f"box.inside_{name}")
    if name == "height" and value_at(tables, keys[0]) is None and value_at(tables, "joint.width") is not None:
        keys = ("joint.width", keys[1])
    there = [value_at(tables, key) is not None for key in keys]
    given: Given = "both" if all(there) else "inside" if there[1] else "outside"
    return Size(name, outside, inside, keys, given)


def size_records(box: BoxLayout) -> list[dict[str, Any]]:
    """The sizes as the page reads them. `turn` is what makes the one that the maker did not give the one that counts,
    with the box as it is; where both were given, and the boards follow from them, there is none."""
    return [_record(box, size) for size in sizes_of(box)]


def _record(box: BoxLayout, size: Size) -> dict[str, Any]:
    units, tables = box.recipe.units, box.recipe.tables
    there = []
    for key, mm in zip(size.keys, (size.outside, size.inside), strict=True):
        written = value_at(tables, key)
        shown = typed_value(written) if written is not None else format_length(mm, units, CALIPER)
        there.append({"key": key, "shown": shown, "mm": round(mm, 6)})
    outside, inside = there
    return {"name": size.name, "outside": outside, "inside": inside, "given": size.given, "turn": _turned(box, size)}


def with_sizes(keys: dict[str, dict[str, Any]], box: BoxLayout) -> dict[str, dict[str, Any]]:
    """The values of all keys, where a size that was left out shows what it is."""
    found = dict(keys)
    for size in sizes_of(box):
        for key, mm in zip(size.keys, (size.outside, size.inside), strict=True):
            if not keys[key]["value"] and not keys[key]["shown"]:
                found[key] = {**keys[key], "shown": format_length(mm, box.recipe.units, CALIPER), "rule": FOLLOWS}
    return found


def _turned(box: BoxLayout, size: Size) -> Changes | None:
    if size.given == "both":
        return None
    to, mm = (size.keys[1], size.inside) if size.given == "outside" else (size.keys[0], size.outside)
    others = (*size.keys, *(("joint.width",) if size.name == "height" else ()))
    gone: Changes = {key: None for key in others if key != to and value_at(box.recipe.tables, key) is not None}
    return {**gone, to: typed_value(written_length(mm, box.recipe.units))}


# --- handles -----------------------------------------------------------------------------------------


def box_handles(box: BoxLayout, plan: View, section: View | None) -> list[Handle]:
    """All handles of a whole box on its two drawings."""
    return [*_size_handles(box, plan), *_board_handles(box, plan), *(_groove_handles(box, section) if section else ())]


def _handle(
    box: BoxLayout, name: str, words: str, at: tuple[ViewName, PlanePoint, str], value: float, keys: tuple[str, ...],
    sense: int = 1,
) -> Handle:  # fmt: skip
    view, place, along = at
    units = box.recipe.units
    shown, step, fine = format_length(value, units, RULE), STEPS[units], FINE_STEPS[units]
    return Handle(f"{WHOLE}{BETWEEN}{name}", words, view, place, along, value, shown, step, fine, keys, sense)


def _size_handles(box: BoxLayout, plan: View) -> Iterator[Handle]:
    (long, wide), low = box.outside, on_side(box, "front", box.outside[0] / 3, 0.0)
    places = {"length": ((long, wide / 4), "x", 1), "width": ((long / 2, wide), "y", 1), "height": (low, "y", -1)}
    for size in sizes_of(box):
        at, along, sense = places[size.name]
        how = (
            "above the bottom" if size.key == "box.inside_height" else "of the boards" if size.name == "height" else ""
        )
        words = f"{size.name} {how}" if how else f"{size.name} {'inside' if size.given == 'inside' else 'outside'}"
        yield _handle(box, size.name, words, ("plan", plan.at(*at), along), size.value, (size.key,), sense)


def _board_handles(box: BoxLayout, plan: View) -> Iterator[Handle]:
    """The thickness of each board, at its inside face."""
    (left, right), (front, back) = box.inside
    x, y = left + (right - left) / 3, front + 2 * (back - front) / 3
    places: dict[Side, tuple[PlanePoint, str, int]] = {
        "front": ((x, front), "y", 1),
        "right": ((right, y), "x", -1),
        "back": ((x, back), "y", -1),
        "left": ((left, y), "x", 1),
    }
    for side in SIDES:
        at, along, sense = places[side]
        keys, thickness = _thickness_keys(box, side), box.board_of(side).thickness
        words = f"thickness of the {and_so_on(_alike(box, side))}"
        yield _handle(box, f"{side}{BOARD}", words, ("plan", plan.at(*at), along), thickness, keys, sense)


def _thickness_keys(box: BoxLayout, side: Side) -> tuple[str, ...]:
    """Those of the boards that share a thickness with this one, or of this one."""
    return thickness_at(box, _alike(box, side))


def _alike(box: BoxLayout, side: Side) -> list[Side]:
    """The boards whose thickness is given with this one's."""
    shared = [other for other in SIDES if box.kind_of(other) == box.kind_of(side) and not has_own_thickness(box, other)]
    return shared if side in shared else [side]


def _groove_handles(box: BoxLayout, section: View) -> Iterator[Handle]:
    groove, thick = box.recipe.groove, holding_face(box)
    floor, what = thick - groove.depth, "rebate" if box.recipe.panel.in_rebate else "groove"
    rows = (
        ("groove up", "height of the groove above the reference edge",
         ((thick + floor) / 2, groove.up), "y", groove.up, 1),
        ("groove width", "height of the rebate" if groove.up == 0 else "width of the groove, as thick as the bottom",
         ((thick + floor) / 2, groove.top), "y", groove.width, 1),
        ("groove depth", f"depth of the {what}", (floor, (groove.up + groove.top) / 2), "x", groove.depth, -1),
    )  # fmt: skip
    for name, words, at, along, value, sense in rows[box.recipe.panel.in_rebate :]:
        keys = _groove_keys(box, name)
        yield _handle(box, name, words, ("section", section.at(*at), along), value, keys, sense)


def _groove_keys(box: BoxLayout, name: str) -> tuple[str, ...]:
    """That of the groove, and with its width the thickness of a bottom that fills it, where the maker gave that."""
    panel, key, own = box.recipe.panel, f"box.groove.{GROOVE[name]}", "box.panel.thickness"
    fills = panel.edge == "plain" and panel.thickness == box.recipe.groove.width
    if name == "groove width" and fills and value_at(box.recipe.tables, own) is not None:
        return key, own
    return (key,)


# --- a move --------------------------------------------------------------------------------------------


def moved_box(box: BoxLayout, name: str, by_mm: float) -> Changes:
    """What a move of one of these handles changes. InputError where there is no such handle."""
    units = box.recipe.units
    size = next((size for size in sizes_of(box) if size.name == name), None)
    if size:
        by = -by_mm if name == "height" else by_mm
        return {size.key: typed(max(snapped(size.value + by, units), FINE_STEPS[units]), units)}
    groove = box.recipe.groove
    if name in GROOVE and groove.width:
        value = {"up": groove.up, "width": groove.width, "depth": groove.depth}[GROOVE[name]]
        by = -by_mm if name == "groove depth" else by_mm
        moved = typed(max(snapped(value + by, units), FINE_STEPS[units]), units)
        return dict.fromkeys(_groove_keys(box, name), moved)
    side = next((side for side in SIDES if name == f"{side}{BOARD}"), None)
    if side is None:
        raise InputError(f"{name} is nothing that can be moved here")
    board = box.board_of(side)
    by = by_mm if side in ("left", "front") else -by_mm
    return dict.fromkeys(_thickness_keys(box, side), thickness_text(board.thickness + by, board.uneven, units))
