"""What every part of a whole piece should be in somebody else's eyes: its volume as the report says it, and where it
lies, with a pencil, from the sizes of the recipe. Nothing here reads our solids. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.model import BoxBoard, BoxLayout
from solids.write.report.records.reports import BoxReport

PLACE, VOLUME, OVERLAP = 1e-6, 1e-6, 1e-5
"""How far a face may lie out of its place (mm), how far a volume may be off (of itself), and how much two parts may
have in common (mm3)."""


@dataclass(frozen=True)
class Meant:
    """A part as it should be: its volume (mm3), and the least and the greatest X, Y and Z."""

    volume: float
    low: tuple[float, float, float]
    high: tuple[float, float, float]

    @property
    def bounds(self) -> tuple[float, ...]:
        """All six of them."""
        return (*self.low, *self.high)


def meant_parts(box: BoxLayout, report: BoxReport, *, finished: bool) -> dict[str, Meant]:
    """Every part of a box by its name, as cut or finished."""
    found = {}
    for record in report.boards:
        volume = record.volume_as_finished_mm3 if finished else record.volume_as_cut_mm3
        for name, low, high, drop in _heights(box, box.boards[record.name], finished=finished):
            x, y = _footprint(box, box.boards[record.name], finished=finished)
            found[name] = Meant(volume, (x[0], y[0], low - drop), (x[1], y[1], high - drop))
    for part in report.lid.parts if report.lid and finished else ():
        found[part.name] = Meant(part.volume_mm3, found[part.name].low, found[part.name].high)
    drops = {part.name: part.drop if finished else 0.0 for part in fitting_of(box).parts}
    for fitted in report.fitted:
        (x0, y0, z0), (x1, y1, z1), drop = fitted.low_mm, fitted.high_mm, drops[fitted.name]
        found[fitted.name] = Meant(fitted.volume_mm3, (x0, y0, z0 - drop), (x1, y1, z1 - drop))
    return found


def _heights(box: BoxLayout, board: BoxBoard, *, finished: bool) -> list[tuple[str, float, float, float]]:
    """What a board is in the end, a name each: from where to where it reaches as it is glued up, and how much lower it
    lies then. A saw takes its kerf, and a plane something off both edges."""
    lid, top = box.recipe.lid, board.low + board.width
    if lid is None or not finished:
        return [(board.side, board.low, top, 0.0)]
    lost = lid.kerf / 2 + lid.planing
    return [
        (board.side, board.low, lid.at - lost, 0.0),
        (f"lid {board.side}", lid.at + lost, top, 2 * lost),
    ]


def _footprint(box: BoxLayout, board: BoxBoard, *, finished: bool) -> tuple[tuple[float, float], tuple[float, float]]:
    """From where to where a board reaches in X and in Y: through its thickness outward from its inside face, and along
    it past the inside faces of its neighbours."""
    thick = board.board.thickness - (box.planing if finished else 0.0)
    ends = {corner.name: board.reach(corner, finished=finished) for corner in (board.up, board.down)}
    x, y = box.inside
    if board.side in ("front", "back"):
        near, far = (ends[f"{board.side} {hand}"] for hand in ("left", "right"))
        return (x[0] - near, x[1] + far), ((y[0] - thick, y[0]) if board.side == "front" else (y[1], y[1] + thick))
    near, far = (ends[f"{end} {board.side}"] for end in ("front", "back"))
    return ((x[0] - thick, x[0]) if board.side == "left" else (x[1], x[1] + thick)), (y[0] - near, y[1] + far)


def faults(meant: Mapping[str, Meant], solids: Iterable[dict[str, Any]], shared: Mapping[str, float]) -> list[str]:
    """What is wrong with what was read of a file: `solids` are records of volume, valid, closed and bounds, and
    `shared` what pairs of them have in common (mm3)."""
    left, wrong = [*solids], []
    for name, part in meant.items():
        there = [solid for solid in left if _lies(part, solid["bounds"])]
        if len(there) != 1:
            wrong.append(f"{name}: {len(there)} solids lie where it should")
            continue
        left.remove(there[0])
        volume = there[0]["volume"]
        if abs(volume - part.volume) > VOLUME * part.volume:
            wrong.append(f"{name}: {volume} mm3 instead of {part.volume}")
        if not (there[0]["valid"] and there[0]["closed"]):
            wrong.append(f"{name}: no sound solid")
    wrong += [f"nothing should be at {solid['bounds']}" for solid in left]
    return [*wrong, *(f"{pair}: {mm3} mm3 in common" for pair, mm3 in shared.items() if mm3 > OVERLAP)]


def _lies(part: Meant, bounds: list[float]) -> bool:
    return all(abs(one - other) <= PLACE for one, other in zip(part.bounds, bounds, strict=True))
