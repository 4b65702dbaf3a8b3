"""Projected edges are where the eye sees them, and a tidied drawing holds each stretch of line once.

What is seen is worked out independently: a ray goes from each point toward the eye, and any triangle of the boards that
it meets hides the point (Moeller and Trumbore's intersection, 1997, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solids.base.geometry import Segment
from solids.model.kernel import faces_of, mesh, moved, project
from solids.write.drafting.segments import tidy
from tests.corners import case, job_of
from tests.write.drafting.flat import edges_of

Array = npt.NDArray[np.float64]

NUDGE = 1e-3
"""How far beside an edge the eye looks, so that no ray runs along a face (mm)."""

OBLIQUE = (0.62, 1.0, 0.75)
VIEWS = {
    "front": ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0)),
    "above": ((0.0, 1.0, 0.0), (1.0, 0.0, 0.0)),
    "far edge": ((1.0, 0.0, 0.0), (0.0, 0.0, -1.0)),
    "oblique": (OBLIQUE, (-OBLIQUE[1], OBLIQUE[0], 0.0)),
}
NAMES = ("through", "half-blind", "listed, no symmetry", "unequal ends", "loose")
EXACT = 1e-4
"""How far a drawn line may lie from its edge: no plotter and no CAM program sees a ten-thousandth of a millimetre."""

SHARES = np.array([0.083, 0.271, 0.457, 0.619, 0.788, 0.941])


class Eye:
    """Projection along one direction by plain vectors: `right` and `up` span the picture."""

    def __init__(self, toward: tuple[float, float, float], right: tuple[float, float, float]) -> None:
        self.toward = np.array(toward) / np.linalg.norm(toward)
        self.right = np.array(right) / np.linalg.norm(right)
        self.up = np.cross(self.toward, self.right)

    def flat(self, points: Array) -> Array:
        return np.stack([points @ self.right, points @ self.up], axis=-1)

    def sees(self, points: Array, triangles: Array) -> npt.NDArray[np.bool_]:
        """Whether a ray from just beside each point, in any of eight directions, gets out of the picture freely."""
        free = np.zeros(len(points), dtype=bool)
        for turn in np.arange(8) * math.pi / 4 + 0.1:
            beside = points + NUDGE * (math.cos(turn) * self.right + math.sin(turn) * self.up)
            free |= ~self._meets(beside + NUDGE * 4 * self.toward, triangles)
        return free

    def _meets(self, points: Array, triangles: Array) -> npt.NDArray[np.bool_]:
        a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
        one, two = b - a, c - a
        across = np.cross(self.toward, two)
        scale = np.einsum("ij,ij->i", one, across)
        usable = np.abs(scale) > 1e-12
        a, one, two, across, scale = a[usable], one[usable], two[usable], across[usable], scale[usable]
        offset = points[:, None, :] - a[None, :, :]
        u = np.einsum("pij,ij->pi", offset, across) / scale
        turned = np.cross(offset, one[None, :, :])
        v = turned @ self.toward / scale
        far = np.einsum("pij,ij->pi", turned, two) / scale
        return np.any((u >= 0) & (v >= 0) & (u + v <= 1) & (far > 0), axis=1)


def distances(points: Array, pieces: list[Segment]) -> Array:
    """How far each point in the picture is from the nearest of some segments."""
    starts, ends = np.array([s for s, _ in pieces]), np.array([e for _, e in pieces])
    way = ends - starts
    share = np.einsum("pij,ij->pi", points[:, None] - starts[None], way) / np.einsum("ij,ij->i", way, way)
    near = starts[None] + np.clip(share, 0, 1)[..., None] * way[None]
    found: Array = np.linalg.norm(points[:, None] - near, axis=2).min(axis=1)
    return found


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", NAMES)
def test_every_edge_is_drawn_as_seen_where_a_ray_finds_it_and_as_hidden_where_it_does_not(name: str, view: str) -> None:
    eye = Eye(*VIEWS[view])
    boards = [solid for _, solid in case(name).cut.boards]
    triangles = np.concatenate([(found := mesh(solid)).points[found.triangles] for solid in boards])
    edges = np.array(sorted({edge for solid in boards for edge in edges_of(faces_of(solid))}))
    edges = edges[np.linalg.norm(eye.flat(edges[:, 1]) - eye.flat(edges[:, 0]), axis=1) > 0.01]
    samples = np.concatenate([edges[:, 0] + share * (edges[:, 1] - edges[:, 0]) for share in SHARES])
    seen = eye.sees(samples, triangles)
    flat = eye.flat(samples)

    picture = project(boards, *VIEWS[view])
    visible, hidden = tidy(picture.visible, picture.hidden)
    assert visible
    to_visible = distances(flat, visible)
    to_hidden = distances(flat, hidden) if hidden else np.full(len(flat), np.inf)
    assert seen.any()
    assert to_visible[seen].max() < EXACT
    assert np.minimum(to_visible, to_hidden).max() < EXACT

    # Turned round: what is drawn as seen has an edge in sight under it, what is drawn as hidden has none.
    for pieces, is_seen in ((visible, True), (hidden, False)):
        for (x1, y1), (x2, y2) in pieces:
            for share in (0.31, 0.5, 0.72):
                found = along_the_eye(np.array([x1 + share * (x2 - x1), y1 + share * (y2 - y1)]), edges, eye)
                assert len(found), "a line without an edge"
                assert eye.sees(found, triangles).any() == is_seen


def along_the_eye(point: Array, edges: Array, eye: Eye) -> Array:
    """The points of all edges that lie at one place of the picture."""
    starts, ends = eye.flat(edges[:, 0]), eye.flat(edges[:, 1])
    way = ends - starts
    share = np.einsum("ij,ij->i", point - starts, way) / np.einsum("ij,ij->i", way, way)
    off = np.linalg.norm(starts + share[:, None] * way - point, axis=1)
    here = (off < EXACT) & (share >= -1e-9) & (share <= 1 + 1e-9)
    found: Array = edges[here, 0] + share[here, None] * (edges[here, 1] - edges[here, 0])
    return found


def test_a_moved_solid_is_drawn_where_its_edges_have_gone() -> None:
    solid = job_of("gauge-case").cut.tail_board
    by = (3.0, -7.0, 11.0)
    before = {tuple(np.round(np.array(edge) + by, 9).ravel()) for edge in edges_of(faces_of(solid))}
    after = {tuple(np.round(np.array(edge), 9).ravel()) for edge in edges_of(faces_of(moved(solid, by)))}
    assert after == before


def test_a_board_hides_what_stands_behind_it() -> None:
    job = job_of("tool-tray")
    alone = project([job.cut.pin_board], *VIEWS["oblique"])
    both = project([moved(job.cut.tail_board, (0.0, 0.0, 14.0)), job.cut.pin_board], *VIEWS["oblique"])

    def length(found: Iterable[Segment]) -> float:
        return sum(math.dist(a, b) for a, b in found)

    tails = project([job.cut.tail_board], *VIEWS["oblique"])
    assert length(both.visible) < length(alone.visible) + length(tails.visible) - 1.0
    assert length(both.visible) + length(both.hidden) == pytest.approx(
        sum(length(p.visible) + length(p.hidden) for p in (alone, tails)), rel=1e-6
    )


# --- tidying ---------------------------------------------------------------------------------------


DIRECTIONS = ((1.0, 0.0), (0.0, 1.0), (0.6, 0.8), (-0.8, 0.6), (1 / math.sqrt(50), 7 / math.sqrt(50)))

spans = st.tuples(st.integers(0, 40), st.integers(1, 15), st.booleans())
lines = st.tuples(st.sampled_from(DIRECTIONS), st.integers(-3, 3), st.lists(spans, min_size=1, max_size=6))


def laid(direction: tuple[float, float], aside: int, span: tuple[int, int, bool]) -> Segment:
    """A segment on one of a few lines, at times from its far end to its near one."""
    (dx, dy), (low, length, turned) = direction, span
    ends = [(dx * t - dy * aside, dy * t + dx * aside) for t in (float(low), float(low + length))]
    first, second = ends[::-1] if turned else ends
    return first, second


def covered(direction: tuple[float, float], aside: int, found: Iterable[Segment]) -> list[tuple[float, float]]:
    """The spans along one line, in order, of those segments that lie on it."""
    dx, dy = direction
    on_it = []
    for pair in found:
        if all(abs(-dy * x + dx * y - aside) < 2e-4 for x, y in pair):
            along = sorted(dx * x + dy * y for x, y in pair)
            on_it.append((along[0], along[1]))
    return sorted(on_it)


def union(cells: Iterable[tuple[int, int, bool]]) -> set[int]:
    """The cells of length one that some spans cover."""
    return {cell for low, length, _ in cells for cell in range(low, low + length)}


def runs(cells: set[int]) -> list[tuple[float, float]]:
    """The longest runs of neighbouring cells."""
    found: list[list[int]] = []
    for cell in sorted(cells):
        if found and found[-1][1] == cell:
            found[-1][1] = cell + 1
        else:
            found.append([cell, cell + 1])
    return [(float(low), float(high)) for low, high in found]


@settings(max_examples=200, deadline=None)
@given(lines, st.lists(spans, max_size=6))
def test_spans_of_one_line_come_out_as_their_union_and_hidden_ones_only_where_nothing_is_seen(
    line: tuple[tuple[float, float], int, list[tuple[int, int, bool]]], behind: list[tuple[int, int, bool]]
) -> None:
    direction, aside, seen = line
    visible, hidden = tidy(
        [laid(direction, aside, span) for span in seen], [laid(direction, aside, span) for span in behind]
    )
    for found, cells in ((visible, union(seen)), (hidden, union(behind) - union(seen))):
        expected = runs(cells)
        got = covered(direction, aside, found)
        assert len(got) == len(found) == len(expected)
        for (low, high), (a, b) in zip(got, expected, strict=True):
            assert low == pytest.approx(a, abs=EXACT)
            assert high == pytest.approx(b, abs=EXACT)


@settings(max_examples=100, deadline=None)
@given(st.lists(lines, min_size=1, max_size=6))
def test_no_line_comes_out_twice_and_none_without_length(
    all_lines: list[tuple[tuple[float, float], int, list[tuple[int, int, bool]]]],
) -> None:
    meant = [laid(direction, aside, span) for direction, aside, spans_ in all_lines for span in spans_]
    noise: list[Segment] = [((1.0, 2.0), (1.0, 2.0)), ((5.0, 5.0), (5.0 + 1e-9, 5.0))]
    visible, hidden = tidy([*meant, *noise, *meant], [*noise, *meant])
    assert hidden == []
    assert all(math.dist(a, b) > 0.5 for a, b in visible)
    exact = {tuple(sorted((round(x, 4), round(y, 4)) for x, y in pair)) for pair in visible}
    assert len(exact) == len(visible)


@pytest.mark.parametrize("thirty_seconds", [1, 3, 7, 9])
def test_two_pieces_that_differ_by_rounding_only_are_one_line_wherever_it_lies(thirty_seconds: int) -> None:
    """An odd number of 1/32 in has five decimals in mm and ends in 5: arithmetic leaves it on either side of that 5."""
    x, hair = thirty_seconds * 25.4 / 32, 1e-12
    left, right = ((x - hair, 0.0), (x - hair, 5.0)), ((x + hair, 3.0), (x + hair, 8.0))
    visible, hidden = tidy([left, right], [((x + hair, 1.0), (x + hair, 4.0))])
    assert hidden == []
    assert len(visible) == 1
    assert math.dist(*visible[0]) == pytest.approx(8.0, abs=1e-6)


@pytest.mark.parametrize("half_pin", ["7/32 in", "13/32 in"])
def test_no_stretch_of_an_oblique_view_is_drawn_twice(half_pin: str) -> None:
    thick = ('tail_board.thickness="13/32 in"', 'pin_board.thickness="15/32 in"')
    job = job_of("tea-box", f'joint.half_pin="{half_pin}"', *thick, "joint.kind=half-blind")
    picture = project([solid for _, solid in job.cut.boards], *VIEWS["oblique"])
    visible, hidden = tidy(picture.visible, picture.hidden)
    assert [pair for pair in pairs([*visible, *hidden]) if shared_length(*pair) > 0.01] == []


def pairs(found: list[Segment]) -> list[tuple[Segment, Segment]]:
    return [(one, other) for i, one in enumerate(found) for other in found[i + 1 :]]


def shared_length(one: Segment, other: Segment) -> float:
    """How long two segments run within 0.002 mm of one another; 0 where they cross or lie apart."""
    (x1, y1), (x2, y2) = one
    length = math.dist(*one)
    dx, dy = (x2 - x1) / length, (y2 - y1) / length
    if any(abs(dx * (y - y1) - dy * (x - x1)) > 0.002 for x, y in other):
        return 0.0
    low, high = sorted(dx * (x - x1) + dy * (y - y1) for x, y in other)
    return max(0.0, min(high, length) - max(low, 0.0))


def test_parallel_lines_a_hundredth_apart_stay_two() -> None:
    pair: list[Segment] = [((0.0, 0.0), (10.0, 0.0)), ((0.0, 0.01), (10.0, 0.01))]
    assert len(tidy(pair, [])[0]) == 2
    assert len(tidy([], pair)[1]) == 2


@pytest.mark.parametrize("far", [1e3, 1e4])
def test_pieces_of_one_sloping_line_far_from_the_origin_are_joined(far: float) -> None:
    """Ten metres is the longest that a recipe takes; a piece of 1 mm there has rounding of its own."""
    slope = Fraction(1, 7)
    points = [(far + k, float(slope) * (far + k)) for k in range(5)]
    visible, hidden = tidy(list(pairwise(points)), [(points[1], points[3])])
    assert hidden == []
    assert len(visible) == 1
    assert math.dist(*visible[0]) == pytest.approx(4 * math.hypot(1, float(slope)), abs=1e-5)
