"""Mitre blocks: for each board with a mitred shoulder a block that lies beside its edge, with a face in the plane of
the mitre. A chisel lies flat on that face and pares the shoulder, from the edge inward. A flange on the inside face
bears the block, and its front stands in the baseline.

Seen along X, with U from the baseline toward the raw end and V from the inside face outward, the mitre runs from the
inside corner (0, v) to the outside corner. Boards of unequal thickness meet it at unequal angles, which are 90 degrees
together. On the bed the block stands on the end that is away from the board.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from solids.aids.making.aid import Aid, Measure, Plane, Refusal, Rest, Use
from solids.aids.making.engraving import engraved
from solids.aids.making.modelling import FOOT, extrude
from solids.aids.making.terraces import eased, terraced
from solids.base.amounts import at_least, in_mm
from solids.base.geometry import MINUS_X, Frame, PlanePoint, Polygon, Vector, X, Y, Z
from solids.base.messages import Key, Words, message
from solids.base.polygons import area_of
from solids.layout import Layout
from solids.layout.joint.shape.mitre import mitre_of
from solids.model.boards import pin_board, tail_board
from solids.model.kernel import Solid
from solids.model.kernel.shaping import cut, fuse
from solids.recipe.tables.resolved import Printing

NAME = "mitre-block"

LONG = 30.0
"""How far its face goes on beside the edge: the back of a chisel lies on it without rocking. Common practice."""

BEHIND = 30.0
"""How far it reaches back from the baseline: room for a clamp, away from the chisel. Common practice."""

LEAST_BEHIND = 15.0
"""What a clamp needs at least. Common practice."""

FLANGE, FLANGE_LONG = 8.0, 15.0
"""The flange on the inside face: how thick it is, and how far it reaches over the board. Common practice."""

PAST = 3.0
"""How far the face goes on past the outside face of the board, measured along itself, so that a chisel is guided over
the whole mitre."""

BLUNT = 4.0
"""The width of the end of the face, square to it: a sharp edge would break off."""

RELIEF = 1.0
"""A groove in the corner where edge and inside face of the board meet: its arris does not hold the block off."""

BEARS = 0.5
"""What must bear, as a share of the wood that the block covers."""

LEAST_FACE = 0.8
"""What must lie in the plane of the mitre, as a share of the face."""


@dataclass(frozen=True)
class _Block:
    """One block. `side` is -1 for the edge at X = 0 and 1 for that at X = W. In (U, V) the mitre runs from the inside
    corner (0, `foot`) along `way`, of length 1, over `reach` up to the outside face as cut; `behind` is how far the
    block reaches back, `wide` how wide the mitre is."""

    board: str
    solid: Solid
    side: int
    foot: float
    way: PlanePoint
    reach: float
    behind: float
    thickness: float
    length: float
    end: float
    wide: float

    @property
    def wood(self) -> str:
        """ "tails" or "pins"."""
        return self.board.removesuffix(" board") + "s"

    @property
    def name(self) -> str:
        return f"{NAME}-{self.wood}" + ("-other-edge" if self.side > 0 else "")

    @property
    def degrees(self) -> float:
        """The angle between the mitre and the faces of the board."""
        return math.degrees(math.atan2(self.way[1], self.way[0]))

    @property
    def face(self) -> float:
        """How long its face is along the mitre."""
        return self.reach + PAST

    @property
    def is_turned(self) -> bool:
        """Whether U runs along Y of the bed. The bed is right-handed: its X is Y of the joint at X = 0, else Z."""
        return (self.board == "tail board") == (self.side > 0)

    def on_bed(self, points: list[PlanePoint]) -> Polygon:
        """An outline in (U, V) as it lies on the bed, counter-clockwise."""
        found = [(v, u) for u, v in points] if self.is_turned else points
        return found if area_of(found) > 0 else found[::-1]

    @property
    def profile(self) -> list[PlanePoint]:
        """Beside the edge: down the back, along the flange, up its front, and along the mitre to a blunt end."""
        (along, out), tip, back = self.way, self.face, -self.behind
        end = (along * tip, self.foot + out * tip)
        blunt = (end[0] - BLUNT * out, end[1] + BLUNT * along)
        return [(back, -FLANGE), (0.0, -FLANGE), (0.0, self.foot), end, blunt, (back, blunt[1])]


NO_MITRE = Refusal(
    NAME,
    "No shoulder of this joint is mitred.",
    message("Set {} where the edge is to show a mitre.", Key("joint.mitre")),
)


def mitre_blocks(layout: Layout, printing: Printing) -> list[Aid | Refusal]:
    """One for each board and mitred edge; none where no shoulder is mitred."""
    del printing  # nothing of it depends on the printer
    sides = [side for side, wide in zip((-1, 1), layout.mitred, strict=True) if wide]
    return [_made(layout, make(layout, side)) for side in sides for make in (_tails, _pins)]


def _tails(layout: Layout, side: int) -> _Block:
    """U along Y, V along Z."""
    board, mitre, cut_state = layout.recipe.tail_board, mitre_of(layout), layout.as_cut
    long = math.hypot(mitre.run, mitre.rise)
    return _Block(
        "tail board",
        tail_board(layout, cut_state),
        side,
        foot=mitre.foot,
        way=(mitre.run / long, mitre.rise / long),
        reach=(cut_state.show_z - mitre.foot) * long / mitre.rise,
        behind=min(BEHIND, board.length),
        thickness=board.thickness,
        length=board.length,
        end=cut_state.tail_end,
        wide=layout.mitred[side > 0],
    )


def _pins(layout: Layout, side: int) -> _Block:
    """U along Z from the baseline, V along Y."""
    board, mitre, cut_state = layout.recipe.pin_board, mitre_of(layout), layout.as_cut
    long = math.hypot(mitre.run, mitre.rise)
    return _Block(
        "pin board",
        pin_board(layout, cut_state),
        side,
        foot=0.0,
        way=(mitre.rise / long, mitre.run / long),
        reach=cut_state.show_y * long / mitre.run,
        behind=min(BEHIND, board.length + mitre.foot),
        thickness=board.thickness,
        length=board.length,
        end=cut_state.pin_end - mitre.foot,
        wide=layout.mitred[side > 0],
    )


def _made(layout: Layout, block: _Block) -> Aid | Refusal:
    if block.behind < LEAST_BEHIND:
        key = Key(f"{block.board.replace(' ', '_')}.length")
        why = message("The {} is {} long behind the baseline: no clamp holds it.", block.board, in_mm(block.length))
        return Refusal(block.name, why, message("Set {} to {} or more.", key, at_least(LEAST_BEHIND)))
    edge = "at the reference edge" if block.side < 0 else "at the other edge"
    angle = f"{block.degrees:.1f} degrees"
    words = f"{block.wood} {block.degrees:.1f} deg"
    return Aid(
        name=block.name,
        title=f"Mitre block for the {block.board} {edge}, {angle}",
        purpose=f"It guides the chisel while you pare the mitred shoulder of the {block.board}.",
        solid=_lettered(layout, block, words),
        engraved=words,
        uses=(_use(layout, block, edge),),
        how_to=_how_to(layout, block),
        cautions=("Edge tools", "Clamps", "Printed aids are not guards"),
        printing="Print it as it lies, on the end that is away from the board. It needs no support.",
        figures=(
            ("mitre to the faces of the board", angle),
            ("mitre", message("{} wide, {} across", in_mm(block.wide), in_mm(block.reach))),
            ("baseline from the raw end", in_mm(block.end)),
            ("face beside the edge", in_mm(block.face, LONG)),
            ("flange on the inside face", in_mm(block.behind, min(FLANGE_LONG, layout.width))),
        ),
        measures=(_angle(block),),
    )


def _lettered(layout: Layout, block: _Block, words: str) -> Solid:
    """The whole block, with its words on the end of the flange."""
    back, over = -block.behind, LONG + min(FLANGE_LONG, layout.width)
    beside = terraced(eased(block.on_bed(block.profile), 0.0, LONG, foot=FOOT))
    flange = extrude(block.on_bed([(back, -FLANGE), (0.0, -FLANGE), (0.0, 0.0), (back, 0.0)]), LONG - RELIEF, over)
    groove = [(back - 1.0, 0.0), (-2 * RELIEF, 0.0), (-2 * RELIEF, RELIEF), (back - 1.0, RELIEF)]
    body = cut(fuse([beside, flange]), [extrude(block.on_bed(groove), LONG - RELIEF, over)])
    middle, room = (back / 2, -FLANGE / 2), (block.behind - 3.0, FLANGE - 2.0)
    if block.is_turned:
        middle, room = middle[::-1], room[::-1]
    return engraved(body, words, middle, over, room, turned=block.is_turned)


def _how_to(layout: Layout, block: _Block) -> Words:
    set_by = "the front of the flange stands in the knifed baseline"
    if layout.rebate and block.board == "tail board":
        set_by = "the front of the flange is flush with the shoulder of the rebate"
    stop = "as far as the half pin" if block.board == "pin board" else "as far as the gap beside it"
    return message(
        "Saw the waste off the mitre first, and leave the line. Lay the flange on the inside face, press the block to "
        "the edge, and slide it until {}, {} from the raw end. Clamp it behind the baseline. Hold the back of the "
        "chisel flat on the leaning face, and pare across the shoulder from the edge inward, {}, in thin slices. Keep "
        "both hands behind the edge.",
        *(set_by, in_mm(block.end), stop),
    )


# --- where it works ------------------------------------------------------------------------------


def _use(layout: Layout, block: _Block, edge: str) -> Use:
    mitre, over = mitre_of(layout), min(FLANGE_LONG, layout.width)
    into, x = (X, -LONG) if block.side < 0 else (MINUS_X, layout.width + LONG)
    # On the bed it lies in (U, V), in which U is counted from the baseline.
    base = 0.0 if block.board == "tail board" else mitre.foot
    across: tuple[Vector, Vector] = (Y, Z) if block.side < 0 else (Z, Y)
    onto = Z if block.board == "tail board" else Y
    return Use(
        f"On the {block.board}, {edge}",
        Frame.of(*across, into, (x, 0.0, base)),
        ((block.board, block.solid),),
        (
            Rest(block.board, into, BEARS * block.behind * block.thickness),
            Rest(block.board, onto, BEARS * block.behind * over),
        ),
        (),
        Plane((0.0, 0.0, mitre.foot), mitre.outward),
        LEAST_FACE * block.face * (LONG - FOOT),
    )


def _angle(block: _Block) -> Measure:
    """Between its face and that of the flange, which looks to the inside face of the board."""
    (along, out), foot = block.way, block.foot

    def look(u: float, v: float) -> Vector:
        return (v, u, 0.0) if block.is_turned else (u, v, 0.0)

    face, flange = Plane(look(0.0, foot), look(out, -along)), Plane(look(0.0, 0.0), look(0.0, 1.0))
    return Measure("its face to the face of its flange", face, flange, 180.0 - block.degrees)
