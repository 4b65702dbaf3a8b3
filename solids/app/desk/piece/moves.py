"""A move of any handle of a piece: which keys of its recipe change. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from solids.app.desk.piece.box.sizes import WHOLE, moved_box
from solids.app.desk.piece.handles import moved_at
from solids.app.desk.piece.joints import BETWEEN, joint_called, other_joints
from solids.app.desk.piece.typing_in import Changes
from solids.base import tolerances as tol
from solids.base.errors import InputError
from solids.layout import Layout
from solids.layout.box.model import BoxLayout


def moved(tables: Mapping[str, Any], plan: Layout | BoxLayout, handle: str, by_mm: float) -> Changes:
    """What a move of a handle changes, in a recipe as it is written and laid out. `by_mm` is how far it moves on its
    drawing, to the right or up, from where it is drawn; of tails, how many more there are to be. InputError where
    there is no such handle, or where it cannot be moved."""
    called, _, name = handle.rpartition(BETWEEN)
    if not math.isfinite(by_mm) or abs(by_mm) > tol.LARGEST_LENGTH:
        raise InputError(f"{name} cannot be moved by {by_mm:g} mm")
    if called == WHOLE and isinstance(plan, BoxLayout):
        return moved_box(plan, name, by_mm)
    joint = joint_called(plan, called)
    if joint is None:
        raise InputError(f"{name} is nothing that can be moved here")
    kind, number = name.rstrip("0123456789 "), int(name.rpartition(" ")[2] if name[-1:].isdigit() else 0)
    return moved_at(joint, other_joints(plan, joint), tables, kind, number, by_mm)
