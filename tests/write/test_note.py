"""The note for hand, printer and CNC: all cautions, the numbers of the joint, and plain English."""

from __future__ import annotations

import math
import re
from pathlib import Path

import numpy as np
import pytest
import textstat
from markdown_it import MarkdownIt

from solids.base.cautions import CAUTIONS
from solids.base.errors import ReadBackError
from solids.base.lengths import CALIPER, MOST, format_both
from solids.bench.facts import wood_facts
from solids.bench.milling import ALLOWANCE, CUTTERS, LONGEST_REACH, corner_remainder
from solids.bench.procedure import order_of_work
from solids.layout.plan import plan
from solids.write.drafting.layers import layer_name
from solids.write.drafting.outlines import machine_items
from solids.write.files.job import JointJob
from solids.write.files.table import files_of, prove_layout
from solids.write.notes import markdown, note
from tests.corners import CASES, PRESETS, case, job_of, made, titled

PLAIN_ENGLISH = 60.0
"""Flesch reading ease: from 60 up is plain English (R. Flesch, "A new readability yardstick", 1948, his own table)."""

TOPICS = ("edge tools", "router", "cnc", "dust", "noise", "eyes", "clamps", "not guards")
"""What every note must warn of, and whom it defers to (the design's list)."""
DEFERS = ("manual of your machine", "safety rules of the place where you work", "someone who is trained")


def text_of(job: JointJob) -> str:
    boards = job.job.boards.values()
    return note.note_bytes(job.layout, job.proof, boards, [("corner.step", "both boards")]).decode("utf-8")


def flat(job: JointJob) -> str:
    """The note with all line breaks taken out."""
    return " ".join(text_of(job).split())


def prose(text: str) -> str:
    """Paragraphs and list items, without markup; each number one word, since a decimal point ends no sentence."""
    blocks = [block for block in text.split("\n\n") if not block.startswith(("#", "|", "    "))]
    plain = re.sub(r"^(- |\d+\. )|\*\*|`", "", "\n\n".join(blocks), flags=re.M)
    return re.sub(r"\.(stl|step|md)", " file", re.sub(r"\d+(\.\d+)?", "ten", plain))


# --- cautions ------------------------------------------------------------------------------------


@pytest.mark.parametrize("preset", PRESETS)
def test_every_caution_is_in_the_note_of_every_preset(preset: str) -> None:
    text = flat(job_of(preset))
    for caution in CAUTIONS:
        assert f"**{caution.topic}.** {caution.text}" in text
    cautions = text.split("## Cautions")[1].lower()
    assert [topic for topic in TOPICS if topic not in cautions] == []
    assert [words for words in DEFERS if words not in cautions] == []


@pytest.mark.parametrize("gone", range(len(CAUTIONS)))
def test_reading_back_finds_a_missing_caution(tmp_path: Path, gone: int) -> None:
    path = tmp_path / "note.md"
    path.write_text(text_of(job_of()), "utf-8")
    markdown.reread(path)
    topic, first_words = CAUTIONS[gone].topic, CAUTIONS[gone].text.split()[0]
    path.write_text(text_of(job_of()).replace(f"**{topic}.** {first_words}", f"**{topic}.**"), "utf-8")
    with pytest.raises(ReadBackError, match=re.escape(topic)):
        markdown.reread(path)


# --- this joint's numbers --------------------------------------------------------------------------


@pytest.mark.parametrize("name", CASES)
def test_the_tail_board_has_two_sharp_corners_for_each_tail(name: str) -> None:
    job = case(name)
    layout = job.layout
    angle = 90 - math.degrees(math.atan(1 / layout.flanks[0].ratio))
    assert f"This board has {2 * len(layout.tails)} such corners" in flat(job)
    assert f"its corners there are sharp, {angle:.1f} degrees inside" in flat(job)


@pytest.mark.parametrize("name", CASES)
def test_a_half_blind_pin_board_has_two_sharp_corners_at_the_lap_for_each_tail_and_a_through_one_has_none(
    name: str,
) -> None:
    job = case(name)
    through = "it leaves no round corners in this board, none at all" in flat(job)
    at_the_lap = re.search(r"this board has (\d+) sharp corners, two at the lap of each socket", flat(job))
    assert through is not job.layout.is_half_blind
    assert (at_the_lap and int(at_the_lap[1])) == (2 * len(job.layout.tails) if job.layout.is_half_blind else None)


