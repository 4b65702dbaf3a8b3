"""Whether a joint locks as a whole, against moves and turns that are tried: its outline seen from above is moved by
small steps along many lines, and turned about many centres (shapely). It is free where any of them meets no wood."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable
from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely.geometry import box

from solids.base import tolerances as tol
from solids.layout import Layout
from solids.layout.joint.shape.lock import locks, turns
from solids.layout.joint.shape.placing import place
from solids.recipe.tables.resolved import Listed
from tests.recipes import recipe
from tests.sections import edges, trapezium

DEPTH = 12.0
STEP, ANGLE = 0.01, 1e-4
MOVED_MM2 = 1e-4
"""A step of 0.01 mm into a flank that leans otherwise by 0.025 takes 0.003 mm2 of a depth of 12."""
TURNED_MM2 = 1e-9
"""A turn that is open opens every face, so that nothing at all is shared."""


def joint(
    *tails: tuple[float, float, float, float],
    width: float = 80.0,
    mitre: tuple[float, float] = (0.0, 0.0),
    overrides: Iterable[str] = (),
) -> Layout:
    """Tails as left and right at the finished face, and how far each side runs into the tail for each mm toward the
    baseline. A side at 0 or at the width is flush. No lock is asked for."""
    flush = tails[0][0] == 0.0, tails[-1][1] == width
    listed = Listed(
        ratios=tuple(1 / lean if lean else math.inf for tail in tails for lean in tail[2:]),
        faces=tuple(tail[:2] for tail in tails),
        edges=("half tail" if flush[0] else "half pin", "half tail" if flush[1] else "half pin"),
    )
    whole = recipe(*overrides)
    shares = tuple(tail[1] - tail[0] for tail in tails)
    return place(replace(whole, width=width, listed=listed, tail_shares=shares, spacing="listed", mitre=mitre))


def seen_from_above(layout: Layout) -> tuple[shapely.Geometry, shapely.Geometry]:
    """The outlines of both boards in their seat: the tail board with the wood behind its baseline, and the pin board. A
    mitred strip is half-way up, where half of it is the tail board's."""
    w, (low, high) = layout.width, edges(layout)
    tails = shapely.union_all([trapezium(layout, tail, 0, DEPTH) for tail in layout.tails])
    strips = [box(x0, 0, x1, DEPTH / 2) for x0, x1 in ((0.0, low), (high, w)) if x1 > x0]
    pins = box(0, 0, w, layout.recipe.pin_board.thickness) - tails - shapely.union_all(strips)
    return shapely.union_all([tails, box(0, -40, w, 0), *strips]), pins


def is_open(layout: Layout, motions: Iterable[np.ndarray], most: float) -> bool:
    """Whether the tail board, after one of the plane motions (2, 3), shares less with the pin board than so much."""
    tails, pins = seen_from_above(layout)
    points = np.column_stack((shapely.get_coordinates(tails), np.ones(shapely.get_num_coordinates(tails))))
    outlines = shapely.polygons([points @ motion.T for motion in motions])
    shapely.prepare(pins)
    return bool((shapely.area(shapely.intersection(outlines, pins)) < most).any())


def slides(layout: Layout) -> bool:
    """Whether some line out of the joint is open: so many mm aside for each mm out."""
    lines = ((STEP * aside / 40, -STEP) for aside in range(-40, 41))
    return is_open(layout, (np.array([[1, 0, x], [0, 1, y]]) for x, y in lines), MOVED_MM2)


def turns_out(layout: Layout, apart: float) -> bool:
    """Whether it turns about a centre of a grid that reaches half a width past the boards, either way."""
    half, c, s = layout.width / 2, math.cos(ANGLE), math.sin(ANGLE)
    grid = [(x, y) for x in np.arange(-half, 3 * half, apart) for y in np.arange(-half, half, apart)]
    motions = (np.array([[c, -w, x - c * x + w * y], [w, c, y - w * x - c * y]]) for x, y in grid for w in (s, -s))
    return is_open(layout, motions, TURNED_MM2)


# --- by hand ---------------------------------------------------------------------------------------


def test_two_straight_tails_that_lean_opposite_ways_lock() -> None:
    """Each alone has parallel sides and slides out along them; together neither way is open."""
    first, second = (10.0, 30.0, 0.25, -0.25), (50.0, 70.0, -0.25, 0.25)
    both = joint(first, second)
    assert both.hold == pytest.approx(0.5)
    assert locks(both)
    assert not slides(both)
    for alone in (joint(first), joint(second)):
        assert alone.hold == pytest.approx(0.0)
        assert not locks(alone)
        assert slides(alone)


