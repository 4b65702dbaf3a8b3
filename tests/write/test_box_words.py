"""What is said of a box: its report, its note, its sheet, and the papers of its corners."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import ezdxf
import jsonschema
import pypdfium2
import pytest

from solids.base.cautions import CAUTIONS
from solids.bench.box_procedure import BoxWork, box_work
from solids.bench.worktime import corners_of, time_words
from solids.layout.box.cut_list import cut_list, cut_list_rows
from solids.layout.box.refusals import lay_out_box
from solids.proof.assembly import PieceProof
from solids.recipe.tables.box_resolved import SIDES
from solids.recipe.text.reading import check_box
from solids.write.files.table import Job, prove_layout, write_files
from solids.write.report import BoxReport, piece_report, report_bytes, report_schema
from tests.boxes import box_case, job_of_box, raw_of
from tests.layout.lopsided import OVERRIDES, lopsided
from tests.model.by_slices import board_volume
from tests.sampling import few

BOXES = ("keepsake", "drawer", "lopsided")
ON_PAPER = BOXES[:2]
WITH_PAPER = ("corner", "paper")


def work_of(proof: PieceProof) -> BoxWork:
    """The order of work, in the order in which the box was proved to go together."""
    return box_work(proof.box, [joint.layout for joint in proof.joints], proof.steps, proof.parts)


@cache
def job_of(name: str) -> Job:
    return lopsided("stopped") if name == "lopsided" else box_case(name)


class Folders(dict[str, Path]):
    """The folder of each box by its name, written when it is first asked for, and of two of them with their papers."""

    def __init__(self, out: Path) -> None:
        super().__init__()
        self._out = out

    def __missing__(self, name: str) -> Path:
        groups = WITH_PAPER if name in ON_PAPER else ("corner",)
        self[name] = write_files(job_of(name), self._out, groups=groups).folder
        return self[name]


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> Folders:
    return Folders(tmp_path_factory.mktemp("boxes"))


def report_of(folder: Path) -> dict[str, Any]:
    return json.loads((folder / "report.json").read_text("utf-8"))  # type: ignore[no-any-return]


def plain(job: Job) -> dict[str, Any]:
    """The report of a proved box, as it is read."""
    return json.loads(report_bytes(piece_report(job.proof.assembly, job.proof)))  # type: ignore[no-any-return]


def flat(text: str) -> str:
    return " ".join(text.split())


def pdf_text(path: Path, pages: int | None = None) -> str:
    document = pypdfium2.PdfDocument(path)
    try:
        assert pages is None or len(document) == pages
        return flat(" ".join(page.get_textpage().get_text_range() for page in document))
    finally:
        document.close()


# --- report ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", BOXES)
@pytest.mark.whole
def test_the_report_is_valid_and_lists_every_file_with_its_size_and_hash(folders: Folders, name: str) -> None:
    folder = folders[name]
    whole = report_of(folder)
    jsonschema.Draft202012Validator.check_schema(report_schema(BoxReport))
    jsonschema.validate(whole, report_schema(BoxReport))
    found = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
    assert {record["name"] for record in whole["files"]} == found - {"report.json"}
    for record in whole["files"]:
        data = (folder / record["name"]).read_bytes()
        assert (record["bytes"], record["sha256"]) == (len(data), hashlib.sha256(data).hexdigest())
        assert record["stale"] is False


@pytest.mark.whole
def test_a_report_with_a_key_more_or_less_or_of_another_kind_is_not_valid() -> None:
    whole = plain(job_of("drawer"))
    for harm in ({"extra": 1}, {"passes": "yes"}, {"boards": None}, {"schema": "urn:halfpin:report:1"}):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate({**whole, **harm}, report_schema(BoxReport))
    for key in ("order", "cut_list", "bottom", "corners", "files"):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate({k: v for k, v in whole.items() if k != key}, report_schema(BoxReport))


@pytest.mark.parametrize("name", few(BOXES, 1))
def test_the_report_holds_the_numbers_of_the_box(folders: Folders, name: str) -> None:
    job, whole = job_of(name), report_of(folders[name])
    box = job.proof.box
    assert whole["outside_mm"] == pytest.approx([*box.outside, box.recipe.height])
    assert [board["name"] for board in whole["boards"]] == list(SIDES)
    for board in whole["boards"]:
        for key, finished in (("volume_as_cut_mm3", False), ("volume_as_finished_mm3", True)):
            assert board[key] == pytest.approx(board_volume(box, board["name"], finished=finished), rel=1e-9)
        assert len(board["place"]) == 3
    assert [row["name"] for row in whole["cut_list"]] == [row.name for row in cut_list(box)]
    assert [move["part"] for move in whole["order"]] == [move.part for move in job.proof.order.moves]
    assert {each for corner in whole["corners"] for each in corner["names"]} == set(box.corners)
    assert {choice["key"] for choice in whole["choices"]} == {choice.key for choice in box.recipe.choices}
    benches = {each: corner["report"]["bench"] for corner in whole["corners"] for each in corner["names"]}
    for key in ("least_minutes", "most_minutes"):
        each = [benches[name][key] for name in box.corners]
        assert max(each) < whole[key] < sum(each), "getting set up counts once"


def test_nothing_stands_for_a_bottom_that_is_not_there() -> None:
    whole = plain(box_case("no bottom"))
    assert whole["bottom"] is None
    jsonschema.validate(whole, report_schema(BoxReport))


@pytest.mark.parametrize("name", OVERRIDES)
def test_the_report_of_every_way_to_make_a_box_is_valid(name: str) -> None:
    whole = plain(lopsided(name))
    jsonschema.validate(whole, report_schema(BoxReport))
    assert whole["passes"] is True


def numbers(value: Any) -> Iterator[float]:
    if isinstance(value, dict):
        for each in value.values():
            yield from numbers(each)
    elif isinstance(value, list):
        for each in value:
            yield from numbers(each)
    elif isinstance(value, float):
        yield value


def test_numbers_are_told_without_the_dust_of_arithmetic() -> None:
    whole = plain(job_of("lopsided"))
    assert all(len(repr(abs(number)).replace(".", "").lstrip("0")) <= 17 for number in numbers(whole))
    assert whole["outside_mm"][0] == 251


# --- note ------------------------------------------------------------------------------------------


FILE = r"`([a-z0-9/-]+\.(?:step|stl|csv|md|json|pdf|dxf|svg))`"


def note_of(folder: Path) -> str:
    return (folder / "box-note.md").read_text("utf-8")


@pytest.mark.parametrize("name", few(BOXES, 1))
def test_the_note_holds_cut_list_marks_order_and_every_caution(folders: Folders, name: str) -> None:
    job, note = job_of(name), note_of(folders[name])
    for caution in CAUTIONS:
        assert flat(caution.text) in flat(note)
    _, rows = cut_list_rows(job.proof.box)
    for row in rows:
        assert f"| {' | '.join(row)} |" in note
    for row in cut_list(job.proof.box):
        assert f"- **{row.name}**: {flat(row.mark)}. The grain runs {row.grain}." in flat(note).replace("  ", " ")
    steps, work = job.proof.steps, work_of(job.proof)
    places = [flat(note).index(f"{number}. {step}") for number, step in enumerate(work.together, start=1)]
    places += [flat(note).index(step) for step in steps[len(work.together) :]]
    assert places == sorted(places)
    for finding in job.proof.findings:
        assert flat(finding.said) in flat(note)
    for choice in job.proof.box.recipe.choices:
        assert f"`{choice.key}` = {choice.value}" in flat(note)
    assert "Do not cut it" not in note
    assert max(len(line) for line in note.splitlines() if not line.startswith("|")) <= 100


@pytest.mark.parametrize("name", few(BOXES, 1))
def test_every_file_that_the_note_of_a_box_names_is_there(folders: Folders, name: str) -> None:
    here, _, more = note_of(folders[name]).partition("There is more, for the asking:")
    named = set(re.findall(FILE, here))
    there = {path.relative_to(folders[name]).as_posix() for path in folders[name].rglob("*")}
    assert named
    assert named <= there
    assert named >= {"box.step", "cut-list.csv", "boards/front.stl"}
    assert all(f"[`{file}`]({file})" in more for file in ("box-sheet.pdf", "box.html", "box.png")), "of other commands"


@pytest.mark.parametrize("name", few(BOXES, 1))
def test_every_file_that_the_notes_for_cnc_name_is_there(folders: Folders, name: str) -> None:
    there = {path.relative_to(folders[name]).as_posix() for path in folders[name].rglob("*")}
    notes = list(folders[name].glob("*-note.md"))
    assert len(notes) == len(job_of(name).proof.joints) + 1
    for note in notes:
        text = note.read_text("utf-8").partition("There is more, for the asking:")[0]
        named = set(re.findall(FILE, text))
        assert named <= there, note.name
        assert any(file.startswith("boards/") for file in named)


def layers_of(path: Path) -> set[str]:
    return {entity.dxf.layer for entity in ezdxf.readfile(path).modelspace()}


@pytest.mark.whole
def test_each_note_for_cnc_names_the_drawings_of_its_boards_and_the_layers_in_them(tmp_path: Path) -> None:
    """The endings of the paths' layers, the setup that each end has, and the groove."""
    job = job_of_box("desk-drawer", "kit.cutters=[3, 6, 10]")
    folder = write_files(job, tmp_path).folder
    for corner in job.proof.joints:
        note = flat((folder / f"{corner.kind.slug}-cnc-jig-note.md").read_text("utf-8"))
        met = {side for corner_name in corner.kind.names for side in corner_name.split()}
        assert {file.split("/")[1].split(".")[0] for file in re.findall(r"`(boards/[^`]+)`", note)} == met
        drawn = {side: layers_of(folder / f"boards/{side}.dxf") for side in met}
        every = set().union(*drawn.values())
        endings = set(re.findall(r"`((?:clear|last) D[^`]*)`", note))
        assert len(endings) >= 2
        assert all(any(layer.endswith(f" {ending}") for layer in every) for ending in endings)
        ends = re.findall(r"In `boards/(\w+)\.dxf` this end is on the layers that begin with `([^`]+)`", note)
        assert ends
        for board, setup in ends:
            assert any(layer.startswith(f"{setup} sockets") for layer in drawn[board])
        for layer in re.findall(r"`(flat (?:groove|last)[^`]*)`", note):
            assert layer in every
        assert ("**The groove.**" in note) is any("groove" in layer for layer in every)


