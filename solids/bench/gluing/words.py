"""The glue-up in sentences: for the page of its own, for notes and for the order of work."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from solids.base.lengths import CALIPER, MOST, format_both, format_length
from solids.base.masses import told_grams
from solids.base.messages import Units, capital, counted
from solids.bench.gluing.clamping import LAID_OUT, WAXED, Caul, Clamping, Pinch
from solids.bench.gluing.goes import SECONDS, Gluing, Seat, slower_glues
from solids.layout.box.kinds import and_so_on, kind_title
from solids.recipe.completing.choosing import round_up
from solids.recipe.tables.box_resolved import SIDES
from solids.recipe.tables.panel import Glued
from solids.wood.glues import Glue

TEN = 10
"""Nobody counts by less than so many seconds; and from so many minutes on, by whole minutes."""

HOUR = 60.0
LONG_WAIT = 120.0
"""From here on a wait is told in hours (min)."""

NUMBERS = ("no", "one", "two", "three", "four", "five", "six")

BOTTOM_GLUED: dict[Glued, str] = {
    "all round": "It may be glued all round, as plywood hardly moves. Run one unbroken bead along the corner of the "
    "groove: a groove is easily starved.",
    "in the middle": "Only a dab in the middle of each of its end-grain edges. All else stays dry: it has to move.",
}
"""What is glued of a bottom in its groove."""

WIPED = (
    "Wipe off what squeezes out inside with a damp rag at once. Outside let it turn rubbery and pare it off, or plane "
    "it away with the ends."
)


def told_seconds(seconds: float) -> str:
    """A time as one counts it, rounded up: "40 s", "5 min 20 s", "12 min"."""
    tens = math.ceil(seconds / TEN - 1e-9) * TEN
    whole, rest = divmod(tens, int(SECONDS))
    if whole >= TEN:
        return f"{math.ceil(seconds / SECONDS - 1e-9)} min"
    return " ".join([*([f"{whole} min"] if whole else []), *([f"{rest} s"] if rest or not whole else [])])


def told_minutes(minutes: float) -> str:
    """A time of the glue: "5 min", "6 h"."""
    return f"{minutes:g} min" if minutes < LONG_WAIT else f"{round(minutes / HOUR, 1):g} h"


def glue_line(gluing: Gluing) -> str:
    """The glue and its times in a sentence."""
    glue = gluing.glue
    return (
        f"{capital(glue.kind)}: {told_minutes(glue.open_min)} open, {told_minutes(glue.assembly_min)} to the last "
        f"clamp, {told_minutes(glue.clamp_min)} in the clamps, {glue.spread_g_m2:g} g/m2. Your bottle's own word goes "
        "before these figures. Warm or dry air shortens them."
    )


def amount_words(gluing: Gluing) -> str:
    """How much there is to brush, for the order of work: no order of boards is needed for it."""
    faces = sum(corner.faces for corner in gluing.corners)
    return (
        f"Brush both faces of each, {faces} altogether: have {told_grams(gluing.pour, gluing.units)} of glue ready, "
        f"and count on {told_seconds(gluing.brushing)} of brushing. Leave end grain dry."
    )


# --- goes ------------------------------------------------------------------------------------------


def goes_words(gluing: Gluing) -> str:
    """In how many goes, and why; empty where the order is not known."""
    if not gluing.goes:
        return ""
    most = told_minutes(gluing.glue.assembly_min)
    at_once = told_seconds(gluing.at_once)
    if len(gluing.goes) == 1:
        return f"One go will do: {at_once} from the first brush to the last clamp, and the glue gives {most}." * (
            not gluing.overlong
        )
    how_many = NUMBERS[len(gluing.goes)] if len(gluing.goes) < len(NUMBERS) else str(len(gluing.goes))
    return f"Glue it in {how_many} goes: all at once would take {at_once}, and the glue gives {most} to the last clamp."


def with_pauses(gluing: Gluing, together: Sequence[str]) -> tuple[str, ...]:
    """The steps in which a piece goes together, a pause between one go and the next."""
    steps = list(together)
    for number in reversed(range(len(gluing.goes) - 1)):
        done = 1 + sum(len(go.seats) for go in gluing.goes[: number + 1])
        steps.insert(done, pause_words(gluing, number))
    return tuple(steps)


def pause_words(gluing: Gluing, number: int) -> str:
    """What comes between a go, counted from 0, and the next: the parts that are left hold it square, dry."""
    left = [part for go in gluing.goes[number + 1 :] for part in go.parts]
    return (
        f"Wipe the joints that are still dry. Put {_the_parts(left)} in dry, in the same order, to hold it square; "
        f"clamp, and check. After {told_minutes(gluing.glue.clamp_min)} take the dry parts off the same way back."
    )


def trouble_words(gluing: Gluing) -> Iterator[str]:
    """What does not fit in the glue's times however it is divided, and what helps, a sentence each."""
    late, overlong = gluing.late, [go for go in gluing.overlong if not any(seat in gluing.late for seat in go.seats)]
    for seat in late:
        closes = f"{capital(_the_part(seat.part))} closes {counted(len(seat.corners), 'corner')}"
        yield (
            f"{closes}: {told_seconds(seat.opened)} from the first face until it is home, and the glue stays open for "
            f"{told_minutes(gluing.glue.open_min)}."
        )
    for go in overlong:
        most = told_minutes(gluing.glue.assembly_min)
        yield (
            f"{capital(_the_parts(go.parts))}: {told_seconds(go.seconds)} to the last clamp, and the glue gives {most}."
        )
    if late or overlong:
        yield _help(gluing, [*late, *(seat for go in overlong for seat in go.seats)])
    elif len(gluing.goes) > 1 and (slower := slower_glues(gluing)):
        yield f"{capital(slower[0].kind)} would leave time for one go ({_times(slower[0])})."