@pytest.mark.parametrize("name", [name for name in CASES if name != "one tail"])
def test_the_cutter_passes_the_gap_at_the_raw_end_which_is_narrower_than_what_shows(name: str) -> None:
    job = case(name)
    recipe = job.layout.recipe
    gap = recipe.pin - 2 * recipe.tail_board.proud / recipe.slope_ratio
    text = flat(job)
    assert f"the gap between the tails at the raw end, which is {format_both(gap, recipe.units, MOST)}." in text
    shown = f"That is less than the {format_both(recipe.pin, recipe.units)} that shows on the finished face"
    assert (shown in text) == ("That is less than" in text) == (recipe.tail_board.proud > 0)
    passing = {size: d for size, d in CUTTERS.items() if d + 2 * ALLOWANCE <= gap}
    reaching = {size: d for size, d in passing.items() if recipe.tail_board.thickness / d <= LONGEST_REACH}
    if not passing:
        assert "None of the usual cutters passes the tail board's openings with wood left on both lines." in text
    elif not reaching:
        assert "Those of the usual cutters that pass the tail board's openings are too thin" in text
    else:
        assert f"with wood left on both lines is {max(reaching, key=reaching.get)}." in text


def test_with_one_tail_there_is_no_gap_to_pass() -> None:
    assert "With one tail, both sockets are open at the edge" in flat(case("one tail"))


def corner_of(data: bytes) -> tuple[float, float, float, float]:
    """Of an STL file: the least X, the least and the greatest Y, and the greatest Z."""
    points = np.frombuffer(data[84:], dtype=np.dtype("<3f4, <(3,3)f4, <u2"))["f1"].reshape(-1, 3)
    (x, low, _), (_, high, z) = points.min(axis=0), points.max(axis=0)
    return float(x), float(low), float(high), float(z)


@pytest.mark.parametrize("name", CASES)
def test_each_model_lies_with_its_zero_where_the_note_sets_it(name: str) -> None:
    """Flat: X from the raw end on the left, the reference edge away, zero on the upper face. Upright: X along the end,
    Y away from you from the inside face, zero on the raw end."""
    job = case(name)
    text = flat(job)
    for words in (
        "Put the raw end to the left. `boards/tail-board.step`, `.stl`, `.dxf` and `.svg` lie like this.",
        "Set zero there, at the corner of the reference edge and the raw end, on the upper face.",
        "Set zero at the corner of the reference edge and the inside face, on the raw end.",
        "`boards/pin-board.step`, `.stl`, `.dxf` and `.svg` stand like this. The reference edge is on the left, and X",
        "Nothing has to be turned or moved.",
    ):
        assert words in text
    x, low, high, z = corner_of(made(job, "boards/tail-board.stl"))
    assert (x, high, z) == pytest.approx((0, 0, 0), abs=1e-4)
    assert low == pytest.approx(-job.layout.width, abs=1e-4)
    x, low, high, z = corner_of(made(job, "boards/pin-board.stl"))
    assert (x, low, z) == pytest.approx((0, 0, 0), abs=1e-4)
    assert high == pytest.approx(job.layout.recipe.pin_board.thickness, abs=1e-4)


@pytest.mark.parametrize("name", CASES)
def test_passes_times_their_depth_make_the_depth_of_the_cut(name: str) -> None:
    job = case(name)
    rows = [
        line.strip("|").split(" | ") for line in text_of(job).splitlines() if re.match(r"\| (tail|pin) board", line)
    ]
    recipe = job.layout.recipe
    depths = {
        "tail board": recipe.tail_board.thickness,
        "pin board": recipe.tail_board.thickness + recipe.pin_board.proud,
    }
    assert [row[0].strip().split(",")[0] for row in rows if "last round" not in row[0]] == list(depths)
    for row in rows:
        depth = depths[row[0].strip().split(",")[0]]
        if row[1] == "none reaches":
            continue
        passes = int(row[6].split()[0])
        assert format_both(depth / passes, recipe.units, CALIPER) in row[6]
        rpm, flutes = int(row[2]), int(row[3])
        loads, feeds = ([float(cell.split()[place]) for place in (0, 2)] for cell in row[4:6])
        assert loads[0] < loads[1]
        assert feeds == pytest.approx([rpm * flutes * load for load in loads], abs=rpm * flutes * 0.00005 + 0.5)


OWN = "kit.cutters=[3, 6, 12]"


