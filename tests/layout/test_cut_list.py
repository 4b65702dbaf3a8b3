"""The cut list: what is finished, what is sawn, how much wood it is, and how each board is marked. No kernel."""

from __future__ import annotations

import csv
import io
import locale
import math
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from solids.base.errors import ReadBackError
from solids.layout.box.cut_list import (
    BOARD_FOOT,
    CutListRow,
    cut_list,
    cut_list_rows,
    glue_ups,
    glue_ups_told,
    told_rows,
)
from solids.layout.box.model import BoxLayout
from solids.layout.box.refusals import lay_out_box
from solids.recipe.tables.box_resolved import SIDES
from solids.recipe.text.reading import check_box
from solids.write.notes import cut_list_file
from solids.write.notes.cut_list_file import HEADS, csv_bytes
from tests.boxes import CASES, box_of
from tests.layout.lopsided import OVERRIDES, raw_lopsided
from tests.lids import LIFT_OFF, chest

INCH = 25.4


def lopsided(name: str, *overrides: str) -> BoxLayout:
    return lay_out_box(check_box(raw_lopsided(name, *overrides)))


ALL = {
    **{name: lambda name=name: box_of(*CASES[name]) for name in CASES},
    **{f"lopsided, {name}": lambda name=name: lopsided(name) for name in OVERRIDES},
}
each_box = pytest.mark.parametrize("name", ALL)


def rows_of(found: BoxLayout) -> dict[str, CutListRow]:
    return {row.name: row for row in cut_list(found)}


def table(found: BoxLayout) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(csv_bytes(cut_list(found)).decode("utf-8"), newline="")))


# --- sizes -----------------------------------------------------------------------------------------


@each_box
def test_every_board_is_listed_once_and_rough_is_more_than_finished(name: str) -> None:
    found = ALL[name]()
    rows = cut_list(found)
    assert [row.name for row in rows] == [*SIDES, *(["bottom"] if found.panel else [])]
    for row in rows:
        for finished, sawn, rough in zip(row.finished, row.saw_to, row.rough, strict=True):
            assert 0 < finished <= sawn < rough
        assert row.mark
        assert row.grain
        assert row.stock


def test_sizes_of_the_keepsake_box_by_hand() -> None:
    """Outside 240 x 160 x 80; ends stand 0.5 mm proud; rough is 10, 4 and 3 mm more. The bottom reaches 4 mm into each
    groove, less 0.5 mm."""
    rows = rows_of(box_of("keepsake-box"))
    for side in ("front", "back"):
        assert rows[side].finished == pytest.approx((240, 80, 12))
        assert rows[side].rough == pytest.approx((240 + 2 * 0.5 + 10, 84, 15))
    for side in ("left", "right"):
        assert rows[side].finished == pytest.approx((160, 80, 10))
        assert rows[side].rough == pytest.approx((160 + 2 * 0.5 + 10, 84, 13))
    found = box_of("keepsake-box")
    assert rows["bottom"].finished == pytest.approx((220 + 8 - 1, 136 + 8 - 1 - found.panel_room, 5))
    assert rows["bottom"].rough == pytest.approx((237, 136 + 8 - 1 - found.panel_room + 4, 8))


def test_sizes_of_the_lopsided_box_by_hand() -> None:
    """Planed by 0.3 on the show faces; the front left is half-blind with a lap of 5, so that the left board ends 16 - 5
    past its baseline there, enclosed, and 12.5 + 0.4 past it at the back, to be planed to 12.5 - 0.3."""
    rows = rows_of(lopsided("stopped"))
    assert rows["left"].finished == pytest.approx((163 + (16 - 5) + (12.5 - 0.3), 112, 11 - 0.3))
    assert rows["left"].rough == pytest.approx((163 + (16 - 5) + (12.5 + 0.4) + 10, 116, 11 + 3))
    assert rows["front"].finished == pytest.approx((251, 112, 16 - 0.3))
    inside = 251 - 11 - 13.5 + 2 * 0.3
    assert rows["front"].rough == pytest.approx((inside + (11 + 0.7) + (13.5 + 0.7) + 10, 116, 19))
    assert rows["right"].finished[0] == pytest.approx(163 + 16 - 0.3 + 12.5 - 0.3)


