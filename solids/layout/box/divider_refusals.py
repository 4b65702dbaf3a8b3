"""Every reason why a box cannot hold its dividers, with what would be accepted instead. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from solids.base import tolerances as tol
from solids.base.amounts import at_least, fine, typed
from solids.base.errors import Problem
from solids.base.geometry import Span
from solids.base.messages import Key, Words, message
from solids.layout.box.model import BoxLayout
from solids.recipe.completing.choosing import leave_out_or_take
from solids.recipe.completing.dividers import PREFIX, TAPER, key_of
from solids.recipe.tables.accepted import between, no_less_than, no_more_than, up_to
from solids.recipe.tables.box_resolved import Side
from solids.recipe.tables.divider_schema import LEAST_HEIGHT
from solids.recipe.tables.dividers import ENDS_IN, Divider, numbered

HOUSING_DEEPEST = 1 / 2
"""A housing deeper than this share of a board leaves too little behind it. Common practice."""

NECK_SHARE = 1 / 2
"""The least that the neck of a sliding dovetail keeps of its divider's thickness. Common practice."""

LEAST_SHARED, SLIVER = LEAST_HEIGHT, 2.0
"""Dividers that cross share this much of their height or nothing; wood left above a stopped housing is this thick or
more. Less breaks out under the chisel. Common practice."""


def divider_problems(box: BoxLayout) -> Iterator[Problem]:
    """What is wrong with each divider by itself, and then with those that run the same way or cross."""
    found = []
    for number, divider in numbered(box.recipe.dividers):
        found += [*_upright(box, number, divider), *_ends(box, number, divider), *_stock(box, number, divider)]
        found += _slips(box, number, divider)
    yield from found
    yield from () if found else _side_by_side(box)
    yield from () if found else _crossings(box)


def _upright(box: BoxLayout, number: int, divider: Divider) -> Iterator[Problem]:
    """Where its lower and its upper edge lie: below the boards, also once they are planed to their opening."""
    ends, lid = (box.boards[side] for side in ENDS_IN[divider.runs]), box.recipe.lid
    height = lid.low if lid else min(box.recipe.fitted_height, *(board.low + board.width for board in ends))
    floor = box.recipe.floor if box.panel else 0.0
    if lid and divider.housing == "open":
        wrong = message("its housings would run up through the cut of the lid, which is {} up", typed(lid.low))
        yield Problem(key_of(number, "housing"), wrong, leave_out_or_take(key_of(number, "joint"), "housing"))
        return
    if divider.up < floor - tol.ROUNDING:
        wrong = message("{} is within the bottom, whose upper face is {} up", typed(divider.up), typed(floor))
        yield Problem(key_of(number, "up"), wrong, *no_less_than(floor))
        return
    if divider.up > height - LEAST_HEIGHT + tol.ROUNDING:
        wrong = message("{} leaves no room for it in boards that are {} high", typed(divider.up), typed(height))
        yield Problem(key_of(number, "up"), wrong, *no_more_than(height - LEAST_HEIGHT))
        return
    if divider.top > height + tol.ROUNDING:
        wrong = message(
            "{} takes its upper edge to {}, over the boards, which are {} high",
            *map(typed, (divider.height, divider.top, height)),
        )
        yield Problem(key_of(number, "height"), wrong, *no_more_than(height - divider.up))
        return
    if divider.height < LEAST_HEIGHT - tol.ROUNDING:
        wrong = message("{} is no height for a divider", typed(divider.height))
        yield Problem(key_of(number, "height"), wrong, *between(LEAST_HEIGHT, height - divider.up))
        return
    left = height - divider.top - divider.room
    if divider.housing == "stopped" and -divider.room < left < SLIVER - tol.ROUNDING and height > divider.top:
        wrong = message("leaves {} of wood above its housing, which breaks out", typed(max(left, 0.0)))
        remedy = leave_out_or_take(key_of(number, "housing"), "open")
        yield Problem(key_of(number, "housing"), wrong, remedy)


