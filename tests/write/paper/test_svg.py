"""The SVG file: well-formed, in millimetres, every line and word of the drawing, and no markup out of a title."""

from __future__ import annotations

import io
import re
import shutil
import struct
import subprocess
import xml.etree.ElementTree as ET
import zlib
from pathlib import Path

import pytest

from solids.base.errors import ReadBackError
from solids.recipe.tables.resolved import PaperName
from solids.write.drafting.dimensions import drawn
from solids.write.drafting.layers import LAYERS, layer_of
from solids.write.drafting.outlines import LASER, picture_at_full_size
from solids.write.drafting.sheet import Label, Sheet, Stroke, line
from solids.write.drafting.views import shop_drawing
from solids.write.paper.svg import reread, svg_bytes
from tests.corners import CASES, layout_of
from tests.write.drafting.machine import boards_of

SVG = "{http://www.w3.org/2000/svg}"
RSVG = shutil.which("rsvg-convert")
JOINTS = ("through", "half-blind", "inches", "listed, no symmetry")


def sheet_of(name: str, size: PaperName = "A4", *more: str) -> Sheet:
    return shop_drawing(layout_of(*CASES[name], *more), size)


def read(data: bytes) -> ET.Element:
    return ET.parse(io.BytesIO(data)).getroot()


@pytest.mark.parametrize(("size", "width", "height"), [("A4", 297, 210), ("A3", 420, 297), ("Letter", 279.4, 215.9)])
def test_it_is_as_large_as_the_sheet_in_millimetres(size: PaperName, width: float, height: float) -> None:
    root = read(svg_bytes(sheet_of("through", size)))
    assert root.tag == f"{SVG}svg"
    assert root.get("width") == f"{width:g}mm"
    assert root.get("height") == f"{height:g}mm"
    assert root.get("viewBox") == f"0 0 {width:g} {height:g}"


@pytest.mark.parametrize("name", JOINTS)
def test_every_line_and_word_is_in_it_on_its_layer_upside_down(name: str) -> None:
    """SVG counts Y downward from the top: y becomes the height less y."""
    sheet = sheet_of(name)
    root = read(svg_bytes(sheet))
    pieces = list(drawn(sheet.items))
    groups = {group.get("id"): group for group in root.iter(f"{SVG}g")}
    assert set(groups) == {piece.layer.replace(" ", "-") for piece in pieces}
    for layer in LAYERS:
        meant = [piece for piece in pieces if piece.layer == layer.name]
        if not meant:
            continue
        group = groups[layer.name.replace(" ", "-")]
        assert float(group.get("stroke-width", "0")) == layer.width
        dashes = tuple(float(part) for part in group.get("stroke-dasharray", "").split())
        assert dashes == layer.dashes
        for piece, element in zip(meant, group, strict=True):
            if isinstance(piece, Stroke):
                numbers = [float(number) for number in re.findall(r"-?[\d.]+", element.get("d", ""))]
                points = list(zip(numbers[::2], numbers[1::2], strict=True))
                assert points == [pytest.approx((x, sheet.height - y), abs=6e-5) for x, y in piece.points]
                assert element.get("d", "").endswith("Z") is piece.closed
            else:
                assert element.text == piece.text
                assert float(element.get("x", "")) == pytest.approx(piece.at[0], abs=6e-5)
                assert float(element.get("y", "")) == pytest.approx(sheet.height - piece.at[1], abs=6e-5)


@pytest.mark.parametrize("title", ["a <b> & 'c' &lt;", "]]> <script>", "Kästchen, é ł Ω Ж", 'a "quoted" title'])
def test_a_title_with_markup_or_accents_comes_back_as_it_was(title: str) -> None:
    given = title.replace('"', '\\"')
    root = read(svg_bytes(sheet_of("through", "A4", f'title="{given}"')))
    texts = [element.text for element in root.iter(f"{SVG}text")]
    whole = " ".join(text for text in texts if text)
    assert title in whole
    assert root.findtext(f"{SVG}title") == title
    assert {element.tag for element in root.iter()} == {
        f"{SVG}{tag}" for tag in ("svg", "title", "rect", "g", "path", "text")
    }


def test_characters_outside_the_font_are_in_latin_letters() -> None:
    root = read(svg_bytes(sheet_of("through", "A4", 'title="木の箱"')))
    assert root.findtext(f"{SVG}title") == "MunoXiang"