def layers_in(job: JointJob) -> dict[str, set[str]]:
    """The layers of each board's drawing, by the board's name, as the file has them."""
    version = job.layout.recipe.paper.dxf_version
    return {
        name: {layer_name(item.layer, version) for item in machine_items(board)}
        for name, board in job.job.boards.items()
    }


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ((), ("clear D3 Z-11", "last D3 Z-11", "clear D12 Z-11.5", "last D3 Z-11.5", "zero")),
        (
            ("paper.dxf_units=in",),
            (
                "clear D0.1181 Z-0.4331",
                "last D0.1181 Z-0.4331",
                "clear D0.4724 Z-0.4528",
                "last D0.1181 Z-0.4528",
                "zero",
            ),
        ),
        (
            ("paper.dxf_version=R12",),
            ("CLEAR_D3_Z-11", "LAST_D3_Z-11", "CLEAR_D12_Z-11_5", "LAST_D3_Z-11_5", "ZERO"),
        ),
    ],
)
def test_the_note_names_the_layers_and_their_cutters_as_the_drawings_have_them(
    more: tuple[str, ...], told: tuple[str, ...]
) -> None:
    """drawer-front: 3 mm passes the 4 mm gap; the sockets take 12 mm, which leaves 6.9 mm in each corner at the lap.
    11 mm is 0.4331 in, 11.5 mm 0.4528 in; 3 mm is 0.1181 in, 12 mm 0.4724 in."""
    job = job_of("drawer-front", OWN, *more)
    text, dxf = flat(job), layers_in(job)
    tails_clear, tails_last, rough, last, zero = told
    assert f"on the layers that end in `{tails_clear}` and `{tails_last}` for the 3 mm cutter." in text
    assert f"`{rough}` for the 12 mm cutter and `{last}` for the 3 mm cutter." in text
    assert f"The cross on the layer `{zero}` is this zero." in text
    cut = {name: {layer for layer in layers if re.search(r"[ _]D\d", layer)} for name, layers in dxf.items()}
    for board, endings in (("tail board", {tails_clear, tails_last}), ("pin board", {rough, last})):
        assert {layer[len(layer.replace("_", " ").split()[0]) + 1 :] for layer in cut[board]} == endings
        assert zero in dxf[board]
    assert "So rough out with the 12 mm cutter, and finish with the 3 mm cutter." in text
    assert "Of the usual sizes" not in text


def test_the_note_tells_of_lines_into_the_corners_where_they_are_drawn() -> None:
    for more, there in (("paper.corner_relief=true", True), ("paper.corner_relief=false", False)):
        job = job_of("drawer-front", OWN, more)
        for board, layer in (("tail board", "relief D3 Z-11"), ("pin board", "relief D3 Z-11.5")):
            assert (f"The lines on `{layer}` run into each sharp corner" in flat(job)) is there
            assert any(each.endswith(layer) for each in layers_in(job)[board]) is there


def test_a_note_without_cutters_of_ones_own_says_whose_they_are_and_promises_no_path() -> None:
    text = flat(job_of("drawer-front"))
    assert text.count("You name no cutters of your own. Of the usual sizes, the thickest that passes") == 2
    assert "` for the" not in text
    assert text.count("Name yours as `kit.cutters`") == 2


def test_the_note_warns_of_scorching_of_the_top_speed_and_of_climb_cuts() -> None:
    text = flat(job_of())
    for words in ("scorches the wood", "catch fire", "Each cutter has a top speed", "Do not climb cut with a router"):
        assert words in text.split("## Before the first real cut")[0]


def test_the_rest_in_a_right_angle_is_the_square_less_the_quarter_circle() -> None:
    rest = corner_remainder(10.0, math.pi / 2)
    assert rest.area == pytest.approx(5**2 - math.pi * 5**2 / 4)
    assert rest.along == pytest.approx(5.0)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("tight", "They are drawn 0.03 mm (0.001 in) tight on each flank."),
        ("loose", "They are drawn with a gap of 0.1 mm (0.004 in) on each flank."),
        ("through", "They are drawn to meet exactly."),
        ("ends left proud, chamfered", "and stay so, with chamfered edges."),
    ],
)
def test_the_words_about_the_fit_are_this_joints(name: str, words: str) -> None:
    assert words in flat(case(name))


def test_every_file_that_it_is_told_of_is_listed() -> None:
    job = job_of()
    more = [("halfpin aids", "aids to print", ["aids/aids-note.md"])]
    text = note.note_bytes(
        job.layout, job.proof, job.job.boards.values(), [("a.step", "one"), ("b.stl", "two")], more
    ).decode()
    assert "| [`a.step`](a.step) | one |\n| [`b.stl`](b.stl) | two |" in text
    assert "- `halfpin aids`: aids to print. [`aids/aids-note.md`](aids/aids-note.md)." in text


