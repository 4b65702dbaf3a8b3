"""The booklet holds all that the bench needs in the order of the work, each page numbered, nothing on anything else."""

from __future__ import annotations

import io
import math
from functools import cache
from itertools import combinations, count, islice

import pikepdf
import pytest
from reportlab.lib.units import mm
from reportlab.platypus import Paragraph

from solids.base.cautions import CAUTIONS, FAILS
from solids.base.lengths import CALIPER, format_length, format_sizes
from solids.bench.box_procedure import box_stages
from solids.bench.buying import else_to_buy, wood_rows
from solids.bench.procedure import corner_stages, order_of_work
from solids.bench.settings import bench_of
from solids.layout.boards import boards_of
from solids.layout.box.cut_list import cut_list_rows
from solids.proof.assembly import PieceProof
from solids.write.drafting.pictorial import cover_picture
from solids.write.paper.booklet.booklet import booklet_bytes
from solids.write.paper.box_sheet import cut_list_table
from solids.write.paper.typesetting.columns import put_text
from solids.write.paper.typesetting.flow import CELL_APART, style, to_tick
from solids.write.paper.typesetting.letters import in_font
from solids.write.paper.typesetting.pdf import Pages
from tests.boxes import box_case, box_of, job_of_box
from tests.corners import layout_of, piece_of
from tests.sampling import few
from tests.write.paper.reading import MM, boxes_of_words, opened, pixels, strokes_on, tight, words_of

LETTER = "paper.size=Letter"
CORNERS: dict[str, tuple[str, ...]] = {
    "tray": ("tool-tray",),
    "three tails": ("tool-tray", "joint.tails=3", LETTER),
    "twelve tails": ("tool-tray", "joint.width=300", "joint.tails=12"),
    "thirty tails": ("tool-tray", "joint.width=700", "joint.tails=30"),
    "thirty tails on Letter": ("tool-tray", "joint.width=700", "joint.tails=30", LETTER),
    "three tails in inches": ("tea-box", "joint.tails=3"),
    "twelve tails in inches": ("tea-box", "joint.width=11", "joint.tails=12"),
    "thirty tails in inches": ("tea-box", "joint.width=28", "joint.tails=30", "paper.size=A4"),
    "half-blind": ("drawer-front", "kit.cutters=[3, 6]", "kit.chisels=[3, 6, 12]"),
    "fails": ("tool-tray", "fit.flank_gap=-0.06"),
    "on A3": ("tool-tray", "paper.size=A3"),
    "long boards": ("tool-tray", "tail_board.length=9000", "pin_board.length=7000"),
    "short boards": ("tool-tray", "tail_board.length=1", "pin_board.length=1"),
    "long title": ("tool-tray", f"title={'walnut ' * 10}tray"),
    "no template": ("tool-tray", "joint.width=9000", "joint.tails=60", "tail_board.thickness=60"),
}
BOXES = ("keepsake", "drawer", "odd", "no bottom")
EVERY = (*CORNERS, *BOXES, "drawer on Letter", "box in inches")
INCHES = ("keepsake-box", "units=in", "stock.length=40", "stock.width=6", LETTER)


@cache
def proof_of(name: str) -> PieceProof:
    if name == "drawer on Letter":
        return job_of_box("desk-drawer", LETTER).proof
    if name == "box in inches":
        sizes = ("box.length=9", "box.width=6", "box.height=3", "box.groove={width = 0.2, depth = 0.15, up = 0.4}")
        boards = ("tail_board.thickness=0.4", "pin_board.thickness=0.5")
        return job_of_box(*INCHES, *sizes, *boards).proof
    return box_case(name).proof if name in BOXES else piece_of(*CORNERS[name]).proof


@cache
def made(name: str) -> bytes:
    return booklet_bytes(proof_of(name), cover_picture(proof_of(name)))


@cache
def pages_of(name: str) -> list[str]:
    with opened(made(name)) as pdf:
        return [words_of(made(name), page) for page in range(len(pdf.pages))]


