"""Layouts side by side: every combination in order, the same figures as by themselves, and refusals with a reason."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solids.base.errors import FileError, InputError, RecipeError
from solids.base.messages import Units
from solids.bench.assumed import assumed_note, wood_figures
from solids.bench.comparing import (
    MOST_CHOICES,
    NOTES,
    Candidate,
    as_it_is,
    compare,
    compare_heads,
    compare_notes,
    compare_tables,
    compare_words,
    counts_in,
    figures_of,
    row_in,
    slopes_in,
)
from solids.bench.hand_error import Flanks, hand_work, share_right
from solids.bench.remarks import remarks
from solids.bench.settings import bench_of
from solids.bench.strength import screening
from solids.bench.worktime import piece_minutes
from solids.layout import lay_out
from solids.layout.assembly import assembly_of
from solids.layout.plan import plan
from solids.recipe import read_recipe
from tests.recipes import HALF_BLIND, MINIMAL, WHOLE, laid_out

TRAY = "tool-tray"


def cells(candidate: Candidate, units: Units = "mm") -> dict[str, str]:
    ((_, (row,)),) = compare_tables([candidate])
    return dict(zip(compare_heads(units), row, strict=True))


# --- which layouts -----------------------------------------------------------------------------------


def test_rows_go_through_the_tails_for_one_slope_after_the_other() -> None:
    found = compare(TRAY, [], [5, 3, 4], ["1:8", "1:6"])
    assert [(c.tails, c.slope) for c in found] == [
        (5, "1:8"),
        (3, "1:8"),
        (4, "1:8"),
        (5, "1:6"),
        (3, "1:6"),
        (4, "1:6"),
    ]
    assert [(len(c.layout.tails), c.layout.flanks[0].ratio) for c in found] == [
        (5, 8),
        (3, 8),
        (4, 8),
        (5, 6),
        (3, 6),
        (4, 6),
    ]


def test_an_empty_list_keeps_what_the_recipe_says() -> None:
    (own,) = compare(TRAY, [], [], [])
    assert (own.tails, own.slope, own.refusal) == (None, None, "")
    assert own.layout == lay_out(read_recipe(TRAY))
    by_slope = compare(TRAY, [], [], ["1:5", "1:9"])
    assert [(len(c.layout.tails), c.layout.flanks[0].ratio) for c in by_slope] == [(4, 5), (4, 9)]
    by_tails = compare(TRAY, [], [2, 3], [])
    assert [(len(c.layout.tails), c.layout.flanks[0].ratio) for c in by_tails] == [(2, 7), (3, 7)]


def test_what_is_tried_goes_before_what_is_overridden() -> None:
    (tried,) = compare(TRAY, ["joint.tails=2", "joint.pin=4"], [3], [])
    assert len(tried.layout.tails) == 3
    assert tried.layout.recipe.pin == 4


def test_a_slope_in_degrees_may_be_tried() -> None:
    """1:7 is atan(1/7) = 8.130 degrees."""
    (tried,) = compare(TRAY, [], [], ["8.130102 deg"])
    assert tried.layout.flanks[0].ratio == pytest.approx(7, abs=1e-5)


def test_a_file_does_as_well_as_a_preset(tmp_path: Path) -> None:
    path = tmp_path / "tray.toml"
    path.write_text(WHOLE, "utf-8")
    (found,) = compare(str(path), [], [3], ["1:6"])
    assert found.layout == laid_out("joint.tails=3", "joint.slope=1:6", text=WHOLE)


def test_a_recipe_that_cannot_be_read_at_all_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="does not exist"):
        compare(str(tmp_path / "none.toml"), [], [3], [])
    with pytest.raises(InputError, match="neither a recipe file nor a preset"):
        compare("tool-try", [], [3], [])
    with pytest.raises(RecipeError, match="joint\\.pins: is not a key"):
        compare(TRAY, ["joint.pins=3"], [3], [])


# --- what each means ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("overrides", [(), HALF_BLIND, ("kit.chisels=[3, 10]", "fit.flank_gap=0.02")])
def test_figures_are_those_of_the_layout_made_by_itself(overrides: tuple[str, ...]) -> None:
    for candidate in compare(TRAY, overrides, [2, 4], ["1:6", "1:8"]):
        layout = lay_out(
            read_recipe(TRAY, [*overrides, f"joint.tails={candidate.tails}", f"joint.slope={candidate.slope}"])
        )
        assert candidate.layout == layout
        figures = candidate.figures
        assert figures == figures_of(layout)
        assert figures.strength == screening(layout)
        assert figures.hand == hand_work(layout)
        assert figures.over_woods == wood_figures(layout)
        assert figures.time == piece_minutes([layout])
        assert figures.warnings == tuple(finding.code for finding in remarks(layout))


def test_the_widest_chisels_are_the_least_of_each_board() -> None:
    """Between tails p + 2 (d - 3)/N = 3 + 18/7; in sockets w - 2 d/N = 18.75 - 24/7 from the inside face."""
    (own,) = compare(TRAY, [], [], [])
    assert own.figures.widest_between_tails == pytest.approx(3 + 18 / 7, rel=1e-12)
    assert own.figures.widest_in_sockets == pytest.approx(18.75 - 24 / 7, rel=1e-12)
    assert cells(own)["chisel mm"] == "5.57"


def test_the_narrowest_of_several_sockets_counts() -> None:
    """Tails of 12 and 18 mm, pin board 18 mm thick, 1:8: 12 - 36/8 = 7.5 mm at the inside face."""
    (own,) = compare("gauge-case", [], [], [])
    assert own.figures.widest_in_sockets == pytest.approx(7.5, rel=1e-9)
    assert cells(own)["tail mm"] == "12"


def test_one_tail_has_nothing_between_tails() -> None:
    (one,) = compare(TRAY, [], [1], [])
    assert one.figures.widest_between_tails is None
    assert one.figures.widest_in_sockets == pytest.approx(84 - 24 / 7, rel=1e-12)
    assert cells(one)["chisel mm"] == "80.57"


def test_own_chisels_that_go_into_every_socket_are_named() -> None:
    """At the edges any blade goes; between tails 5.57, half-way 17.04 and at the inside face 15.32 mm at most."""
    found = {kit: compare(TRAY, [f"kit.chisels={kit}"], [], [])[0] for kit in ("[30, 16]", "[5.6]", "[10, 5.5, 3]")}
    assert [c.figures.own_chisels for c in found.values()] == [(), (), (3, 5.5)]
    assert [cells(c)["chisel mm"] for c in found.values()] == ["none", "none", "3, 5.5"]
    (no_kit,) = compare(TRAY, [], [], [])
    assert no_kit.figures.own_chisels == ()


def test_own_chisels_exactly_as_wide_as_the_gap_go_in() -> None:
    """Between tails 2 + 2 x (15 - 3)/6 = 6 mm; the sockets, of 58/3 - 30/6 = 14.3 mm at least, are wider."""
    joint = ["joint.width=80", "joint.pin=2", "joint.half_pin=9", "pin_board.thickness=15"]
    (own,) = compare(TRAY, [*joint, "kit.chisels=[6.001, 6, 3]"], [3], ["1:6"])
    assert own.figures.widest_between_tails == pytest.approx(6, rel=1e-12)
    assert own.figures.own_chisels == (3, 6)
    assert cells(own)["chisel mm"] == "3, 6"
    assert "chisel" not in own.figures.warnings


def test_a_row_tells_the_figures_in_millimetres_and_kilonewtons() -> None:
    """Glue area 2 x 4 x 10 x 12 s = 960 sqrt(50)/7 mm2 = 9.70 cm2; the maple pins shear at 2330 psi = 16.06 MPa along
    the grain (Wood Handbook, FPL-GTR-282, Table 5-3b) and roll at 0.18 to 1/3 of that, so 2.8 to 5.2 kN. Racked, 8
    flanks of L = 12 s by 10 mm hold 8 f L t sqrt(L^2 + t^2)/6, with f 0.18 to 1/3 of the cherry's 11.72 MPa."""
    (own,) = compare(TRAY, [], [], [])
    row = cells(own)
    area = 960 * math.sqrt(50) / 7
    assert (row["tails"], row["slope"], row["tail mm"]) == ("4", "1:7", "18.75")
    assert row["glue cm2"] == f"{area / 100:.2f}" == "9.70"
    assert row["glued kN"] == f"{area * 16.06 * 0.18 / 1000:.2g}-{area * 16.06 / 3 / 1000:.2g}" == "2.8-5.2"
    long = 12 * math.sqrt(50) / 7
    racked = [8 * share * 11.72 * long * 10 * math.hypot(long, 10) / 6 / 1000 for share in (0.18, 1 / 3)]
    assert row["rack N m"] == "-".join(f"{moment:.2g}" for moment in racked) == "5.4-9.9"
    assert row["dry kN"] == f"{own.figures.strength.dry[0].least / 1000:.2g}"
    assert own.figures.strength.dry[0].name.startswith(row["dry, at"])
    assert row["min"] == f"{own.figures.time.least:.0f}-{own.figures.time.most:.0f}"
    assert row["right %"] == f"{100 * own.figures.hand.right:.0f}"
    assert row["pared %"] == f"{100 * own.figures.hand.pared:.0f}"


