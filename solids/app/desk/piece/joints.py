"""The joints of a piece as a maker changes them. Corners of a box that are made alike are changed together, under the
keys that change these and no others; or one of them is changed alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from solids.layout import Layout
from solids.layout.assembly import JointKind
from solids.layout.box.kinds import kind_title, made_alike, shown_layout
from solids.layout.box.model import BoxLayout
from solids.recipe.completing.box_keys import places_of, scopes_of
from solids.recipe.tables.box_resolved import SIDES, CornerName, Side
from solids.recipe.tables.keys import value_at

BETWEEN = ": "
"""What stands between the corner of a box and the name of a handle there: "front left: pin 2"."""

ALONE = " alone"
"""What stands behind a corner that is changed by itself."""

PIN_BOARD = "pin_board.thickness"


@dataclass(frozen=True)
class Joint:
    """A joint, as `layout` draws it. In a box it stands for the corners `names`, which change together; `places` are
    the keys of the recipe behind each key of the joint. `called` is what the names of its handles begin with."""

    layout: Layout
    called: str = ""
    names: tuple[CornerName, ...] = ()
    places: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def title(self) -> str:
        """ "all four corners"; "" for a joint by itself."""
        return kind_title(self.names)

    def at(self, key: str) -> tuple[str, ...]:
        """Where a change of a key of this joint is written."""
        return self.places.get(key, (key,))

    def scopes(self, key: str) -> tuple[str, ...]:
        """Every key that can hold the value of a key of this joint, the more specific ones last."""
        own = key.removeprefix("joint.")
        ends = (f"box.joints.{scopes_of(name)[0]}.{own}" for name in self.names)
        singles = (f"box.joints.{scopes_of(name)[1]}.{own}" for name in self.names)
        return tuple(dict.fromkeys((key, *ends, *singles)))

    def source(self, tables: Mapping[str, Any], key: str) -> str:
        """Where the maker wrote what holds for a key of this joint; "" where nothing was."""
        found = [place for place in self.scopes(key) if value_at(tables, place) is not None]
        return found[-1] if found else ""

    def value(self, tables: Mapping[str, Any], key: str) -> Any:
        """What the maker wrote for a key of this joint, None where nothing was."""
        return value_at(tables, self.source(tables, key) or key)


def kinds_of(plan: Layout | BoxLayout) -> tuple[JointKind, ...]:
    """The joints that the page draws: those of one make that stand the same way round. A joint that is its own mirror
    image is drawn both ways too, so that nothing turns round when a flank of it is moved."""
    if isinstance(plan, Layout):
        return (JointKind(plan),)
    found: dict[tuple[tuple[CornerName, ...], bool], list[CornerName]] = {}
    for name, corner in plan.corners.items():
        found.setdefault((alike(plan, name), corner.upright), []).append(name)
    groups = map(tuple, found.values())
    return tuple(JointKind(shown_layout(plan, names), names) for names in groups)


def joint_of(plan: Layout | BoxLayout, kind: JointKind) -> Joint:
    """A kind of joint, with all corners that are made like it, whichever way round they stand."""
    if isinstance(plan, Layout):
        return Joint(kind.layout)
    names = alike(plan, kind.names[0])
    return Joint(kind.layout, kind.names[0], names, _places(plan, names))


def alone(box: BoxLayout, layout: Layout, name: CornerName) -> Joint:
    """One corner, to be changed by itself."""
    return Joint(layout, f"{name}{ALONE}", (name,), _places(box, (name,), own=True))


def joint_called(plan: Layout | BoxLayout, called: str) -> Joint | None:
    """The joint of which a handle's name begins so; None where there is none."""
    if isinstance(plan, Layout):
        return None if called else Joint(plan)
    name = next((name for name in plan.corners if name == called.removesuffix(ALONE)), None)
    if name is None:
        return None
    kind = JointKind(shown_layout(plan, (name,)), (name,))
    return alone(plan, kind.layout, name) if called.endswith(ALONE) else joint_of(plan, kind)


def other_joints(plan: Layout | BoxLayout, joint: Joint) -> list[Joint]:
    """The rest of the corners, those together that are made alike."""
    if isinstance(plan, Layout):
        return []
    groups = dict.fromkeys(
        tuple(other for other in alike(plan, name) if other not in joint.names)
        for name in plan.corners
        if name not in joint.names
    )
    return [Joint(joint.layout, names[0], names, _places(plan, names)) for names in groups]


def alike(box: BoxLayout, name: CornerName) -> tuple[CornerName, ...]:
    """The corners that are made as this one is."""
    return next(names for names in box.once(made_alike) if name in names)


def _places(box: BoxLayout, names: tuple[CornerName, ...], *, own: bool = False) -> dict[str, tuple[str, ...]]:
    sides = [side for side in SIDES if box.kind_of(side) == "pin board" and any(side in name for name in names)]
    return {**places_of(names, box.recipe.written), PIN_BOARD: thickness_at(box, sides, own=own)}


def thickness_at(box: BoxLayout, sides: Iterable[Side], *, own: bool = False) -> tuple[str, ...]:
    """The keys that change how thick these boards are, and no others: that of all tail boards or of all pin boards
    where it holds for just these, else each board's `own`."""
    wanted = tuple(sides)
    shared = [
        side for side in SIDES if box.kind_of(side) == box.kind_of(wanted[0]) and not has_own_thickness(box, side)
    ]
    if own or set(shared) != {side for side in wanted if not has_own_thickness(box, side)} or not shared:
        return tuple(f"box.{side}.thickness" for side in wanted)
    table = box.kind_of(wanted[0]).replace(" ", "_")
    return (f"{table}.thickness", *(f"box.{side}.thickness" for side in wanted if has_own_thickness(box, side)))


def has_own_thickness(box: BoxLayout, side: Side) -> bool:
    """Whether the maker gave this board a thickness of its own."""
    own = f"box.{side}.thickness"
    return any(own in places.values() for name, places in box.recipe.written.items() if side in name)
