"""The small pictures of aids: where a block's corners fall, by hand, and what is read back."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from solids.aids.making.modelling import block
from solids.base.errors import ReadBackError
from solids.model.kernel import Solid
from solids.write.paper import line_picture
from solids.write.paper.line_picture import NAMESPACE, RIGHT, TO_EYE, UP, reread, svg_bytes
from tests.corners import job_of

SVG = f"{{{NAMESPACE}}}"


def picture(solid: Solid) -> ET.Element:
    return ET.fromstring(svg_bytes(solid, "a block", "#e3b583"))


def numbers(path: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path)]


def test_eye_right_and_up_are_square_to_each_other_and_one_long() -> None:
    def dot(a: tuple[float, ...], b: tuple[float, ...]) -> float:
        return sum(x * y for x, y in zip(a, b, strict=True))

    for axis in (TO_EYE, RIGHT, UP):
        assert math.hypot(*axis) == pytest.approx(1.0, abs=1e-5)
    assert [dot(TO_EYE, RIGHT), dot(TO_EYE, UP), dot(RIGHT, UP)] == pytest.approx([0.0, 0.0, 0.0], abs=1e-5)
    assert TO_EYE[1] < 0 < UP[2], "from in front, and not upside down"


def test_a_block_by_hand() -> None:
    """60 x 20 x 10 mm. Its picture is (60 x 3 + 20 x 2)/sqrt(13) = 61.02 mm wide and (60 x 4 + 20 x 6 + 10 x 13) /
    sqrt(221) = 32.96 mm high; 480 - 24 = 456 pixels are 7.473 to 1 mm, so it is 246.3 + 24 pixels high."""
    root = picture(block((0, 0, 0), (60, 20, 10)))
    assert (root.get("width"), root.get("height")) == ("480", "270")
    faces = root.findall(f"{SVG}g/{SVG}path")
    assert len(faces) == 3, "top, front and right side"
    points = [point for face in faces for point in numbers(face.get("d", ""))]
    assert (min(x for x, _ in points), max(x for x, _ in points)) == (12.0, 468.0)
    assert (min(y for _, y in points), max(y for _, y in points)) == pytest.approx((12.0, 258.3), abs=0.1)
    (lines,) = root.findall(f"{SVG}path")
    assert len(re.findall("M", lines.get("d", ""))) == 9, "9 of 12 edges are seen"
    # The corner nearest the eye, (60, 0, 10), is where three faces meet.
    shared = set.intersection(*(set(numbers(face.get("d", ""))) for face in faces))
    assert len(shared) == 1


@pytest.mark.whole
def test_every_aid_has_a_small_picture_no_wider_than_640_pixels() -> None:
    for proved in job_of().workshop.good:
        data = svg_bytes(proved.aid.solid, proved.aid.name, "#e3b583")
        root = ET.fromstring(data)
        assert 100 < float(root.get("width", "")) <= 640
        assert 30 < float(root.get("height", "")) <= 640
        assert len(data) < 40_000, proved.aid.name
        assert data == svg_bytes(proved.aid.solid, proved.aid.name, "#e3b583")


def test_what_is_cut_short_or_of_another_is_refused(tmp_path: Path) -> None:
    data, path = svg_bytes(block((0, 0, 0), (6, 2, 1)), "one <&> two", "#e3b583"), tmp_path / "aid.svg"
    path.write_bytes(data)
    reread(path, "one <&> two")
    with pytest.raises(ReadBackError, match="does not hold its picture"):
        reread(path, "another")
    path.write_bytes(data[:-20])
    with pytest.raises(ReadBackError, match="cannot be read back"):
        reread(path, "one <&> two")
    path.write_bytes(b"<svg/>")
    with pytest.raises(ReadBackError):
        reread(path, "one <&> two")
    assert line_picture.WIDTH <= 640