def test_a_box_of_nine_by_fourteen_inches_is_sawn_a_sixteenth_longer() -> None:
    """By hand: the ends stand 1/32 in proud at each end, to be planed flush, so that boards of 9 and 14 in are sawn to
    9 1/16 and 14 1/16. Whoever saws them to 9 and 14 has a box that is short by the joint's allowance."""
    asked = {"joint.half_pin": "1/4", "tail_board.thickness": "3/8", "pin_board.thickness": "1/2"}
    asked |= {"box.length": "14", "box.width": "9", "box.height": "3", "box.groove.up": "3/8"}
    asked |= {"box.groove.width": "3/16", "box.groove.depth": "3/16", "stock.length": "60", "stock.width": "6"}
    asked |= {"tail_board.proud": "1/32", "pin_board.proud": "1/32"}
    found = box_of("keepsake-box", *(f'{key}="{value} in"' for key, value in asked.items()), 'units="in"')
    rows = rows_of(found)
    assert rows["front"].finished[0] == pytest.approx(14 * INCH)
    assert rows["front"].saw_to == pytest.approx(((14 + 1 / 16) * INCH, 3 * INCH, INCH / 2))
    assert rows["left"].saw_to == pytest.approx(((9 + 1 / 16) * INCH, 3 * INCH, 3 * INCH / 8))
    _, told = cut_list_rows(found)
    assert told[0][3] == "14 1/16 in x 3 in x 1/2 in"
    assert told[1][3] == "9 1/16 in x 3 in x 3/8 in"


def test_a_face_that_is_planed_later_is_sawn_thicker() -> None:
    row = rows_of(lopsided("stopped"))["left"]
    assert row.saw_to == pytest.approx((163 + (16 - 5) + (12.5 + 0.4), 112, 11))
    assert row.saw_to[2] - row.finished[2] == pytest.approx(0.3)


def test_ends_that_are_left_proud_are_part_of_the_finished_length() -> None:
    rows = rows_of(lopsided("ends left proud"))
    assert rows["front"].finished[0] == pytest.approx(251 + 2 * 0.7)
    assert rows["left"].finished[0] == pytest.approx(163 + 16 + 12.5 + 2 * 0.4)


def test_the_back_of_a_drawer_is_narrower_and_its_bottom_ends_with_it() -> None:
    rows = rows_of(box_of("desk-drawer"))
    assert rows["back"].finished == pytest.approx((380, 110 - 16, 12))
    assert rows["bottom"].finished == pytest.approx((358 + 10 - 1, 420 + 12 + 5 - 0.5, 6))


def test_rough_sizes_follow_the_recipe() -> None:
    plain = rows_of(box_of("keepsake-box"))["front"].finished
    row = rows_of(box_of("keepsake-box", "box.rough.length=20", "box.rough.width=0", "box.rough.thickness=5"))["front"]
    assert row.rough == pytest.approx((plain[0] + 1 + 20, plain[1], plain[2] + 5))


@pytest.mark.parametrize(
    ("grain", "words", "along"), [("length", "from left to right", 0), ("width", "from front to back", 1)]
)
def test_the_length_of_the_bottom_runs_along_its_grain(grain: str, words: str, along: int) -> None:
    found = box_of("keepsake-box", f"box.panel.grain={grain}", "box.groove.depth=6", "box.panel.sawn=quarter")
    row = rows_of(found)["bottom"]
    assert row.grain == words
    assert found.panel is not None
    assert row.finished[0] == found.panel.size[along]
    assert row.finished[1] == found.panel.size[1 - along]


def test_every_board_is_marked_and_no_two_alike() -> None:
    rows = rows_of(box_of("keepsake-box"))
    marks = {row.mark for row in rows.values()}
    assert len(marks) == 5
    for pair, letter in ((("front", "back"), "A"), (("left", "right"), "B")):
        assert {rows[side].mark.split(";")[0] for side in pair} == {
            f"triangle {letter}, {end}" for end in ("point", "base")
        }
    for side in SIDES:
        assert "reference edge down, show face out" in rows[side].mark


# --- how much wood ---------------------------------------------------------------------------------


def test_a_board_foot_is_a_foot_by_a_foot_by_an_inch() -> None:
    """144 cubic inches: NIST Handbook 44, Appendix C."""
    assert 144 * INCH**3 == BOARD_FOOT
    row = CutListRow("plank", (8 * 12 * INCH, 6 * INCH, 1.25 * INCH), (1, 1, 1), (1, 1, 1), "oak", "along", "none")
    assert row.board_feet == pytest.approx(8 * 6 / 12 * 1.25)


