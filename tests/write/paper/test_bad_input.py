"""Paper that cannot be made is refused in plain words and nothing is written; what is accepted never ends otherwise."""

from __future__ import annotations

import itertools
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from solids.base.errors import InputError
from solids.layout import Layout
from solids.recipe.tables.resolved import PaperName
from solids.write.drafting.paper import PAPERS
from solids.write.drafting.template import strips
from solids.write.drafting.tiling import MOST_PAGES, paginate
from solids.write.drafting.views import shop_drawing
from solids.write.files.table import write_files
from solids.write.paper.dxf import dxf_bytes
from solids.write.paper.notices import paper_notices
from solids.write.paper.setup_sheet import setup_sheet_bytes
from solids.write.paper.svg import svg_bytes
from solids.write.paper.typesetting.pdf import sheet_pdf
from tests.commands import contents, halfpin, refused
from tests.corners import piece_of
from tests.recipes import laid_out, problems, recipe_texts, try_lay_out

SIZES: tuple[PaperName, ...] = ("A4", "Letter", "A3")
THICK = ("tail_board.thickness=60", "pin_board.thickness=60")  # so that few strips share a sheet
TOO_WIDE = ("tool-tray", "joint.width=9000", "joint.tails=20", *THICK)


def on(layout: Layout, size: PaperName) -> Layout:
    return replace(layout, recipe=replace(layout.recipe, paper=replace(layout.recipe.paper, size=size)))


def all_paper(layout: Layout, size: PaperName) -> list[str]:
    """Makes everything; what is refused comes back in words. Anything but an InputError ends the test."""
    said = []
    paper_notices(layout)
    setup_sheet_bytes(on(layout, size), failing=False)
    try:
        sheet = shop_drawing(layout, size)
        sheet_pdf(sheet, "test")
        svg_bytes(sheet)
        dxf_bytes(sheet)
    except InputError as err:
        said.append(str(err))
    try:
        _, pages = paginate(strips(layout), PAPERS[size])
        assert len(pages) <= MOST_PAGES
    except InputError as err:
        said.append(str(err))
    return said


def extremes() -> list[tuple[str, ...]]:
    """Corners at the ends of what a recipe takes, those that are accepted."""
    found = []
    for width, tail, pin, kind, length in itertools.product(
        (20, 10_000), (1, 500), (1, 500), ("through", "half-blind"), (1, 9000)
    ):
        sizes = (f"joint.width={width}", f"tail_board.thickness={tail}", f"pin_board.thickness={pin}")
        asked = (
            *sizes,
            f"joint.kind={kind}",
            f"tail_board.length={length}",
            f"pin_board.length={length}",
            "joint.tails=1",
        )
        if not problems(*asked):
            found.append(asked)
    return found


def test_there_are_extremes_that_are_accepted() -> None:
    assert len(extremes()) >= 12


@pytest.mark.parametrize("asked", extremes(), ids=" ".join)
def test_every_accepted_extreme_makes_paper_or_is_refused_in_words(asked: tuple[str, ...]) -> None:
    for said in all_paper(laid_out(*asked), "A4"):
        assert said[0].isupper()
        assert "Error" not in said
        assert "a larger sheet (A3)" in said


@pytest.mark.parametrize("size", SIZES)
def test_ends_that_stand_far_proud_fit_their_paper(size: PaperName) -> None:
    layout = laid_out(
        "joint.width=300", "joint.pin=20", "joint.half_pin=21", "tail_board.proud=50", "pin_board.proud=50"
    )
    assert all_paper(layout, size) == []


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(recipe_texts(max_tails=6), st.sampled_from(SIZES))
@pytest.mark.whole
def test_every_random_recipe_that_is_accepted_makes_all_its_paper(text: str, size: PaperName) -> None:
    """At most 6 tails of 40 mm and pins: nothing here is too large for the paper."""
    layout = try_lay_out(text)
    assume(layout is not None)
    assert layout is not None
    assert all_paper(layout, size) == []


@pytest.mark.whole
def test_a_template_that_is_too_long_leaves_an_old_folder_as_it_was(tmp_path: Path) -> None:
    good = write_files(piece_of("tool-tray"), tmp_path, groups=("paper",))
    before = contents(good.folder)
    with pytest.raises(InputError, match="sheets of A4"):
        write_files(piece_of(*TOO_WIDE), tmp_path, groups=("paper",))
    assert contents(good.folder) == before
    assert [path.name for path in tmp_path.iterdir()] == [good.folder.name]


@pytest.mark.whole
def test_the_command_says_why_and_writes_nothing(tmp_path: Path) -> None:
    keys = [part for key in TOO_WIDE[1:] for part in ("--set", key)]
    said = refused("paper", "tool-tray", *keys, "--out", str(tmp_path))
    assert said.startswith("Error: The template would take ")
    assert "a larger sheet (A3)" in said
    assert list(tmp_path.iterdir()) == []


def test_the_command_writes_the_paper_of_a_named_size(tmp_path: Path) -> None:
    done = halfpin("paper", "tool-tray", "--set", 'title="木の箱"', "--size", "Letter", "--out", str(tmp_path))
    assert done.returncode == 0, done.stderr
    (folder,) = tmp_path.iterdir()
    names = {path.name for path in folder.iterdir()}
    assert names >= {"setup-sheet.pdf", "template.pdf", "drawing.dxf", "drawing.svg", "drawing.pdf"}
    assert "木 as Mu" in done.stderr
    assert "215.9mm" in (folder / "drawing.svg").read_text(encoding="utf-8")


def test_an_unknown_size_of_paper_is_refused(tmp_path: Path) -> None:
    said = refused("paper", "tool-tray", "--size", "A5", "--out", str(tmp_path))
    assert "A4" in said
    assert list(tmp_path.iterdir()) == []
