"""The setup sheet is one page, or two where lists are long, and holds what the bench needs and every caution."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from itertools import combinations

import pytest

from solids.base.cautions import CAUTIONS
from solids.base.lengths import RULE, Reading, format_length, length_cells
from solids.bench.listing import bevel_lines
from solids.bench.procedure import order_of_work
from solids.bench.remarks import remarks
from solids.bench.settings import bench_of
from solids.bench.worktime import time_words
from solids.layout import Layout
from solids.layout.joint.shape.slopes import all_slopes
from solids.write.drafting.sheet import Label
from solids.write.drafting.template import strips
from solids.write.paper.lists import is_long
from solids.write.paper.numbers import smaller
from solids.write.paper.setup_sheet import setup_sheet_bytes
from solids.write.paper.typesetting.letters import in_font
from tests.bench.irregular import irregular, mitred
from tests.corners import CASES, PRESETS, layout_of
from tests.sampling import few
from tests.write.drafting.flat import ODD
from tests.write.paper.reading import MM, TITLES, boxes_of_words, nasty, opened, pixels, tight, words_of

EVERY: dict[str, Layout] = {
    **{f"preset {name}": layout_of(name) for name in PRESETS if (name,) not in CASES.values()},
    **{name: layout_of(*asked) for name, asked in ODD.items()},
    **{f"nasty, {title}": nasty(title) for title in TITLES},
    "nasty on Letter": nasty(size="Letter"),
    "nasty on A3": nasty(size="A3"),
    "irregular": irregular(),
    "irregular, mirrored": irregular(mirrored=True),
    "mitred": mitred(),
    "a hundred tails in inches": layout_of(
        "tea-box", "joint.width=50", "joint.tails=100", "joint.pin=0.15", 'kit.chisels=["3 mm", "1/4 in"]'
    ),
}


@cache
def made(name: str) -> bytes:
    """The sheet of one of EVERY, made once: of a joint that fails its proof, which has one line more."""
    return setup_sheet_bytes(EVERY[name], failing=True)


def all_words(data: bytes) -> str:
    """The words of both pages."""
    with opened(data) as pdf:
        return " ".join(words_of(data, page) for page in range(len(pdf.pages)))


def figures(mm: float, layout: Layout, reading: Reading = RULE) -> str:
    return tight(format_length(mm, layout.recipe.units, reading))


@pytest.mark.parametrize("name", few(EVERY, 18))
def test_it_is_one_page_or_two_with_every_caution_and_every_step(name: str) -> None:
    layout = EVERY[name]
    data = made(name)
    with opened(data) as pdf:
        assert len(pdf.pages) == (2 if is_long(layout) else 1)
    words = tight(all_words(data))
    for caution in CAUTIONS:
        assert tight(f"{caution.topic}. {caution.text}") in words
    for step in order_of_work(layout):
        assert tight(in_font(f"{step.what}. {step.how}")) in words
    assert tight(time_words([layout])) in words


@pytest.mark.parametrize("name", ["through", "inches", "nasty, wide letters"])
def test_only_a_joint_that_fails_its_proof_has_a_warning_on_top(name: str) -> None:
    warning = "THIS JOINT FAILS ITS PROOF. DO NOT CUT IT."
    assert warning in words_of(made(name))
    good = all_words(setup_sheet_bytes(EVERY[name], failing=False))
    assert "FAILS" not in good
    assert all(tight(f"{caution.topic}. {caution.text}") in tight(good) for caution in CAUTIONS)


@pytest.mark.parametrize("name", few(EVERY, 18))
def test_it_holds_the_gauge_settings_and_what_to_saw(name: str) -> None:
    """Gauges are set to d + o_t on the tail board and t - r + o_p on the pin board; boards are sawn L longer, and the
    pin board by r more, as its length runs from the tail board's inside face."""
    layout = EVERY[name]
    recipe = layout.recipe
    words = tight(words_of(made(name)))
    tails = recipe.pin_board.thickness - recipe.lap + recipe.tail_board.proud
    pins = recipe.tail_board.thickness - recipe.rebate + recipe.pin_board.proud
    below = recipe.pin_board.length + recipe.rebate
    for board, gauge, length in (("tail", tails, recipe.tail_board.length), ("pin", pins, below)):
        assert f"gauge,{board}board{figures(gauge, layout)}" in words
        assert f"saw{board}boardto{figures(length + gauge, layout)}" in words
    assert tight(all_slopes(layout)) in words


@pytest.mark.parametrize("name", few(EVERY, 18))
def test_all_words_stand_on_the_page_clear_of_its_edges(name: str) -> None:
    data = made(name)
    with opened(data) as pdf:
        width, height = (float(value) for value in pdf.pages[0].mediabox[2:])
        pages = range(len(pdf.pages))
    for words, (low_x, low_y, high_x, high_y) in (box for page in pages for box in boxes_of_words(data, page)):
        assert low_x > 8 * MM, words
        assert high_x < width - 8 * MM, words
        assert low_y > 4 * MM, words
        assert high_y < height - 8 * MM, words


