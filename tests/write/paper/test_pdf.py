"""Every PDF of ours: page sizes of ISO 216, no scaling asked of the printer, fonts inside, line widths of ISO 128, and
the same bytes each time."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from solids.base.errors import ReadBackError
from solids.write.drafting.layers import ISO_WIDTHS, LAYERS
from solids.write.drafting.sheet import Label, Sheet, Stroke, box, line
from solids.write.files.table import Job, papers
from solids.write.paper.typesetting.pdf import reread, sheet_pdf
from tests.commands import told_elsewhere
from tests.corners import CASES, case, job_of
from tests.write.paper.reading import MM, opened, pixels, strokes_on, words_of

NAMES = ("setup-sheet.pdf", "template.pdf", "drawing.pdf")
JOINTS = ("through", "half-blind", "listed, no symmetry", "inches", "ends left proud, chamfered")
SIZES_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4), "A3": (297.0, 420.0)}
"""ISO 216 (1975) and 8 1/2 x 11 in: from memory."""


KEPT: dict[tuple[str, int], bytes] = {}


def made(name: str, job: Job) -> bytes:
    """The bytes of one file, made once for each job."""
    if (name, id(job)) not in KEPT:
        (file,) = [file for file in papers(job) if file.name == name]
        KEPT[name, id(job)] = file.make()
    return KEPT[name, id(job)]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("joint", JOINTS)
def test_the_file_asks_for_no_scaling_and_embeds_its_fonts(name: str, joint: str) -> None:
    with opened(made(name, case(joint))) as pdf:
        assert str(pdf.Root.ViewerPreferences.PrintScaling) == "/None"
        fonts = [font for page in pdf.pages for font in page.resources.get("/Font", {}).values()]
        assert fonts
        for font in fonts:
            # ReportLab always names Helvetica too, without using it; what is used is embedded.
            if "Roboto" in str(font.BaseFont):
                assert "/FontFile2" in font.FontDescriptor
        used = {str(font.BaseFont) for font in fonts}
        assert any("Roboto" in font for font in used)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("joint", JOINTS)
def test_no_word_is_set_in_a_font_that_is_not_in_the_file(name: str, joint: str) -> None:
    import pikepdf

    with opened(made(name, case(joint))) as pdf:
        for page in pdf.pages:
            fonts = {str(key): str(font.BaseFont) for key, font in page.resources.Font.items()}
            set_in = ""
            for instruction in pikepdf.parse_content_stream(page):
                if str(instruction.operator) == "Tf":
                    set_in = str(instruction.operands[0])
                shows_words = str(instruction.operator) in ("Tj", "TJ", "'") and len(bytes(instruction.operands[0])) > 0
                if shows_words:
                    assert "Roboto" in fonts[set_in]


@pytest.mark.parametrize("size", SIZES_MM)
@pytest.mark.parametrize("name", NAMES)
def test_pages_are_as_large_as_the_paper(name: str, size: str) -> None:
    """To 0.01 pt. A setup sheet is one A4 page where the paper is A3: it is folded into no workshop."""
    meant = SIZES_MM["A4"] if (name, size) == ("setup-sheet.pdf", "A3") else SIZES_MM[size]
    with opened(made(name, job_of("tool-tray", f"paper.size={size}"))) as pdf:
        for page in pdf.pages:
            low_x, low_y, width, height = (float(value) for value in page.mediabox)
            assert (low_x, low_y) == (0.0, 0.0)
            assert sorted((width, height)) == pytest.approx([side * MM for side in meant], abs=0.01)


@pytest.mark.parametrize("name", ["template.pdf", "drawing.pdf"])
@pytest.mark.parametrize("joint", JOINTS)
def test_every_line_is_as_wide_as_the_standard_has_it(name: str, joint: str) -> None:
    widths = {round(width * MM, 3) for width in ISO_WIDTHS}
    with opened(made(name, case(joint))) as pdf:
        found = [stroke for page in pdf.pages for stroke in strokes_on(page)]
    assert len(found) > 50
    odd = {round(stroke.width, 3) for stroke in found if min(abs(stroke.width - width) for width in widths) > 0.002}
    assert odd == set()


def test_a_stroke_stands_in_points_where_it_stands_in_millimetres() -> None:
    items = (line("visible edges", (10.0, 20.0), (110.0, 20.0)), box("frame", (5.0, 5.0), (200.0, 280.0)))
    data = sheet_pdf(Sheet("test", 210.0, 297.0, 1.0, items), "test")
    with opened(data) as pdf:
        bar, frame = strokes_on(pdf.pages[0])
    assert bar.points[0] == pytest.approx((10 * MM, 20 * MM), abs=1e-3)
    assert bar.size == pytest.approx((283.4646, 0.0), abs=1e-3)
    assert bar.width == pytest.approx(0.5 * MM, abs=1e-3)
    assert frame.closed
    assert frame.size == pytest.approx((195 * MM, 275 * MM), abs=1e-3)
    assert frame.width == pytest.approx(0.7 * MM, abs=1e-3)


def test_hidden_edges_are_dashed_and_visible_ones_are_not() -> None:
    items = tuple(line(layer.name, (10.0, 10.0 + k), (90.0, 10.0 + k)) for k, layer in enumerate(LAYERS))
    with opened(sheet_pdf(Sheet("test", 210.0, 297.0, 1.0, items), "test")) as pdf:
        found = strokes_on(pdf.pages[0])
    for stroke, layer in zip(found, LAYERS, strict=True):
        assert stroke.dashes == pytest.approx([part * MM for part in layer.dashes], abs=1e-3)


@pytest.mark.parametrize("joint", JOINTS)
def test_what_is_for_machines_is_in_the_files_of_the_boards_and_on_no_paper(joint: str) -> None:
    """The drawing of a maker with cutters is that of one without: every stroke of it."""
    with opened(made("drawing.pdf", case(joint))) as plain, opened(cut_with(joint)) as pdf:
        assert [strokes_on(page) for page in pdf.pages] == [strokes_on(page) for page in plain.pages]


def cut_with(joint: str) -> bytes:
    return made("drawing.pdf", job_of(*CASES[joint], 'kit.cutters=["2 mm", "6 mm"]'))


def test_capitals_are_as_high_as_a_label_says() -> None:
    """A 10 mm H, drawn at 300 dpi, is 10 mm high to a pixel and a half."""
    items = (Label("H", (50.0, 50.0), 10.0),)
    dots = pixels(sheet_pdf(Sheet("test", 100.0, 100.0, 1.0, items), "test"), 300) < 128
    rows = dots.any(axis=1).nonzero()[0]
    assert (rows[-1] - rows[0] + 1) / 300 * 25.4 == pytest.approx(10.0, abs=0.13)
    columns = dots.any(axis=0).nonzero()[0]
    assert (columns[0] + columns[-1] + 1) / 2 / 300 * 25.4 == pytest.approx(50.0, abs=0.3)


def test_turned_words_stand_on_their_line() -> None:
    """Turned by 90 degrees, letters rise to the left of their place."""
    items = (Label("HHH", (50.0, 50.0), 5.0, turn_deg=90.0),)
    dots = pixels(sheet_pdf(Sheet("test", 100.0, 100.0, 1.0, items), "test"), 300) < 128
    columns = dots.any(axis=0).nonzero()[0] / 300 * 25.4
    assert columns[-1] == pytest.approx(50.0, abs=0.2)
    assert columns[0] == pytest.approx(45.0, abs=0.2)


@pytest.mark.parametrize("joint", JOINTS)
def test_a_drawing_has_one_page_and_its_words_can_be_found(joint: str) -> None:
    job = case(joint)
    data = made("drawing.pdf", job)
    with opened(data) as pdf:
        assert len(pdf.pages) == 1
        assert str(pdf.docinfo["/Title"]) == job.layout.recipe.title
    words = words_of(data)
    assert job.layout.recipe.title in words
    for label in ("tail board, show face", "pin board, show face", "drawn apart, not to scale", "reference edge"):
        assert label in words


@pytest.mark.parametrize("name", NAMES)
def test_the_file_holds_no_clock_and_comes_out_the_same_twice(name: str) -> None:
    (file,) = [file for file in papers(case("inches")) if file.name == name]
    assert file.make() == file.make()
    with opened(file.make()) as pdf:
        assert "2000" in str(pdf.docinfo.get("/CreationDate", "2000"))


MAKE = """
import hashlib, sys
from tests.corners import job_of
from solids.write.files.table import papers
job = job_of(sys.argv[1])
print({file.name: hashlib.sha256(file.make()).hexdigest() for file in papers(job)})
"""


@pytest.mark.parametrize("preset", ["drawer-front"])
def test_another_process_in_another_time_zone_and_language_makes_the_same_paper(preset: str) -> None:
    expected = {file.name: hashlib.sha256(file.make()).hexdigest() for file in papers(job_of(preset))}
    assert told_elsewhere(MAKE, preset) == str(expected)


def test_a_file_that_was_cut_off_is_not_taken_for_whole(tmp_path: Path) -> None:
    data = made("drawing.pdf", case("through"))
    file = tmp_path / "drawing.pdf"
    file.write_bytes(data)
    reread(file)
    for bad in (data[:-20], data[20:], data[: len(data) // 2], b"", data.replace(b"%%EOF", b"%%EOD")):
        file.write_bytes(bad)
        with pytest.raises(ReadBackError, match="not a whole PDF"):
            reread(file)


def test_a_sheet_of_nothing_but_strokes_is_a_page() -> None:
    with opened(sheet_pdf(Sheet("test", 210.0, 297.0, 1.0, (Stroke("frame", ((0, 0), (1, 1))),)), "test")) as pdf:
        assert len(pdf.pages) == 1