def test_a_row_of_an_inch_recipe_tells_inches_and_pounds() -> None:
    """3 tails of 3/8 in stock at 1:7: 2 x 3 x 9/64 x sqrt(50)/7 = 0.85 sq in, of walnut at 1370 psi (Wood Handbook,
    FPL-GTR-282, Table 5-3b), which rolls at 0.18 to 1/3 of that: 210 to 388 lbf. Tails of
    (3 1/2 - 1/2 - 1/4)/3 = 11/12 in."""
    (own,) = compare("tea-box", [], [], [])
    row = cells(own, "in")
    area = 6 * (3 / 8) ** 2 * math.sqrt(50) / 7
    assert row["glue sq in"] == f"{area:.2f}" == "0.85"
    assert row["glued lbf"] == f"{round(area * 1370 * 0.18, -1):g}-{round(area * 1370 / 3, -1):g}" == "210-390"
    long = 3 / 8 * math.sqrt(50) / 7
    racked = [6 * share * 1370 * long * 3 / 8 * math.hypot(long, 3 / 8) / 6 for share in (0.18, 1 / 3)]
    assert row["rack lbf in"] == "-".join(f"{moment:.0f}" for moment in racked)
    assert row["tail in"] == "0.917"
    assert not any("mm" in cell for cell in row.values())