def _help(gluing: Gluing, seats: Sequence[Seat]) -> str:
    """A second brush, or a slower glue."""
    longest = max(seats, key=lambda seat: seat.opened)
    halved = told_seconds(longest.brushing / 2 + longest.seating)
    two = f"With a second person to brush it is {halved}"
    slower = slower_glues(gluing)
    if not slower:
        return f"{two}."
    return f"{two}. Or take a slower glue: {slower[0].kind} would do in one go ({_times(slower[0])})."


def _times(glue: Glue) -> str:
    opened, assembly = told_minutes(glue.open_min), told_minutes(glue.assembly_min)
    return f"about {opened} open and {assembly} to the last clamp, from memory"


def reach_words(gluing: Gluing) -> str:
    """How many corners one person brushes in the open time."""
    if len(gluing.corners) == 1:
        return ""
    within = gluing.corners_in_open_time
    if not within:
        return "One person cannot brush a whole corner in the open time."
    if within >= len(gluing.corners):
        return "One person could brush all corners within the open time."
    return f"Within the open time one person brushes {counted(within, 'corner')} at most."


# --- clamps ----------------------------------------------------------------------------------------


def laid_out_words(clamps: Clamping, units: Units) -> str:
    """What lies ready: the order of work's own step."""
    return " ".join(
        [f"{LAID_OUT}; {count_words(clamps, units)}. {caul_words(clamps, units)} {WAXED}", *pinch_words(clamps, units)]
    )


def count_words(clamps: Clamping, units: Units) -> str:
    """How many clamps, how far they open, and along which boards they run."""
    found = f"{clamps.count} clamps that open {format_length(round_up(clamps.opens, units), units)} or more"
    if len(clamps.runs) == 1:
        return found
    return f"{found}, {len(clamps.runs[0].at)} along each of {and_so_on([run.along for run in clamps.runs])}"