def test_one_half_tail_alone_does_not_lock() -> None:
    alone = joint((0.0, 30.0, 0.0, 0.25))
    assert not locks(alone)
    assert slides(alone)


def test_a_half_tail_at_either_edge_locks() -> None:
    both = joint((0.0, 30.0, 0.0, 0.25), (50.0, 80.0, 0.25, 0.0))
    assert locks(both)
    assert not slides(both)
    assert not turns_out(both, 10.0)


def test_one_square_tail_does_not_lock() -> None:
    """Straight out is open."""
    square = joint((10.0, 40.0, 0.0, 0.0))
    assert not locks(square)
    assert slides(square)


def test_a_tail_narrower_at_the_end_than_at_the_baseline_does_not_lock() -> None:
    assert not locks(joint((10.0, 40.0, -0.1, -0.1)))
    assert slides(joint((10.0, 40.0, -0.1, -0.1)))


def test_a_mitred_shoulder_holds_a_half_tail_beside_it() -> None:
    """A half tail slides out aslant, away from its flank, unless the wall of a mitre at the other edge stands there."""
    tail = (50.0, 80.0, 0.25, 0.0)
    assert not locks(joint(tail))
    held = joint(tail, mitre=(8.0, 0.0))
    assert locks(held)
    assert not slides(held)


def test_a_wide_tail_that_leans_to_one_side_turns_out_though_no_line_is_open() -> None:
    """Of a turn about a centre at (cx, -h) beyond the last shoulder, cx >= 80: the left flank goes free where its end
    at x = 10 does, (h + 12)/(cx - 10) <= 0.25, and the right one where its foot at 70 - 3.6 does, h/(cx - 66.4) >= 0.3.
    At cx = 80 that is from h = 4.1 to 5.5. With 0.2 at the left it would be up to 2, which is too little."""
    turning = joint((10.0, 70.0, -0.25, 0.3))
    assert turning.hold == pytest.approx(0.05)
    assert not slides(turning)
    assert turns(turning)
    assert not locks(turning)
    assert turns_out(turning, 2.0)
    held = joint((10.0, 70.0, -0.2, 0.3))
    assert locks(held)
    assert not turns_out(held, 2.0)


# --- random joints ---------------------------------------------------------------------------------


def drawn(dice: random.Random) -> Layout:
    """One to three tails; slopes in steps of 0.05, so that a free line is one of those that are tried."""
    number, x, tails = dice.choice((1, 1, 2, 2, 3)), 0.0, []
    ends = [dice.random() < 0.3 for _ in range(2)]
    mitre = [0.0 if flush or dice.random() < 0.7 else 6.0 for flush in ends]
    for i in range(number):
        lean, other = (dice.randint(-4, 6) / 20 for _ in range(2))
        left = 0.0 if i == 0 and ends[0] else x + mitre[0] * (i == 0) + dice.uniform(8, 14)
        right = left + dice.uniform(14, 30)
        tails.append((left, right, lean, other))
        x = right
    width = x if ends[1] else x + dice.uniform(8, 14) + mitre[1]
    overrides = ("joint.kind=half-blind", "joint.lap=4", "pin_board.thickness=16") if dice.random() < 0.2 else ()
    if overrides:
        mitre = [0.0, 0.0]
    return joint(*tails, width=width, mitre=(mitre[0], mitre[1]), overrides=overrides)


@pytest.mark.parametrize("seed", range(150))
def test_a_joint_holds_just_where_no_line_out_of_it_is_open(seed: int) -> None:
    layout = drawn(random.Random(seed))
    assert (layout.hold > tol.ROUNDING) is not slides(layout)


def leaning(dice: random.Random) -> Layout:
    """One wide tail whose sides lean alike by some 0.2 to 0.5, so that it may turn."""
    left, outward = dice.uniform(8, 14), dice.randint(4, 9) / 20
    right = left + dice.uniform(40, 80)
    inward = outward + dice.randint(1, 3) / 20
    leans = dice.choice(((-outward, inward), (inward, -outward)))
    return joint((left, right, *leans), width=right + dice.uniform(8, 14))


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("kind", [drawn, leaning])
def test_a_joint_turns_where_a_turn_about_some_centre_meets_no_wood(
    kind: Callable[[random.Random], Layout], seed: int
) -> None:
    layout = kind(random.Random(seed))
    if layout.hold <= tol.ROUNDING:
        return  # it slides
    found = turns_out(layout, 3.0) or (turns(layout) and turns_out(layout, 0.5))
    assert turns(layout) is found
