"""Charts of numbers that are compared, drawn as plain SVG: what more or fewer tails would hold and take, and what the
wood does over a year. Pure arithmetic: layouts in mm, places in the units of the drawing, X to the right, Y down."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from solids.base.forces import NEWTONS_PER_POUND_FORCE, format_force
from solids.base.lengths import CALIPER, MM_PER_INCH, format_length
from solids.base.messages import Units, capital
from solids.bench.comparing import with_other_tails
from solids.bench.movement import no_wood_named, wood_movement
from solids.bench.strength import screening
from solids.bench.worktime import piece_minutes
from solids.layout import Layout, tails_in_words
from solids.layout.assembly import Assembly
from solids.write.page.plot import ROW, WIDTH, Chart, Label, Scale, path, scale_over, scales_from_zero, width_of, within

MOST_COUNTS, BEYOND = 12, 3
"""How many numbers of tails are compared, and up to how many more than the recipe has."""

PLOT_HEIGHT, INSET, GAP = 150.0, 14.0, 3.0
"""The height of the lines; what is free beside the first and the last place, and above and below a bar."""

YEAR_SHOWS = 0.005
"""A board that moves by less (mm) does not move, as far as a caliper tells."""


def piece_charts(piece: Assembly) -> dict[str, tuple[Chart, ...]]:
    """Those of each kind of joint, by its heading. A box's bottom is in the first one's."""
    first, bottom = piece.kinds[0], _bottom_over_a_year(piece)
    return {kind.heading: tuple(charts(kind.layout, bottom if kind is first else None)) for kind in piece.kinds}


def _bottom_over_a_year(piece: Assembly) -> tuple[float, float] | None:
    """How much a solid bottom grows until the driest time at home and until the dampest; None where that is not
    known."""
    box = piece.box
    if box is None or box.panel is None or box.recipe.panel.kind != "solid" or box.recipe.panel.wood.movement is None:
        return None
    grows, shrinks = box.panel_moves
    return -shrinks, grows


def charts(layout: Layout, bottom: tuple[float, float] | None = None) -> Iterator[Chart]:
    """Those of one joint for which there are figures. `bottom` is how much that of its box grows until the driest time
    of the year and until the dampest (mm)."""
    yield from more_or_fewer_tails(layout)
    yield from over_a_year(layout, bottom)


# --- more or fewer tails -------------------------------------------------------------------------


def more_or_fewer_tails(layout: Layout) -> Iterator[Chart]:
    """The pull at which the glued joint first gives and the minutes that it takes, by the number of tails. None where
    the strength of a wood is not known, or where there is no other number."""
    own, units = len(layout.tails), layout.recipe.units
    counts = range(max(1, own + BEYOND + 1 - MOST_COUNTS), own + BEYOND + 1)
    tried = list(with_other_tails(layout, counts)) if screening(layout).glued else []
    if len(tried) < 2:
        return
    numbers = [len(each.tails) for each in tried]
    pulls, times = [screening(each).glued[0].least for each in tried], [piece_minutes([each]) for each in tried]
    force, unit = (NEWTONS_PER_POUND_FORCE, "lbf") if units == "in" else (1000.0, "kN")
    top, foot = 1.6 * ROW, 1.6 * ROW + PLOT_HEIGHT
    pull, time = scales_from_zero([max(pulls) / force, max(each.most for each in times)], foot, top)
    left, right = (max(map(width_of, scale.told)) + 6 for scale in (pull, time))
    places = Scale((numbers[0], numbers[-1]), left + INSET, WIDTH - right - INSET)
    across = [places.at(number) for number in numbers]
    held = [(x, pull.at(each / force)) for x, each in zip(across, pulls, strict=True)]
    band = [(x, time.at(each.most)) for x, each in zip(across, times, strict=True)]
    band += [(x, time.at(each.least)) for x, each in zip(across, times, strict=True)][::-1]
    here = places.at(own)
    shapes = [("grid", path([(left, pull.at(tick)), (WIDTH - right, pull.at(tick))])) for tick in pull.ticks]
    shapes += [("band", path(band, closed=True)), ("mark", path([(here, top), (here, foot)])), ("line", path(held))]
    shapes += [("dot", path([each])) for each in held]
    shapes.append(("dot here", path([held[numbers.index(own)]])))
    labels = [Label(0, ROW / 2, "start", f"pull, {unit}", "accent"), Label(WIDTH, ROW / 2, "end", "minutes", "quiet")]
    labels += [Label(left - 6, pull.at(at), "end", told, "accent") for at, told in pull.marks]
    labels += [Label(WIDTH - right + 6, time.at(at), "start", told, "quiet") for at, told in time.marks]
    labels += _counts(numbers, own, places, foot + ROW * 0.8)
    labels.append(within(here, foot + ROW * 1.8, f"this recipe: {tails_in_words(own)}", "own"))
    yield Chart(
        "More or fewer tails",
        "Line: the pull at which the glued corner first gives, to compare with, never to design with; band: minutes "
        f"for it, practised to unhurried.{_assumed(layout)}",
        "By the number of tails, the pull at which the glued corner first gives and the minutes it takes: "
        + "; ".join(
            f"{tails_in_words(numbers[at])}{', as in this recipe' if numbers[at] == own else ''}, about "
            f"{format_force(pulls[at], units)} and {times[at].words} minutes"
            for at in sorted({0, numbers.index(own), len(numbers) - 1})
        )
        + ".",
        foot + ROW * 2.4,
        tuple(shapes),
        tuple(labels),
    )


def _counts(numbers: Sequence[int], own: int, places: Scale, y: float) -> Iterator[Label]:
    """The numbers of tails below their places: the recipe's own, and as many others as there is room for."""
    room = (places.end - places.start) / (numbers[-1] - numbers[0])
    every = math.ceil((width_of(str(numbers[-1])) + 4) / room)
    for number in numbers:
        if (number - own) % every == 0:
            yield Label(places.at(number), y, "middle", str(number), "own" if number == own else "")