@each_box
def test_board_feet_by_hand_and_their_sum(name: str) -> None:
    found = ALL[name]()
    rows = cut_list(found)
    for row in rows:
        inches = [size / INCH for size in row.rough]
        assert row.board_feet == pytest.approx(math.prod(inches) / 144, rel=1e-12)
        assert row.volume == pytest.approx(math.prod(row.rough))
    for units in ("mm", "in"):
        heads, told = told_rows(rows, units)
        assert len({len(line) for line in (heads, *told)}) == 1
        assert told[-1][0] == "all"
        if units == "mm":
            assert heads[-1] == "litres"
            assert float(told[-1][-1]) == pytest.approx(sum(row.volume for row in rows) / 1e6, abs=0.005)
        else:
            assert heads[-2:] == ("board feet", "to buy")
            assert float(told[-1][-2]) == pytest.approx(sum(row.board_feet for row in rows), abs=0.005)
            assert float(told[-1][-1]) == pytest.approx(sum(row.to_buy for row in rows), abs=0.005)


@pytest.mark.parametrize(
    ("thickness", "counted"),
    [(0.25, 1), (0.5, 1), (0.75, 1), (0.999, 1), (1, 1), (1.25, 1.25), (2, 2)],
)
def test_a_board_under_an_inch_is_bought_as_an_inch(thickness: float, counted: float) -> None:
    """By hand: 6 in by 8 ft is 4 square feet, so 4 board feet at an inch or less, 5 at an inch and a quarter."""
    sizes = (8 * 12 * INCH, 6 * INCH, thickness * INCH)
    row = CutListRow("plank", sizes, (1, 1, 1), (1, 1, 1), "oak", "along", "none")
    assert row.to_buy == pytest.approx(4 * counted)
    assert row.board_feet == pytest.approx(4 * thickness)


def test_net_and_to_buy_of_the_keepsake_box_by_hand() -> None:
    """Front 251 x 84 x 15 mm: 251 x 84 x 15/2 359 737 = 0.134 board feet, and 0.227 at 25.4 mm. Both ends, both sides
    of 171 x 84 and the bottom of 237 x 145.9 come to 0.268 x 25.4/15 + 0.158 x 25.4/13 + 0.117 x 25.4/8 = 1.14."""
    found = box_of("keepsake-box")
    rows = rows_of(found)
    assert (rows["front"].board_feet, rows["front"].to_buy) == pytest.approx((0.134, 0.227), abs=5e-4)
    _, told = told_rows(cut_list(found), "in")
    assert told[0][-2:] == ("0.13", "0.23")
    assert float(told[-1][-1]) == pytest.approx(1.14, abs=0.01)
    _, litres = cut_list_rows(found)
    assert litres[0][-1] == "0.32", "251 x 84 x 15 mm are 0.316 dm3"


# --- plywood ---------------------------------------------------------------------------------------

PLYWOOD = 'box.panel.kind="plywood"'


def test_a_plywood_bottom_is_sawn_to_its_size_and_bought_by_area() -> None:
    """No planing, so no allowance. 220 + 2 x 4 - 2 x 0.5 = 227 mm long and 136 + 8 - 1 = 143 wide, less a tenth of a
    millimetre that it grows: 0.0324 m2, or 0.349 square feet."""
    found = box_of("keepsake-box", PLYWOOD, "box.panel.wood=birch")
    row = rows_of(found)["bottom"]
    assert row.rough == row.saw_to == row.finished
    assert row.finished == pytest.approx((227, 143, 5), abs=0.15)
    assert (row.board_feet, row.to_buy, row.volume) == (0, 0, 0)
    assert row.sheet_area == pytest.approx(227 * 143, rel=1e-3)
    assert row.stock == "birch plywood"
    _, told = cut_list_rows(found)
    assert told[4][-1] == "sheet 0.032 m2"
    assert told[-1][-1] == f"{sum(row.volume for row in cut_list(found)) / 1e6:.2f} + sheet 0.032 m2"
    _, told = told_rows(cut_list(found), "in")
    assert told[4][-2:] == ("", "sheet 0.35 sq ft")
    assert told[-1][-1] == f"{sum(row.to_buy for row in cut_list(found)):.2f} + sheet 0.35 sq ft"
    assert told[-1][-2] == f"{sum(row.board_feet for row in cut_list(found)):.2f}"