def chapters(data: bytes) -> list[tuple[str, int]]:
    """Each bookmark of the outline, and the page that it leads to, counted from 1."""
    with pikepdf.open(io.BytesIO(data)) as pdf, pdf.open_outline() as outline:
        numbers = {page.objgen: number for number, page in enumerate(pdf.pages, start=1)}
        found = []
        for item in outline.root:
            target = item.destination
            if isinstance(target, pikepdf.String | pikepdf.Name):
                target = pdf.Root.Dests[str(target)] if isinstance(target, pikepdf.Name) else target
            found.append((str(item.title), numbers[pikepdf.Page(target[0]).objgen]))  # type: ignore[index]
        return found


def template_pages(name: str) -> set[int]:
    """The pages of templates, counted from 0."""
    starts, count = chapters(made(name)), len(pages_of(name))
    ends = [*(start for _, start in starts[1:]), count + 1]
    return {
        page - 1
        for (title, start), end in zip(starts, ends, strict=True)
        if title.startswith("Template")
        for page in range(start, end)
    }


# --- chapters and pages --------------------------------------------------------------------------


def test_the_booklet_of_a_tray_has_six_chapters_on_six_pages() -> None:
    assert chapters(made("tray")) == [
        ("Cover", 1),
        ("Cut list", 2),
        ("Setup", 3),
        ("Template", 4),
        ("Glue-up", 5),
        ("Order of work", 6),
    ]


def test_a_box_has_a_setup_and_a_template_for_each_kind_of_joint_and_alike_corners_once() -> None:
    assert [title for title, _ in chapters(made("keepsake"))] == [
        *("Cover", "Cut list", "Setup: all four corners", "Template: all four corners", "Glue-up", "Order of work")
    ]
    titles = [joint.kind.title for joint in proof_of("drawer").joints]
    each = [f"{what}: {title}" for title in titles for what in ("Setup", "Template")]
    assert [title for title, _ in chapters(made("drawer"))] == ["Cover", "Cut list", *each, "Glue-up", "Order of work"]


@pytest.mark.parametrize("name", few(EVERY, 14))
def test_each_page_says_which_it_is_of_how_many(name: str) -> None:
    pages = pages_of(name)
    for number, words in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in words
    assert len(pages) < 20


def test_title_language_and_scaling_are_those_of_our_other_papers() -> None:
    with opened(made("tray")) as pdf:
        assert str(pdf.docinfo["/Title"]) == "tool tray"
        assert str(pdf.Root.Lang) == "en"
        assert str(pdf.Root.ViewerPreferences.PrintScaling) == "/None"
        assert "2000" in str(pdf.docinfo.get("/CreationDate", "2000"))


@pytest.mark.parametrize(("name", "sides"), [("tray", (210, 297)), ("drawer on Letter", (215.9, 279.4))])
def test_every_page_is_of_the_paper_of_the_templates(name: str, sides: tuple[float, float]) -> None:
    with opened(made(name)) as pdf:
        for page in pdf.pages:
            found = sorted(float(value) for value in page.mediabox[2:])
            assert found == pytest.approx([side * MM for side in sides], abs=0.01)


@pytest.mark.parametrize("name", ["tray", "thirty tails", "on A3", "drawer"])
def test_templates_are_at_true_scale_with_their_bars(name: str) -> None:
    """100 mm x 72 / 25.4, and 4 in x 72, in points; each strip's frame is as wide as its joint unless it is cut up."""
    starts = dict(chapters(made(name)))
    with opened(made(name)) as pdf:
        for title in (title for title in starts if title.startswith("Template")):
            found = [s for s in strokes_on(pdf.pages[starts[title] - 1]) if len(s.points) == 2]
            lengths = [math.dist(*stroke.points) for stroke in found]
            for length, count in ((283.465, 2), (288.0, 1)):
                assert sum(abs(each - length) < 0.01 for each in lengths) >= count
    with opened(made("tray")) as pdf:
        frames = [s for s in strokes_on(pdf.pages[3]) if s.closed]
    assert sum(s.size[0] == pytest.approx(96 * MM, abs=0.02) for s in frames) == 2


@pytest.mark.whole
def test_where_a_template_takes_too_many_sheets_the_booklet_goes_without_and_says_why() -> None:
    assert [title for title, _ in chapters(made("no template"))] == [
        *("Cover", "Cut list", "Setup", "Glue-up", "Order of work")
    ]
    assert "There is no template here. The template would take" in " ".join(pages_of("no template"))


