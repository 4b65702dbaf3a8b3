"""Boards seen from afar, by an orthographic projection with a depth buffer: nothing of ours, no graphics library."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from solids.write.formats.scene import ShownPart

Array = npt.NDArray[np.float64]
Numbers = npt.NDArray[np.int64]

NOTHING = 0
"""Where no board is; the boards are 1, 2, ..."""


def axes_of(toward: Array) -> tuple[Array, Array]:
    """What is to the right and what is up for an eye in a direction, Z upward."""
    right = np.array([-toward[1], toward[0], 0.0]) / np.hypot(toward[0], toward[1])
    return right, np.cross(toward, right)


def in_front(
    boards: Sequence[ShownPart], share: float, toward: Array, middle: Array, scale: float, shape: tuple[int, int]
) -> Numbers:
    """(height, width): which board is in front at the middle of each pixel.

    The eye stands in the unit direction `toward`; each board has gone `share` of its way; `middle` is what stands in
    the middle of the picture, to the right and upward (mm), and `scale` is in pixels for each mm.
    """
    height, width = shape
    right, up = axes_of(toward)
    shown, depth = np.zeros(shape, np.int64), np.full(shape, -np.inf)
    for number, board in enumerate(boards, start=1):
        places = board.points + share * np.array(board.away)
        across = (places @ right - middle[0]) * scale + width / 2
        down = height / 2 - (places @ up - middle[1]) * scale
        for triangle in board.triangles:
            _fill(shown, depth, number, np.column_stack([across, down, places @ toward])[triangle])
    return shown


def _fill(shown: Numbers, depth: Array, number: int, corners: Array) -> None:
    """Lays a triangle into the picture where it is in front of what is there."""
    most = shown.shape[::-1]
    low = np.clip(np.floor(corners[:, :2].min(axis=0)).astype(int), 0, most)
    high = np.clip(np.ceil(corners[:, :2].max(axis=0)).astype(int), 0, most)
    (x0, y0, z0), (x1, y1, z1), (x2, y2, z2) = corners
    twice = (x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)
    if (high <= low).any() or abs(twice) < 1e-9:
        return
    x, y = np.meshgrid(np.arange(low[0], high[0]) + 0.5, np.arange(low[1], high[1]) + 0.5)
    second = ((x - x0) * (y2 - y0) - (x2 - x0) * (y - y0)) / twice
    third = ((x1 - x0) * (y - y0) - (x - x0) * (y1 - y0)) / twice
    near = z0 + second * (z1 - z0) + third * (z2 - z0)
    window = (slice(low[1], high[1]), slice(low[0], high[0]))
    front = (second >= 0) & (third >= 0) & (second + third <= 1) & (near > depth[window])
    depth[window][front] = near[front]
    shown[window][front] = number


def away_from_rims(shown: Numbers, by: int = 2) -> npt.NDArray[np.bool_]:
    """Pixels round which, so many pixels to each side, all show the same."""
    inner = np.ones_like(shown, bool)
    for down in range(-by, by + 1):
        for across in range(-by, by + 1):
            inner &= np.roll(shown, (down, across), (0, 1)) == shown
    return inner


def by_hue(image: Numbers, boards: Sequence[ShownPart], paper: npt.NDArray[np.bool_]) -> Numbers:
    """Which board each pixel of a picture shows that is not `paper`: light makes a wood lighter or darker, and leaves
    the shares of its colours. Dark lines count to the board that is nearer in hue."""
    shares = [np.array(board.wood.rgb) / sum(board.wood.rgb) for board in boards]
    hue = image / np.maximum(image.sum(axis=2, keepdims=True), 1)
    ways = np.stack([np.abs(hue - share).sum(axis=2) for share in shares])
    return np.where(paper, NOTHING, 1 + ways.argmin(axis=0))


def overlap(first: Numbers, second: Numbers) -> float:
    """How much of what either picture shows do both show: |A and B| / |A or B|."""
    a, b = first != NOTHING, second != NOTHING
    return float((a & b).sum() / (a | b).sum())
