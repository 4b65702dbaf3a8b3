"""The layout in words and rows of text, in the maker's units. Pure: printed elsewhere."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

from solids.base import tolerances as tol
from solids.base.geometry import as_compared
from solids.base.lengths import (
    CALIPER,
    FINEST,
    MOST,
    RULE,
    Reading,
    format_both,
    format_cell,
    format_length,
    length_cells,
    length_heads,
    off_the_rule,
)
from solids.base.messages import Units, counted
from solids.bench.place_words import place_words, tails_told
from solids.bench.settings import (
    ChiselFit,
    bench_of,
    bevels,
    gauge_settings,
    mitre_lines,
    mitred_shoulders,
    who_has,
)
from solids.bench.told import say
from solids.layout import Layout, Tail
from solids.layout.assembly import Assembly
from solids.layout.joint.shape.slopes import all_slopes, angle_words
from solids.layout.joint.volumes import pin_board_volume, tail_board_volume

if TYPE_CHECKING:
    from solids.wood import Wood

Rows = tuple[tuple[str, ...], list[tuple[str, ...]]]
"""The heads of a table and its rows."""


TABLE_WORDS: dict[Units, str] = {
    "mm": "Length runs from the baseline.",
    "in": "Decimals are inches, with the nearest line of the rule beside them. Length runs from the baseline.",
}
"""What the tables do not say themselves."""


def table_words(layout: Layout) -> str:
    """The same, and from where the pin board's length runs where a rebate puts its baseline higher."""
    words = TABLE_WORDS[layout.recipe.units]
    if not layout.rebate:
        return words
    return f"{words} The pin board's runs from the tail board's inside face, {_size(layout, layout.rebate)} below it."


def headline(layout: Layout) -> str:
    """The joint in one line, with its title."""
    return f"{layout.recipe.title}: {summary(layout)}"


def summary(layout: Layout) -> str:
    """The joint in one line."""
    recipe, say = layout.recipe, partial(format_length, units=layout.recipe.units, reading=CALIPER)
    slopes = f"{'slope' if len(layout.ratios) == 1 else 'slopes'} {all_slopes(layout)} ({angle_words(layout)})"
    parts = [f"{recipe.kind} dovetail", tails_told(layout), slopes, f"{say(layout.width)} wide"]
    parts += [f"rebate {say(layout.rebate)} deep"] if layout.rebate else []
    parts += [f"shoulder mitred {say(each.width)} at the {each.edge}" for each in mitred_shoulders(layout)]
    return ", ".join(parts)


def summary_in_place(layout: Layout) -> str:
    """The same as a sentence, and what is to be known of the joint's place in its piece."""
    return " ".join([f"{summary(layout)}.", *place_words(layout)])


def tail_rows(layout: Layout) -> Rows:
    """Each tail on the finished show face, from the reference edge, or from the line where the joint begins on a wider
    board; and its width at the baseline."""
    begins = "from line" if layout.below else "from edge"
    return ("tail", *heads_of(layout, begins, "to", "width", "at baseline")), [
        (tail_name(tail), *cells_of(layout, *_measured(layout, tail, layout.depth), layout.tail_width(tail, 0.0)))
        for tail in layout.counted(layout.tails)
    ]


def raw_end_rows(layout: Layout) -> Rows:
    """Each tail on the raw end of the tail board, where it is knifed: wider than it shows, as the ends stand proud."""
    raw = layout.as_cut.tail_end
    return ("tail", *heads_of(layout, "on raw end from", "to", "width")), [
        (tail_name(tail), *cells_of(layout, *_measured(layout, tail, raw))) for tail in layout.counted(layout.tails)
    ]


def tail_name(tail: Tail) -> str:
    """ "3", or "1, half tail"."""
    return f"{tail.number}, half tail" if tail.is_half else str(tail.number)


def _measured(layout: Layout, tail: Tail, y: float) -> tuple[float, ...]:
    """Where a tail begins and ends at the plane Y = y, from the reference edge, and its width."""
    return *layout.measured(*layout.tail_edges(tail, y)), layout.tail_width(tail, y)