# --- over a year ---------------------------------------------------------------------------------


def over_a_year(layout: Layout, bottom: tuple[float, float] | None = None) -> Iterator[Chart]:
    """How much wider or narrower than as made each board becomes at home. None where nothing is known or moves."""
    units, moves = layout.recipe.units, wood_movement(layout)
    widths = [
        ("tail board", moves.dry.tail_board.width, moves.damp.tail_board.width),
        ("pin board", moves.dry.pin_board.width, moves.damp.pin_board.width),
        ("bottom", *(bottom or (None, None))),
    ]
    known = [(name, dry, damp) for name, dry, damp in widths if dry is not None and damp is not None]
    if not any(abs(by) >= YEAR_SHOWS for _, *both in known for by in both):
        return
    unit, length = ("thousandths in", float(MM_PER_INCH) / 1000) if units == "in" else ("mm", 1.0)
    bars = [(name, min(dry, damp) / length, max(dry, damp) / length) for name, dry, damp in known]
    low, high = min(0.0, *(bar[1] for bar in bars)), max(0.0, *(bar[2] for bar in bars))
    scale = scale_over(low, high, 2 * INSET, WIDTH - 2 * INSET)
    foot = 2 * ROW * len(bars)
    shapes, labels = list[tuple[str, str]](), list[Label]()
    for row, (name, least, most) in enumerate(bars):
        y = ROW * (2 * row + 0.5)
        labels += [Label(0, y, "start", name), Label(WIDTH, y, "end", f"{_told(least, units)} to {_told(most, units)}")]
        top, below, left, right = y + ROW / 2, y + ROW * 1.5, scale.at(least), scale.at(most)
        corners = [(left, top + GAP), (right, top + GAP), (right, below - GAP), (left, below - GAP)]
        shapes += [("grid", path([(scale.at(tick), top), (scale.at(tick), below)])) for tick in scale.ticks]
        shapes += [("bar", path(corners, closed=True)), ("zero", path([(scale.at(0), top), (scale.at(0), below)]))]
    for at, told in scale.marks:
        labels.append(within(scale.at(at), foot + ROW * 0.8, told if at else "as made", "" if at else "own"))
    ends = (Label(0, foot + ROW * 1.8, "start", "narrower"), Label(WIDTH, foot + ROW * 1.8, "end", "wider"))
    yield Chart(
        "What the wood does over a year",
        "Each board's width at home against as made, from the driest air to the dampest, where nothing holds it."
        f"{_assumed(layout)}",
        "At home, from its driest to its dampest air: "
        + "; ".join(f"the {name} from {_grown(dry, units)} to {_grown(damp, units)}" for name, dry, damp in known)
        + ", measured in width against as made.",
        foot + ROW * 2.4,
        tuple(shapes),
        (*labels, *ends, Label(WIDTH / 2, foot + ROW * 1.8, "middle", unit)),
    )


def _told(amount: float, units: Units) -> str:
    """A small change with its sign, in mm or thousandths of an inch: "-0.82", "+18", "0"."""
    text = f"{amount:+.0f}" if units == "in" else f"{amount:+.2f}"
    return text if float(text) else "0"


def _grown(mm: float, units: Units) -> str:
    return f"{format_length(abs(mm), units, CALIPER)} {'narrower' if mm < 0 else 'wider'}"


def _assumed(layout: Layout) -> str:
    """That a wood is not the maker's; empty where it is."""
    wood = layout.recipe.assumed_wood
    return f" {capital(no_wood_named(layout))}: this is for {wood.name}." if wood else ""