@pytest.mark.whole
def test_a_change_of_cutters_leaves_the_models_of_a_box_as_good_as_they_were(tmp_path: Path) -> None:
    folder = write_files(job_of_box("desk-drawer"), tmp_path, groups=WITH_PAPER).folder
    written = write_files(job_of_box("desk-drawer", "kit.cutters=[3, 6, 10]"), tmp_path, groups=("paper",))
    drawings = {f"boards/{path.name}" for path in folder.glob("boards/*.dxf")}
    assert len(drawings) == 5
    assert set(written.stale) == {path.name for path in folder.glob("*-cnc-jig-note.md")} | drawings


@pytest.mark.whole
def test_a_wood_of_any_name_keeps_the_table_whole(tmp_path: Path) -> None:
    job = job_of_box("keepsake-box", 'tail_board.wood={name = "a|b", kind = "hardwood", density = 690}')
    note = note_of(write_files(job, tmp_path).folder)
    rows = [line for line in note.splitlines() if line.startswith("| ")]
    assert {len(re.findall(r"(?<!\\)\|", row)) for row in rows} == {7}


GLUED = {
    "keepsake-box": "and in the groove of the bottom too if you like: plywood hardly moves.",
    "desk-drawer": "It hardly moves: it needs no slots, and glue in its groove does no harm.",
}


