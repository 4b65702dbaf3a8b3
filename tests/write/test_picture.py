"""The picture (PNG), laid over a projection with a depth buffer that is made here from the scene."""

from __future__ import annotations

import io
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from solids.base.errors import FaultError, ReadBackError
from solids.write.formats import picture
from solids.write.formats.picture import WIDTH, png_bytes, reread, size_of
from solids.write.formats.scene import Scene, ShownPart, scene_of
from tests.boxes import box_case
from tests.corners import case, job_of
from tests.projection import NOTHING, Numbers, away_from_rims, axes_of, by_hue, in_front, overlap

WIDE, SIDE = 800, 400
TAILS, PINS = 1, 2

NAMES = ("through", "half-blind", "ends left proud, chamfered", "one tail", "inches")


@cache
def drawn(name: str, width: int = WIDE) -> bytes:
    return png_bytes(case(name).job.scene, width)


def decoded(data: bytes) -> Numbers:
    """(height, width, 3), 0 to 255."""
    with Image.open(io.BytesIO(data)) as image:
        assert (image.format, image.mode) == ("PNG", "RGB")
        return np.asarray(image).astype(np.int64)


# --- a projection of our own ---------------------------------------------------------------------

TOWARD = np.array([150.0, 260.0, 190.0]) / np.sqrt(150.0**2 + 260.0**2 + 190.0**2)
"""The eye stands before the show face of the pin board, to the right and above."""


@dataclass(frozen=True)
class Half:
    """Put together or apart: its columns in the picture, and what of the piece stands in their middle, how large."""

    columns: slice
    share: float
    middle: Numbers
    scale: float

    def of(self, image: Numbers) -> Numbers:
        return image[:, self.columns]

    def view(self, scene: Scene, height: int) -> Numbers:
        """Which board is in front at the middle of each pixel."""
        shape = height, self.columns.stop - self.columns.start
        return in_front(broken_off(scene), self.share, TOWARD, self.middle, self.scale, shape)


def broken_off(scene: Scene) -> list[ShownPart]:
    """Boards as short as they are drawn."""
    limit = np.array([-np.inf, -scene.behind, -scene.behind])
    return [replace(board, points=np.maximum(board.points, limit)) for board in scene.cut]