def test_the_hand_comes_first_then_the_printer_then_the_router() -> None:
    text = text_of(job_of())
    heads = [line for line in text.splitlines() if line.startswith("## ")]
    assert heads[:4] == ["## By hand", "## With a printer", "## What is in the files", "## With a CNC router"]
    by_hand = text.partition("## By hand")[2].partition("## With a printer")[0]
    assert "- Gauge 12.5 mm: from the tail board's end" in by_hand
    assert "9. **Plane.**" in by_hand


# --- plain English, plain Markdown -------------------------------------------------------------------


@pytest.mark.parametrize("name", CASES)
@pytest.mark.whole
def test_the_prose_is_plain_english(name: str) -> None:
    assert textstat.flesch_reading_ease(prose(text_of(case(name)))) >= PLAIN_ENGLISH


@pytest.mark.whole
def test_the_prose_for_a_kit_of_cutters_is_plain_english() -> None:
    assert textstat.flesch_reading_ease(prose(text_of(job_of("drawer-front", OWN)))) >= PLAIN_ENGLISH


def test_each_caution_is_plain_english_on_its_own() -> None:
    scores = {caution.topic: textstat.flesch_reading_ease(caution.text) for caution in CAUTIONS}
    assert {topic: score for topic, score in scores.items() if score < PLAIN_ENGLISH} == {}


def test_the_measure_of_plain_english_can_fail() -> None:
    heavy = (
        "Notwithstanding the aforementioned considerations, operators contemplating the utilisation of numerically "
        "controlled machinery should familiarise themselves comprehensively with the manufacturer's documentation."
    )
    assert textstat.flesch_reading_ease(prose(heavy)) < PLAIN_ENGLISH


def rendered(text: str) -> str:
    """All text that a reader of CommonMark sees."""
    tokens = MarkdownIt("commonmark").enable("table").parse(text)
    return "\n".join(
        "".join(child.content if child.type in ("text", "code_inline") else " " for child in token.children or [])
        for token in tokens
        if token.type == "inline"
    )


TRICKY = [
    "*stars* and _lines_",
    "[a link](b)",
    "# heading | table",
    "<b>bold<b>",
    "Tom & Jerry &amp; co",
    "![z](q)",
    "1. x",
]


@pytest.mark.parametrize("title", TRICKY)
def test_a_title_with_markdown_in_it_shows_as_it_was_written(title: str) -> None:
    assert rendered(text_of(titled(title))).splitlines()[0] == f"{title}: note for hand, printer and CNC"


@pytest.mark.parametrize("name", ["pear *wild* <b>", "plum | blue", "[oak](x)"])
def test_a_wood_with_markdown_in_its_name_shows_as_it_was_written(name: str) -> None:
    job = job_of("tool-tray", f'tail_board.wood={{name="{name}", kind="hardwood", density=600}}', "fit.flank_gap=-0.01")
    shown = " ".join(rendered(text_of(job)).split())
    assert f"thick, in {name}." in shown
    assert f"{name.capitalize()} in maple forgives" in shown


@pytest.mark.parametrize("name", CASES)
def test_lines_are_filled_and_no_braces_of_the_template_stay(name: str) -> None:
    text = text_of(case(name))
    lines = [line for line in text.splitlines() if not line.startswith(("|", "#"))]
    assert max(map(len, lines)) <= markdown.WIDTH
    assert not re.search(r"[{}]|None(?! of)|nan", text)
    assert text.endswith("\n")
    assert not text.endswith("\n\n")


EIGHTH_GRADE = 8.0
"""School years, by the formula of J. P. Kincaid and others, 1975; textstat reckons it."""


@pytest.mark.parametrize("name", ["tool-tray", "drawer-front", "desk-drawer", "keepsake-box"])
def test_every_note_can_be_read_after_eight_years_of_school(name: str) -> None:
    job = prove_layout(plan(name))
    notes = [file for file in files_of(job, "corner") if file.name.endswith(".md")]
    assert notes
    for file in notes:
        text = prose(file.make().decode())
        assert len(text.split()) > 100
        assert textstat.flesch_kincaid_grade(text) <= EIGHTH_GRADE, file.name


@pytest.mark.whole
def test_so_can_the_note_on_aids_and_what_the_wood_does() -> None:
    job = prove_layout(plan("tea-box"))
    (aids,) = (file for file in files_of(job, "aids") if file.name.endswith(".md"))
    words = [
        *(step.how for step in order_of_work(job.joints[0].layout)),
        *(f.words for f in wood_facts(job.joints[0].layout)),
    ]
    for text in (aids.make().decode(), "\n\n".join(words)):
        assert textstat.flesch_kincaid_grade(prose(text)) <= EIGHTH_GRADE
