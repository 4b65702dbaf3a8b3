"""The sizes of a marking template, with a pencil: no kernel. Lengths in mm.

On the bed X runs across it from its middle, Y from the face of its fence over the wood, Z up from the face that lies
on top at work. A leg of `reach` lies on the face of the board, from Y = 0; the fence is the body's face at Y = 0 and
hangs `hook` down over the raw end. A thick body has a second leg behind it, beyond Y = -body, for which the template
is turned round: with the second slope, or square. Its sides are hollowed by `waist`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from solids.base.geometry import PlanePoint, Polygon
from solids.base.polygons import Stretch, inset, rounded
from solids.layout import Layout

PLATE = 4.0
"""Thickness of a leg, and of a body that is no handle: a knife and a pencil lean on it without riding up. Common
practice."""

PAST = 4.0
"""How far it reaches beyond the baseline."""

NARROWEST = 14.0
HOOK_DEEPEST = 30.0

HANDLE = 30.0
"""From fence to fence of a body that is held. Common practice: a fingertip is 16 to 20 mm wide, and lies between the
lands."""

WAIST = 4.0
"""How deep a hollow is; its sides slope by 45 degrees."""

LAND = 5.0
"""The flat that is left of the body's side at each fence, along which a knife marks square across the raw end."""

NECK = 16.0
"""The least that is left between both hollows: two fingers do not meet, and a hole to hang it by has wood all round."""

OUTER, INNER = 3.0, 6.0
"""Radii of the fillets: where a hollow leaves the land, and at its floor, where a cutter of 12 mm still passes."""

HOLE_LAND = 4.0
"""What stays between the hole and the rear fence."""


@dataclass(frozen=True)
class MarkerSizes:
    """One marking template. `slopes` are N of 1:N of its front edges, and of its rear ones where it has them; a thick
    body with one slope is square behind. `hole` is a diameter, 0 for none; `words` are the maker's own, "" for none."""

    slopes: tuple[float, ...]
    reach: float
    hook: float
    body: float
    waist: float
    hole: float
    words: str

    @property
    def is_thick(self) -> bool:
        """Whether its body is a handle, with a leg at each side."""
        return self.body > PLATE

    @property
    def neck(self) -> float:
        """The width between both hollows; that of the whole body where it has none."""
        return self.width - 2 * self.waist

    @property
    def width(self) -> float:
        """Across the body."""
        wide = NARROWEST + 2 * max(self.lean(rear=rear) for rear in (False, True))
        return max(wide, NECK + 2 * WAIST) if self.is_thick else wide

    @property
    def height(self) -> float:
        """From the face on top at work to the tip of the fence."""
        return PLATE + self.hook

    @property
    def is_square_behind(self) -> bool:
        """Whether its rear leg is square to the fence."""
        return self.is_thick and len(self.slopes) == 1

    @property
    def low(self) -> float:
        """The Y of the rear end."""
        return -self.body - (self.reach if self.is_thick else 0.0)

    def slope_deg(self, *, rear: bool = False) -> float:
        """How far the edges of a leg lean from square; 0 where they are square."""
        return math.degrees(math.atan2(self.lean(rear=rear), self.reach))

    def lean(self, *, rear: bool = False) -> float:
        """How far an edge of a leg leans in over its whole length."""
        if rear and len(self.slopes) == 1:
            return 0.0
        return self.reach / self.slopes[1 if rear else 0]

    def leg(self, *, rear: bool = False) -> Polygon:
        """The outline of a leg."""
        half, lean = self.width / 2, self.lean(rear=rear)
        if rear:
            return [(lean - half, self.low), (half - lean, self.low), (half, -self.body), (-half, -self.body)]
        return [(-half, 0.0), (half, 0.0), (half - lean, self.reach), (lean - half, self.reach)]

    def body_outline(self, grown: float = 0.0) -> list[Stretch]:
        """The outline of the body, counter-clockwise, its fillets as arcs; all of it `grown` outward."""
        corners, radii = self._corners
        grown_radii = [radius and radius + bend * grown for radius, bend in radii]
        return rounded(inset(corners, -grown), grown_radii)

    @property
    def _corners(self) -> tuple[Polygon, list[tuple[float, float]]]:
        """The corners of the body, and for each the radius of its fillet, 0 for none, and whether that grows with the
        outline (1) or shrinks (-1)."""
        half, body, waist = self.width / 2, self.body, self.waist
        if not waist:
            return [(-half, -body), (half, -body), (half, 0.0), (-half, 0.0)], [(0.0, 0.0)] * 4
        near, far = -LAND, LAND - body
        right = [(half, far), (half - waist, far + waist), (half - waist, near - waist), (half, near)]
        left = [(-x, y) for x, y in reversed(right)]
        hollow, sharp = [(OUTER, 1.0), (INNER, -1.0), (INNER, -1.0), (OUTER, 1.0)], (0.0, 0.0)
        corners = [(-half, -body), (half, -body), *right, (half, 0.0), (-half, 0.0), *left]
        return corners, [sharp, sharp, *hollow, sharp, sharp, *hollow]

    @property
    def hole_at(self) -> PlanePoint:
        """The centre of the hole."""
        return 0.0, -self.body + HOLE_LAND + self.hole / 2

    @property
    def words_room(self) -> tuple[PlanePoint, PlanePoint]:
        """Where the words stand on the body: the middle, and the room in X and Y."""
        rear = -self.body + (2 * HOLE_LAND + self.hole if self.hole else 0.0)
        return (0.0, rear / 2), (self.neck - 2.0, -rear)


def marker_sizes(layout: Layout, own: float) -> MarkerSizes:
    """The template for a joint, as its recipe asks for it, or for its `own` slope (N of 1:N) where that asks for none.
    A leg that is not given reaches past the baseline, or past that of the thickest board named, and the fence as far as
    that board is thick."""
    asked, recipe = layout.recipe.marker, layout.recipe
    end, depth = layout.as_cut.tail_end, layout.as_cut.show_z - layout.rebate
    thickest = asked.thickest
    slopes = asked.slopes or (own,)
    is_handle = asked.body == "waisted" or len(slopes) == 2 or bool(asked.words) or bool(asked.hang_hole)
    return MarkerSizes(
        slopes=slopes,
        reach=asked.leg or max(end, thickest and thickest + recipe.tail_board.proud) + PAST,
        hook=asked.leg or thickest or min(depth, HOOK_DEEPEST),
        body=HANDLE if is_handle else PLATE,
        waist=WAIST if asked.body == "waisted" else 0.0,
        hole=asked.hang_hole,
        words=asked.words,
    )
