"""What the wood does between shop and home, in sentences: the note on movement, and what of it is worth a warning."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base import tolerances as tol
from solids.base.amounts import fine
from solids.base.findings import Finding
from solids.base.lengths import Units
from solids.base.messages import Amount, Words, joined, message
from solids.bench.movement import BoardChange, Season, WoodMovement, wood_movement
from solids.layout import Layout
from solids.wood import Climate

MOST = "That is for wood that is free to move; glue holds it back, so it is the most it can be."
BEYOND = "Beyond 6 to 14 % moisture the published figures are only a guide."
LEFT_OUT = "A wood whose movement is not given is left out."

STILL = 0.05
"""A change of moisture, in %, that the figures do not show."""


def note(layout: Layout) -> Finding:
    """What both boards and their ends do at both seasons, from the shop's air on."""
    recipe, moves = layout.recipe, wood_movement(layout)
    seasons = (("driest", recipe.home.dry, moves.dry), ("dampest", recipe.home.damp, moves.damp))
    made = message("Made at {} ({:.1f} % moisture).", _air(recipe.shop), moves.shop_moisture)
    told = [
        message(
            "When the home is {}, {} ({:.1f} % moisture), {}.",
            name,
            _air(air),
            season.moisture,
            _season(layout, season) if _is_moved(season, moves) else "nothing to speak of moves",
        )
        for name, air, season in seasons
    ]
    known = [board.width is not None for board in (moves.dry.tail_board, moves.dry.pin_board)]
    more = [MOST] if any(known) and any(_is_moved(season, moves) for _, _, season in seasons) else []
    more += [] if all(known) else [LEFT_OUT]
    more += [] if moves.in_range else [BEYOND]
    return Finding(code="movement", severity="note", sentence=joined([made, *told, *more]))


def _air(air: Climate) -> Amount:
    """The air of a room, in the reader's degrees."""
    return Amount(_air_words, air.temperature_c, air.humidity)


def _air_words(celsius: float, humidity: float, units: Units) -> str:
    return Climate(celsius, humidity).words(units)


def _is_moved(season: Season, moves: WoodMovement) -> bool:
    return abs(season.moisture - moves.shop_moisture) >= STILL


def _season(layout: Layout, season: Season) -> Words:
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


def mismatch(layout: Layout) -> Finding | None:
    """Boards that move apart across their width, at the season at which they do so most."""
    moves = wood_movement(layout)
    apart = {name: abs(season.mismatch or 0.0) for name, season in (("driest", moves.dry), ("dampest", moves.damp))}
    worst = max(apart, key=lambda name: apart[name])
    limit = tol.MISMATCH_SHARE * layout.width
    if apart[worst] <= limit:
        return None
    return Finding(
        code="mismatch",
        severity="warning",
        sentence=message(
            "When the home is {} the boards have moved apart by {} across the width. That strains the joint and its "
            "glue: boards may cup or split.",
            worst,
            fine(apart[worst]),
        ),
        measured=apart[worst],
        limit=limit,
        unit="mm",
        remedy="Take woods that move alike, or boards sawn alike, or let the wood settle at home before you cut.",
    )


def step(layout: Layout) -> Finding | None:
    """Ends that a finger finds at either season."""
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
    return Finding(
        code="step",
        severity="warning",
        sentence=joined([*told, MOST, "A finger feels 0.02 to 0.03 mm."]),
        measured=worst,
        limit=tol.STEP_FELT,
        unit="mm",
        remedy="Plane the ends flush after the wood has settled at home; what the seasons do to them stays.",
    )