def _slips(box: BoxLayout, number: int, divider: Divider) -> Iterator[Problem]:
    """A divider where the slips for the bottom are: they run along both sides, from the front to the back."""
    high = box.recipe.slip_top
    if not box.has_slips or divider.up >= high - tol.ROUNDING:
        return
    slip, inside = box.recipe.panel.slip, box.recipe.inside[0]
    if divider.runs == "along":
        wrong = message("{} puts it through the slips, which are {} high", typed(divider.up), typed(high))
        yield Problem(key_of(number, "up"), wrong, *no_less_than(high))
    elif divider.at < slip - tol.ROUNDING or divider.far > inside - slip + tol.ROUNDING:
        wrong = message("{} puts it into a slip, which is {} thick", typed(divider.at), typed(slip))
        yield Problem(key_of(number, "at"), wrong, *between(slip, inside - slip - divider.thickness))


def _ends(box: BoxLayout, number: int, divider: Divider) -> Iterator[Problem]:
    """How deep its ends go, and what is left of a dovetail's neck."""
    stays = {side: box.board_of(side).thinnest - box.planing for side in ENDS_IN[divider.runs]}
    thin: Side = min(stays, key=lambda side: stays[side])
    deepest = HOUSING_DEEPEST * stays[thin]
    if divider.depth > deepest + tol.ROUNDING:
        planed = ", once it is planed" if box.planing else ""
        wrong = message(
            "{} is over half of the {} board, which is {} thick{}",
            typed(divider.depth),
            thin,
            typed(stays[thin]),
            planed,
        )
        yield Problem(key_of(number, "depth"), wrong, *no_more_than(deepest))
        return
    tapered = divider.narrower(divider.up, box.recipe.height)
    lost, most = tapered + 2 * divider.flank, (1 - NECK_SHARE) * divider.thickness
    if lost > most + tol.ROUNDING:
        neck = fine(max(divider.thickness - lost, 0.0))
        if divider.taper > TAPER and 2 * divider.flank < most:
            told = "{} leaves a neck of {} of a divider {} thick"
            wrong = message(told, typed(divider.taper), neck, typed(divider.thickness))
            least = divider.taper * (most - 2 * divider.flank) / tapered
            yield Problem(key_of(number, "taper"), wrong, *up_to(least))
            return
        wrong = message("{} leaves a neck of {}, under half of it, to its dovetail", typed(divider.thickness), neck)
        usual = tapered * min(1.0, TAPER / divider.taper) if divider.taper else 0.0
        accepted, tries = no_less_than((usual + 2 * divider.flank) / (1 - NECK_SHARE))
        others = message(
            "a flatter {}, less {} or {}", *(Key(key_of(number, name)) for name in ("slope", "taper", "depth"))
        )
        yield Problem(key_of(number, "thickness"), wrong, message("{}; or {}", accepted, others), tries)


def _stock(box: BoxLayout, number: int, divider: Divider) -> Iterator[Problem]:
    """A divider larger, as sawn, than the stock."""
    (longest, widest), rough = box.recipe.stock, box.recipe.rough
    length = box.recipe.inside[1 - divider.axis] + 2 * divider.depth + rough.length
    if longest is not None and length > longest + tol.ROUNDING:
        wrong = message("the divider is sawn {} long, and stock.length is {}", typed(length), typed(longest))
        yield Problem(key_of(number, "runs"), wrong, "take a smaller box or longer stock")
    width = divider.height + rough.width
    if widest is not None and width > widest + tol.ROUNDING:
        wrong = message("the divider is sawn {} wide, and stock.width is {}", typed(width), typed(widest))
        yield Problem(key_of(number, "height"), wrong, *no_more_than(widest - rough.width))


# --- those that run the same way -------------------------------------------------------------------


def _side_by_side(box: BoxLayout) -> Iterator[Problem]:
    """Housings too near to the corners, or to each other: the wood between has short grain and breaks out."""
    for runs in ENDS_IN:
        own = sorted(
            ((number, divider) for number, divider in numbered(box.recipe.dividers) if divider.runs == runs),
            key=lambda item: item[1].at,
        )
        if crowded := _crowded(box, [divider for _, divider in own]):
            yield crowded
            continue
        for place, (number, divider) in enumerate(own):
            yield from _too_near(box, number, divider, own[place - 1] if place else None)


