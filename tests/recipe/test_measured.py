"""Marks taken off a board that is there already: read, put in order, tried for slips, written as a recipe."""

from __future__ import annotations

import random
import tomllib
from pathlib import Path
from typing import Any

import pytest

from solids.base.errors import FileError, InputError, RecipeError
from solids.base.parsing import parse_length
from solids.recipe.text.measured.marks import Marks
from solids.recipe.text.measured.order import in_order
from solids.recipe.text.measured.reading import marks_in, read_marks
from solids.recipe.text.measured.slips import LEANS_ALIKE, slips
from solids.recipe.text.measured.writing import recipe_from

DRAWER = """\
title,drawer side
units,in
taken from,tails
outer marks at,raw end
proud,1/32
width,4 1/2
tail board,3/8
pin board,1/2
outer,baseline
1 31/32,1 7/8
1/4,11/32
2 3/16,2 9/32
4 7/32,4 1/8
"""
"""Two tails in a tail board of 3/8 in, marked at a raw end that stands 1/32 in proud of a pin board of 1/2 in."""

HEAD = """\
units,mm
taken from,tails
outer marks at,finished face
width,100
tail board,10
pin board,12
"""
FLANKS = ((5, 6.7), (29, 27.2), (33, 34.6), (61, 59.4), (65, 66.8), (95, 93.1))
"""Three tails by hand, whose flanks lean by 7.6 to 9 degrees over a depth of 12 mm."""


def table(*rows: tuple[Any, Any], head: str = HEAD, more: str = "") -> str:
    return "\n".join([f"{head}{more}outer,baseline", *(f"{outer},{base}" for outer, base in rows)])


def tables_of(text: str) -> Any:
    return tomllib.loads(recipe_from(read_marks(text, "marks.csv"))[0])


def in_mm(flank: Any, units: Any = "mm") -> tuple[float, float]:
    face, base = flank if isinstance(flank, list) else (flank, flank)
    return parse_length(face, units), parse_length(base, units)


def problems(text: str) -> str:
    with pytest.raises(RecipeError) as caught:
        in_order(read_marks(text, "marks.csv"))
    return str(caught.value)


def said(text: str) -> list[str]:
    return [str(slip) for slip in slips(in_order(read_marks(text, "marks.csv")))]


# --- one case by hand --------------------------------------------------------------------------------


def test_marks_at_a_raw_end_by_hand() -> None:
    """The finished face lies at 1/2 in and the raw end at 17/32 in, so a flank has gone 16/17 of its way there.

    tail 1 left:  11/32 - 3/32 x 16/17 = 11/32 - 3/34 = 187/544 - 48/544 = 139/544 in
    tail 1 right: 1 7/8 + 3/32 x 16/17 = 15/8 + 3/34 = 255/136 + 12/136 = 267/136 in
    tail 2 left:  2 9/32 - 3/34 = 1241/544 - 48/544 = 1193/544 in
    tail 2 right: 4 1/8 + 3/34 = 561/136 + 12/136 = 573/136 in
    """
    found = tables_of(DRAWER)
    flanks = [in_mm(flank, "in") for flank in found["joint"]["flanks"]]
    faces = [25.4 * inches for inches in (139 / 544, 267 / 136, 1193 / 544, 573 / 136)]
    bases = [25.4 * inches for inches in (11 / 32, 15 / 8, 2 + 9 / 32, 4 + 1 / 8)]
    assert [face for face, _ in flanks] == pytest.approx(faces, abs=2e-5), "six decimals of an inch"
    assert [base for _, base in flanks] == pytest.approx(bases, abs=1e-12), "exact, as 32nds have five decimals"
    assert (found["title"], found["units"], found["joint"]["kind"]) == ("drawer side", "in", "through")
    assert found["joint"]["width"] == 4.5
    assert (found["tail_board"]["thickness"], found["pin_board"]["thickness"]) == (0.375, 0.5)
    assert found["tail_board"]["proud"] == 0.03125
    assert "edges" not in found["joint"]
    assert "wood" not in found["tail_board"], "nobody has told"


def test_the_recipe_says_where_each_flank_comes_from() -> None:
    text, found = recipe_from(read_marks(DRAWER, "marks.csv"))
    assert found == []
    assert "from the marks in marks.csv: tails, marked at their raw end." in text.replace("\n# ", " ")
    assert "[0.255515, 0.34375], # tail 1 left, row 11: 1/4, 11/32\n" in text
    assert text.index("[joint]") < text.index("flanks = [") < text.index("[tail_board]")
    assert "# saw_kerf = " in text, "all other keys stand there as in any starter"