@pytest.mark.parametrize("name", list(GLUED))
@pytest.mark.whole
def test_the_papers_of_a_plywood_bottom_tell_nothing_of_solid_wood(tmp_path: Path, name: str) -> None:
    """It hardly moves: it need not stay dry or loose, it is not planed, and only its faces have a grain."""
    job = job_of_box(name, "box.panel.kind=plywood")
    folder = write_files(job, tmp_path, groups=WITH_PAPER).folder
    note, sheet = flat(note_of(folder)), pdf_text(folder / "box-sheet.pdf", 1)
    for text in (note, sheet):
        assert GLUED[name] in text
        assert not re.search(r"stays (dry|loose)|dab of glue|across its grain", text)
        assert all(step in text for step in job.proof.steps)
    assert "plywood is sawn to its size straight away" in note
    assert "The grain of its faces runs from left to right." in note


@pytest.mark.whole
def test_a_title_of_any_letters_is_a_title_in_markdown(tmp_path: Path) -> None:
    note = note_of(write_files(job_of_box("keepsake-box", 'title="a *b* <i>"'), tmp_path).folder)
    assert "*b*" not in note.replace("\\*b\\*", "")


@pytest.mark.whole
def test_a_box_that_fails_says_so_on_every_paper(tmp_path: Path) -> None:
    job = job_of_box("keepsake-box", "fit.flank_gap=-0.08")
    folder = write_files(job, tmp_path, groups=WITH_PAPER).folder
    assert "Do not cut it" in note_of(folder)
    assert "- FAILS:" in note_of(folder)
    assert "do not cut it" in pdf_text(folder / "box-sheet.pdf", 1).lower()
    assert report_of(folder)["passes"] is False


# --- sheet and papers ------------------------------------------------------------------------------


