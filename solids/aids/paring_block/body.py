"""The solid of a paring block, built face by face: a block with pads behind it, an arm with a hook, and what of these
reaches down beside the board.

P runs from the edge of the board across it, Q from the baseline toward the raw end. On the bed X is P, or -P for a
block of the other hand, Y is Q, and Z runs from the top of the block, which lies on the bed, down through the board."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from solids.aids.making.modelling import FOOT
from solids.base.geometry import PlanePoint
from solids.base.polygons import at_height, inset, walls
from solids.model.kernel import Face, Solid, solid_from_faces

HIGH, THICK = 24.0, 30.0
"""The block above the board, and from its face to its back: a chisel leans on it without moving it. Common practice."""

PAD = 18.0
"""The side of a clamp pad; it stands out behind, so that a clamp is out of the chisel's way. Common practice."""

PAD_LEAST = 15.0
"""What a clamp needs at least of a pad, where both make one on a narrow board."""

NOTCH = 6.0
"""Pads that would leave less than this between them are one."""

FENCE = 6.0
"""Thickness of fence, arm and hook from side to side: stiff enough to be pressed against. Common practice."""

HOOK = 5.0
"""How thick the hook is."""

RELIEF = 1.0
"""A notch in the corner between arm and hook, where a printer leaves a round and dust gathers. Common practice."""


@dataclass(frozen=True)
class BlockSize:
    """One block: `hand` is 1 or -1, `width` that of the board, `end` from the baseline to its raw end, `reach` of the
    hook over the end grain, `drop` of the fence below the face, `leans` the rise of the face over the joint for each mm
    of height, from a point `land` below the face of the board, where a flat floor ends."""

    hand: float
    width: float
    end: float
    reach: float
    drop: float
    leans: float
    land: float

    @property
    def span(self) -> float:
        """How wide the block is: as the board, but with room for two pads side by side."""
        return max(self.width, 2 * PAD_LEAST)

    @property
    def back(self) -> float:
        """The Q of its far end."""
        return -(THICK + PAD)

    @property
    def has_notch(self) -> bool:
        """Whether its pads stand apart."""
        return self.span - 2 * PAD >= NOTCH

    @property
    def footprint(self) -> PlanePoint:
        """What it takes of the bed."""
        return self.span + FENCE, self.end + HOOK - self.back

    @property
    def face_area(self) -> float:
        """The area of its working face, but for the chamfer of the foot."""
        return self.span * HIGH * math.hypot(1.0, self.leans)

    def face(self, z: float) -> float:
        """The Q of the working face at a height above the bed."""
        return self.leans * (HIGH - z + self.land)


def block_body(size: BlockSize) -> Solid:
    """The whole block but for its words."""
    faces = [*_block_faces(size), *_arm_faces(size)]
    if size.hand < 0:
        faces = [[[(-x, y, z) for x, y, z in reversed(loop)] for loop in face] for face in faces]
    return solid_from_faces(faces)


def _outline(size: BlockSize, z: float) -> list[PlanePoint]:
    """Block, arm and hook at a height, counter-clockwise from the outer corner of the fence."""
    span, back, end = size.span, size.back, size.end
    pads = [(PAD, back), (PAD, -THICK), (span - PAD, -THICK), (span - PAD, back)] if size.has_notch else []
    front = [(span, back), (span, size.face(z)), (0.0, size.face(z)), (0.0, end)]
    return [(-FENCE, back), *pads, *front, (size.reach, end), (size.reach, end + HOOK), (-FENCE, end + HOOK)]


def _block_faces(size: BlockSize) -> list[Face]:
    """The bed, the chamfer of the foot, and all that looks away from fence and hook."""
    outline = _outline(size, FOOT)
    ring, top = at_height(outline, FOOT), at_height(_outline(size, HIGH), HIGH)
    low = at_height(inset(outline, FOOT), 0.0)
    count = len(ring)
    faces: list[Face] = [[low[::-1]]]
    faces += [[[low[i], low[i + 1 - count], ring[i + 1 - count], ring[i]]] for i in range(count)]
    # From the first corner behind the fence to the inner end of the working face.
    faces += [[[ring[i], ring[i + 1], top[i + 1], top[i]]] for i in range(1, count - 5)]
    bottom = [(0.0, size.back, HIGH), *top[1 : count - 4]]
    return [*faces, [bottom]]


def _arm_faces(size: BlockSize) -> list[Face]:
    """Fence, arm and hook over their whole height, with the notch in their corner."""
    back, end, reach, top = size.back, size.end, size.reach, HIGH + size.drop
    notch = min(RELIEF, end / 3)
    near, tip = end - notch, end + HOOK
    behind = _outline(size, FOOT)[1][0]
    inner: list[PlanePoint] = [(0.0, near), (-notch, near), (-notch, end)]
    crown: list[PlanePoint] = [(-FENCE, back), (0.0, back), *inner, (reach, end), (reach, tip), (-FENCE, tip)]
    along = [(size.face(FOOT), FOOT), (end, FOOT), (end, HIGH), (near, HIGH), (near, top), (back, top), (back, HIGH)]
    across = [(0.0, FOOT), (reach, FOOT), (reach, top), (-notch, top), (-notch, HIGH), (0.0, HIGH)]
    rear = [(-FENCE, FOOT), (behind, FOOT), (behind, HIGH), (0.0, HIGH), (0.0, top), (-FENCE, top)]
    return [
        [at_height(crown, top)],
        [at_height([inner[1], inner[0], (0.0, end), inner[2]], HIGH)],
        [[(0.0, q, z) for q, z in [*along, (size.face(HIGH), HIGH)]]],
        [[(p, end, z) for p, z in across]],
        [[(p, back, z) for p, z in rear]],
        *walls(pairwise([(reach, end), (reach, tip), (-FENCE, tip), (-FENCE, back)]), FOOT, top),
        *walls(pairwise(inner), HIGH, top),
    ]
