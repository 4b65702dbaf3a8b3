"""What is handed to CadQuery is what was proved: the same solids, with their names, places and woods."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path

import cadquery as cq
import pytest

from solids.base.errors import FileError, InputError, JointError, RecipeError
from solids.cadquery import box, corner
from solids.model.kernel import measure, volume_of
from solids.recipe import preset_text, read_recipe
from solids.recipe.text.reading import check_box, read_box
from solids.wood import find_wood
from tests.boxes import CASES as BOXES
from tests.boxes import ODD, box_case, raw_of
from tests.corners import CASES, case
from tests.recipes import HALF_BLIND, MINIMAL
from tests.sampling import few

Make = Callable[..., cq.Assembly]


def standing(part: cq.Assembly) -> cq.Shape:
    """The shape of a part where it stands."""
    return part.obj.moved(part.loc)


def are_alike(first: cq.Assembly, second: cq.Assembly) -> None:
    """Names, colours, woods, places and solids are the same."""
    assert first.name == second.name
    assert [part.name for part in first.children] == [part.name for part in second.children]
    for one, other in zip(first.children, second.children, strict=True):
        assert one.color.toTuple() == pytest.approx(other.color.toTuple(), abs=1e-6)
        assert one.material.name == other.material.name
        assert one.material.density == pytest.approx(other.material.density)
        for ours, theirs in zip(one.loc.toTuple(), other.loc.toTuple(), strict=True):
            assert ours == pytest.approx(theirs, abs=1e-9)
        assert sum(s.Volume() for s in one.shapes) == pytest.approx(sum(s.Volume() for s in other.shapes), rel=1e-9)
        # Where the shape ends up, whichever way its place is written.
        for ours, theirs in zip(span(one), span(other), strict=True):
            assert ours == pytest.approx(theirs, abs=1e-6)


def span(part: cq.Assembly) -> Iterable[float]:
    found = cq.Compound.makeCompound(part.shapes).moved(part.loc).BoundingBox()
    return found.xmin, found.xmax, found.ymin, found.ymax, found.zmin, found.zmax


# --- what comes out ------------------------------------------------------------------------------


@pytest.mark.parametrize("name", few(CASES, 6))
@pytest.mark.parametrize("finished", [False, True], ids=["cut", "finished"])
def test_a_corner_is_the_one_that_was_proved(name: str, finished: bool) -> None:
    job, made = case(name), corner(*the_call(CASES[name]), finished=finished)
    recipe, proved = job.layout.recipe, job.finished if finished else job.cut
    assert made.name == recipe.title
    assert [part.name for part in made.children] == ["tail board", "pin board"]
    for part, (_, solid), board in zip(
        made.children, proved.boards, (recipe.tail_board, recipe.pin_board), strict=True
    ):
        assert part.obj.isValid()
        assert part.loc.toTuple() == ((0, 0, 0), (0, 0, 0))
        assert measure(standing(part).wrapped) == measure(solid)
        assert part.color.toTuple() == pytest.approx((*(value / 255 for value in board.wood.rgb), 1.0), abs=1e-6)
        assert (part.material.name, part.material.density) == (board.wood.name, board.wood.density_g_cm3)


@pytest.mark.parametrize("name", few(BOXES, 2))
def test_a_box_is_the_one_that_was_proved(name: str) -> None:
    recipe = check_box(raw_of(*BOXES[name]))
    for finished, proved in ((False, box_case(name).proof.cut), (True, box_case(name).proof.finished)):
        made = box(recipe, finished=finished)
        assert [part.name for part in made.children] == [part.name for part in proved]
        for part, meant in zip(made.children, proved, strict=True):
            assert part.obj.isValid()
            ours, theirs = measure(standing(part).wrapped), measure(meant.in_place)
            assert ours.volume == pytest.approx(theirs.volume, rel=1e-9)
            assert ours.area == pytest.approx(theirs.area, rel=1e-9)
            assert ours.centroid == pytest.approx(theirs.centroid, abs=1e-6)
            assert part.color.toTuple() == pytest.approx((*(value / 255 for value in meant.wood.rgb), 1.0), abs=1e-6)
            assert part.material.name == meant.wood.name


def the_call(words: tuple[str, ...]) -> tuple[str, tuple[str, ...]]:
    name, *overrides = words
    return name, tuple(overrides)


def test_a_box_stands_as_its_frame_says() -> None:
    """240 x 160 x 80 mm outside, the front at Y = 0 and 12 mm thick, the right side at X = 240 and 10 mm thick; the
    bottom 5 mm thick and 10 mm up."""
    made = box("keepsake-box", finished=True)
    spans = {part.name: span(part) for part in made.children}
    assert spans["front"] == pytest.approx((0, 240, 0, 12, 0, 80), abs=1e-6)
    assert spans["back"] == pytest.approx((0, 240, 148, 160, 0, 80), abs=1e-6)
    assert spans["left"] == pytest.approx((0, 10, 0, 160, 0, 80), abs=1e-6)
    assert spans["right"] == pytest.approx((230, 240, 0, 160, 0, 80), abs=1e-6)
    assert spans["bottom"][4:] == pytest.approx((10, 15), abs=1e-6)


@pytest.mark.whole
def test_parts_that_are_alike_share_one_shape() -> None:
    made = box("keepsake-box").objects
    assert made["front"].obj is made["back"].obj
    assert made["left"].obj is made["right"].obj
    assert len({id(part.obj) for part in box(ODD).children}) == 5, "nothing in the odd box is alike"


def test_plugs_have_names_of_their_own() -> None:
    made = box("keepsake-box", ["box.groove.ends=plugged"], finished=True)
    plugs = [part.name for part in made.children][5:]
    assert plugs == ["plug front left", "plug front right", "plug back left", "plug back right"]


def test_what_a_board_weighs_is_its_volume_by_its_density() -> None:
    """Walnut sides of the keepsake box: 120687.857 mm3 at 616 kg/m3 are 74.34 g."""
    side = box("keepsake-box").objects["left"]
    assert side.obj.Volume() / 1000 * side.material.density == pytest.approx(74.344, abs=0.001)


# --- what goes in --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("make", "name", "read"),
    [(corner, "tool-tray", read_recipe), (box, "desk-drawer", read_box)],
    ids=["corner", "box"],
)
@pytest.mark.whole
def test_a_recipe_comes_from_wherever_it_is(
    make: Make, name: str, read: Callable[[str], object], tmp_path: Path
) -> None:
    text = preset_text(name)
    file = tmp_path / "own.toml"
    file.write_text(text, "utf-8")
    made = [make(source) for source in (name, text, file, str(file), read(name))]
    for other in made[1:]:
        are_alike(made[0], other)


def test_a_file_whose_name_holds_a_line_break_is_still_a_file(tmp_path: Path) -> None:
    file = tmp_path / "two\nlines.toml"
    file.write_text(MINIMAL, "utf-8")
    are_alike(corner(str(file)), corner(MINIMAL))


def test_overrides_are_those_of_the_command() -> None:
    """96 mm less two half pins of 6 and four pins of 3 leave 72 mm for five tails."""
    made = corner("tool-tray", ["joint.tails=5", "tail_board.wood=walnut"], finished=True)
    tails = cq.Workplane(made.objects["tail board"].obj).faces(">Y")
    assert tails.size() == 5
    assert sum(face.Area() for face in tails.vals()) == pytest.approx(72 * 10)
    assert made.objects["tail board"].material.name == find_wood("walnut").name


@pytest.mark.parametrize("title", ["tail board", "pin board"])
def test_a_title_may_be_the_name_of_a_part(title: str) -> None:
    made = corner(MINIMAL, [f"title={title}"])
    assert made.name == f"{title} assembly"
    assert made.objects[title].obj.isValid()


# --- what is refused -----------------------------------------------------------------------------


@pytest.mark.parametrize("make", [corner, box])
def test_a_recipe_that_is_refused_says_why(make: Make) -> None:
    name = "tool-tray" if make is corner else "keepsake-box"
    with pytest.raises(RecipeError) as caught:
        make(name, ["joint.tales=5", "kit.saw_kerf=-1"])
    assert [problem.key for problem in caught.value.problems] == ["joint.tales", "kit.saw_kerf"]


def test_a_resolved_recipe_that_cannot_be_laid_out_is_refused() -> None:
    """Half pins of 60 mm in a board of 96."""
    with pytest.raises(RecipeError, match=r"joint\.width: 96 mm leaves nothing"):
        corner(replace(read_recipe("tool-tray"), half_pin=60.0))


def test_what_is_no_recipe_is_told_as_elsewhere() -> None:
    with pytest.raises(InputError, match="did you mean 'tool-tray'"):
        corner("tool-try")
    with pytest.raises(FileError, match="does not exist"):
        box("no/such/box.toml")
    with pytest.raises(InputError, match=r"recipe is not TOML.*line 2"):
        corner("[joint]\nwidth = = 96\n")


@pytest.mark.parametrize("as_resolved", [False, True])
def test_the_other_function_is_named(as_resolved: bool) -> None:
    with pytest.raises(InputError, match=r"whole box; call solids\.cadquery\.box"):
        corner(read_box("keepsake-box") if as_resolved else "keepsake-box")
    with pytest.raises(InputError, match=r"single corner; call solids\.cadquery\.corner"):
        box(read_recipe("tool-tray") if as_resolved else "tool-tray")


def test_a_resolved_recipe_takes_no_overrides() -> None:
    with pytest.raises(InputError, match="read it with them"):
        corner(read_recipe("tool-tray"), ["joint.tails=5"])


@pytest.mark.parametrize(("make", "name"), [(corner, "tool-tray"), (box, "keepsake-box")])
def test_what_fails_its_proof_is_handed_out_only_where_asked(make: Make, name: str) -> None:
    with pytest.raises(JointError, match=r"fails its proof: .*anyway=True") as caught:
        make(name, ["fit.flank_gap=-0.2"])
    assert str(caught.value).startswith(name.replace("-", " "))
    made = make(name, ["fit.flank_gap=-0.2"], anyway=True)
    assert all(part.obj.isValid() for part in made.children)


# --- to other programs ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    "made",
    [
        lambda: corner(MINIMAL, HALF_BLIND),
        lambda: corner("shoe-bench", finished=True),
        lambda: box("keepsake-box", ["box.groove.ends=plugged"], finished=True),
        lambda: box(ODD),
    ],
    ids=["half-blind", "ends proud", "plugged box", "odd box"],
)
def test_step_comes_back_with_names_colours_woods_and_places(made: Callable[[], cq.Assembly], tmp_path: Path) -> None:
    meant = made()
    meant.export(str(tmp_path / "it.step"))
    are_alike(cq.Assembly.importStep(str(tmp_path / "it.step")), meant)


def test_a_compound_loses_its_wood_in_cadquerys_step(tmp_path: Path) -> None:
    """Why the examples end with `.solids().val()`."""
    tray = corner("tool-tray")
    board = tray.objects["tail board"]
    bored = cq.Workplane(board.obj).faces(">Z").workplane(centerOption="CenterOfMass").hole(8)
    for shape, wood in ((bored.val(), None), (bored.solids().val(), "cherry")):
        board.obj = shape
        tray.export(str(tmp_path / "bored.step"))
        back = cq.Assembly.importStep(str(tmp_path / "bored.step")).objects["tail board"]
        assert (back.material and back.material.name) == wood


def test_cadquerys_step_garbles_names_outside_ascii(tmp_path: Path) -> None:
    made = corner("tool-tray", ["title=Kästchen"])
    assert made.name == "Kästchen"
    made.export(str(tmp_path / "it.step"))
    assert cq.Assembly.importStep(str(tmp_path / "it.step")).name == "KÃ¤stchen"


def test_solids_are_not_changed_by_what_cadquery_does_with_them() -> None:
    job = case("through")
    before = volume_of(job.cut.tail_board)
    board = cq.Solid(job.cut.tail_board)
    assert board.cut(cq.Solid.makeCylinder(5, 50, cq.Vector(48, -60, -20))).Volume() < before
    assert volume_of(job.cut.tail_board) == before
