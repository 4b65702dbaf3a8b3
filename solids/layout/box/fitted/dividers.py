"""Dividers and shelves: boards whose ends stand in housings of the sides, halved where they cross.

A plain housing is as wide as the divider is thick. A sliding dovetail is as wide at its floor as the divider is thick
(at the divider's upper edge, from where it narrows downward) and narrower at the mouth: its near flank is parallel to
the divider's near face, and its far flank alone tapers, so that one side is cut to a plain square line. Common
practice.

Where two dividers cross, each gives up half of the height that they share: those that run across are notched from
above, those that run along from below. Common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from solids.base.geometry import Frame, Point, Span
from solids.base.tolerances import ROUNDING
from solids.layout.box.fitted.bodies import AIR, Body, Cut, Fitted, Fitting, block
from solids.layout.box.model import BoxLayout
from solids.layout.box.rows import CutListRow, larger
from solids.recipe.tables.box_resolved import Side
from solids.recipe.tables.dividers import ENDS_IN, Divider, Runs, numbered

DIVIDER = "divider "
"""How the name of each begins, before its number."""

FACES = {
    "across": ("lower edge", "upper edge", "front end", "far face", "back end", "near face"),
    "along": ("lower edge", "upper edge", "near face", "right end", "far face", "left end"),
}
"""The names of a divider's faces, in the order of `block`. The near face is the one that it is measured to."""

OF_HOUSING = ("lower end", "upper end", "mouth", "far wall", "floor", "near wall")
"""The names of a housing's faces, in the order of its outlines."""

OF_TONGUE = ("lower edge", "upper edge", "{} root", "{} far flank", "{} end", "{} near flank")
"""The names of the faces of a dovetail's tongue, with the end that it is at."""

LIES: dict[Runs, Frame] = {
    "across": Frame((0.0, 1.0, 0.0, 0.0), (0.0, 0.0, -1.0, 0.0), (-1.0, 0.0, 0.0, 0.0)),
    "along": Frame((-1.0, 0.0, 0.0, 0.0), (0.0, 0.0, -1.0, 0.0), (0.0, -1.0, 0.0, 0.0)),
}
"""How a divider is turned to lie flat: its near face, which bears its mark, up, and its lower edge away from you. The
front end of one that runs across, and the right end of one that runs along, are then on the left."""

STEP: dict[str, str] = {
    "open": "With the box glued and upright, slide {name} down into its housings{over}.",
    "stopped": "Set {name} into its housings {{}}{over}.",
}

GLUE: dict[str, str] = {
    "housing": "No glue is needed.",
    "sliding dovetail": "Brush a little glue on the last third of the dovetails; they need none to hold.",
}


def dividers(box: BoxLayout) -> Fitting:
    """The dividers and their housings."""
    parts, cuts = [], []
    for number, divider in numbered(box.recipe.dividers):
        parts.append(_part(box, number, divider))
        cuts += [_housing(box, number, divider, far=far) for far in (False, True)]
    return Fitting(tuple(parts), tuple(cuts))


def name_of(number: int) -> str:
    """ "divider 2"."""
    return f"{DIVIDER}{number}"


def is_divider(part: Fitted) -> bool:
    """Whether a part is one of the dividers."""
    return part.name.startswith(DIVIDER)


def dovetails_of(part: Fitted) -> tuple[Body, ...]:
    """The dovetails on the ends of a divider; none of plain ends, or of any other part."""
    return part.bodies[1:] if is_divider(part) else ()


def crossed_by(box: BoxLayout, divider: Divider) -> Iterator[tuple[int, Divider, Span]]:
    """The dividers that stand in the way of one, with their numbers and the heights that both want."""
    for number, other in numbered(box.recipe.dividers):
        low, high = divider.height_shared(other)
        if other.runs != divider.runs and low < high - ROUNDING:
            yield number, other, (low, high)


def faces_at(box: BoxLayout, divider: Divider) -> Span:
    """Where its near and its far face lie, along the axis of its thickness."""
    inside = box.inside[divider.axis][0]
    return inside + divider.at, inside + divider.far


# --- the part --------------------------------------------------------------------------------------


def _part(box: BoxLayout, number: int, divider: Divider) -> Fitted:
    inside, across = box.inside[1 - divider.axis], faces_at(box, divider)
    deep, z = divider.depth, (divider.up, divider.top)
    bodies: tuple[Body, ...]
    if divider.is_dovetailed:
        tongues = (_tongue(box, divider, far=far) for far in (False, True))
        bodies = (_lying(divider, across, inside, z, ends="shoulders"), *tongues)
    else:
        bodies = (_lying(divider, across, (inside[0] - deep, inside[1] + deep), z),)
    crossings = list(crossed_by(box, divider))
    over = [name_of(other) for other, _, _ in crossings if divider.runs == "along"]
    name = name_of(number)
    step = STEP[divider.housing].format(name=name, over=f", over {_and(over)}" if over else "")
    notches = [_notch(box, divider, *crossing) for crossing in crossings]
    return Fitted(
        name,
        divider.wood,
        bodies,
        _row(box, number, divider),
        step,
        GLUE[divider.joint],
        "from above" if divider.housing == "open" else "",
        tuple(wood for wood, _ in notches),
        tuple(tool for _, tool in notches),
        late=divider.housing == "open",
        turn=LIES[divider.runs],
    )


