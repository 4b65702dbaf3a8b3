"""What the wood does between shop and home, in sentences: the note on movement, and what of it is worth a warning."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base import tolerances as tol
from solids.base.findings import Finding
from solids.base.lengths import format_both
from solids.bench.movement import BoardChange, Season, wood_movement
from solids.layout import Layout

MOST = "That is for wood that is free to move; glue holds it back, so it is the most it can be."
BEYOND = "Beyond 6 to 14 % moisture the published figures are only a guide."
LEFT_OUT = "A wood whose movement is not given is left out."
NOTHING = "nothing to speak of moves"

STILL = 0.05
"""A change of moisture, in %, that the figures do not show."""


def note(layout: Layout) -> Finding:
    """What both boards and their ends do at both seasons, from the shop's air on."""
    recipe, moves = layout.recipe, wood_movement(layout)
    told = [
        f"When the home is {name}, {air.words(recipe.units)} ({season.moisture:.1f} % moisture), "
        f"{_season(layout, season, moves.shop_moisture)}."
        for name, air, season in (
            ("driest", recipe.home.dry, moves.dry),
            ("dampest", recipe.home.damp, moves.damp),
        )
    ]
    made = f"Made at {recipe.shop.words(recipe.units)} ({moves.shop_moisture:.1f} % moisture)."
    known = [board.width is not None for board in (moves.dry.tail_board, moves.dry.pin_board)]
    more = [MOST] if any(known) and any(not told_of.endswith(f"{NOTHING}.") for told_of in told) else []
    more += [] if all(known) else [LEFT_OUT]
    more += [] if moves.in_range else [BEYOND]
    return Finding(code="movement", severity="note", sentence=" ".join((made, *told, *more)))


def _season(layout: Layout, season: Season, shop_moisture: float) -> str:
    """What has happened by then: sizes first, then ends."""
    if abs(season.moisture - shop_moisture) < STILL:
        return NOTHING
    boards = (("tail board", season.tail_board), ("pin board", season.pin_board))
    parts = [_growth(layout, name, board) for name, board in boards if board.width is not None]
    tell = _stand_further if layout.recipe.finish.ends == "proud" else _stand
    steps = [f"the {name} {tell(layout, by)}" for name, by in _ends(season)]
    return "; ".join([*parts, *([" and ".join(steps)] if steps else [])]) or "its wood moves by what is not known"


def _ends(season: Season) -> Iterator[tuple[str, float]]:
    """Ends that show, and how far they stand."""
    for name, by in (("pins", season.pins_stand), ("ends of the tails", season.tails_stand)):
        if by is not None:
            yield name, by


def _say(layout: Layout, mm: float) -> str:
    return format_both(mm, layout.recipe.units, 0.01)


def _stand(layout: Layout, by: float) -> str:
    return f"{'stand' if by > 0 else 'lie'} {_say(layout, abs(by))} {'proud' if by > 0 else 'low'}"


def _stand_further(layout: Layout, by: float) -> str:
    """Ends that stand proud on purpose come out further, or less far."""
    return f"stand {_say(layout, abs(by))} {'further out' if by > 0 else 'less proud'}"


def _growth(layout: Layout, name: str, board: BoardChange) -> str:
    width, thickness = board.width or 0.0, board.thickness or 0.0
    verb = "grows" if width > 0 else "shrinks"
    return f"the {name} {verb} {_say(layout, abs(width))} in width and {_say(layout, abs(thickness))} in thickness"


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
        sentence=f"When the home is {worst} the boards have moved apart by {_say(layout, apart[worst])} across the "
        "width. That strains the joint and its glue: boards may cup or split.",
        measured=apart[worst],
        limit=limit,
        unit="mm",
        remedy="Take woods that move alike, or boards sawn alike, or let the wood settle at home before you cut.",
    )


def step(layout: Layout) -> Finding | None:
    """Ends that a finger finds at either season."""
    moves = wood_movement(layout)
    told, worst = [], 0.0
    for name, season in (("driest", moves.dry), ("dampest", moves.damp)):
        felt = [(end, by) for end, by in _ends(season) if abs(by) > tol.STEP_FELT]
        if felt:
            told.append(
                f"when the home is {name} " + " and ".join(f"the {end} {_stand(layout, by)}" for end, by in felt)
            )
            worst = max(worst, *(abs(by) for _, by in felt))
    if not told:
        return None
    words = "; ".join(told)
    return Finding(
        code="step",
        severity="warning",
        sentence=f"{words[0].upper()}{words[1:]}. {MOST} A finger feels 0.02 to 0.03 mm.",
        measured=worst,
        limit=tol.STEP_FELT,
        unit="mm",
        remedy="Plane the ends flush after the wood has settled at home; what the seasons do to them stays.",
    )
