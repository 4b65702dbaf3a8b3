"""The picture (PNG), laid over a projection with a depth buffer that is made here from the scene."""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from solids.base.errors import FaultError, ReadBackError
from solids.write.formats import picture
from solids.write.formats.picture import WIDTH, png_bytes, reread, size_of
from solids.write.formats.scene import Scene, ShownPart
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


def view(scene: Scene, share: float) -> Numbers:
    """(SIDE, SIDE): which board is in front at the middle of each pixel.

    The eye stands before the show face of the pin board, to the right and above. What has to be seen is the box round
    both boards, taken apart, with no more behind the joint than eight tenths of its width; 8 % of air go round it.
    """
    toward = np.array([150.0, 260.0, 190.0]) / np.sqrt(150.0**2 + 260.0**2 + 190.0**2)
    points = np.concatenate([b.points + k * np.array(b.away) for b in scene.cut for k in (0.0, 1.0)])
    low, high = points.min(axis=0), points.max(axis=0)
    low[1:] = np.maximum(low[1:], -0.8 * (high[0] - low[0]))
    corners = np.array([[x, y, z] for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])])
    flat = np.column_stack([corners @ axis for axis in axes_of(toward)])
    scale = SIDE / 2 / (1.08 * np.ptp(flat, axis=0).max() / 2)
    return in_front(scene.cut, share, toward, (flat.min(axis=0) + flat.max(axis=0)) / 2, scale, (SIDE, SIDE))


def seen(image: Numbers, scene: Scene) -> Numbers:
    """Which board each pixel shows."""
    paper = np.abs(image - np.round(255 * np.array(picture.PAPER))).max(axis=2) <= 6
    return by_hue(image, scene.cut, paper)


def halves(image: Numbers) -> list[tuple[Numbers, float]]:
    """Put together and apart, each with how much of its way the tail board has gone."""
    middle = image.shape[1] // 2
    return [(image[:, :middle], 0.0), (image[:, middle:], 1.0)]


def agreement(image: Numbers, scene: Scene) -> list[float]:
    """How much of what either shows do picture and projection show together, in each half."""
    return [overlap(view(scene, share), seen(half, scene)) for half, share in halves(image)]


@pytest.mark.parametrize("name", NAMES)
def test_both_halves_show_the_boards_where_a_projection_of_the_scene_has_them(name: str) -> None:
    together, apart = agreement(decoded(drawn(name)), case(name).job.scene)
    assert together >= 0.98
    assert apart >= 0.98


@pytest.mark.parametrize("name", ["through", "half-blind", "tight"])
def test_each_board_is_in_front_where_it_should_be_in_the_colour_of_its_wood(name: str) -> None:
    """Away from lines and rims, where both show the same in a neighbourhood of five pixels."""
    scene, image = case(name).job.scene, decoded(drawn(name))
    for half, share in halves(image):
        meant, shown = view(scene, share), seen(half, scene)
        inner = away_from_rims(meant)
        assert {TAILS, PINS} <= set(meant[inner].tolist())
        assert (meant == shown)[inner].mean() > 0.99
        for board in (TAILS, PINS):
            assert (shown == board)[inner & (meant == board)].mean() > 0.985


def test_a_line_goes_round_the_pin_board_where_nothing_is_behind_it() -> None:
    """Within two pixels of its rim some pixel is less than half as bright as the board's show face. The picture is
    twice as large here as the projection; of four pixels the darkest counts."""
    large = decoded(drawn("through", 2 * WIDE))[:, 2 * SIDE :].sum(axis=2)
    light = large.reshape(SIDE, 2, SIDE, 2).min(axis=(1, 3))
    shown = view(case("through").job.scene, 1.0)
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
    swapped = Scene(scene.title, (scene.cut[0], still(scene.cut[1])), scene.finished, scene.view)
    assert agreement(decoded(png_bytes(swapped, WIDE)), scene)[1] < 0.98


def still(board: ShownPart) -> ShownPart:
    """A pin board that sinks a little when the joint is taken apart."""
    return ShownPart(
        board.name, board.wood, board.points, board.triangles, board.faces, board.edges, board.gaps, (0.0, 0.0, -4.0)
    )


# --- what it is ----------------------------------------------------------------------------------


def test_it_is_1600_by_800_pixels_and_not_blank() -> None:
    data = png_bytes(case("through").job.scene)
    image = decoded(data)
    assert image.shape == (800, 1600, 3)
    assert size_of(data) == (1600, 800)
    for half, _ in halves(image):
        paper = np.abs(half - np.round(255 * np.array(picture.PAPER))).max(axis=2) <= 2
        assert 0.15 < paper.mean() < 0.85
        assert half[0, 0] == pytest.approx(np.array([247, 245, 240]), abs=1)


def test_the_left_half_is_put_together_and_the_right_half_is_apart() -> None:
    image, scene = decoded(drawn("through")), case("through").job.scene
    # Lines are left out: they have no hue of a board.
    left, right = (np.where(half.sum(axis=2) > 180, seen(half, scene), NOTHING) for half, _ in halves(image))
    assert (left != right).mean() > 0.02
    rows = [np.flatnonzero((half == TAILS).sum(axis=1) > 3) for half in (left, right)]
    up = np.linalg.norm([150, 260]) / np.linalg.norm([150, 260, 190]) * scene.apart
    assert 0.5 * up < rows[0].max() - rows[1].max() < 3 * up, "the tail board stands higher"
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
    walnut = decoded(png_bytes(job_of("tool-tray", "tail_board.wood=walnut").job.scene, WIDE))
    cherry = decoded(drawn("through"))
    meant = view(case("through").job.scene, 0.0)
    differs = np.abs(walnut - cherry).max(axis=2)[:, :SIDE] > 12
    assert differs[meant == TAILS].mean() > 0.8
    assert differs[meant == NOTHING].mean() < 0.01


def test_long_boards_run_out_of_the_picture_and_the_joint_stays_as_large() -> None:
    """What lies further behind than eight tenths of the width is not what has to be seen."""
    short = case("through")
    long = job_of("tool-tray", "tail_board.length=900", "pin_board.length=900")
    assert min(agreement(decoded(png_bytes(long.job.scene, WIDE)), long.job.scene)) >= 0.98
    joint = [seen(decoded(png_bytes(job.job.scene, WIDE))[:, :SIDE], job.job.scene) for job in (short, long)]
    rows = [np.flatnonzero((half == TAILS).any(axis=1)) for half in joint]
    assert abs(int(rows[0].max()) - int(rows[1].max())) < 40


# --- reading back --------------------------------------------------------------------------------


def refused(folder: Path, data: bytes, width: int = WIDE) -> str:
    path = folder / "corner.png"
    path.write_bytes(data)
    with pytest.raises(ReadBackError) as caught:
        reread(path, width)
    assert "corner.png" in str(caught.value)
    return str(caught.value)


def test_a_good_picture_reads_back(tmp_path: Path) -> None:
    (tmp_path / "corner.png").write_bytes(drawn("through"))
    reread(tmp_path / "corner.png", WIDE)


@pytest.mark.parametrize("cut", [0, 1, 8, 12, 20, 24, 33, 5000, -12, -8, -1])
def test_reading_back_refuses_a_picture_cut_short(cut: int, tmp_path: Path) -> None:
    refused(tmp_path, drawn("through")[:cut])


@pytest.mark.parametrize("width", [WIDE - 2, WIDE + 2, 2 * WIDE, WIDTH])
def test_reading_back_refuses_another_size(width: int, tmp_path: Path) -> None:
    assert "800 x 400 pixels" in refused(tmp_path, drawn("through"), width)


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