def pinch_words(clamps: Clamping, units: Units) -> Iterator[str]:
    """The small clamps for what is glued onto a board, a sentence for each way."""
    alike: dict[tuple[int, float], list[Pinch]] = {}
    for pinch in clamps.pinches:
        alike.setdefault((pinch.count, pinch.opens), []).append(pinch)
    for (count, opens), same in alike.items():
        wide = format_length(round_up(opens, units), units)
        yield (
            f"For the {and_so_on([pinch.part for pinch in same])} {counted(count, 'small clamp')} each, that open "
            f"{wide} or more: over the lower edge of the side, evenly along it, with a straight caul on the show face."
        )


def pressed_words(seat: Seat, clamps: Clamping) -> str:
    """How a part is pressed that small clamps hold; empty for any other."""
    found = [pinch for pinch in clamps.pinches if pinch.part == seat.part]
    return f"Press it with {counted(found[0].count, 'small clamp')}, and check the groove's line." if found else ""


def where_words(clamps: Clamping, units: Units) -> str:
    """How far from the reference edge each clamp is, and which way it presses."""
    alike: dict[tuple[float, ...], list[str]] = {}
    for run in clamps.runs:
        alike.setdefault(run.at, []).append(run.along)
    pressed = f"{_pressed(clamps)} {'down on the pins' if len(clamps.runs) == 1 else 'inward'}"
    rows = [
        f"{and_so_on([format_length(at, units) for at in places])} from the reference edge, along "
        f"{and_so_on([f'the {name}' for name in names])}"
        for places, names in alike.items()
    ]
    return f"They stand {'; '.join(rows)}, and press {pressed}. Nothing presses the other way: the flanks draw it shut."


def _pressed(clamps: Clamping) -> str:
    return f"the {clamps.pressed[0]}" if len(clamps.runs) == 1 else and_so_on(clamps.pressed)


def caul_words(clamps: Clamping, units: Units) -> str:
    """Where the cauls go, a sentence for each way to make them."""
    alike: dict[tuple[object, ...], list[Caul]] = {}
    for caul in clamps.cauls:
        alike.setdefault((caul.length, caul.tails, caul.widest, caul.blocks), []).append(caul)
    return " ".join(_cauls(group, units, all_alike=len(alike) == 1) for group in alike.values())


def _cauls(group: Sequence[Caul], units: Units, *, all_alike: bool) -> str:
    first = group[0]
    long = format_length(first.length, units, CALIPER)
    at = f" at the {kind_title([caul.corner for caul in group])}" if first.corner else ""
    boards = list(dict.fromkeys(caul.board for caul in group))
    where = f"at each end of {and_so_on(boards)}" if all_alike and first.corner else at.strip()
    if not first.clears:
        return f"Lay a straight caul of {long} or longer over the tails{' ' * bool(where)}{where}."
    blocks = f"{counted(first.tails, 'block')} of {format_length(round_up(first.blocks, units), units)} or thicker"
    return (
        f"Lay a caul of {long} or longer over the tails{' ' * bool(where)}{where}, with {blocks}, one on each tail and "
        f"{format_length(first.widest, units, MOST)} wide at most, so that it clears the pins that stand proud."
    )


def diagonal_words(clamps: Clamping, units: Units) -> str:
    """Both diagonals inside and what to do where they differ; that of a corner alone is a square."""
    if clamps.diagonal is None:
        return "Check it with a square, inside."
    return f"Both diagonals inside are {format_both(clamps.diagonal, units, CALIPER)}: shift a clamp until they are."


def _the_part(part: str) -> str:
    return f"the {part} board" if part in SIDES else f"the {part}"


def _the_parts(parts: Sequence[str]) -> str:
    return and_so_on([_the_part(part) for part in parts])


def go_title(number: int) -> str:
    """What a go of several is called, counted from 0: "First go"."""
    return f"{('First', 'Second', 'Third', 'Fourth', 'Fifth')[number]} go"