@pytest.mark.parametrize("name", few(EVERY, 18))
def test_no_words_lie_on_other_words(name: str) -> None:
    """Boxes of ink that share more than a sixth of a square millimetre; the numbers in the two small drawings too."""
    data, clashes = made(name), list[tuple[str, str]]()
    with opened(data) as pdf:
        pages = [boxes_of_words(data, page) for page in range(len(pdf.pages))]
    for (one, (a, b, c, d)), (other, (e, f, g, h)) in (pair for boxes in pages for pair in combinations(boxes, 2)):
        wide, high = min(c, g) - max(a, e), min(d, h) - max(b, f)
        if wide > 0.4 and high > 1.0:
            clashes.append((one, other))
    assert clashes == []


@pytest.mark.parametrize("name", ["through", "half-blind", "inches", "nasty, wide letters", "a hundred tails"])
def test_the_table_of_tails_gives_their_edges_on_the_raw_end(name: str) -> None:
    """A flank is o/N further out at the raw end than at the finished face: proud by o, slope 1:N."""
    layout = EVERY[name]
    out, units = layout.recipe.tail_board.proud / layout.flanks[0].ratio, layout.recipe.units
    table = tight(all_words(made(name)).split("shows as", 1)[1])
    for tail in layout.tails:
        cells = (length_cells(mm, units) for mm in (tail.left - out, tail.right + out))
        assert tight(f"{tail.number}{''.join(cell for pair in cells for cell in pair)}") in table
    assert "report.json" not in all_words(made(name))


@pytest.mark.parametrize("name", ["nasty, wide letters", "a hundred tails", "very wide"])
def test_every_kind_of_socket_has_its_chisel(name: str) -> None:
    words = tight(all_words(made(name)))
    assert all(tight(f"{fit.sockets}, {fit.side}:") in words for fit in bench_of(EVERY[name]).chisels)


@pytest.mark.parametrize("name", few(EVERY, 18))
def test_no_letter_is_set_smaller_than_an_eye_reads(name: str) -> None:
    """Text of 5.5 pt and more has capitals of 1.4 mm."""
    import pikepdf

    with opened(made(name)) as pdf:
        sizes = [
            float(instruction.operands[1])
            for page in pdf.pages
            for instruction in pikepdf.parse_content_stream(page)
            if str(instruction.operator) == "Tf"
        ]
    assert min(sizes) >= 5.0


def test_the_own_chisels_of_the_maker_are_named() -> None:
    layout = layout_of("tool-tray", "kit.chisels=[2, 6, 10, 12]")
    words = words_of(setup_sheet_bytes(layout, failing=False))
    own = {fit.own for fit in bench_of(layout).chisels if fit.own is not None and not fit.is_open}
    assert own == {2.0, 12.0}
    assert "chisels 2 mm, 12 mm" in words


def test_the_own_cutters_are_named_as_in_the_drawing_and_none_where_none_is_named() -> None:
    words = words_of(setup_sheet_bytes(layout_of("drawer-front", "kit.cutters=[3, 6, 12]"), failing=False))
    assert "tail board: 3 mm, 11 mm deep." in words
    assert "pin board: 12 mm to rough out, then 3 mm, 11.5 mm deep." in words
    none = words_of(setup_sheet_bytes(layout_of("tool-tray", "kit.cutters=[6]"), failing=False))
    assert "tail board: none of yours reaches; saw it by hand." in none
    assert "Router cutters" not in words_of(setup_sheet_bytes(layout_of("drawer-front"), failing=False))


def test_markup_in_a_title_or_a_woods_name_is_printed_as_it_stands() -> None:
    words = words_of(setup_sheet_bytes(nasty("markup", wood="pear <b> & <i>old"), failing=False))
    assert TITLES["markup"] in words
    assert "<b> & <i>old" in words


def test_a_name_of_a_wood_keeps_its_capitals() -> None:
    own = '{name="European Larch", kind="softwood", density=590}'
    layout = layout_of("tool-tray", f"pin_board.wood={own}")
    assert "European Larch" in words_of(setup_sheet_bytes(layout, failing=False))


def test_a_title_in_chinese_is_printed_in_latin_letters() -> None:
    words = words_of(setup_sheet_bytes(nasty("Chinese"), failing=False))
    assert words.startswith("MuGongnoYin")
    assert not re.search(r"[一-鿿]", words)


@pytest.mark.parametrize("name", ["through", "half-blind", "nasty, wide letters"])
def test_no_ink_lies_in_the_white_edge(name: str) -> None:
    ink = pixels(made(name), 100) < 128
    edge = round(4 / 25.4 * 100)
    assert not ink[:edge].any()
    assert not ink[-edge:].any()
    assert not ink[:, :edge].any()
    assert not ink[:, -edge:].any()


