"""What the wood does between the shop and the home at its driest and at its dampest: both boards across their width
and through their thickness, as figures, as a note, and as warnings.

Pure arithmetic on a layout, lengths in mm. Along the grain wood hardly moves (0.1 to 0.2 % from green to dry, Wood
Handbook chapter 4), so ends keep their length while the faces beside them come and go.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solids.base import tolerances as tol
from solids.base.amounts import fine
from solids.base.findings import Finding
from solids.base.messages import Words, joined, message
from solids.layout import Layout
from solids.recipe.tables.resolved import Board
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


# --- in words ------------------------------------------------------------------------------------

MOST = "That is for wood that is free to move; glue holds it back, so it is the most it can be."
BEYOND = "Beyond 6 to 14 % moisture the published figures are only a guide."
LEFT_OUT = "A wood whose movement is not given is left out."

STILL = 0.05
"""A change of moisture, in %, that the figures do not show."""


def movement_note(layout: Layout) -> Finding:
    """What both boards and their ends do at both seasons, from the shop's air on."""
    recipe, moves = layout.recipe, wood_movement(layout)
    seasons = (("driest", recipe.home.dry, moves.dry), ("dampest", recipe.home.damp, moves.damp))
    made = message("Made at {} ({:.1f} % moisture).", recipe.shop.amount, moves.shop_moisture)
    told = [
        message(
            "When the home is {}, {} ({:.1f} % moisture), {}.",
            name,
            air.amount,
            season.moisture,
            _by_then(layout, season) if _is_moved(season, moves) else "nothing to speak of moves",
        )
        for name, air, season in seasons
    ]
    known = [board.width is not None for board in (moves.dry.tail_board, moves.dry.pin_board)]
    more = [MOST] if any(known) and any(_is_moved(season, moves) for _, _, season in seasons) else []
    more += [] if all(known) else [LEFT_OUT]
    more += [] if moves.in_range else [BEYOND]
    return Finding(code="movement", severity="note", sentence=joined([made, *told, *more]))


def _is_moved(season: Season, moves: WoodMovement) -> bool:
    return abs(season.moisture - moves.shop_moisture) >= STILL


def _by_then(layout: Layout, season: Season) -> Words:
    """What has happened by then: sizes first, then ends."""
    boards = (("tail board", season.tail_board), ("pin board", season.pin_board))
    parts: list[Words] = [_growth(name, board) for name, board in boards if board.width is not None]
    tell = _stand_further if layout.recipe.finish.ends == "proud" else _stand
    steps = [tell(name, by) for name, by in _ends(season)]
    parts += [joined(steps, " and ")] if steps else []
    return joined(parts, "; ") if parts else "its wood moves by what is not known"


def _ends(season: Season) -> Iterator[tuple[str, float]]:
    """Ends that show, and how far they stand."""
    for name, by in (("pins", season.pins_stand), ("ends of the tails", season.tails_stand)):
        if by is not None:
            yield name, by


def _stand(end: str, by: float) -> Words:
    return message("the {} {} {} {}", end, "stand" if by > 0 else "lie", fine(abs(by)), "proud" if by > 0 else "low")


def _stand_further(end: str, by: float) -> Words:
    """Ends that stand proud on purpose come out further, or less far."""
    return message("the {} stand {} {}", end, fine(abs(by)), "further out" if by > 0 else "less proud")


def _growth(board: str, change: BoardChange) -> Words:
    width, thickness = change.width or 0.0, change.thickness or 0.0
    verb = "grows" if width > 0 else "shrinks"
    return message("the {} {} {} in width and {} in thickness", board, verb, fine(abs(width)), fine(abs(thickness)))


def mismatch_warning(layout: Layout) -> Finding | None:
    """Two boards that move apart across their width, which strains the joint and its glue, at the season when they do
    so most. Nobody is warned of air that was only assumed; the note tells the figures all the same."""
    if layout.recipe.air_is_assumed:
        return None
    moves = wood_movement(layout)
    apart = {name: abs(season.mismatch or 0.0) for name, season in (("driest", moves.dry), ("dampest", moves.damp))}
    worst = max(apart, key=lambda name: apart[name])
    limit = tol.MISMATCH_SHARE * layout.width
    if apart[worst] <= limit:
        return None
    told = message(
        "When the home is {} the boards have moved apart by {} across the width. That strains the joint and its glue: "
        "boards may cup or split.",
        worst,
        fine(apart[worst]),
    )
    sentence = joined([told, *_if_assumed(layout)])
    remedy = "Take woods that move alike, or boards sawn alike, or let the wood settle at home before you cut."
    return Finding("mismatch", "warning", sentence, "", apart[worst], limit, "mm", remedy)


def no_wood_named(layout: Layout) -> str:
    """The beginning of a sentence about an assumed wood. In a box one board may be named and the other not."""
    recipe = layout.recipe
    boards = {"tail board": recipe.tail_board, "pin board": recipe.pin_board}
    unnamed = [name for name, board in boards.items() if board.wood.is_assumed]
    return "No wood was named" if len(unnamed) == len(boards) else f"No wood was named for the {unnamed[0]}"


def _if_assumed(layout: Layout) -> Iterator[Words]:
    """Nobody is warned of a wood as if they had named it."""
    if wood := layout.recipe.assumed_wood:
        yield f"{no_wood_named(layout)}: that is for {wood.name}."


def step_warning(layout: Layout) -> Finding | None:
    """End grain that a finger feels at either season: proud of a face that has dried, or below one that has swollen.
    Ends that are left proud are meant to be felt."""
    if layout.recipe.air_is_assumed or layout.recipe.finish.ends == "proud":
        return None
    moves = wood_movement(layout)
    told: list[Words] = []
    worst = 0.0
    for name, season in (("driest", moves.dry), ("dampest", moves.damp)):
        felt = [(end, by) for end, by in _ends(season) if abs(by) > tol.STEP_FELT]
        if felt:
            steps = joined([_stand(*each) for each in felt], " and ")
            told.append(message("When the home is {} {}.", name, steps))
            worst = max(worst, *(abs(by) for _, by in felt))
    if not told:
        return None
    sentence = joined([*told, MOST, message("A finger feels {}.", fine(tol.STEP_FELT)), *_if_assumed(layout)])
    remedy = "Plane the ends flush after the wood has settled at home; what the seasons do to them stays."
    return Finding("step", "warning", sentence, "", worst, tol.STEP_FELT, "mm", remedy)
