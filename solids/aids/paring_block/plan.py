"""Paring blocks: a stiff block as wide as the board whose face stands in the plane of the baseline. A fence lies along
the edge of the board, and an arm brings a hook over the raw end, so that nothing is left to set. Where the recipe
hollows the floors, a second block for each board leans by as much."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from solids.aids.making.aid import Aid, Plane, Refusal, Rest, Use
from solids.aids.making.edges import half_pin_edges
from solids.aids.making.engraving import engraved
from solids.aids.making.modelling import pin_blank, tail_blank
from solids.aids.making.plates import too_large
from solids.aids.paring_block.body import HIGH, PAD, PAD_LEAST, THICK, BlockSize, block_body
from solids.base.amounts import at_least, at_most, in_mm
from solids.base.geometry import MINUS_X, MINUS_Y, MINUS_Z, Frame, Vector, X, Y, Z, plus, scaled
from solids.base.lengths import bare_mm, format_cell
from solids.base.messages import Key, Words, message
from solids.bench.settings import bench_of
from solids.layout import Layout
from solids.model.kernel import Solid
from solids.recipe.tables.resolved import Printing

DROP = 8.0
"""How far fence and hook reach down beside the board. Common practice."""

OFF_BENCH = 1.0
"""How far they stay off the bench that a thin board lies on."""

HOOK_REACH = 4.0
"""How far the hook reaches over the end grain: enough to feel it stop. Common practice."""

HALF_PIN_SHARE = 0.8
"""What share of a half pin the hook covers at most, so that no chisel meets it."""

MOST_LEAN = 30.0
"""A face that leans by more degrees ends in a weak edge, and no chisel is held so. Common practice."""

FREE = 1.0
"""What stays between a leaning face and the hook."""

BEARS = 0.5
"""What must bear, as a share of the wood that the block covers."""

LEAST_FACE = 0.8
"""What must lie in the plane of the floor, as a share of the face."""


@dataclass(frozen=True)
class _Stand:
    """One face that a block stands on: in words, where the corner of fence and baseline lies in the joint's frame, and
    which way from there the board goes across, the raw end lies along, and the face looks out. The end grain lies lower
    than the face by what a rebate has taken, and is `short` of the hook by that."""

    words: str
    corner: Vector
    across: Vector
    along: Vector
    out: Vector
    short: float = 0.0


@dataclass(frozen=True)
class _BlockKind:
    """One board and its block. `corner` is the narrowest wood at a corner of its raw end; `hook` tells what the hook
    bears on there."""

    board: str
    blank: Solid
    thickness: float
    length: float
    corner: float
    hook: str
    size: BlockSize
    stands: tuple[_Stand, ...]

    @property
    def wood(self) -> str:
        """ "tails" or "pins"."""
        return self.board.removesuffix(" board") + "s"

    @property
    def name(self) -> str:
        return f"paring-block-{self.wood}" + ("-leaning" if self.size.leans else "")

    @property
    def lean_deg(self) -> float:
        return math.degrees(math.atan(self.size.leans))


def paring_blocks(layout: Layout, printing: Printing) -> list[Aid | Refusal]:
    """A plain one for each board, and a leaning one for each where the recipe hollows the floors."""
    return [
        _made(layout, printing, kind)
        for leaning in ((False, True) if layout.land is not None else (False,))
        for kind in (_tails(layout, leaning=leaning), _pins(layout, leaning=leaning))
    ]


def _made(layout: Layout, printing: Printing, kind: _BlockKind) -> Aid | Refusal:
    refusal = next(_refusals(layout, printing, kind), None)
    if refusal:
        return Refusal(kind.name, *refusal)
    size = kind.size
    letters = f"{kind.lean_deg:.1f} deg" if size.leans else _setting(layout, size.end)
    line = "hollowed floors" if size.leans else "baseline"
    setting = f"leans {kind.lean_deg:.1f} degrees" if size.leans else f"baseline {letters}"
    return Aid(
        name=kind.name,
        title=f"Paring block for the {kind.board}, {setting}",
        purpose=f"It guides the chisel while you pare the {kind.board} to its {line}.",
        solid=_lettered(size, kind.wood, letters),
        engraved=f"{kind.wood}, {letters}",
        uses=tuple(_use(kind, stand) for stand in kind.stands),
        how_to=_how_to(layout, kind),
        cautions=("Edge tools", "Clamps", "Printed aids are not guards"),
        printing="Print it as it lies, upside down. It needs no support.",
        figures=(
            ("baseline from the raw end", in_mm(size.end)),
            ("lean of the face", f"{kind.lean_deg:.1f} degrees"),
            ("clamp pads", message("2 of at least {}", in_mm(PAD_LEAST, PAD))),
            ("fence below the face", in_mm(size.drop)),
            ("hook over the end grain", in_mm(size.reach)),
        ),
    )


def _setting(layout: Layout, length: float) -> str:
    return format_cell(length, "in") if layout.recipe.units == "in" else bare_mm(length)


def _how_to(layout: Layout, kind: _BlockKind) -> Words:
    first, *others = kind.stands
    leaning = message(
        "Chop to the baseline with the plain block first; then hold the back of the chisel flat against the leaning "
        "face, which hollows the floor by {} and leaves the land.",
        in_mm(layout.recipe.undercut.depth),
    )
    pare = leaning if kind.size.leans else "Hold the back of the chisel flat against the face, and pare straight down."
    turn = " For the inside face turn the board over: the fence then goes to the other edge." if others else ""
    return message(
        "{} Stand it on the {}, press the fence to the reference edge, and slide it until the hook touches the raw "
        "end. Clamp it on the two level pads behind, each at least {}. {}{}",
        *(kind.hook, first.words, in_mm(PAD_LEAST, PAD), pare, turn),
    )


def _lettered(size: BlockSize, wood: str, letters: str) -> Solid:
    """With words on two lines of the face that stands on the board; along it on a narrow one."""
    body, span = block_body(size), size.span
    turned = span < THICK + PAD
    deep = THICK if size.has_notch else THICK + PAD
    for text, share in ((wood, 0.3), (letters, 0.7)):
        if turned:
            across = share if size.hand > 0 else 1.0 - share
            middle, room = (size.hand * span * across, -deep / 2), (0.35 * span, deep - 4.0)
        else:
            middle, room = (size.hand * span / 2, -THICK * share), (span - 4.0, 0.35 * THICK)
        body = engraved(body, text, middle, HIGH, room, turned=turned)
    return body


# --- why not -------------------------------------------------------------------------------------


def _refusals(layout: Layout, printing: Printing, kind: _BlockKind) -> Iterator[tuple[Words, Words]]:
    """Why it cannot be made, and the nearest setting that works."""
    wall, size = 2 * printing.nozzle, kind.size
    key, thick, long = kind.board.replace(" ", "_"), in_mm(kind.thickness), in_mm(kind.length)
    if size.drop < wall:
        yield (
            message("The {} is {} thick: its fence would reach down less than a printed wall.", kind.board, thick),
            message("Set {} to {} or more.", Key(f"{key}.thickness"), at_least(wall + OFF_BENCH)),
        )
    if kind.length < -size.back:
        yield (
            message("The {} is {} long behind the baseline: the clamp pads would hang free.", kind.board, long),
            # In a box a board's length is no size that is set, but follows from one.
            message("Take a larger {}.", Key(f"{key}.length"))
            if layout.keys
            else message("Set {} to {} or more.", Key(f"{key}.length"), at_least(-size.back)),
        )
    if size.drop >= wall > size.drop - max(stand.short for stand in kind.stands):
        rebate = in_mm(layout.rebate)
        yield (
            message("A rebate of {} leaves the hook too little end grain on the inside face.", rebate),
            message("Set {} to {} or less.", Key("tail_board.rebate"), at_most(kind.thickness - OFF_BENCH - wall)),
        )
    if size.reach < wall:
        more = wall / HALF_PIN_SHARE - kind.corner
        if half_pin_edges(layout) == [-1, 1] and layout.recipe.listed.is_empty:
            yield (
                message("The half pin leaves {} of end grain: too little for a hook that prints.", in_mm(kind.corner)),
                message("Set {} to {} or more.", Key("joint.half_pin"), at_least(layout.recipe.half_pin + more)),
            )
        yield (
            message("A corner has {} of end grain: too little for a hook that prints.", in_mm(kind.corner)),
            message("It works with {} from the edge to the first flank.", at_least(kind.corner + more)),
        )
    steepest = min(math.tan(math.radians(MOST_LEAN)), max(size.end - FREE, 0.0) / (HIGH + size.land))
    if size.leans > steepest:
        depth = layout.recipe.undercut.depth * steepest / size.leans
        yield (
            f"Its face would lean by {kind.lean_deg:.1f} degrees, and {math.degrees(math.atan(steepest)):.1f} "
            "degrees is the most before its edge is weak or it meets the hook.",
            message("Set {} to {} or less.", Key("undercut.depth"), at_most(depth)),
        )
    no_room = too_large(kind.name, *size.footprint, printing)
    if no_room:
        yield no_room.why, no_room.remedy


# --- where it works ------------------------------------------------------------------------------


def _use(kind: _BlockKind, stand: _Stand) -> Use:
    size, lean = kind.size, math.atan(kind.size.leans)
    down, toward = scaled(stand.out, -1.0), scaled(stand.along, -1.0)
    # The fence reaches down the edge of the board, the hook over its end grain.
    beside, over = BEARS * size.drop, BEARS * (size.drop - stand.short)
    return Use(
        f"On the {stand.words}",
        Frame.of(scaled(stand.across, size.hand), stand.along, down, plus(stand.corner, scaled(stand.out, HIGH))),
        ((kind.board, kind.blank),),
        (
            Rest(kind.board, down, BEARS * size.width * THICK),
            Rest(kind.board, stand.across, beside * (size.end - size.back)),
            Rest(kind.board, toward, over * size.reach),
        ),
        (),
        Plane(
            plus(stand.corner, scaled(down, size.land)),
            plus(scaled(stand.along, math.cos(lean)), scaled(down, math.sin(lean))),
        ),
        LEAST_FACE * size.face_area,
    )


def _tails(layout: Layout, *, leaning: bool) -> _BlockKind:
    """Its hook bears on the end grain between an edge and the first flank, be it a half tail or waste."""
    board, end, short = layout.recipe.tail_board, layout.as_cut.tail_end, layout.rebate
    drop = min(DROP + short, board.thickness - OFF_BENCH)
    stands = (
        _Stand("show face", (0.0, 0.0, board.thickness), X, Y, Z, max(drop - layout.tail_thickness, 0.0)),
        _Stand("inside face", (layout.width, 0.0, 0.0), MINUS_X, Y, MINUS_Z, short),
    )
    corner = min(layout.flanks[0].x(end), layout.width - layout.flanks[-1].x(end))
    size = _size(layout, "tail board", -1.0, drop, end, corner, leaning=leaning)
    stay = [tail.is_half for tail in (layout.tails[0], layout.tails[-1])]
    early = (
        "Chop and pare between the tails with it before you saw off the waste {}: its hook needs the end grain there."
    )
    hook = early.format("at the two edges")
    if any(stay):
        hook = early.format("beside the half pin")
    if all(stay):
        hook = "Its hook bears on a half tail, which stays."
    return _BlockKind("tail board", tail_blank(layout), board.thickness, board.length, corner, hook, size, stands)


def _pins(layout: Layout, *, leaning: bool) -> _BlockKind:
    """A half-blind board is chopped from its inside face only. Where the tail board is rebated the baseline lies by as
    much nearer to the raw end."""
    board, base = layout.recipe.pin_board, layout.rebate
    end = layout.as_cut.pin_end - base
    ys = (0.0, layout.depth)
    corner = min(layout.socket_x(layout.flanks[0], y) for y in ys)
    corner = min(corner, *(layout.width - layout.socket_x(layout.flanks[-1], y) for y in ys))
    stands: tuple[_Stand, ...] = (
        _Stand("show face", (0.0, board.thickness, base), X, Z, Y),
        _Stand("inside face", (layout.width, 0.0, base), MINUS_X, Z, MINUS_Y),
    )
    if layout.is_half_blind:
        stands = (_Stand("inside face", (0.0, 0.0, base), X, Z, MINUS_Y),)
    hand = -1.0 if layout.is_half_blind else 1.0
    drop = min(DROP, board.thickness - OFF_BENCH)
    size = _size(layout, "pin board", hand, drop, end, corner, leaning=leaning)
    hook = "Its hook bears on a half pin, which stays."
    if half_pin_edges(layout) != [-1, 1]:
        hook = "Use it before you saw a mitre or an open socket at an edge: its hook needs the end grain there."
    return _BlockKind("pin board", pin_blank(layout), board.thickness, board.length + base, corner, hook, size, stands)


def _size(
    layout: Layout, board: str, hand: float, drop: float, end: float, corner: float, *, leaning: bool
) -> BlockSize:
    """The lean is the bench's own, of the first chop into that board."""
    lean = next(chop.lean_deg for chop in bench_of(layout).chops if chop.board == board) if leaning else 0.0
    return BlockSize(
        hand=hand,
        width=layout.width,
        end=end,
        reach=min(HOOK_REACH, HALF_PIN_SHARE * corner),
        drop=drop,
        leans=math.tan(math.radians(lean)),
        land=(layout.land or 0.0) if leaning else 0.0,
    )