def pin_rows(layout: Layout) -> Rows:
    """Each pin as cut, half pins among them, and the gap between the tails that it goes into. Pins behind a lap end
    there, and nobody sees them."""
    raw = layout.as_cut.tail_end
    ends = "at the lap" if layout.is_half_blind else "show face"
    widths = (layout.pin_widths(layout.depth), layout.pin_widths(0.0), layout.tail_board_gaps(raw))
    rows = enumerate(zip(*map(layout.counted, (layout.gaps, *widths)), strict=True), 1)
    return ("pin", *heads_of(layout, ends, "inside face", "gap at raw end")), [
        (f"{number}, half pin" if gap.is_half else str(number), *cells_of(layout, *sizes))
        for number, (gap, *sizes) in rows
    ]


def board_rows(layout: Layout) -> Rows:
    """Both boards: sizes as the recipe has them."""
    recipe, cut, finished = layout.recipe, layout.as_cut, layout.as_finished
    head = ("board", "wood", "thickness", "length", *heads_of(layout, "saw to"), "proud", "planed away")
    boards = (
        ("tail board", recipe.tail_board, cut.tail_end, tail_board_volume),
        ("pin board", recipe.pin_board, cut.pin_end, pin_board_volume),
    )
    return head, [
        (
            name,
            board.wood.told,
            board.told(lambda mm: _size(layout, mm)),
            _size(layout, board.length),
            *cells_of(layout, board.length + joint),
            _size(layout, board.proud),
            _say_volume(layout, volume(layout, cut) - volume(layout, finished)),
        )
        for name, board, joint, volume in boards
    ]


def bench_words(layout: Layout) -> list[str]:
    """What to set before a line is drawn: the gauges, and a bevel for each slope and for each board's mitre."""
    lines = [f"Gauge {say(layout, gauge.setting)}: {gauge.lines}." for gauge in gauge_settings(layout)]
    return [
        *lines,
        *bevel_lines(layout),
        *by_eye_words(layout),
        *dividers_words(layout),
        *scale_words(layout),
    ]


def bevel_lines(layout: Layout) -> Iterator[str]:
    """Each bevel to set, with the flanks that have it where there are several, and the mitre's."""
    told = bevels(layout)
    for bevel, who in zip(told, who_has(told), strict=True):
        which = f": {who}" if len(told) > 1 else ""
        if math.isinf(bevel.ratio):
            yield f"Square, no bevel{which}."
            continue
        outward = ", outward" if bevel.ratio < 0 else ""
        yield f"Bevel {abs(bevel.degrees):.1f} degrees, 1 in {abs(bevel.ratio):.4g}{outward}{which}."
    if len(told) > 1:
        yield "Left and right are as seen on the tail board's show face, its raw end away from you."
    if mitred_shoulders(layout):
        for line in mitre_lines(layout):
            yield f"Mitre on the {line.board}: {line.angle_words} to its faces."


def by_eye_words(layout: Layout) -> Iterator[str]:
    """What tails by eye were drawn from, and how far they came to differ."""
    recipe = layout.recipe
    if recipe.seed:
        least, most = (pick(tail.width for tail in layout.tails) for pick in (min, max))
        differ = f"from {say(layout, least)} to {say(layout, most)} wide"
        if most - least < tol.LEAST_STEP:
            differ = f"all {say(layout, least)} wide, as there is no room to differ"
        yield f"Tails by eye, drawn from the seed {recipe.seed}: {differ}."


def dividers_words(layout: Layout) -> Iterator[str]:
    """What to set dividers to where tails repeat: finer than a rule, as steps add up."""
    if (pitch := pitch_of(layout)) is not None:
        steps = counted(len(layout.tails) - 1, "step")
        yield f"Dividers {format_length(pitch, layout.recipe.units)}: from a tail to the next, {steps}."


def pitch_of(layout: Layout) -> float | None:
    """How far it is on the raw end from each tail to the next; None where that is not the same all along, for one tail,
    and where a half tail begins at the edge."""
    marks = [flank.x(layout.as_cut.tail_end) for tail in layout.tails if (flank := tail.flank(-1))]
    steps = {as_compared(step): step for step in (after - before for before, after in pairwise(marks))}
    return steps.popitem()[1] if len(steps) == 1 and len(marks) == len(layout.tails) else None