@pytest.mark.parametrize("name", ["through", "inches"])
@pytest.mark.whole
def test_two_runs_give_the_same_bytes(name: str) -> None:
    first = setup_sheet_bytes(EVERY[name], failing=False)
    assert setup_sheet_bytes(EVERY[name], failing=False) == first
    assert setup_sheet_bytes(EVERY[name], failing=True) != first


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_what_two_crooked_boards_make_of_the_longest_sheet_finds_room(size: str) -> None:
    """The remarks may go to the second page, to the cautions; none is left out."""
    layout = nasty(size=size)
    tails, pins = (replace(board, uneven=0.7, cup=3.0) for board in (layout.recipe.tail_board, layout.recipe.pin_board))
    crooked = replace(layout, recipe=replace(layout.recipe, tail_board=tails, pin_board=pins))
    sheet = setup_sheet_bytes(crooked, failing=False)
    pages = [words_of(sheet, number) for number in range(len(opened(sheet).pages))]
    assert len(pages) == 2
    for finding in remarks(crooked):
        assert tight(finding.words) in tight("".join(pages)), finding.code


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.whole
def test_long_lists_and_all_that_two_crooked_boards_make_of_them_take_a_third_page(size: str) -> None:
    """A list of fifty tails fills most of a page; what a second page has no room for runs on."""
    layout = layout_of(
        "tea-box", "joint.width=50", "joint.tails=50", "joint.pin=0.3", 'kit.chisels=["3 mm"]', f'paper.size="{size}"'
    )
    tails, pins = (
        replace(board, uneven=0.7, cup=3.0, wood=replace(board.wood, name="Wide Old Wood " * 200))
        for board in (layout.recipe.tail_board, layout.recipe.pin_board)
    )
    crooked = replace(layout, recipe=replace(layout.recipe, tail_board=tails, pin_board=pins))
    sheet = setup_sheet_bytes(crooked, failing=False)
    pages = [words_of(sheet, number) for number in range(len(opened(sheet).pages))]
    assert len(pages) > 2
    told = tight("".join(pages))
    assert all(tight(finding.words) in told for finding in remarks(crooked))
    assert all(tight(f"{caution.topic}. {caution.text}") in told for caution in CAUTIONS)


@pytest.mark.parametrize("name", ["irregular", "mitred"])
def test_a_joint_of_several_slopes_lists_each_bevel_with_its_flanks(name: str) -> None:
    words = tight(all_words(made(name)))
    for line in bevel_lines(EVERY[name]):
        assert tight(line) in words
    assert tight("gauge, rebate 2 mm") in words
    assert tight("flank by flank as listed") in words
    assert (tight("33.7 / 56.3 degrees") in words) == (name == "mitred")


def test_a_joint_of_one_slope_has_no_list_of_bevels() -> None:
    assert "Bevels" not in all_words(made("through"))


MITRED = ("tool-tray", "joint.mitre={reference=10, other=6}", "tail_board.rebate=2", "joint.tails=3")


@pytest.mark.parametrize(
    "asked",
    [
        (*MITRED, 'paper.size="Letter"'),
        (*MITRED, "kit.chisels=[6, 10]", "kit.cutters=[2, 3]", "kit.saw_kerf=0.5"),
        ("tea-box", 'joint.mitre={reference="3/8 in"}', 'tail_board.rebate="1/16 in"'),
    ],
    ids=["Letter", "full kit", "inches"],
)
def test_an_order_of_work_too_long_for_the_first_page_goes_on_whole(asked: tuple[str, ...]) -> None:
    """A mitre and a rebate add three long steps to those below the numbers."""
    layout = layout_of(*asked)
    words = tight(all_words(setup_sheet_bytes(layout, failing=False)))
    assert all(tight(step.how) in words for step in order_of_work(layout))
    assert all(tight(caution.text) in words for caution in CAUTIONS)


@pytest.mark.parametrize("scale", [0.1, 0.25, 0.37, 0.6])
def test_the_names_of_a_small_drawing_stand_between_its_frame_and_its_lines(scale: float) -> None:
    """In mm on paper: each name is as high as it says, above the lower edge and clear of the numbers of the tails."""
    for strip in strips(layout_of("tool-tray", "joint.width=200")):
        names = [item for item in smaller(strip, scale) if isinstance(item, Label) and item.text.endswith("face")]
        for name in names:
            low = name.at[1] * scale
            free = (0.0, strip.baselines[0]) if "show" in name.text else (max(strip.folds), strip.height)
            assert free[0] * scale < low
            assert low + name.height < free[1] * scale
        assert len(names) == (2 if scale > 0.2 else 0)
