"""What the wood does between the shop and the home at its driest and at its dampest: both boards across their width
and through their thickness.

Pure arithmetic on a layout, lengths in mm. Along the grain wood hardly moves (0.1 to 0.2 % from green to dry, Wood
Handbook chapter 4), so ends keep their length while the faces beside them come and go.
"""

from __future__ import annotations

from dataclasses import dataclass

from solids.layout import Layout
from solids.recipe.resolved import Board
from solids.wood import change, in_published_range


@dataclass(frozen=True)
class BoardChange:
    """How much one board grows, negative where it shrinks; None where nothing is known of how its wood moves."""

    width: float | None
    thickness: float | None


@dataclass(frozen=True)
class Season:
    """One time of the year at home, against the joint as it left the shop. `moisture` is in %.

    `mismatch` is how much more the tail board grows in width than the pin board. `pins_stand` is how far the pins' end
    grain then stands past the tail board's show face, `tails_stand` how far the tails' ends stand past the pin board's;
    negative where they lie below it. None where a wood's movement is not known, or where a lap hides the ends. Each is
    what wood does that is free to move: glue holds it back, so a glued joint shows this or less.
    """

    moisture: float
    tail_board: BoardChange
    pin_board: BoardChange
    mismatch: float | None
    pins_stand: float | None
    tails_stand: float | None


@dataclass(frozen=True)
class WoodMovement:
    """From the shop's moisture content (%) to the home's at its driest and at its dampest."""

    shop_moisture: float
    dry: Season
    damp: Season

    @property
    def seasons(self) -> tuple[Season, Season]:
        """Both."""
        return self.dry, self.damp

    @property
    def in_range(self) -> bool:
        """Whether the published coefficients hold for all three moisture contents."""
        return all(map(in_published_range, (self.shop_moisture, self.dry.moisture, self.damp.moisture)))


def wood_movement(layout: Layout) -> WoodMovement:
    """What both boards of a finished joint do between the shop's air and the home's."""
    home = layout.recipe.home
    dry, damp = (_season(layout, air.moisture) for air in (home.dry, home.damp))
    return WoodMovement(layout.recipe.shop.moisture, dry, damp)


def _season(layout: Layout, moisture: float) -> Season:
    recipe, finished, shop = layout.recipe, layout.as_finished, layout.recipe.shop.moisture
    tails = _change(recipe.tail_board, layout.width, finished.show_z, shop, moisture)
    pins = _change(recipe.pin_board, layout.width, finished.show_y, shop, moisture)
    return Season(
        moisture=moisture,
        tail_board=tails,
        pin_board=pins,
        mismatch=None if tails.width is None or pins.width is None else tails.width - pins.width,
        pins_stand=None if tails.thickness is None else -tails.thickness,
        tails_stand=None if layout.is_half_blind or pins.thickness is None else -pins.thickness,
    )


def _change(board: Board, width: float, thickness: float, shop: float, home: float) -> BoardChange:
    moves = board.wood.movement
    if moves is None:
        return BoardChange(None, None)
    return BoardChange(
        width=change(width, moves.across(board.sawn), shop, home),
        thickness=change(thickness, moves.through(board.sawn), shop, home),
    )