def test_heads_name_the_units_of_the_recipe() -> None:
    metric, inch = compare_heads("mm"), compare_heads("in")
    assert len(metric) == len(inch) == len(set(metric)) == len(set(inch))
    assert {"tail mm", "glue cm2", "glued kN", "dry kN", "rack N m", "chisel mm"} == set(metric) - set(inch)
    assert {"tail in", "glue sq in", "glued lbf", "dry lbf", "rack lbf in", "chisel in"} == set(inch) - set(metric)
    for units, heads in (("mm", metric), ("in", inch)):
        words = compare_words(units)
        assert len(set(words)) == len(heads)
        assert [f"({part.split(' ', 1)[1]})" in said for part, said in zip(heads[2:6], words[2:6], strict=True)] == [
            True
        ] * 4


def test_a_row_can_be_told_in_other_units() -> None:
    """1 kN is 224.8 lbf (NIST SP 811, B.8), 1 in is 25.4 mm."""
    (own,) = compare(TRAY, [], [], [])
    metric, inch = (dict(zip(compare_heads(units), row_in(own, units), strict=True)) for units in ("mm", "in"))
    assert metric == cells(own)
    assert float(inch["tail in"]) == pytest.approx(float(metric["tail mm"]) / 25.4, abs=0.005)
    assert float(inch["dry lbf"]) == pytest.approx(224.8 * float(metric["dry kN"]), rel=0.05)
    refused = Candidate("", None, 3, None, None, None, "no")
    assert set(row_in(refused, "mm")) == {""}
    assert len(row_in(refused, "mm")) == len(metric)