def scale_words(layout: Layout) -> Iterator[str]:
    """How far off places are at most, where they are given to the lines of the maker's own rule."""
    recipe, raw = layout.recipe, layout.as_cut.tail_end
    if recipe.rule == RULE:
        return
    marks = [x for tail in layout.tails for x in layout.measured(*layout.tail_edges(tail, raw))]
    most = max(off_the_rule(mm, recipe.units, recipe.rule) for mm in marks)
    scale, off = (
        format_length(mm, recipe.units, reading) for mm, reading in ((recipe.kit.scale, CALIPER), (most, FINEST))
    )
    yield f"Places to mark are given to your rule's {scale}: at most {off} off."


def chisel_rows(layout: Layout) -> Rows:
    """The widest chisel for each kind of socket, and the widest of the maker's own where the kit names some."""
    own = bool(layout.recipe.kit.chisels)
    head = ("sockets", "chop", "widest chisel", "your own") if own else ("sockets", "chop", "widest chisel")
    return head, [_chisel_row(layout, fit, own=own) for fit in bench_of(layout).chisels]


def _chisel_row(layout: Layout, fit: ChiselFit, *, own: bool) -> tuple[str, ...]:
    widest = "any" if fit.is_open else _size(layout, fit.widest, MOST)
    mine = "none fits" if fit.own is None else _size(layout, fit.own)
    return (fit.sockets, fit.side, widest, mine) if own else (fit.sockets, fit.side, widest)


WOOD_HEADS = ("wood", "kind", "kg/m3", "radial", "tangential", "shear", "across", "botanical name")


def wood_rows(woods: Iterable[Wood]) -> list[tuple[str, ...]]:
    """Each wood: density, change for 1 % of moisture, and strengths in MPa."""
    return [
        (
            wood.name,
            wood.kind,
            f"{wood.density:.0f}",
            f"{wood.movement.radial:.5f}" if wood.movement else "",
            f"{wood.movement.tangential:.5f}" if wood.movement else "",
            f"{wood.strength.shear_mpa:.1f}" if wood.strength else "",
            f"{wood.strength.compression_mpa:.1f}" if wood.strength and wood.strength.compression_mpa else "",
            wood.botanical,
        )
        for wood in woods
    ]


WOOD_WORDS = (
    "",
    "Density at 12 % moisture. Radial and tangential: change of size for 1 % of moisture, as a share.",
    "Shear along the grain and compression across it: averages of small clear pieces, in MPa, no design values.",
    "A plain name, as beech, is the American wood. `halfpin woods --json` names the source of each figure; what no",
    "table prints is left out. For a wood that is not here, give your own figures: see `halfpin new`.",
)
"""What the columns are, and where the figures come from."""


def _say_volume(layout: Layout, mm3: float) -> str:
    if layout.recipe.units == "in":
        return f"{mm3 / 25.4**3:.3f} cu in"
    return f"{mm3 / 1000:.2f} cm3"


def heads_of(layout: Layout, *names: str) -> tuple[str, ...]:
    """The heads of columns of places to mark."""
    recipe = layout.recipe
    return tuple(head for name in names for head in length_heads(name, recipe.units, recipe.rule))


def cells_of(layout: Layout, *lengths: float) -> tuple[str, ...]:
    """Places to mark as those columns have them, by the maker's own rule."""
    return tuple(cell for mm in lengths for cell in length_cells(mm, layout.recipe.units, layout.recipe.rule))


def _size(layout: Layout, mm: float, reading: Reading = CALIPER) -> str:
    """A size that was given, or a limit, in one cell: "3/8 in", "0.198 in"."""
    return format_cell(mm, layout.recipe.units, reading)


PIECE_HEADS = ("preset", "kind", "tails", "width", "tail board / pin board")


def piece_row(piece: Assembly) -> tuple[str, ...]:
    """A piece in a list of several: its kind, its tails, how wide its boards are, and their woods."""
    layouts = [kind.layout for kind in piece.kinds]
    tails = ", ".join(dict.fromkeys(str(len(layout.tails)) for layout in layouts))
    recipe, width = layouts[0].recipe, max(layout.width for layout in layouts)
    kind = recipe.kind if piece.name == "corner" else piece.name
    woods = f"{recipe.tail_board.wood.told} / {recipe.pin_board.wood.told}"
    return kind, tails, format_both(width, recipe.units, CALIPER), woods