def test_the_file_gives_a_sheet_its_area_in_place_of_board_feet() -> None:
    lines = {line["board"]: line for line in table(box_of("keepsake-box", PLYWOOD))}
    assert (lines["bottom"]["rough_board_feet"], lines["bottom"]["rough_volume_m3"]) == ("", "")
    assert lines["bottom"]["board_feet_to_buy"] == ""
    for name in ("bottom", "all"):
        assert float(lines[name]["sheet_m2"]) == pytest.approx(0.0324, abs=1e-4)
        assert float(lines[name]["sheet_sq_ft"]) == pytest.approx(0.349, abs=1e-3)
    assert lines["front"]["sheet_m2"] == lines["front"]["sheet_sq_ft"] == ""
    boards = [float(lines[name]["board_feet_to_buy"]) for name in SIDES]
    assert float(lines["all"]["board_feet_to_buy"]) == pytest.approx(sum(boards), abs=0.003)


def test_square_feet_are_told_to_who_thinks_in_inches() -> None:
    found = lopsided("stopped", 'units="in"', *in_millimetres(), PLYWOOD)
    area = rows_of(found)["bottom"].sheet_area / (12 * INCH) ** 2
    _, told = cut_list_rows(found)
    assert told[4][-1] == f"sheet {area:.2f} sq ft"


def test_a_sheet_is_not_glued_up_however_wide() -> None:
    assert glue_ups(box_of("desk-drawer"))
    assert glue_ups(box_of("desk-drawer", PLYWOOD)) == ()
    assert glue_ups_told(box_of("desk-drawer", PLYWOOD)) == ""


def test_the_table_for_people_is_in_the_makers_units() -> None:
    _, metric = cut_list_rows(box_of("keepsake-box"))
    assert metric[0][2:5] == ("251 x 84 x 15 mm", "241 x 80 x 12 mm", "240 x 80 x 12 mm")
    _, inches = cut_list_rows(lopsided("stopped", 'units="in"', *in_millimetres()))
    assert " in" in inches[0][2]
    assert " mm" not in inches[0][2]


def in_millimetres() -> Iterator[str]:
    """Every length of the lopsided box once more, with its unit."""
    raw = raw_lopsided("stopped")

    def walk(values: dict[str, object], prefix: str) -> Iterator[str]:
        for key, value in values.items():
            if isinstance(value, dict):
                yield from walk(value, f"{prefix}{key}.")
            elif isinstance(value, int | float) and not isinstance(value, bool):
                yield f'{prefix}{key}="{value} mm"'
            elif isinstance(value, list):
                listed = ", ".join(f'"{item} mm"' for item in value)
                yield f"{prefix}{key}=[{listed}]"

    return walk(raw, "")


# --- CSV -------------------------------------------------------------------------------------------


@each_box
def test_python_reads_the_file_back_to_what_the_list_holds(name: str) -> None:
    found = ALL[name]()
    lines = table(found)
    rows = cut_list(found)
    assert tuple(lines[0]) == HEADS
    assert [line["board"] for line in lines] == [*(row.name for row in rows), "all"]
    for line, row in zip(lines, rows, strict=False):
        for state, sizes in (("finished", row.finished), ("saw_to", row.saw_to), ("rough", row.rough)):
            for word, size in zip(("length", "width", "thickness"), sizes, strict=True):
                assert float(line[f"{state}_{word}_mm"]) == pytest.approx(size, abs=0.00501)
                assert float(line[f"{state}_{word}_in"]) == pytest.approx(size / INCH, abs=0.000501)
        assert (line["wood"], line["grain"], line["mark"]) == (row.stock, row.grain, row.mark)
    for head, sum_of in (
        ("rough_board_feet", sum(row.board_feet for row in rows)),
        ("board_feet_to_buy", sum(row.to_buy for row in rows)),
        ("rough_volume_m3", sum(row.volume for row in rows) / 1e9),
    ):
        assert float(lines[-1][head]) == pytest.approx(sum_of, abs=0.00051)
        assert sum(float(line[head]) for line in lines[:-1]) == pytest.approx(float(lines[-1][head]), abs=0.005)
    sums = ("board", "rough_board_feet", "board_feet_to_buy", "rough_volume_m3")
    empty = {head: lines[-1][head] for head in HEADS if head not in sums}
    assert set(empty.values()) == {""}


def test_quotes_and_commas_in_the_name_of_a_wood_come_back_whole() -> None:
    wood = '{name = "pear, \\"steamed\\"; réunion", kind = "hardwood", density = 690}'
    found = box_of("keepsake-box", f"tail_board.wood={wood}")
    assert {line["wood"] for line in table(found)} >= {'pear, "steamed"; réunion', ""}