@pytest.mark.parametrize("name", few(ON_PAPER, 1))
def test_the_sheet_is_one_page_with_cut_list_marks_order_and_cautions(folders: Folders, name: str) -> None:
    job, text = job_of(name), pdf_text(folders[name] / "box-sheet.pdf", 1)
    for caution in CAUTIONS:
        assert flat(caution.text) in text
    for row in cut_list(job.proof.box):
        assert f"{row.name}: {flat(row.mark)}." in text
    _, rows = cut_list_rows(job.proof.box)
    for row in rows[:-1]:
        for cell in row[2:5]:
            assert cell.replace(" ", "") in text.replace(" ", "")
    for step in job.proof.steps:
        assert step in text
    assert time_words(corners_of(job.proof.assembly)) in text


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.whole
def test_the_sheet_of_the_fullest_box_fits_its_page(tmp_path: Path, size: str) -> None:
    """Inches take the most words, eighty letters the most room, a failing proof the most sentences."""
    title = "walnut " * 11 + "box"
    job = job_of_box(
        "desk-drawer", f"paper.size={size}", f'title="{title}"', "fit.flank_gap=-0.08", "stock.length=3000"
    )
    folder = write_files(job, tmp_path, groups=("paper",)).folder
    document = pypdfium2.PdfDocument(folder / "box-sheet.pdf")
    assert len(document) == 1
    width, height = (side / 72 * 25.4 for side in document[0].get_size())
    document.close()
    assert (width, height) == pytest.approx({"A4": (210, 297), "Letter": (215.9, 279.4)}[size], abs=0.2)
    text = pdf_text(folder / "box-sheet.pdf")
    for caution in CAUTIONS:
        assert flat(caution.text) in text


@pytest.mark.parametrize("name", few(ON_PAPER, 1))
def test_each_kind_of_corner_has_its_own_papers(folders: Folders, name: str) -> None:
    job = job_of(name)
    for corner in job.proof.joints:
        names = {path.name for path in (folders[name] / corner.kind.slug).iterdir()}
        assert names == {"setup-sheet.pdf", "template.pdf", "drawing.dxf", "drawing.svg", "drawing.pdf"}
    below = {path.name for path in folders[name].iterdir() if path.is_dir()}
    assert below == {"boards", "drawings", *(corner.kind.slug for corner in job.proof.joints)}


@pytest.mark.parametrize("name", few(ON_PAPER, 1))
def test_no_setup_sheet_saws_a_board_too_short(folders: Folders, name: str) -> None:
    """Whoever follows "Saw to length" with a board of the cut list must be left with that board."""
    job = job_of(name)
    for corner in job.proof.joints:
        text = pdf_text(folders[name] / corner.kind.slug / "setup-sheet.pdf")
        for words in re.findall(r"Saw to length\. Tail board ([\d.]+) mm, pin board ([\d.]+) mm", text):
            end, hand = corner.kind.names[0].split()
            sides = (hand, end) if job.proof.box.recipe.tails_on_sides else (end, hand)
            for told, side in zip(words, sides, strict=True):
                assert float(told) >= job.proof.box.boards[side].end_to_end(finished=False) - 0.05  # type: ignore[index]


@pytest.mark.parametrize(
    ("slug", "words"),
    [
        ("back-left-corner", "On the left board the joint begins 16 mm (0.63 in) above the reference edge"),
        ("back-right-corner", "On the right board the joint begins 16 mm (0.63 in) above the reference edge"),
    ],
)
def test_the_marks_at_the_back_of_a_drawer_are_measured_from_where_they_begin(
    folders: Folders, slug: str, words: str
) -> None:
    """The back stands 10 + 6 mm above the reference edge; on the sides its joint begins there, not at their edge. Every
    paper that is taken to the bench or the machine says so."""
    folder = folders["drawer"]
    places = {
        "note": flat(note_of(folder)).split("## Corners")[1],
        "note for CNC": flat((folder / f"{slug}-cnc-jig-note.md").read_text("utf-8")),
        "sheet of the box": pdf_text(folder / "box-sheet.pdf"),
        **{name: pdf_text(folder / slug / f"{name}.pdf") for name in ("setup-sheet", "template", "drawing")},
    }
    for place, text in places.items():
        assert words in text, place
        assert "below it stays. Do not saw it off." in text, place


def words_of(folder: Path, board: str) -> str:
    """What stands beside a board in its drawing, line after line."""
    space = ezdxf.readfile(folder / "boards" / f"{board}.dxf").modelspace()
    return " ".join(text.dxf.text for text in space.query("TEXT"))