# --- any order, planes and edges ---------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(4))
def test_rows_may_stand_in_any_order(seed: int) -> None:
    shuffled = random.Random(seed).sample(FLANKS, len(FLANKS))
    assert tables_of(table(*shuffled))["joint"]["flanks"] == [list(flank) for flank in FLANKS]


def test_marks_at_the_finished_face_are_written_as_they_are_and_plane_the_ends_as_by_rule() -> None:
    found = tables_of(table(*FLANKS))
    assert found["joint"]["flanks"] == [list(flank) for flank in FLANKS]
    assert "proud" not in found["tail_board"]


def test_pins_have_the_flanks_of_the_tails_that_fit_them() -> None:
    pins = table(*FLANKS, head=HEAD.replace("tails", "pins"))
    assert tables_of(pins)["joint"] == tables_of(table(*FLANKS))["joint"]
    assert "marks.csv: pins, marked at the finished face" in recipe_from(read_marks(pins, "marks.csv"))[0].replace(
        "\n# ", " "
    )


def test_a_lap_makes_it_half_blind_and_less_deep() -> None:
    marks = read_marks(table(*FLANKS, more="lap,4\n"), "marks.csv")
    assert (marks.depth, marks.reach) == (8, 8)
    joint = tables_of(table(*FLANKS, more="lap,4\n"))["joint"]
    assert (joint["kind"], joint["lap"]) == ("half-blind", 4)


HALF = ((21, 19), (25, 27), (61, 59.4), (65, 66.8))
"""What is left to mark where half tails lie at both edges."""


@pytest.mark.parametrize(
    "text",
    [
        table(*HALF, more="reference edge,half tail\nother edge,half tail\n"),
        table(*HALF, (0, 0), (100, 100)),
        table(*HALF, (100, "100 mm"), more="reference edge,half tail\n"),
        table((0, 0), *HALF, more="Reference edge,half tail\nother edge,half tail\n"),
    ],
    ids=["said", "marked", "one of each", "both"],
)
def test_half_tails_are_said_or_marked(text: str) -> None:
    joint = tables_of(text)["joint"]
    assert joint["flanks"] == [0, *([float(x) for x in flank] for flank in HALF), 100]
    assert joint["edges"] == ["half tail", "half tail"]


def test_a_half_tail_at_one_edge_alone() -> None:
    joint = tables_of(table(*HALF[:3], (0, 0)))["joint"]
    assert joint["flanks"][0] == 0
    assert len(joint["flanks"]) == 4
    assert joint["edges"] == ["half tail", "half pin"]


def test_marks_in_inches_may_stand_in_a_table_in_mm_where_all_do() -> None:
    rows = [(f"{outer / 16} in", f"{base / 16} in") for outer, base in ((4, 5), (24, 23), (30, 31), (58, 57))]
    flanks = tables_of(table(*rows))["joint"]["flanks"]
    assert flanks[0] == [6.35, pytest.approx(25.4 * 5 / 16)]


def test_a_text_with_a_mark_for_utf_8_and_ends_of_lines_of_windows(tmp_path: Path) -> None:
    file = tmp_path / "marks.csv"
    file.write_bytes(b"\xef\xbb\xbf" + DRAWER.replace("\n", "\r\n").encode() + b"\r\n,,\r\n")
    assert marks_in(file) == read_marks(DRAWER, "marks.csv")


def test_a_title_comes_from_the_marks_or_else_from_the_file() -> None:
    assert tomllib.loads(recipe_from(read_marks(DRAWER, "m"), "repair")[0])["title"] == "drawer side"
    assert tomllib.loads(recipe_from(read_marks(table(*FLANKS), "m"), "repair")[0])["title"] == "repair"
    assert "title" not in tomllib.loads(recipe_from(read_marks(table(*FLANKS), "m"))[0])


# --- what looks like a slip --------------------------------------------------------------------------


def changed(row: int, flank: tuple[Any, Any]) -> str:
    rows: list[tuple[Any, Any]] = list(FLANKS)
    rows[row] = flank
    return table(*rows)


def test_marks_of_a_steady_hand_and_of_an_unsteady_one_are_no_slips() -> None:
    assert said(table(*FLANKS)) == []
    assert said(table((5, 6), (29, 26), (33, 34), (61, 58), (65, 68), (95, 94))) == [], "4.8 and 14 degrees by turns"
    assert said(table((5, 6), (29, 26))) == [], "of two, neither is odd"