def test_each_kind_of_corner_of_a_piece_as_it_is() -> None:
    box = assembly_of(plan("desk-drawer"))
    assert [own.corner for own in as_it_is(box)] == [kind.title for kind in box.kinds]
    assert list(as_it_is(box)) == compare("desk-drawer", [], [], [])


def test_a_wood_of_unknown_strength_leaves_its_cells_empty() -> None:
    own = '{name="pear", kind="hardwood", density=690}'
    row = cells(compare(TRAY, [f"tail_board.wood={own}"], [], [])[0])
    assert (row["glued kN"], row["dry kN"], row["dry, at"]) == ("", "", "")
    assert row["glue cm2"] == "9.70"


def test_what_to_watch_stands_under_the_table() -> None:
    """A chisel of 30 mm fits no socket; 1:4 is steeper than 1:5."""
    found = compare(TRAY, ["kit.chisels=[30]"], [3], ["1:4", "1:7"])
    assert compare_notes(found) == [
        "3 tails, slope 1:4: see its warnings about slope, chisel",
        "3 tails, slope 1:7: see its warnings about chisel",
    ]
    assert compare_notes(compare(TRAY, [], [3], ["1:7"])) == []


@pytest.mark.parametrize(
    ("tails", "slopes", "what"),
    [
        ([3], ["1:4"], "3 tails, slope 1:4"),
        ([1], ["1:4"], "1 tail, slope 1:4"),
        ([3], [], "3 tails"),
        ([], ["1:4"], "slope 1:4"),
        ([], [], "the recipe as it is"),
    ],
)
def test_notes_name_only_what_was_asked_for(tails: list[int], slopes: list[str], what: str) -> None:
    found = compare(TRAY, ["joint.slope=1:4", "joint.width=50", "joint.tails=3"], tails, slopes)
    assert compare_notes(found) == [f"{what}: see its warnings about slope"]
    (refused,) = compare(TRAY, ["joint.slope=1:4", "joint.half_pin=1"], tails, slopes)
    assert compare_notes([refused]) == [f"{what}: refused. {refused.refusal}"]


def test_a_layout_that_no_hand_can_cut_is_said_to_fail() -> None:
    """Four tails of (50 - 12 - 9)/4 = 7.25 mm at 1:4, 12 mm deep, have necks of 1.25 mm."""
    found = compare(TRAY, ["joint.width=50"], [], ["1:4"])
    assert compare_notes(found) == [
        "slope 1:4: fails. The neck of tail 1 is 1.25 mm (0.049 in) wide, under 1.5 mm (0.059 in): no chisel goes into "
        "the socket for it. No hand can cut that.",
        "slope 1:4: see its warnings about slope",
    ]


def test_the_notes_on_the_columns_name_every_column_that_needs_one_and_forbid_design() -> None:
    for word in ("tail:", "glue:", "glued, dry:", "rack:", "right:", "pared:", "chisel:", "min:"):
        assert word in NOTES
    assert "never to design with" in NOTES


# --- woods that nobody named -------------------------------------------------------------------------------