def feet_on_the_flat(path: Path, end: str, job: Job) -> tuple[list[float], str]:
    """Where the tails of a side stand on the baseline at one end, from the reference edge down, and on which side the
    pin board that is set up at this corner has its reference edge. The right side has its front end to the left when it
    lies on its show face with the reference edge away; the left side has its back end there."""
    (outline,) = [e for e in ezdxf.readfile(path).modelspace() if e.dxf.layer == "flat outline"]
    points = [(x, y) for x, y, *_ in outline.get_points()]
    on_the_left = (path.stem == "right") == (end == "front")
    long = max(x for x, _ in points)
    # 12 mm of pin board and 0.5 mm proud.
    baseline = 12.5 if on_the_left else long - 12.5
    found = sorted(-y for x, y in points if abs(x - baseline) < 1e-6)
    assert (found[0], found[-1]) == pytest.approx((0, job.proof.box.recipe.height))
    return found[1:-1], "left" if on_the_left else "right"


@pytest.mark.whole
def test_papers_of_a_lopsided_joint_are_of_the_hand_of_their_corners(tmp_path: Path) -> None:
    """Tails of 30, 10 and 22 mm from the reference edge. Seen on the show face with the end away from you, that edge is
    on the left at two corners and on the right at the two others."""
    raw = raw_of("keepsake-box", "joint.spacing=[30, 10, 22]", "box.groove.up=12")
    job = prove_layout(lay_out_box(check_box(raw)))
    folder = write_files(job, tmp_path, groups=WITH_PAPER).folder
    for corner in job.proof.joints:
        layout = corner.layout
        upright = job.proof.box.corners[corner.kind.names[0]].upright
        assert [round(tail.width, 6) for tail in layout.tails] == ([30, 10, 22] if upright else [22, 10, 30])
        assert [(tail.number, round(tail.width, 6)) for tail in layout.counted(layout.tails)] == [
            (1, 30),
            (2, 10),
            (3, 22),
        ], "counted from the reference edge"
        from_edge = sorted(
            80 - x if layout.mirrored else x for tail in layout.tails for x in layout.tail_edges(tail, 0.0)
        )
        for name in corner.kind.names:
            end, hand = name.split()
            feet, edge_on = feet_on_the_flat(folder / "boards" / f"{hand}.dxf", end, job)
            assert feet == pytest.approx(from_edge), "measured from the reference edge, at Y = 0"
            words = re.findall(rf"{hand} end: upright.*?reference edge on the (left|right)", words_of(folder, end))
            assert words == [edge_on]
        note = flat((folder / f"{corner.kind.slug}-cnc-jig-note.md").read_text("utf-8"))
        side = "left" if upright else "right"
        runs = "to the right" if upright else "to the left, below 0"
        assert f"The reference edge is on the {side}, and X runs {runs}." in note
        assert ("set X to -80 mm there" in note) is not upright, "the jig registers on the left edge"
        assert ("This same zero is marked on it" in note) is upright
        assert "from the reference edge" in pdf_text(folder / corner.kind.slug / "setup-sheet.pdf")


def test_one_drawing_serves_both_hands_of_a_joint_that_is_its_own_mirror_image(folders: Folders) -> None:
    words = (
        "At the front left and back right it is on the right, seen on the show face with the raw end up, and the joint"
    )
    (corner,) = job_of("keepsake").proof.joints
    assert words in pdf_text(folders["keepsake"] / corner.kind.slug / "setup-sheet.pdf")
    assert words in flat(note_of(folders["keepsake"]))


@pytest.mark.parametrize("name", few(ON_PAPER, 1))
def test_the_sheet_has_the_groove_before_the_joints_and_the_glue_before_the_order(folders: Folders, name: str) -> None:
    """A plough runs along whole edges, before they are cut into; glue is on before the boards come together."""
    job, text = job_of(name), pdf_text(folders[name] / "box-sheet.pdf", 1)
    work = work_of(job.proof)
    heads = [f"{step.what}." for step in work.before]
    groove = ["Plough the groove."] if job.proof.box.panel else []
    assert heads == ["Prepare the boards.", *groove, "Cut the joints.", "Try it dry.", "Glue."]
    told = [*heads, *work.together, *(f"{step.what}." for step in work.after)]
    places = [text.index(words) for words in told]
    assert places == sorted(places)
    note = flat(note_of(folders[name]))
    assert all(flat(step.how) in note for step in (*work.before, *work.after))
    panel = job.proof.box.panel and job.proof.box.recipe.panel
    assert (
        ("the bottom: it slides in later" in text) == ("Slide it in from" in text) == bool(panel and panel.under_back)
    )
    assert ("a dab in the middle" in text) == ("dry but for the dabs" in text) == bool(panel and not panel.free)