def test_a_flank_that_leans_otherwise_is_named_with_its_row() -> None:
    """atan(4.7 / 12) is 21.4 degrees. The others lean by 8.1, 8.5, 7.6, 8.5 and 9.0; so the median of all is 8.5."""
    (told,) = said(changed(2, (33, 37.7)))
    assert told == "row 10 looks like a slip: the left flank of tail 2 leans by 21.4 degrees, most others by about 8.5"


def test_two_digits_exchanged_are_told_and_not_changed() -> None:
    (told,) = said(changed(3, (61, 54.9)))
    assert told.endswith("; 54.9 may be 59.4")
    assert tables_of(changed(3, (61, 54.9)))["joint"]["flanks"][3] == [61, 54.9]


def test_two_marks_in_each_others_place_are_told() -> None:
    (told,) = said(changed(4, (66.8, 65)))
    assert "the left flank of tail 3 leans the other way, by 8.5 degrees" in told
    assert told.endswith("; its two marks may stand in each other's place")


def test_digits_of_fractions_are_left_alone() -> None:
    (told,) = said(DRAWER.replace("2 3/16,2 9/32", "2 3/16,2 17/32"))
    assert "may be" not in told


def test_one_tail_that_holds_nothing_is_a_slip_or_a_bad_joint() -> None:
    """atan(0.7 / 12) is 3.3 degrees and atan(-0.05 / 12) is -0.2 degrees, so under 4 degrees apart."""
    assert LEANS_ALIKE == 4
    (told,) = said(table((5, 5.7), (29, 28.3), (33, 32.95), (61, 61.05), (65, 65.7), (95, 94.3)))
    assert told.startswith("row 11 looks like a slip: the right flank of tail 2 makes its tail narrower")


def test_a_slip_stands_beside_its_flank_in_the_recipe() -> None:
    text, (slip,) = recipe_from(read_marks(changed(2, (33, 37.7)), "marks.csv"))
    (line,) = [line for line in text.splitlines() if "looks like a slip" in line]
    assert line.strip().startswith("[33, 37.7], # tail 2 left, row 10: 33, 37.7; looks like a slip: it leans")
    assert slip.why in line


# --- what cannot be ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            changed(5, (104, 93.1)),
            "marks.csv, row 13: the outer mark, 104 mm, lies beyond the width, 100 mm; "
            "measure it again from the reference edge",
        ),
        (changed(5, (95, "101 mm")), "row 13: the baseline mark, 101 mm, lies beyond the width"),
        (changed(5, FLANKS[0]), "rows 8 and 13: both are one flank"),
        (
            table(*FLANKS[:2], *FLANKS[3:]),
            "there are 5 flanks, an odd number; rows 9 and 10 lean the same way, one after the other: is a flank "
            "between them missing?",
        ),
        (table(*FLANKS[:-1]), "there are 5 flanks, an odd number; each tail has two; where a half tail lies at an"),
        (
            changed(2, (33, 26)),
            "row 9 and row 10: the right flank of tail 1 and the left flank of tail 2 cross at the baseline; at least "
            "0.05 mm of wood lies between two flanks",
        ),
        (
            table((5, 6), (30, 28), (30, 31), (95, 94)),
            "row 9 and row 10: the right flank of tail 1 and the left flank of tail 2 meet at the finished face",
        ),
        (table((0, 2), (29, 27)), "row 8: the reference edge and the left flank of tail 1 meet at the finished face"),
        (
            table(*((base, outer) for outer, base in FLANKS)),
            "no tail would be wider at the finished face than at the baseline, so nothing would hold; each row has the "
            "outer mark first",
        ),
        (table(*FLANKS[1:-1]), "no tail would be wider at the finished face"),
        (table((0, 0), (100, 100)), "no tail would be wider"),
        (
            table((0, 0), *FLANKS[1:], more="reference edge,half pin\n"),
            "row 9: it is the flush edge of a half tail, but reference edge says half pin",
        ),
        (table((0, 0)), "there are 1 flanks, an odd number"),
    ],
)
def test_what_no_joint_can_be_is_refused_by_row_and_flank(text: str, told: str) -> None:
    assert told in problems(text)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            changed(2, ("33", "1 3/8 in")),
            "marks.csv, marks: some are in mm (rows 8, 9, 10, 11, 12, 13), some in inches (row 10); a plain number is "
            "in mm; write all marks in one unit",
        ),
        (HEAD.replace("units,mm", "units,cm") + "outer,baseline\n1,2\n", "marks.csv, units: 'cm' is not known here"),
        (table(*FLANKS, head=HEAD.replace("units,mm\n", "")), 'units is missing; write "units,mm" or "units,in"'),
        (table(*FLANKS, head=HEAD.replace("width,", "with,")), "row 4: 'with' is not known; the nearest is width. T"),
        (table(*FLANKS, more="width,90\n"), "row 7: width is there twice; leave one out"),
        (table(*FLANKS, more="lap,4,5\n"), 'row 7: lap has 2 values; write one, as in "lap,VALUE"; decimals stand'),
        (table(*FLANKS, more="lap\n"), "row 7: lap has 0 values"),
        (table(*FLANKS, more="lap,12\n"), "marks.csv, lap: it leaves no depth in the pin board"),
        (table(*FLANKS, more="proud,1\n"), 'proud: it has no effect at the "finished face"; leave it out, or write'),
        (table(*FLANKS, head=HEAD.replace("finished face", "raw end")), "proud is missing: how far the raw end"),
        (
            table(*FLANKS, head=HEAD.replace("finished face", "raw end").replace("tails", "pins")),
            "the flanks of pins run square to their raw end, so it gives nothing to measure by; mark them at the show",
        ),
        (
            table(*FLANKS, head=HEAD.replace("finished face", "raw end"), more="lap,4\n"),
            "behind a lap no end of a tail stands proud",
        ),
        (changed(0, (5, "")), "row 8: it has 1 cells; a row has two"),
        (changed(0, ("5", "6,7")), "row 8: it has 3 cells; a row has two"),
        (changed(0, ('"5,2"', 6)), "row 8: '5,2' has a comma; write the decimals after a point"),
        (changed(0, (-5, 6)), "row 8: -5 mm is under the least; it takes from 0 mm to"),
        (changed(0, ("five", 6)), "row 8: 'five' is not a length"),
        (table(), "marks.csv: there are 0 rows of marks; accepted are the flanks of up to 100 tails"),
        (table(*[(1, 2)] * 201), "there are 201 rows of marks"),
    ],
)
def test_what_cannot_be_read_is_told_by_row_or_key(text: str, told: str) -> None:
    assert told in problems(text)