def test_where_no_wood_is_named_the_figures_are_ranges_over_common_woods(tmp_path: Path) -> None:
    """Glue area 960 sqrt(65)/8 mm2. Of the common woods white pine shears at least, 6.21 MPa, and maple at most, 16.06
    (Wood Handbook, FPL-GTR-282, Table 5-3b); across the grain they roll at 0.18 to 1/3 of that. The softest forgives
    0.1 mm of tightness and the others 0.05."""
    bare = tmp_path / "bare.toml"
    bare.write_text(MINIMAL)
    found = compare(str(bare), [], [4, 3], ["1:8"])
    row, area = cells(found[0]), 960 * math.sqrt(65) / 8
    assert row["glued kN"] == f"{area * 6.21 * 0.18 / 1000:.2g}-{area * 16.06 / 3 / 1000:.2g}" == "1.1-5.2"
    shares = [100 * share_right(Flanks((0.0,) * 8, (0, 7)), 0.0, 0.05, limit) for limit in (0.05, 0.1)]
    assert row["right %"] == "-".join(f"{share:.0f}" for share in shares)
    assert row["min"] == f"{found[0].figures.time.least:.0f}-{found[0].figures.time.most:.0f}"
    assert compare_notes(found) == [
        "No wood was named: glued, dry, rack, right and pared are told over 9 common woods, from white pine to beech; "
        "min is for beech."
    ]
    assert "1.1 to 5.2 kN" in assumed_note(found[0].layout).said


# --- refusals ------------------------------------------------------------------------------------------


def test_a_refusal_says_why_and_does_not_stop_the_others() -> None:
    """49 pins of 3 mm and two half pins of 6 mm take 159 of 96 mm."""
    first, refused, last = compare(TRAY, [], [3, 50, 4], [])
    assert (refused.layout, refused.figures) == (None, None)
    pins = "pins of 3 mm (joint.pin) and half pins of 6 mm (joint.half_pin)"
    assert refused.refusal.startswith(f"joint.width: 96 mm leaves nothing for 50 tails once {pins} take 159 mm; ")
    assert (len(first.layout.tails), len(last.layout.tails)) == (3, 4)
    assert [c.refusal for c in (first, last)] == ["", ""]


@pytest.mark.parametrize("slope", ["abc", "1:1", "1:31", "7", '1:7"', "1:7; joint.tails=1", "95 deg"])
def test_a_slope_that_is_none_is_refused_in_its_row(slope: str) -> None:
    refused, good = compare(TRAY, [], [], [slope, "1:6"])
    assert refused.refusal.startswith("joint.slope: ")
    assert good.refusal == ""
    assert cells(refused)["slope"] == slope


def test_a_list_of_tail_widths_takes_no_other_number_of_tails() -> None:
    three, four, five = compare("gauge-case", [], [3, 4, 5], [])
    for refused in (three, five):
        assert "do not agree with a list of 4" in refused.refusal
    assert (four.refusal, len(four.layout.tails)) == ("", 4)


def test_a_recipe_whose_own_layout_is_refused_may_still_be_compared() -> None:
    """Its half pins are too thin by themselves; the table says so instead of stopping."""
    (own,) = compare(TRAY, ["joint.half_pin=1"], [], [])
    assert own.refusal.startswith("joint.half_pin: 1 mm is under 5 mm")
    own_width, fewer = compare(TRAY, ["joint.tails=50"], [50, 4], [])
    assert own_width.refusal
    assert not fewer.refusal


def test_a_refused_row_names_what_was_tried_and_the_notes_say_why() -> None:
    found = compare(TRAY, [], [4, 50], ["1:6"])
    ((_, (good, row)),) = compare_tables(found)
    assert len(row) == len(good) == len(compare_heads("mm"))
    assert row[:3] == ("50", "1:6", "-")
    assert set(row[3:]) == {""}
    assert compare_notes(found) == [f"50 tails, slope 1:6: refused. {found[1].refusal}"]


def test_no_tails_at_all_are_refused_under_the_number_asked_for() -> None:
    (refused,) = compare(TRAY, [], [0], [])
    assert refused.refusal.startswith("joint.tails: 0 is under the limit")
    assert cells(refused)["tails"] == "0"
    assert compare_notes([refused])[-1].startswith("0 tails: refused. ")


