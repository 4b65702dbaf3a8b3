"""The picture: its size, what is on it, and where."""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from solids.errors import ReadBackError
from solids.scene import Scene
from solids.write import picture
from tests.corners import case

PAPER = np.array([0.97, 0.96, 0.94]) * 255


@cache
def drawn(name: str, width: int = 1600) -> bytes:
    return picture.png_bytes(case(name).scene, width)


def pixels(data: bytes) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGB")).astype(float)


def inked(data: bytes) -> np.ndarray:
    return np.abs(pixels(data) - PAPER).max(axis=2) > 12


def silhouette(scene: Scene, share: float, side: int) -> np.ndarray:
    """Where boards cover the paper, by an orthographic projection of our own."""
    eye = picture.EYE / np.linalg.norm(picture.EYE)
    right = np.cross((0.0, 0.0, 1.0), eye)
    right /= np.linalg.norm(right)
    up = np.cross(eye, right)
    middle, half = picture._frame(scene, picture.EYE)
    half *= picture.AROUND
    image = Image.new("L", (side, side))
    draw = ImageDraw.Draw(image)
    for board in scene.cut:
        points = board.points + share * np.array(board.away) - middle
        flat = np.column_stack([points @ right, -(points @ up)]) / half * side / 2 + side / 2
        for triangle in board.triangles:
            draw.polygon([tuple(corner) for corner in flat[triangle]], fill=255)
    return np.asarray(image) > 0


@pytest.mark.parametrize("name", ["through", "half-blind"])
def test_both_views_show_the_boards_where_a_projection_has_them(name: str) -> None:
    found = inked(drawn(name, 800))
    for number, share in ((0, 0.0), (1, 1.0)):
        view = found[:, number * 400 : (number + 1) * 400]
        meant = silhouette(case(name).scene, share, 400)
        assert (view & meant).sum() / (view | meant).sum() > 0.97


def test_it_is_sixteen_hundred_pixels_wide_and_not_blank() -> None:
    data = drawn("through")
    assert picture.size_of(data) == (1600, 800)
    assert 0.1 < inked(data).mean() < 0.9


def test_both_woods_are_seen_and_the_halves_differ() -> None:
    found = pixels(drawn("through"))
    colours = {tuple(colour) for colour in (found.reshape(-1, 3) // 16).astype(int)}
    assert len(colours) > 10
    assert (np.abs(found[:, :800] - found[:, 800:]).max(axis=2) > 30).mean() > 0.02


def test_the_same_scene_gives_the_same_bytes() -> None:
    assert picture.png_bytes(case("through").scene, 400) == picture.png_bytes(case("through").scene, 400)


@pytest.mark.parametrize("harm", [lambda d: d[:-20], lambda d: b"GIF" + d[3:], lambda d: d[:4]])
def test_a_picture_that_is_not_whole_is_refused(tmp_path: Path, harm: object) -> None:
    path = tmp_path / "corner.png"
    path.write_bytes(harm(drawn("through")))  # type: ignore[operator]
    with pytest.raises(ReadBackError):
        picture.reread(path)


def test_a_picture_of_another_size_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "corner.png"
    path.write_bytes(drawn("through", 800))
    picture.reread(path, 800)
    with pytest.raises(ReadBackError, match="800 x 400 pixels"):
        picture.reread(path)