def test_all_that_is_wrong_is_told_at_once() -> None:
    told = problems(table(("x", 1), (2, "y"), head=HEAD.replace("width,", "wide,")))
    assert [line.split(":")[0] for line in told.splitlines()] == [
        "marks.csv, row 4",
        "marks.csv",
        "marks.csv, row 8",
        "marks.csv, row 9",
    ]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (HEAD, "has no line outer,baseline"),
        ("units;mm\nouter;baseline\n", "row 1: semicolons stand between the cells; save it with commas"),
        ('units,"mm', "line 1: not CSV"),
        ("", "has no line outer,baseline"),
    ],
)
def test_what_is_no_table_of_marks(text: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        read_marks(text, "marks.csv")


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(FileError, match=r"marks.csv does not exist; give a table of marks \(CSV\)"):
        marks_in(tmp_path / "marks.csv")
    with pytest.raises(FileError, match="is a folder, not a table of marks; give the CSV file in it"):
        marks_in(tmp_path)
    (tmp_path / "latin.csv").write_bytes(b"title,K\xe4stchen\n")
    with pytest.raises(FileError, match="line 1: not UTF-8 text; save the table of marks as UTF-8"):
        marks_in(tmp_path / "latin.csv")


def test_any_text_is_read_or_refused() -> None:
    """Random cells where keys, heads and marks stand."""
    draw = random.Random(7)
    words = [
        "units",
        "mm",
        "in",
        "proud",
        "0",
        "1/0",
        "-1",
        "1e400",
        "9" * 300,
        "1e-400",
        "\x1b[2J",
        "=1",
        "",
        "half tail",
    ]
    good = [line.split(",") for line in table(*FLANKS).splitlines()]
    kinds = set()
    for _ in range(400):
        lines = [[draw.choice(words) if draw.random() < 0.06 else cell for cell in line] for line in good]
        try:
            text, _ = recipe_from(read_marks("\n".join(map(",".join, lines)), "marks.csv"))
            tomllib.loads(text)
            kinds.add("read")
        except InputError as err:
            kinds.add(type(err).__name__)
    assert kinds == {"read", "RecipeError", "InputError"}


def test_marks_keep_all_that_was_told() -> None:
    marks: Marks = read_marks(DRAWER, "marks.csv")
    assert (marks.board, marks.proud, marks.edges) == ("tails", pytest.approx(25.4 / 32), (None, None))
    assert [mark.row for mark in marks.marks] == [10, 11, 12, 13]
    assert marks.marks[1].typed == ("1/4", "11/32")