# --- nothing on anything else --------------------------------------------------------------------


@pytest.mark.parametrize("name", few(EVERY, 14))
def test_nothing_stands_within_5_mm_of_the_edges(name: str) -> None:
    """Words by their boxes, lines by their ink. A template is cut off at the edges of its pieces: words beyond are
    there and not seen, so its ink alone counts."""
    templates = template_pages(name)
    dpi = 60
    edge = math.floor(5 / 25.4 * dpi)
    for page in range(len(pages_of(name))):
        ink = pixels(made(name), dpi, page) < 128
        for side in (ink[:edge], ink[-edge:], ink[:, :edge], ink[:, -edge:]):
            assert not side.any(), page + 1
        height, width = (size / dpi * 72 for size in ink.shape)
        for words, (left, foot, right, head) in boxes_of_words(made(name), page) if page not in templates else ():
            assert min(left, foot, width - right, height - head) > 5 * MM, words


@pytest.mark.parametrize("name", few(EVERY, 14))
def test_no_words_lie_on_other_words(name: str) -> None:
    clashes = []
    for page in range(len(pages_of(name))):
        boxes = boxes_of_words(made(name), page)
        for (one, (a, b, c, d)), (other, (e, f, g, h)) in combinations(boxes, 2):
            if min(c, g) - max(a, e) > 0.4 and min(d, h) - max(b, f) > 1.0:
                clashes.append((page + 1, one, other))
    assert clashes == []


@pytest.mark.parametrize("name", few(EVERY, 14))
def test_no_page_but_a_template_is_empty_in_its_lower_half(name: str) -> None:
    """Nor in its upper half: words or lines reach past 55 % of the page. The last page may end where the text does."""
    for number in sorted(set(range(1, len(pages_of(name)))) - {page + 1 for page in template_pages(name)}):
        rows = (pixels(made(name), 30, number - 1) < 160).any(axis=1).nonzero()[0]
        body = rows[rows < 0.95 * pixels(made(name), 30, number - 1).shape[0]]
        assert body.max() > 0.55 * pixels(made(name), 30, number - 1).shape[0], number


# --- what it holds -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", few(EVERY, 14))
def test_it_holds_every_caution_every_step_and_every_board(name: str) -> None:
    proof, words = proof_of(name), tight(" ".join(pages_of(name)))
    for caution in CAUTIONS:
        assert tight(f"{caution.topic}. {caution.text}") in words
    layouts = [joint.layout for joint in proof.joints]
    stages = box_stages(proof.box, layouts, proof.steps) if proof.assembly.box else corner_stages(layouts[0])
    units = proof.assembly.recipe.units
    whole = words_without_breaks(name)
    for stage in stages:
        for step in stage.steps:
            assert tight(in_font(step.how)) in whole, step.what
    for row in boards_of(proof.assembly.plan):
        for size in (row.rough, row.saw_to, row.finished):
            assert tight(format_sizes(size, units)) in words
    for layout in layouts:
        for gauge in bench_of(layout).gauges:
            assert tight(format_length(gauge.setting, units, layout.recipe.rule)) in words


def words_without_breaks(name: str) -> str:
    """All words without the lines at the feet of pages, where a step may run on from one page to the next."""
    pages = pages_of(name)
    return "".join(
        tight(words.replace(f"page {number} of {len(pages)}", "")) for number, words in enumerate(pages, start=1)
    )


def test_the_verdict_of_the_proof_stands_on_the_cover() -> None:
    assert "Proved: the two boards go together. 15 checks passed." in pages_of("tray")[0]
    assert "Proved: the box goes together." in pages_of("keepsake")[0]
    starts, pages = dict(chapters(made("fails"))), pages_of("fails")
    for chapter in ("Cover", "Setup", "Template"):
        assert FAILS in pages[starts[chapter] - 1]
    assert "Proved" not in pages[0]
    assert "Each flank is 0.06 mm" in pages[0]
    assert not any(FAILS in page for page in pages_of("tray"))