def _and(names: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def _row(box: BoxLayout, number: int, divider: Divider) -> CutListRow:
    size = (length_of(box, divider), divider.height, divider.thickness)
    grain = "from front to back" if divider.runs == "across" else "from left to right"
    near = "left" if divider.runs == "across" else "front"
    mark = f"{number} on the face to the {near}; upper edge up"
    sizes, wood = (larger(size, box.recipe.rough), size, size), divider.wood.told
    return CutListRow(name_of(number), *sizes, wood, grain, mark, sawn=divider.sawn)


def length_of(box: BoxLayout, divider: Divider) -> float:
    """How long it is, both ends included."""
    return box.recipe.inside[1 - divider.axis] + 2 * divider.depth


def _lying(divider: Divider, across: Span, along: Span, z: Span, *, ends: str = "end") -> Body:
    """A block, by its spans over the divider's thickness, along it and in height."""
    names = tuple(name.replace("end", ends) for name in FACES[divider.runs])
    x, y = (across, along) if divider.axis == 0 else (along, across)
    return block(x, y, z, names)


# --- its ends and housings -------------------------------------------------------------------------


def _tongue(box: BoxLayout, divider: Divider, *, far: bool) -> Body:
    """The dovetail on one end."""
    names = tuple(name.format(ENDS_IN[divider.runs][1 if far else 0]) for name in OF_TONGUE)
    return _profile(box, divider, (divider.up, divider.top), 0.0, far=far, names=names)


def _housing(box: BoxLayout, number: int, divider: Divider, *, far: bool) -> Cut:
    """The housing for one end, in the front or left board, or in the other where it is `far`."""
    side: Side = ENDS_IN[divider.runs][1 if far else 0]
    board = box.boards[side]
    low, high = divider.up, min(divider.housing_top(box.recipe.height), board.low + board.width)
    below = AIR if low <= board.low + ROUNDING else 0.0
    above = AIR if high >= board.low + board.width - ROUNDING else 0.0
    names = (*OF_HOUSING[:3], "far flank", "floor", "near flank") if divider.is_dovetailed else OF_HOUSING
    wood = _profile(box, divider, (low, high), 0.0, far=far, names=names)
    tool = _profile(box, divider, (low - below, high + above), AIR, far=far, names=names)
    return Cut(side, f"housing for {name_of(number)}", wood, tool)


def _profile(box: BoxLayout, divider: Divider, z: Span, air: float, *, far: bool, names: tuple[str, ...]) -> Body:
    """What fills a housing between two heights, and reaches `air` past the inside face of its board."""
    near_face, far_face = faces_at(box, divider)
    mouth = box.inside[1 - divider.axis][1 if far else 0]
    out = 1.0 if far else -1.0
    floor, start = mouth + out * divider.depth, mouth - out * air
    lean = divider.flank * (1.0 + air / divider.depth)

    def outline(height: float) -> tuple[Point, ...]:
        """Mouth from the near to the far side, then the floor back."""
        wide = far_face - divider.narrower(height, box.recipe.height)
        corners = ((near_face + lean, start), (wide - lean, start), (wide, floor), (near_face, floor))
        placed = tuple((across, along) if divider.axis == 0 else (along, across) for across, along in corners)
        return tuple((x, y, height) for x, y in placed)

    low, high = map(outline, z)
    # Seen from above, the outline runs clockwise where one of turning round and swapping the axes was done, not both.
    if far == (divider.axis == 0):
        return Body(low, high, names)
    return Body(low[::-1], high[::-1], (*names[:2], *_turned(names[2:])))


def _turned(names: tuple[str, ...]) -> tuple[str, ...]:
    """The names of the sides of an outline that runs the other way round: from its last corner to the one before."""
    return names[2], names[1], names[0], names[3]


# --- where dividers cross ---------------------------------------------------------------------------


def _notch(box: BoxLayout, divider: Divider, number: int, other: Divider, shared: Span) -> tuple[Body, Body]:
    """The wood that a divider loses to one that it crosses, and the tool that takes it."""
    middle = sum(shared) / 2
    high = divider.runs == "across"
    z = (middle, divider.top) if high else (divider.up, middle)
    open_z = (middle, divider.top + AIR) if high else (divider.up - AIR, middle)
    thick, along = faces_at(box, divider), faces_at(box, other)
    wide = (thick[0] - AIR, thick[1] + AIR)
    names = tuple(f"notch for {name_of(number)}, {face}" for face in _NOTCH[divider.runs])
    wood, tool = (
        block(*((across, along) if divider.axis == 0 else (along, across)), heights, names)
        for across, heights in ((thick, z), (wide, open_z))
    )
    return wood, tool


_NOTCH = {
    "across": ("floor", "mouth", "front wall", "far opening", "back wall", "near opening"),
    "along": ("mouth", "floor", "near opening", "right wall", "far opening", "left wall"),
}
"""The faces of a notch, in the order of `block`."""
