"""What is proved of dividers: that they bear where they should, that they go in and are held, and that they neither
stand proud nor bind through the year."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from solids.base import tolerances as tol
from solids.base.amounts import area, at_most, fine
from solids.base.findings import REPORT, Finding
from solids.base.geometry import Vector, scaled
from solids.base.messages import Key, Words, capital, message
from solids.base.sources import WOOD_HANDBOOK
from solids.bench.assembling import Order
from solids.layout.box.divider_meetings import Bearing, divider_bearings
from solids.layout.box.fitted.dividers import name_of
from solids.layout.box.kinds import and_so_on
from solids.layout.box.model import OUTWARD, BoxLayout
from solids.model.kernel import Mesh, faces_of
from solids.model.manifold import Body, body_of, moved, overlap_volume
from solids.model.parts import Part
from solids.proof.joint.contacts import SAME_DIRECTION, FacePlane, axes_across, plane_of, section_of
from solids.recipe.completing.dividers import key_of
from solids.recipe.tables.box_resolved import SIDES
from solids.recipe.tables.dividers import ENDS_IN, Divider, numbered


def divider_findings(
    box: BoxLayout, parts: Sequence[Part], meshes: Mapping[str, Mesh], order: Order
) -> Iterator[Finding]:
    """Every finding about the dividers of a box, as cut; none where it has none."""
    if not box.recipe.dividers:
        return
    yield from _bearing_findings(box, parts)
    yield from _hold_findings(box, meshes)
    yield _way_in(box, order)
    yield from _movement_findings(box)


def _told(numbers: Sequence[int]) -> str:
    """ "dividers 1 and 2", "divider 3"."""
    return f"divider{'s' if len(numbers) > 1 else ''} {and_so_on([*map(str, numbers)])}"


# --- where they bear -------------------------------------------------------------------------------


def _bearing_findings(box: BoxLayout, parts: Sequence[Part]) -> Iterator[Finding]:
    faces = {part.name: [plane_of(face) for face in faces_of(part.in_place)] for part in parts}
    meant = divider_bearings(box)
    measured = [(each, bearing_area(faces[each.part], faces[each.mate], each)) for each in meant]
    wrong = [pair for pair in measured if abs(pair[1] - pair[0].area) > _slack(pair[0])]
    for each, found in wrong:
        told = message(
            "{}: the faces meet over {}; the recipe has {}.", capital(each.name), area(found), area(each.area)
        )
        yield Finding("divider-bearing", "fail", told, each.part, found, each.area, "mm2", REPORT)
    if not wrong:
        whole = sum(found for _, found in measured)
        told = message("The dividers bear as they should: {} pairs of faces, over {} in all.", len(meant), area(whole))
        yield Finding("divider-bearing", "pass", told, "", whole, unit="mm2")


def _slack(meant: Bearing) -> float:
    return tol.AREA_RELATIVE * meant.area + tol.AREA_ABSOLUTE


def bearing_area(one: Iterable[FacePlane], other: Iterable[FacePlane], meant: Bearing) -> float:
    """The area (mm2) over which faces of two parts meet in the plane of a bearing; 0 where either has no face there."""
    normal = np.array(meant.normal)
    basis = np.array(axes_across(normal))
    mine, theirs = (
        [section_of(face, basis) for face in faces if _lies_there(face, out, meant)]
        for faces, out in ((one, normal), (other, -normal))
    )
    return math.fsum((face ^ mate).area() for face in mine for mate in theirs)


def _lies_there(face: FacePlane, normal: np.ndarray, meant: Bearing) -> bool:
    """Whether a face looks along a normal and lies in the plane of a bearing."""
    if face.normal @ normal < SAME_DIRECTION:
        return False
    return bool(np.abs((face.points - np.array(meant.point)) @ normal).max() <= tol.FACE_DEPARTS)


# --- what holds them -------------------------------------------------------------------------------


def _hold_findings(box: BoxLayout, meshes: Mapping[str, Mesh]) -> Iterator[Finding]:
    """What a divider, moved a little, meets; and whether it keeps the boards that it ends in from bowing outward."""
    bodies = {name: body_of(mesh.points, mesh.triangles) for name, mesh in meshes.items()}
    held, loose, ties = [], [], []
    for number, divider in numbered(box.recipe.dividers):
        ways = {**_sideways(divider), "down": (0.0, 0.0, -1.0)}
        free = [way for way, direction in ways.items() if not _meets(name_of(number), direction, bodies)]
        if free == ["down"] and _falls_through(box, divider):
            loose.append(number)
        elif free:
            sentence = f"Moved {free[0]}, divider {number} meets nothing."
            yield Finding("divider-hold", "fail", sentence, name_of(number), remedy=REPORT)
        else:
            held.append(number)
        ties += [number] if divider.is_dovetailed else []
    yield from _tie_findings(box, bodies, ties)
    if held:
        sentence = f"Pushed aside, endways or down, {_told(held)} {_is(held)} held."
        yield Finding("divider-hold", "pass", sentence, _told(held))
    if loose:
        sentence = (
            f"Pushed aside or endways, {_told(loose)} {_is(loose)} held; down, by glue alone: no bottom is below."
        )
        yield Finding("divider-hold", "note", sentence, _told(loose))


def _is(numbers: Sequence[int]) -> str:
    return "are" if len(numbers) > 1 else "is"


def _sideways(divider: Divider) -> dict[str, Vector]:
    sides = SIDES if divider.axis == 0 else (*SIDES[1:], SIDES[0])
    return {f"to the {side}": OUTWARD[side] for side in sides}


def _falls_through(box: BoxLayout, divider: Divider) -> bool:
    """Whether its housings run through the lower edges, and do not narrow downward."""
    through = all(divider.up <= box.boards[side].low + tol.ROUNDING for side in ENDS_IN[divider.runs])
    return through and not divider.taper


def _meets(name: str, direction: Vector, bodies: Mapping[str, Body]) -> bool:
    """Whether a part, moved by a step, meets any other."""
    part = moved(bodies[name], scaled(direction, tol.MOVE_STEP))
    return any(overlap_volume(part, other) > tol.ENTRY_OVERLAP for mate, other in bodies.items() if mate != name)


def _tie_findings(box: BoxLayout, bodies: Mapping[str, Body], ties: Sequence[int]) -> Iterator[Finding]:
    """Whether the boards, pulled outward, are held by the dovetails; what a plain housing does not do."""
    wrong = False
    for number in ties:
        divider = box.recipe.dividers[number - 1]
        for side in ENDS_IN[divider.runs]:
            board = moved(bodies[side], scaled(OUTWARD[side], tol.MOVE_STEP))
            if overlap_volume(board, bodies[name_of(number)]) <= tol.ENTRY_OVERLAP:
                wrong = True
                sentence = f"Pulled outward, the {side} board is not held by the dovetail of divider {number}."
                yield Finding("divider-tie", "fail", sentence, name_of(number), remedy=REPORT)
    if ties and not wrong:
        sentence = f"The dovetails of {_told(ties)} keep the boards from bowing outward."
        yield Finding("divider-tie", "pass", sentence, _told(ties))


# --- the way in --------------------------------------------------------------------------------------


def _way_in(box: BoxLayout, order: Order) -> Finding:
    """Whether what slides into open housings does so from above, after all boards."""
    places = {move.part: place for place, move in enumerate(order.moves)}
    ways = {move.part: move.direction for move in order.moves}
    last = max(places.get(side, 0) for side in SIDES)
    late, early = [], []
    for number, divider in numbered(box.recipe.dividers):
        name = name_of(number)
        if divider.housing == "stopped":
            early.append(number)
            continue
        late.append(number)
        if places.get(name, -1) < last or ways.get(name) != "from above":
            sentence = f"Divider {number} does not slide in from above once the box is together."
            remedy = message('Let it go in with the boards: {} = "stopped".', Key(key_of(number, "housing")))
            return Finding("divider-way", "fail", sentence, name, remedy=remedy)
    told = (
        [f"{_told(late)} {'slide' if len(late) > 1 else 'slides'} in from above when the box is glued"] if late else []
    )
    told += [f"{_told(early)} {'go' if len(early) > 1 else 'goes'} in with the boards"] if early else []
    return Finding("divider-way", "pass", f"{capital('; '.join(told))}.")


# --- through the year --------------------------------------------------------------------------------


def _movement_findings(box: BoxLayout) -> Iterator[Finding]:
    """One line for all dividers that move alike."""
    alike: dict[Divider, list[int]] = {}
    for number, divider in numbered(box.recipe.dividers):
        alike.setdefault(_as_it_moves(divider), []).append(number)
    for divider, numbers in alike.items():
        yield _movement(box, divider, numbers)


def _as_it_moves(divider: Divider) -> Divider:
    """The same without what does not matter to its movement."""
    room = divider.room if divider.housing == "stopped" else 0.0
    plain = replace(divider, at=0.0, thickness=1.0, depth=1.0, joint="housing", ratio=0.0, taper=0.0)
    return replace(plain, housing="open", room=room)


def _movement(box: BoxLayout, divider: Divider, numbers: Sequence[int]) -> Finding:
    damp, dry = left_above(box, divider)
    grows, shrinks = divider.height * divider.grows, divider.height * divider.shrinks
    who = capital(_told(numbers))
    year: Words = message(
        "{}: the grain runs from board to board and pushes neither outward. The height of {} grows {} by the dampest "
        "time at home and shrinks {} by the driest.",
        *(who, fine(divider.height), fine(grows), fine(shrinks)),
    )
    if divider.room:
        year = message("{} The housing leaves {} above it for that.", year, fine(divider.room))
    least = min(damp, dry)
    if least < -tol.ROUNDING:
        when = "dampest" if damp <= dry else "driest"
        told = message("{} The upper edge then stands {} proud of the boards at the {}.", year, fine(-least), when)
        remedy = message(
            "Make it {} high or less ({}).", at_most(divider.height + least), Key(key_of(numbers[0], "height"))
        )
        return Finding("divider-movement", "warning", told, who, least, 0.0, "mm", remedy, WOOD_HANDBOOK)
    told = message(
        "{} The upper edge is {} below those of the boards at the dampest, and {} at the driest.",
        year,
        fine(damp),
        fine(dry),
    )
    return Finding("divider-movement", "pass", told, who, least, 0.0, "mm")


def left_above(box: BoxLayout, divider: Divider) -> tuple[float, float]:
    """How far its upper edge is below those of the boards in the dampest and in the driest air (mm). Boards and divider
    both move over their height; the divider stands on what moves with the boards."""
    ends = (box.boards[side] for side in ENDS_IN[divider.runs])
    space = min(board.low + board.width for board in ends) - divider.up
    damp = space * (1 + divider.sides_grow) - divider.height * (1 + divider.grows)
    dry = space * (1 - divider.sides_shrink) - divider.height * (1 - divider.shrinks)
    return damp, dry
