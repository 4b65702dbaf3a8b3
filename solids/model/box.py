"""The solids of a box: each board with both ends worked, grooved, and placed; what is fitted between them; and its
plugs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from solids.base.geometry import IDENTITY, Frame, Slab
from solids.layout.box.alike import board_key, fitted_alike
from solids.layout.box.faces import BoardFaces, FittedFaces, Moved, PlugFaces, SawnFaces
from solids.layout.box.fitted.bodies import AIR, Fitted
from solids.layout.box.fitted.every import cuts_in, fitting_of, strips_of
from solids.layout.box.fitted.halves import lid_name
from solids.layout.box.fitted.hinges import BACK, mortises
from solids.layout.box.loose import plug_slabs
from solids.layout.box.model import BoxBoard, BoxCorner, BoxLayout
from solids.layout.joint.faces import FaceNames
from solids.model.boards import pin_board_faces, tail_board_faces
from solids.model.boards.whole import end_to_end
from solids.model.kernel import Solid, solid_from_faces
from solids.model.kernel.shaping import cut, fuse, placed, prism
from solids.model.parts import Part
from solids.model.sawn import sawn_in_two
from solids.recipe.tables.box_resolved import SIDES, Side


def box_parts(box: BoxLayout, *, finished: bool) -> tuple[Part, ...]:
    """Boards, what is fitted between them, and where they are asked for and the box is finished, plugs. Boards that are
    congruent by a turn are one piece, made once. Of a finished box with a lid sawn off, each board is two parts, and
    the lid lies on the box."""
    boards: dict[Side, Part] = {}
    pieces: dict[tuple[object, ...], Part] = {}
    for side in SIDES:
        board = box.boards[side]
        key = board_key(box, board, finished=finished)
        first = pieces.get(key)
        if first is None:
            first = Part(side, side, _board(box, board, finished=finished), board.board.wood, board.up.rows)
            pieces[key] = first
        rows, faces = board.up.rows, BoardFaces(box, board)
        boards[side] = Part(side, first.shape, first.solid, board.board.wood, rows, faces)
    parts = [*(_sawn_apart(box, boards) if finished and box.recipe.lid else boards.values())]
    parts += _fitted_parts(box, finished=finished)
    if finished:
        parts += _plugs(box)
    return tuple(parts)


def _fitted_parts(box: BoxLayout, *, finished: bool) -> Iterator[Part]:
    """What is fitted between the boards. Parts that are alike are made once, in the place of the first."""
    made: dict[str, Solid] = {}
    for fitted in fitting_of(box).parts:
        shape, rows = fitted_alike(box)[fitted.name]
        if shape not in made:
            made[shape] = _fitted(fitted)
        faces: FaceNames = FittedFaces(fitted)
        if rows != IDENTITY:
            faces = Moved(faces, rows.inverse())
        if finished and fitted.drop:
            rows = rows.shifted((0.0, 0.0, -fitted.drop))
        yield Part(fitted.name, shape, made[shape], fitted.wood, rows, faces)


def _sawn_apart(box: BoxLayout, boards: Mapping[Side, Part]) -> Iterator[Part]:
    """The parts of all boards in the closed box: those of the box, then those of the lid, which has come down onto it.
    Boards of one shape stay of one shape. `boards` are the finished boards as they were glued up."""
    lid = box.recipe.lid
    assert lid is not None
    made: dict[str, tuple[Solid, Solid]] = {}
    for whole in boards.values():
        if whole.shape not in made:
            made[whole.shape] = sawn_in_two(whole.solid, whole.rows, lid, box.recipe.height)
    for on_lid in (False, True):
        for side, whole in boards.items():
            rows = whole.rows.shifted((0.0, 0.0, -lid.lost if on_lid else 0.0))
            hinges = mortises(box, on_lid=on_lid) if side == BACK else ()
            tools = [solid_from_faces(each.tool.moved(rows.inverse()).faces) for each in hinges]
            sawn, shape = made[whole.shape][on_lid], side if hinges else whole.shape
            faces = SawnFaces(whole.faces, whole.rows, (lid.low, lid.high), rows, hinges)
            name, shape = (lid_name(side), f"lid {shape}") if on_lid else (side, shape)
            # A copy, as two parts that share a face of the kernel cannot have colours of their own.
            solid = cut(placed(sawn, IDENTITY), tools) if tools else sawn
            yield Part(name, shape, solid, whole.wood, rows, faces)


def block(slab: Slab) -> Solid:
    """A slab as a solid."""
    (x0, x1), (y0, y1), (z0, z1) = slab.x, slab.y, slab.z
    return prism([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], z0, z1)


def _board(box: BoxLayout, board: BoxBoard, *, finished: bool) -> Solid:
    """In the frame of its end where X runs up."""
    faces_of = tail_board_faces if board.kind == "tail board" else pin_board_faces
    near, far = (faces_of(corner.turned, corner.layout.state(finished=finished)) for corner in (board.up, board.down))
    far = [[[board.turned_round.apply(point) for point in loop] for loop in face] for face in far]
    both = end_to_end(near, far)
    back = board.up.rows.inverse()
    strips = (solid_from_faces(each.wood.moved(back).faces) for each in strips_of(box, board.side))
    halves = [both] if both else [near, far]
    whole = fuse([*map(solid_from_faces, halves), *strips])
    tools = [_groove_tool(box, board, finished=finished)] if box.is_grooved(board.side) else []
    cuts = cuts_in(box, board.side, finished=finished)
    tools += (solid_from_faces(each.tool.moved(back).faces) for each in cuts)
    return cut(whole, tools) if tools else whole


def _fitted(part: Fitted) -> Solid:
    """In the frame of the box."""
    bodies = [solid_from_faces(body.faces) for body in part.bodies]
    whole = fuse(bodies) if len(bodies) > 1 else bodies[0]
    tools = [solid_from_faces(tool.faces) for tool in part.tools or part.cuts]
    return cut(whole, tools) if tools else whole


def _groove_tool(box: BoxLayout, board: BoxBoard, *, finished: bool) -> Solid:
    """What cuts the groove, in the board's frame."""
    groove = box.recipe.groove
    below = AIR if box.recipe.panel.in_rebate else 0.0
    x = (groove.up - below - board.up.low, groove.top - board.up.low)
    near, far = (
        box.groove_reach(board, corner, corner.layout.state(finished=finished)) + _into_air(box, board, corner)
        for corner in (board.up, board.down)
    )
    along, into = (-board.length - far, near), (-AIR, groove.depth)
    return block(Slab(x, along, into) if board.kind == "tail board" else Slab(x, into, along))


def _into_air(box: BoxLayout, board: BoxBoard, corner: BoxCorner) -> float:
    """A groove that stops in the wood stops where it should; any other runs on a little."""
    return 0.0 if box.stops(board, corner) else AIR


def _plugs(box: BoxLayout) -> Iterator[Part]:
    for name, slab in plug_slabs(box).items():
        corner = box.corners[name]
        wood = corner.layout.recipe.tail_board.wood
        plug = _plug(slab, corner.layout.as_finished.chamfer)
        yield Part(f"plug {name}", f"plug {name}", plug, wood, corner.rows, PlugFaces(corner))


def _plug(slab: Slab, chamfer: float) -> Solid:
    """A plug, its outer edge chamfered with the end of the tail that it fills."""
    (low, high), (start, end), (foot, deep) = slab.x, slab.y, slab.z
    edge = [(end, foot), (end, deep)]
    if chamfer:
        tall = deep - foot
        far = [(end, foot + chamfer), (end, deep)] if chamfer < tall else [(end - chamfer + tall, deep)]
        edge = [(end - chamfer, foot), *far]
    lying = prism([(start, foot), *edge, (start, deep)], low, high)
    return placed(lying, Frame((0.0, 0.0, 1.0, 0.0), (1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0)))