def _crowded(box: BoxLayout, own: Sequence[Divider]) -> Problem | None:
    """Dividers that run the same way, and are too many wherever they stand: told once, and not of each. Where there is
    no room for one by itself, that is told of it."""
    inside = box.recipe.inside[own[0].axis] if own else 0.0
    if any(_takes(box, [divider]) > inside + tol.ROUNDING for divider in own):
        return None
    takes = [_takes(box, own[: count + 1]) for count in range(len(own))]
    if not own or takes[-1] <= inside + tol.ROUNDING:
        return None
    fit = sum(taken <= inside + tol.ROUNDING for taken in takes)
    wrong = message(
        "{} that run {} take {}, with the wood that must stay beside their housings, and there is {}",
        *(f"{len(own)} dividers", own[0].runs, at_least(takes[-1]), typed(inside)),
    )
    return Problem(PREFIX, wrong, f"take thinner ones, or fewer: {fit} as thick as these find room")


def _takes(box: BoxLayout, own: Sequence[Divider]) -> float:
    """The least distance between the boards that dividers take that run the same way, in this order."""
    between = sum(_between(one, other) for one, other in pairwise(own))
    wide = sum(_wide(box, divider) - divider.at for divider in own)
    return _least_beside(box, own[0])[0] + wide + between + _least_beside(box, own[-1])[1]


def _too_near(box: BoxLayout, number: int, divider: Divider, before: tuple[int, Divider] | None) -> Iterator[Problem]:
    inside = box.recipe.inside[divider.axis]
    room = inside - sum(_least_beside(box, divider)) - (_wide(box, divider) - divider.far)
    if divider.thickness > room + tol.ROUNDING:
        told = "{} does not fit between boards that are {} apart, with {} of wood beside each housing"
        beside = max(_least_beside(box, divider))
        wrong = message(told, *map(typed, (divider.thickness, inside, beside)))
        yield Problem(key_of(number, "thickness"), wrong, *no_more_than(room))
        return
    wrong_here = _wrong_place(box, divider, before)
    if wrong_here is None:
        return
    others = [other for other in box.recipe.dividers if other.runs == divider.runs and other is not divider]
    free = [span for span in _free(box, divider, others) if span[1] > span[0] + tol.LEAST_STEP]
    if not free:
        remedy = message("take fewer or thinner dividers: there is {} between the boards", typed(inside))
        yield Problem(key_of(number, "at"), wrong_here, remedy)
        return
    nearest = min(free, key=lambda span: max(span[0] - divider.at, divider.at - span[1]))
    yield Problem(key_of(number, "at"), wrong_here, *between(*nearest))


def _wrong_place(box: BoxLayout, divider: Divider, before: tuple[int, Divider] | None) -> Words | None:
    """What is too near: the divider before it, or a corner; None where nothing is."""
    first, last = _least_beside(box, divider)
    sides = ("left", "right") if divider.runs == "across" else ("front", "back")
    if before and divider.at < _wide(box, before[1]) + _between(before[1], divider) - tol.ROUNDING:
        return _near_words(divider, before, _wide(box, before[1]), _between(before[1], divider))
    if divider.at < first - tol.ROUNDING:
        told = "{} leaves that much beside its housing at the {}, under {}"
        return message(told, typed(divider.at), sides[0], at_least(first))
    left = box.recipe.inside[divider.axis] - _wide(box, divider)
    if left < last - tol.ROUNDING:
        told = "{} leaves {} beside its housing at the {}, under {}"
        return message(told, typed(divider.at), fine(left) if left > 0 else "nothing", sides[1], at_least(last))
    return None


