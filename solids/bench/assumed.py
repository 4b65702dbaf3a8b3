"""What the figures would be in other woods, where the recipe names none: one wood is taken to have figures at all, and
the range over common woods is told beside them. Pure arithmetic on a layout, lengths in mm."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from solids.base.amounts import spread
from solids.base.findings import Finding
from solids.base.forces import format_forces
from solids.base.messages import Amount, Words, capital, joined, message
from solids.bench.hand_error import hand_work
from solids.bench.movement import BoardChange, Season, no_wood_named, wood_movement
from solids.bench.strength import WeakPart, screening
from solids.layout import Layout
from solids.recipe.tables.resolved import Board
from solids.wood import COMMON, Wood

Range = tuple[float, float]
"""From the least to the most."""


@dataclass(frozen=True)
class WoodFigures:
    """What hangs on the wood, over all woods that a joint may be of: the load at which it first gives when it is pulled
    apart, glued and dry (N), and when it is racked (N m), None where no strength is known; the parts that give first
    without glue; and the share of joints that are right off the saw, and after paring."""

    glued: Range | None
    dry: Range | None
    dry_parts: tuple[str, ...]
    racked: Range | None
    right: Range
    pared: Range


def wood_figures(layout: Layout) -> WoodFigures:
    """The figures over common woods where the recipe names none, else those of the woods that it names."""
    tried = _as_it_may_be(layout)
    strengths, hands = [screening(each) for each in tried], [hand_work(each) for each in tried]
    dry = [found.dry for found in strengths]
    return WoodFigures(
        glued=_weakest(found.glued for found in strengths),
        dry=_weakest(dry),
        dry_parts=tuple(dict.fromkeys(parts[0].part for parts in dry if parts)),
        racked=_weakest(found.racked for found in strengths),
        right=_range(hand.right for hand in hands),
        pared=_range(hand.pared for hand in hands),
    )


def _weakest(ways: Iterable[tuple[WeakPart, ...]]) -> Range | None:
    """The load at which what is weakest gives; None where no strength is known."""
    first = [parts[0] for parts in ways if parts]
    return (min(part.least for part in first), max(part.most for part in first)) if first else None


def _range(figures: Iterable[float]) -> Range:
    found = list(figures)
    return min(found), max(found)


def over_common_woods() -> str:
    """Which woods a range goes over."""
    return f"over {len(COMMON)} common woods, from {COMMON[0].name} to {COMMON[-1].name}"


def assumed_note(layout: Layout) -> Finding | None:
    """The range over common woods of what hangs on the wood; None where the recipe names the woods of both boards."""
    assumed = layout.recipe.assumed_wood
    if assumed is None:
        return None
    densities = [wood.density for wood in COMMON]
    told: list[Words] = [
        message(
            "{}, so {} is assumed, and every figure that hangs on it is for {}.",
            *(no_wood_named(layout), assumed.name, assumed.name),
        ),
        message("{}:", capital(over_common_woods())),
        joined([_movement(layout), *_in_words(wood_figures(layout))], "; "),
        message("Density is {:.0f} to {:.0f} kg/m3.", min(densities), max(densities)),
    ]
    return Finding(code="assumed-wood", severity="note", sentence=joined(told))


def _in_words(figures: WoodFigures) -> Iterator[Words]:
    """What the joint holds when glued, in woods whose strength is known, and how often a hand gets it right: a softer
    wood forgives more."""
    if figures.glued:
        yield message("pulled apart, the glued joint gives first at about {}", Amount(format_forces, figures.glued))
    least, most = figures.right
    yield message("{:.0f} to {:.0f} % of such joints come out right.", 100 * least, 100 * most)


def _as_it_may_be(layout: Layout) -> Sequence[Layout]:
    """The joint in each common wood, where the recipe names none; else the joint as it is."""
    return [_made_of(layout, wood) for wood in COMMON] if layout.recipe.wood_is_assumed else [layout]


def _made_of(layout: Layout, wood: Wood) -> Layout:
    """The same joint with this wood in place of the assumed one."""
    recipe = layout.recipe
    tails, pins = (_board_of(board, wood) for board in (recipe.tail_board, recipe.pin_board))
    return replace(layout, recipe=replace(recipe, tail_board=tails, pin_board=pins))


def _board_of(board: Board, wood: Wood) -> Board:
    return replace(board, wood=wood) if board.wood.is_assumed else board


def _movement(layout: Layout) -> Words:
    """How much the width of the board without a named wood comes and goes through the year."""
    moves = [wood_movement(each) for each in _as_it_may_be(layout)]
    widths = [abs(_width(layout, each.damp) - _width(layout, each.dry)) for each in moves]
    return message("a board comes and goes by {} in width through the year", spread(min(widths), max(widths)))


def _width(layout: Layout, season: Season) -> float:
    change: BoardChange = season.tail_board if layout.recipe.tail_board.wood.is_assumed else season.pin_board
    return change.width or 0.0