def test_lines_end_as_the_standard_has_it_and_points_are_points() -> None:
    """RFC 4180: CR LF after every line."""
    data = csv_bytes(cut_list(box_of("desk-drawer")))
    assert data.count(b"\n") == data.count(b"\r\n") == 7
    assert data.endswith(b"\r\n")
    assert not data.startswith(b"\xef\xbb\xbf")
    for line in csv.reader(io.StringIO(data.decode("utf-8"), newline="")):
        assert not any(re.fullmatch(r"-?\d+,\d+", cell) for cell in line)


def test_no_locale_changes_the_decimal_point() -> None:
    rows = cut_list(box_of("keepsake-box"))
    before, plain = locale.setlocale(locale.LC_ALL), csv_bytes(rows)
    tried = []
    try:
        for name in ("de_DE.UTF-8", "fr_FR.UTF-8", "de_DE.utf8", "C"):
            try:
                locale.setlocale(locale.LC_ALL, name)
            except locale.Error:
                continue
            tried.append(name)
            assert csv_bytes(rows) == plain
    finally:
        locale.setlocale(locale.LC_ALL, before)
    assert tried


@pytest.mark.parametrize(
    "harm",
    [
        lambda data: data.replace(b"\r\nback,", b"\r\nlid,"),
        lambda data: data.replace(b"\r\nleft", b"\r\nleft,left", 1),
        lambda data: data[: data.index(b"\r\nall")],
        lambda data: data[:0],
    ],
    ids=["another board", "a column more", "no sum", "nothing"],
)
def test_a_file_that_is_not_the_list_is_noticed(harm: object, tmp_path: Path) -> None:
    rows = cut_list(box_of("keepsake-box"))
    path = tmp_path / "cut-list.csv"
    path.write_bytes(csv_bytes(rows))
    cut_list_file.reread(path, rows)
    path.write_bytes(harm(csv_bytes(rows)))  # type: ignore[operator]
    with pytest.raises(ReadBackError):
        cut_list_file.reread(path, rows)


# --- a bottom wider than the stock -----------------------------------------------------------------


def test_a_wide_bottom_says_how_many_boards_by_hand() -> None:
    """A bottom of 136 + 2 x 4 mm less its room, in stock of 80 mm (box.height is 70, so the sides pass). It is sawn
    about 4 mm wider than it will be, some 146 mm; each board of 80 gives 76 once its edges are planed: two give 152."""
    found = box_of("keepsake-box", "box.height=70", "stock.width=80")
    (bottom,) = (row for row in cut_list(found) if row.name == "bottom")
    assert 142 < bottom.rough[1] < 148
    (glued,) = glue_ups(found)
    assert glued.name == "bottom"
    assert glued.boards == 2
    assert glued.sawn_width == pytest.approx(bottom.rough[1] / 2 + 4)
    assert "from 2 boards, each sawn" in glue_ups_told(found)
    assert "stock of 80 mm" in glue_ups_told(found)


@pytest.mark.parametrize("stock", [75, 80, 100, 130])
def test_as_many_boards_as_needed_and_no_more(stock: float) -> None:
    found = box_of("keepsake-box", "box.height=70", f"stock.width={stock}")
    (glued,), spare = glue_ups(found), found.recipe.rough.width
    wanted = rows_of(found)["bottom"].rough[1]
    assert glued.boards * (stock - spare) >= wanted - 1e-6 > (glued.boards - 1) * (stock - spare)
    assert glued.sawn_width <= stock + 1e-6


@pytest.mark.parametrize("overrides", [(), ("stock.width=150",), ("box.groove.width=0",)])
def test_nothing_is_glued_up_where_one_board_does(overrides: tuple[str, ...]) -> None:
    """The preset's stock is 140 mm; its bottom is sawn narrower than 150."""
    found = box_of("keepsake-box", "stock.width=150", *overrides)
    assert glue_ups(found) == ()
    assert glue_ups_told(found) == ""


def test_a_lid_wider_than_the_stock_is_glued_up_beside_the_bottom_by_hand() -> None:
    """A lid of 206 is sawn some 4 wider than it will be. Of stock of 160 it takes two boards, and so does the bottom of
    184; the one without a bottom has the lid alone."""
    found = chest("stock.width=160", text=LIFT_OFF)
    assert [(each.name, each.boards) for each in glue_ups(found)] == [("bottom", 2), ("lid", 2)]
    width = next(row for row in cut_list(found) if row.name == "lid").rough[1]
    assert glue_ups(found)[1].sawn_width == pytest.approx(width / 2 + found.recipe.rough.width)
    bare = chest("stock.width=160", "box.groove.width=0", text=LIFT_OFF)
    assert glue_ups_told(bare).startswith("The lid is wider than stock of 160 mm: glue it up from 2 boards, each sawn")