def test_what_to_buy_by_hand() -> None:
    """The tray's tail board: 120 + 12.5 + 10 by 96 + 4 by 10 + 3 mm = 142.5 x 100 x 13 = 0.18525 litres; its pin board
    120 + 10.5 + 10 by 100 by 15 = 0.21075. The front and the back of the drawer take screws: 420 / 150, rounded up."""
    heads, rows = wood_rows(layout_of("tool-tray"))
    assert heads == ("board", "wood", "rough size", "litres")
    assert rows == [
        ("tail board", "cherry", "142.5 x 100 x 13 mm", "0.19"),
        ("pin board", "maple", "140.5 x 100 x 15 mm", "0.21"),
        ("all", "", "", "0.40"),
    ]
    assert else_to_buy(layout_of("tool-tray")) == ["Wood glue."]
    assert "Wood glue." in pages_of("tray")[0]
    assert wood_rows(layout_of("tea-box"))[0][-1] == "board feet"
    screws = else_to_buy(box_case("drawer").proof.box)[1]
    assert screws.startswith("3 thin screws, 18 mm long")
    assert len(else_to_buy(box_case("keepsake").proof.box)) == 1


def test_the_stages_of_a_corner_are_its_order_of_work() -> None:
    layout = layout_of("tool-tray")
    told = [step for stage in corner_stages(layout) for step in stage.steps if step.what != "Get ready"]
    assert tuple(told) == order_of_work(layout)


def test_clamps_of_a_box_open_as_far_as_it_is_long_and_both_cauls() -> None:
    """Keepsake box: 240 mm and ends 0.5 mm proud at both ends, and two cauls of 25 mm; 80 mm high takes two clamps at
    each end."""
    proof = proof_of("keepsake")
    stages = box_stages(proof.box, [joint.layout for joint in proof.joints], proof.steps)
    (step,) = [step for stage in stages for step in stage.steps if step.what == "Get ready"]
    assert "4 clamps that open 291 mm or more, 2 along each of front and back" in step.how
    assert format_length(80.0, "mm", CALIPER) in step.how


def test_two_kinds_of_corner_with_the_same_steps_share_them() -> None:
    proof = proof_of("drawer")
    stages = box_stages(proof.box, [joint.layout for joint in proof.joints], proof.steps)
    assert [stage.title for stage in stages] == [
        "Prepare the boards",
        "Cut the joint: front left and front right",
        "Cut the joint: back left and back right",
        "Glue up",
        "After the glue",
    ]


@pytest.mark.parametrize("name", ["tray", "keepsake"])
def test_two_runs_give_the_same_bytes(name: str) -> None:
    assert booklet_bytes(proof_of(name), cover_picture(proof_of(name))) == made(name)


@pytest.mark.parametrize("longest", [3000, 2000, 60])
def test_a_step_that_is_longer_than_a_column_runs_on_in_the_next(longest: int) -> None:
    """As of many dividers that cross: every word stands once, in order, over several pages, in long and short steps."""
    file, numbers = Pages("long", "long steps", 210.0, 297.0), map(str, count(0))
    lengths = [longest // part for part in (1, 3, 9, 3)] * (3000 // longest)
    steps = [" ".join(islice(numbers, length)) for length in lengths]
    words = " ".join(steps).split()
    put_text(file, lambda size: [to_tick(Paragraph(step, style(size)), size) for step in steps], 250.0, [11.0, 9.0])
    file.next_page()
    data = file.bytes()
    with pikepdf.open(io.BytesIO(data)) as document:
        pages = len(document.pages)
    assert pages > 1
    assert " ".join(words_of(data, page) for page in range(pages)).split() == words


@pytest.mark.parametrize("name", ["work-box", "desk-drawer", "shelf-carcase", "tea-chest", "keepsake-box"])
@pytest.mark.parametrize("width", [75.0, 120.0, 180.0])
def test_no_word_of_a_cut_list_is_cut(name: str, width: float) -> None:
    """Each word, and each amount with its unit, fits its column, and all columns fit the width."""
    table = cut_list_table(cut_list_rows(box_of(name)), 8.0, width)
    assert sum(table._argW) <= width * mm + 1e-6
    for row in table._cellvalues:
        for cell, room in zip(row, table._argW, strict=False):
            assert cell.minWidth() <= room - CELL_APART + 1e-6, cell.text