def _near_words(divider: Divider, before: tuple[int, Divider], wide: float, least: float) -> Words:
    """`wide` is where the housing of the divider before it ends, at its widest."""
    number, other = before
    stands = message("divider {}, which stands from {} to {}", number, typed(other.at), typed(other.far))
    if divider.at < other.far - tol.ROUNDING:
        return message("{} is within {}", typed(divider.at), stands)
    if divider.at < wide + tol.ROUNDING:
        return message("{} leaves no wood beside the housing of {}", typed(divider.at), stands)
    told = "{} leaves {} of wood beside the housing of {}, under the {} that does not break out"
    return message(told, typed(divider.at), fine(divider.at - wide), stands, at_least(least))


def _wide(box: BoxLayout, divider: Divider) -> float:
    """How far the far side of its housings is, at their widest, from where `at` is measured."""
    top = divider.housing_top(box.recipe.height)
    return divider.far - min(divider.narrower(top, box.recipe.height), 0.0)


def _least_beside(box: BoxLayout, divider: Divider) -> Span:
    """The least wood between its housings and the corners: as much as they are deep, beside any hollow of the joint.
    Common practice."""
    deep = []
    ends = ("left", "right") if divider.axis == 0 else ("front", "back")
    for end in ends:
        hollow = max(recipe.undercut.depth for name, recipe in box.recipe.corners.items() if end in name)
        deep.append(divider.depth + hollow)
    return deep[0], deep[1]


def _between(one: Divider, other: Divider) -> float:
    """The least wood between two housings: as much as the deeper one is deep. Common practice."""
    return max(one.depth, other.depth)


def _free(box: BoxLayout, divider: Divider, others: Iterable[Divider]) -> list[Span]:
    """The spans where a divider's near face may lie beside the others."""
    first, last = _least_beside(box, divider)
    wide = _wide(box, divider) - divider.at
    start, end, found = first, box.recipe.inside[divider.axis] - last - wide, []
    for other in sorted(others, key=lambda other: other.at):  # one of them may lie outside, in a box made smaller
        found.append((start, min(other.at - _between(one=divider, other=other) - wide, end)))
        start = max(start, _wide(box, other) + _between(divider, other))
    return [*found, (start, end)]


# --- those that cross --------------------------------------------------------------------------------


def _crossings(box: BoxLayout) -> Iterator[Problem]:
    pairs = numbered(box.recipe.dividers)
    for number, divider in (item for item in pairs if item[1].runs == "along"):
        crossed = [
            (other_number, high - low)
            for other_number, other in pairs
            if other.runs == "across"
            for low, high in [divider.height_shared(other)]
            if high > low + tol.ROUNDING
        ]
        for other_number, shared in crossed:
            if shared < LEAST_SHARED - tol.ROUNDING:
                wrong = message(
                    "from {} to {} it shares {} of its height with divider {}, too little to halve",
                    *(typed(divider.up), typed(divider.top), typed(shared), other_number),
                )
                remedy = message("let them share {} or more, or nothing", at_least(LEAST_SHARED))
                yield Problem(key_of(number, "height"), wrong, remedy)
        if crossed and divider.housing == "stopped":
            wrong = message(
                "it crosses divider {}, and is halved over it: it can only come from above, past {} of wood",
                crossed[0][0],
                typed(box.recipe.height - divider.top),
            )
            key = key_of(number, "housing")
            under_lid = "leave out one of the two: above them is the cut of the lid"
            yield Problem(key, wrong, under_lid if box.recipe.lid else leave_out_or_take(key, "open"))
    yield from _barred(box)


def _barred(box: BoxLayout) -> Iterator[Problem]:
    """Stopped dividers, which go in with the boards, above others that slide in when the box is together."""
    pairs = numbered(box.recipe.dividers)
    for number, divider in (item for item in pairs if item[1].housing == "stopped"):
        under = [
            other_number
            for other_number, other in pairs
            if other.runs != divider.runs and other.housing == "open" and other.top <= divider.up + tol.ROUNDING
        ]
        if under:
            wrong = message("it goes in with the boards, and bars the way from above to divider {} below it", under[0])
            key = key_of(number, "housing")
            yield Problem(key, wrong, leave_out_or_take(key, "open"))