def halves(scene: Scene, width: int = WIDE) -> tuple[int, list[Half]]:
    """The height of the picture, and both halves: of one size, on one level, with a fiftieth of the width as air."""
    flat = []
    for share in (0.0, 1.0):
        points = np.concatenate([board.points + share * np.array(board.away) for board in broken_off(scene)])
        flat.append(np.column_stack([points @ axis for axis in axes_of(TOWARD)]))
    wide, low, high = np.ptp(flat[0][:, 0]), flat[0][:, 1].min(), flat[1][:, 1].max()
    assert np.ptp(flat[1][:, 0]) == pytest.approx(wide), "the tail board is only lifted"
    scale = (0.92 * width) / (2 * wide)
    middle = (flat[0][:, 0].min() + flat[0][:, 0].max()) / 2, (low + high) / 2
    columns = (slice(0, width // 2), slice(width // 2, width))
    found = [Half(where, share, np.array(middle), scale) for where, share in zip(columns, (0.0, 1.0), strict=True)]
    return round(scale * (high - low) + 0.04 * width), found


def seen(image: Numbers, scene: Scene) -> Numbers:
    """Which board each pixel shows."""
    paper = np.abs(image - np.round(255 * np.array(picture.PAPER))).max(axis=2) <= 6
    return by_hue(image, scene.cut, paper)


def agreement(image: Numbers, scene: Scene) -> list[float]:
    """How much of what either shows do picture and projection show together, in each half."""
    _, both = halves(scene)
    return [overlap(half.view(scene, len(image)), seen(half.of(image), scene)) for half in both]


@pytest.mark.parametrize("name", NAMES)
def test_both_halves_show_the_boards_where_a_projection_of_the_scene_has_them(name: str) -> None:
    together, apart = agreement(decoded(drawn(name)), case(name).job.scene)
    assert together >= 0.98
    assert apart >= 0.98


@pytest.mark.parametrize("name", ["through", "half-blind", "tight"])
def test_each_board_is_in_front_where_it_should_be_in_the_colour_of_its_wood(name: str) -> None:
    """Away from lines and rims, where both show the same in a neighbourhood of five pixels."""
    scene, image = case(name).job.scene, decoded(drawn(name))
    for half in halves(scene)[1]:
        meant, shown = half.view(scene, len(image)), seen(half.of(image), scene)
        inner = away_from_rims(meant)
        assert {TAILS, PINS} <= set(meant[inner].tolist())
        assert (meant == shown)[inner].mean() > 0.99
        for board in (TAILS, PINS):
            assert (shown == board)[inner & (meant == board)].mean() > 0.985


def test_a_line_goes_round_the_pin_board_where_nothing_is_behind_it() -> None:
    """Within two pixels of its rim some pixel is less than half as bright as the board's show face. The picture is
    twice as large here as the projection; of four pixels the darkest counts."""
    scene = job_of("tool-tray", "tail_board.length=70", "pin_board.length=70").job.scene
    height, (_, apart) = halves(scene)
    large = decoded(png_bytes(scene, 2 * WIDE))[:, WIDE:].sum(axis=2)
    light = large[: 2 * (len(large) // 2)].reshape(len(large) // 2, 2, SIDE, 2).min(axis=(1, 3))
    shown = apart.view(scene, height)[: len(light)]
    darkest = int(np.median(light[shown == PINS])) // 2
    rim, lines = np.zeros_like(shown, bool), np.zeros_like(shown, bool)
    for axis in (0, 1):
        beside = np.roll(shown, 1, axis)
        rim |= (shown == PINS) & (beside == NOTHING) | (shown == NOTHING) & (beside == PINS)
    for down in range(-2, 3):
        for across in range(-2, 3):
            lines |= np.roll(light < darkest, (down, across), (0, 1))
    rim[:3], rim[-3:] = False, False
    assert rim.sum() > 300
    assert lines[rim].mean() > 0.95
    assert (light[shown == PINS] < darkest).mean() < 0.1, "and the board itself is lighter"


def test_the_projection_finds_a_scene_that_is_another_or_stands_elsewhere() -> None:
    """So that the tests above can fail."""
    image, scene = decoded(drawn("through")), case("through").job.scene
    assert min(agreement(image, case("one tail").job.scene)) < 0.95
    assert max(agreement(image[::-1], scene)) < 0.9
    assert max(agreement(image[:, ::-1], scene)) < 0.95
    assert max(agreement(np.roll(image, 6, axis=0), scene)) < 0.98
    swapped = replace(scene, cut=(scene.cut[0], still(scene.cut[1])))
    assert agreement(decoded(png_bytes(swapped, WIDE)), scene)[1] < 0.98


def still(board: ShownPart) -> ShownPart:
    """A pin board that sinks a little when the joint is taken apart."""
    return replace(board, away=(0.0, 0.0, -4.0))


# --- what it is ----------------------------------------------------------------------------------


def test_it_is_1600_pixels_wide_as_high_as_the_piece_asks_and_not_blank() -> None:
    scene = case("through").job.scene
    data, (height, both) = png_bytes(scene), halves(scene, WIDTH)
    image = decoded(data)
    assert image.shape == (height, 1600, 3)
    assert size_of(data) == (1600, height)
    for half in both:
        paper = np.abs(half.of(image) - np.round(255 * np.array(picture.PAPER))).max(axis=2) <= 2
        assert 0.15 < paper.mean() < 0.85
        assert half.of(image)[0, 0] == pytest.approx(np.array([247, 245, 240]), abs=1)


@pytest.mark.parametrize("name", NAMES)
def test_the_piece_fills_the_picture_and_nothing_is_cropped(name: str) -> None:
    """All round there is air, of two hundredths of the width, and no more than that."""
    image = decoded(drawn(name))
    inked = np.abs(image - np.round(255 * np.array(picture.PAPER))).max(axis=2) > 12
    rows, columns = np.flatnonzero(inked.any(axis=1)), np.flatnonzero(inked.any(axis=0))
    ends = [rows[0], len(image) - 1 - rows[-1], columns[0], WIDE - 1 - columns[-1]]
    assert ends == pytest.approx([0.02 * WIDE] * 4, abs=3)


def test_thirty_tails_stand_one_view_above_the_other_and_each_is_wide_enough_to_see() -> None:
    scene = job_of("tool-tray", "joint.width=450", "joint.tails=30", "joint.pin=3").job.scene
    height, (together, apart) = picture.panels_of(scene, WIDTH)
    assert (together.low[0], together.size[0]) == (apart.low[0], apart.size[0]) == (0.0, 1600.0)
    assert together.low[1] >= apart.low[1] + apart.size[1] - 0.02 * 1600 - 1e-9, "put together above"
    assert together.low[1] + together.size[1] == pytest.approx(height, abs=1)
    assert (450 / 30 - 3) * together.scale * abs(axes_of(TOWARD)[0][0]) > 30, "pixels for a tail"


def test_a_box_has_a_view_of_its_corner_from_closer_by() -> None:
    scene = scene_of(box_case("drawer").proof)
    height, (together, apart, corner) = picture.panels_of(scene, WIDE)
    image = decoded(png_bytes(scene, WIDE))
    assert image.shape == (height, WIDE, 3)
    assert corner.scale >= 1.8 * together.scale == 1.8 * apart.scale
    left, foot = round(corner.low[0]), round(corner.low[1])
    inside = image[height - foot - round(corner.size[1]) : height - foot, left : left + round(corner.size[0])]
    assert np.abs(inside - np.round(255 * np.array(picture.PAPER))).max(axis=2).mean() > 12, "and it is not blank"
    assert image[height // 2, left - 1] == pytest.approx(np.round(255 * np.array(picture.FRAME)), abs=40)


def test_light_is_the_same_for_a_face_wherever_it_is_drawn_and_end_grain_is_darker() -> None:
    """By hand: a face that looks up has 0.55 + 0.45 / sqrt(0.09 + 0.25 + 1) + 0.15 x 0.1 / sqrt(0.36 + 1 + 0.01); the
    ends of the pins, which are end grain, 0.84 of it."""
    scene = case("through").job.scene
    up = 0.55 + 0.45 / np.sqrt(1.34) + 0.015 / np.sqrt(1.37)
    for board, share in zip(scene.cut, (1.0, 0.84), strict=True):
        heights = board.points[board.triangles][:, :, 2]
        upper = (heights.min(axis=1) > 9.9) & (np.ptp(heights, axis=1) < 1e-9)
        assert scene.shades(board)[upper] == pytest.approx(share * up)


def test_the_left_half_is_put_together_and_the_right_half_is_apart() -> None:
    image, scene = decoded(drawn("through")), case("through").job.scene
    both = halves(scene)[1]
    # Lines are left out: they have no hue of a board.
    left, right = (
        np.where(part.sum(axis=2) > 180, seen(part, scene), NOTHING) for part in (half.of(image) for half in both)
    )
    assert (left != right).mean() > 0.02
    rows = [np.flatnonzero((half == TAILS).sum(axis=1) > 3) for half in (left, right)]
    up = np.linalg.norm([150, 260]) / np.linalg.norm([150, 260, 190]) * scene.apart * both[0].scale
    assert rows[0].max() - rows[1].max() == pytest.approx(up, abs=4), "the tail board stands higher"
    pins = [np.flatnonzero((half == PINS).sum(axis=0) > 20) for half in (left, right)]
    assert (pins[0].min(), pins[0].max()) == pytest.approx((pins[1].min(), pins[1].max()), abs=3), "the pin board stays"
    assert (right == PINS).sum() > (left == PINS).sum(), "and its pins are seen whole"


def test_it_is_smaller_than_a_tenth_of_a_megabyte() -> None:
    assert len(drawn("through", WIDTH)) < 100_000


@pytest.mark.parametrize("name", ["through", "half-blind"])
def test_the_same_joint_gives_the_same_picture_whatever_was_drawn_before(name: str) -> None:
    first = drawn(name)
    png_bytes(case("inches").job.scene, 200)
    assert png_bytes(case(name).job.scene, WIDE) == first


def test_another_wood_is_another_colour_in_the_same_place() -> None:
    scene = case("through").job.scene
    walnut = decoded(png_bytes(job_of("tool-tray", "tail_board.wood=walnut").job.scene, WIDE))
    cherry = decoded(drawn("through"))
    together = halves(scene)[1][0]
    meant = together.view(scene, len(cherry))
    differs = together.of(np.abs(walnut - cherry)).max(axis=2) > 12
    assert differs[meant == TAILS].mean() > 0.8
    assert differs[meant == NOTHING].mean() < 0.01


@pytest.mark.whole
def test_long_boards_are_drawn_broken_off_and_the_joint_stays_as_large() -> None:
    """What lies further behind than eight tenths of the width, 76.8 mm, is left out; no line stands at the break."""
    short, long = (
        job_of("tool-tray", f"tail_board.length={length}", f"pin_board.length={length}").job.scene
        for length in (80, 900)
    )
    assert (short.is_broken_off, long.is_broken_off, case("through").job.scene.behind) == (True, True, 0.8 * 96)
    assert not job_of("tool-tray", "tail_board.length=70", "pin_board.length=70").job.scene.is_broken_off
    assert decoded(png_bytes(short, WIDE)).tolist() == decoded(png_bytes(long, WIDE)).tolist()
    assert min(agreement(decoded(png_bytes(long, WIDE)), long)) >= 0.98
    for board, axis in zip(long.drawn.cut, (1, 2), strict=True):
        assert board.points[:, axis].min() == -long.behind
        assert not (board.edges[:, :, axis] == -long.behind).all(axis=1).any()
        assert (board.edges[:, :, axis] == -long.behind).any(), "the long edges end there"


# --- reading back --------------------------------------------------------------------------------


def refused(folder: Path, data: bytes, width: int = WIDE) -> str:
    path = folder / "corner.png"
    path.write_bytes(data)
    with pytest.raises(ReadBackError) as caught:
        reread(path, case("through").job.scene, width)
    assert "corner.png" in str(caught.value)
    return str(caught.value)


def test_a_good_picture_reads_back(tmp_path: Path) -> None:
    (tmp_path / "corner.png").write_bytes(drawn("through"))
    reread(tmp_path / "corner.png", case("through").job.scene, WIDE)


@pytest.mark.parametrize("cut", [0, 1, 8, 12, 20, 24, 33, 5000, -12, -8, -1])
def test_reading_back_refuses_a_picture_cut_short(cut: int, tmp_path: Path) -> None:
    refused(tmp_path, drawn("through")[:cut])


@pytest.mark.parametrize("width", [WIDE - 2, WIDE + 2, 2 * WIDE, WIDTH])
def test_reading_back_refuses_another_size(width: int, tmp_path: Path) -> None:
    assert f"800 x {len(decoded(drawn('through')))} pixels" in refused(tmp_path, drawn("through"), width)


def test_reading_back_refuses_another_kind_of_file(tmp_path: Path) -> None:
    refused(tmp_path, b"GIF89a" + drawn("through")[6:])
    refused(tmp_path, b"P6 800 400 255 ")


def test_reading_back_refuses_a_picture_that_is_broken_inside(tmp_path: Path) -> None:
    data = bytearray(drawn("through"))
    data[len(data) // 2 : len(data) // 2 + 100] = bytes(100)
    refused(tmp_path, bytes(data))


def test_a_machine_that_does_not_draw_is_a_fault_and_no_empty_file(monkeypatch: pytest.MonkeyPatch) -> None:
    class Writer:
        def __getattr__(self, _: str) -> object:
            return lambda *_: None

    monkeypatch.setattr(picture, "vtkPNGWriter", Writer)
    with pytest.raises(FaultError, match="did not draw"):
        png_bytes(case("through").job.scene, 200)