def test_nothing_comes_from_outside() -> None:
    data = svg_bytes(sheet_of("through"))
    assert data.startswith(b'<?xml version="1.0" encoding="UTF-8"?>')
    assert re.findall(rb"https?://[^\"]+", data) == [b"http://www.w3.org/2000/svg"]
    assert b"href" not in data
    assert b"nan" not in data.lower()


def test_what_is_for_machines_is_in_the_files_of_the_boards_and_not_in_it() -> None:
    assert svg_bytes(sheet_of("through", "A4", "kit.cutters=[2]")) == svg_bytes(sheet_of("through"))


def test_the_picture_of_a_board_is_as_large_as_the_wood_and_its_lines_are_in_millimetres() -> None:
    """The tool tray's pin board on its end: 96 by 12 mm, one unit of the picture being a millimetre."""
    sheet = picture_at_full_size(boards_of("tool-tray")["pin board"], "a <b> title")
    root = read(svg_bytes(sheet))
    _, _, wide, high = root.get("viewBox", "").split()
    assert (root.get("width"), root.get("height")) == (f"{wide}mm", f"{high}mm")
    assert root.findtext(f"{SVG}title") == "a <b> title"
    groups = {group.get("id", ""): group for group in root.iter(f"{SVG}g")}
    assert set(groups) == {"end-outline", "end-sockets-Z-10.5", "zero", "words"}
    (outline,) = groups["end-outline"]
    numbers = [float(number) for number in re.findall(r"-?[\d.]+", outline.get("d", ""))]
    xs, ys = numbers[::2], numbers[1::2]
    assert (max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx((96, 12), abs=1e-4)
    assert len(groups["end-sockets-Z-10.5"]) == 4
    assert [text.text for text in groups["words"]][-len(LASER) :] == list(LASER)


def test_it_is_the_same_twice() -> None:
    assert svg_bytes(sheet_of("inches")) == svg_bytes(sheet_of("inches"))


def test_a_file_that_lost_a_line_or_is_cut_off_does_not_read_back(tmp_path: Path) -> None:
    sheet = sheet_of("through")
    data, file = svg_bytes(sheet), tmp_path / "drawing.svg"
    file.write_bytes(data)
    reread(file, sheet)
    (first, *_) = re.findall(rb"    <path [^>]*/>\n", data)
    for bad, why in (
        (data[:-30], "not XML"),
        (data.replace(first, b"", 1), "lines and words"),
        (data.replace(b'width="297mm"', b'width="210mm"'), "another size"),
    ):
        file.write_bytes(bad)
        with pytest.raises(ReadBackError, match=why):
            reread(file, sheet)


def test_a_drawing_of_a_single_line_is_a_file() -> None:
    sheet = Sheet("t", 10.0, 10.0, 1.0, (line("frame", (1.0, 2.0), (3.0, 4.0)), Label("x", (5.0, 5.0), 2.0)))
    root = read(svg_bytes(sheet))
    (path,) = root.iter(f"{SVG}path")
    assert path.get("d") == "M 1 8 L 3 6"
    assert layer_of("frame").width == 0.7


def grey_share(png: bytes) -> tuple[int, int, float]:
    """Width, height, and the share of bytes of a PNG's picture that are not white, read by hand (PNG: ISO 15948)."""
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = struct.unpack(">II", png[16:24])
    data, at = b"", 8
    while at < len(png):
        (length,) = struct.unpack(">I", png[at : at + 4])
        if png[at + 4 : at + 8] == b"IDAT":
            data += png[at + 8 : at + 8 + length]
        at += 12 + length
    raw = zlib.decompress(data)
    # Filtered bytes: a row that equals the one above, or its left neighbours, is all 0.
    return width, height, sum(byte not in (0, 255) for byte in raw) / len(raw)


@pytest.mark.outside
@pytest.mark.skipif(RSVG is None, reason="rsvg-convert is not on PATH (Debian package librsvg2-bin)")
@pytest.mark.parametrize("name", JOINTS)
def test_another_program_draws_it_at_its_size_and_not_blank(name: str) -> None:
    done = subprocess.run(
        [str(RSVG), "--dpi-x=100", "--dpi-y=100"], input=svg_bytes(sheet_of(name)), capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr
    width, height, share = grey_share(done.stdout)
    assert (width, height) == (pytest.approx(297 / 25.4 * 100, abs=1.5), pytest.approx(210 / 25.4 * 100, abs=1.5))
    assert share > 0.005