# --- what to compare ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "counts"),
    [("", []), ("3", [3]), ("3,4,5", [3, 4, 5]), (" 3 , 4 ", [3, 4]), ("5,3,5", [5, 3, 5]), ("1,100", [1, 100])],
)
def test_numbers_of_tails_are_read_in_order(text: str, counts: list[int]) -> None:
    assert counts_in(text) == counts


BAD_COUNTS = ["three", "3;4", "3 4", "-3", "+3", "3.0", "1e1", "0x3", "\N{ARABIC-INDIC DIGIT THREE}"]
BAD_COUNTS += ["\N{SUPERSCRIPT TWO}", "3,x", "3-5", "3_0", "0", "3,0", "101", "1000", "03", "3,004", "-0", "9" * 5000]


@pytest.mark.parametrize("text", BAD_COUNTS)
def test_what_is_no_whole_number_of_tails_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(InputError) as caught:
        counts_in(text)
    assert str(caught.value) == (
        f"--tails {text[:60]!r} is not a list of whole numbers from 1 to 100; write it as in --tails 3,4,5"
    )


@pytest.mark.parametrize("text", [",", "3,,4", "3,4,", ",3", " ", "3, ,4", "," * 5000])
@pytest.mark.parametrize(("read", "option"), [(counts_in, "--tails"), (slopes_in, "--slope")])
def test_an_empty_place_in_a_list_is_refused_under_the_option(read, option: str, text: str) -> None:
    with pytest.raises(InputError) as caught:
        read(text)
    assert str(caught.value).startswith(f"{option} {text[:60]!r} has an empty place; write it as in {option} ")
    assert len(str(caught.value)) < 160


def test_a_very_long_list_is_cut_short_in_the_message() -> None:
    with pytest.raises(InputError) as caught:
        counts_in("x" * 5000)
    assert len(str(caught.value)) < 160


@pytest.mark.parametrize(("read", "option"), [(counts_in, "--tails"), (slopes_in, "--slope")])
def test_more_choices_than_a_table_holds_are_refused(read, option: str) -> None:
    assert len(read(",".join(["7"] * MOST_CHOICES))) == MOST_CHOICES == 20
    with pytest.raises(InputError, match=f"^{option} has 21 choices, more than fit a table; give at most 20$"):
        read(",".join(["7"] * 21))


def test_slopes_are_kept_as_they_are_written() -> None:
    assert slopes_in("1:6, 1:7 ,8 deg") == ["1:6", "1:7", "8 deg"]
    assert slopes_in("") == []


@given(st.lists(st.integers(1, 100), max_size=20))
def test_any_list_of_numbers_reads_back(counts: list[int]) -> None:
    assert counts_in(",".join(str(count) for count in counts)) == counts


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=30) | st.text("0123456789, +", max_size=8))
def test_any_text_is_read_or_refused_with_a_message(text: str) -> None:
    """What is read is what was written, place for place."""
    try:
        counts = counts_in(text)
    except InputError as err:
        assert str(err).startswith("--tails ")
        return
    assert all(1 <= count <= 100 for count in counts)
    assert [str(count) for count in counts] == [part.strip() for part in text.split(",") if text]


@settings(max_examples=30, deadline=None)
@given(st.lists(st.integers(1, 60), min_size=1, max_size=4), st.lists(st.integers(1, 40), min_size=1, max_size=3))
@pytest.mark.whole
def test_every_combination_is_a_layout_or_a_reason(counts: list[int], ratios: list[int]) -> None:
    found = compare(TRAY, [], counts, [f"1:{n}" for n in ratios])
    assert len(found) == len(counts) * len(ratios)
    for candidate in found:
        assert (candidate.layout is None) == (candidate.figures is None) == bool(candidate.refusal)
        if candidate.layout:
            assert len(candidate.layout.tails) == candidate.tails
            assert bench_of(candidate.layout).bevel_deg == pytest.approx(
                math.degrees(math.atan(1 / int(candidate.slope[2:])))
            )
    assert {len(row) for _, rows in compare_tables(found) for row in rows} == {len(compare_heads("mm"))}
