"""The files of the shop aids: under `aids/`, listed, re-read, kept by other commands, and stale when they should be."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from solids.aids.making.asked import asked_for
from solids.base.cautions import CAUTIONS
from solids.base.errors import FileError, ReadBackError
from solids.base.messages import said
from solids.model.kernel import bounds, slack_of, volume_of
from solids.model.manifold import examine
from solids.write.files.aid_files import aid_files
from solids.write.files.job import Job
from solids.write.files.table import NOTE, Written, write_files
from solids.write.formats import stl
from solids.write.named import BOOKLET
from solids.write.notes import aids_note, markdown
from solids.write.report import NAME, Report
from solids.write.report.records.aids import AidsReport
from tests import corners
from tests.commands import names_below, whole
from tests.corners import job_of, piece_of
from tests.part21 import read_step

ONE = ("marking-template",)
ONE_FILES = {
    *(f"aids/marking-template.{ending}" for ending in ("stl", "step", "svg")),
    *(f"aids/marking-template-milled.{ending}" for ending in ("stl", "step", "svg")),
    *(f"aids/marking-template-milled-drawing.{ending}" for ending in ("dxf", "svg", "pdf")),
    *(f"aids/marking-template-nest.{ending}" for ending in ("stl", "step", "svg")),
    *(f"aids/marking-template-{name}" for name in ("plate.3mf", "aids-note.md", "aids-checks.json")),
}
"""Plates and note of some kinds have a name of their own, so that those of all kinds stay."""

CORNER_FILES = set(corners.CORNER_FILES)


def asking(*overrides: str, only: Iterable[str] = ONE, slopes: str = "", preset: str = "tool-tray") -> Job:
    return replace(piece_of(preset, *overrides), aids=asked_for(only, slopes))


def aids(job: Job, out: Path) -> Written:
    return write_files(job, out, groups=("aids",))


def report_in(folder: Path) -> Report:
    return Report.model_validate_json((folder / NAME).read_bytes())


def stale_in(folder: Path) -> set[str]:
    return {record.name for record in report_in(folder).files if record.stale}


@pytest.fixture(scope="module")
def all_of_it(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the tool tray with every aid, written once."""
    out = tmp_path_factory.mktemp("all")
    written = aids(piece_of(), out)
    assert written.folder == out / "tool-tray"
    assert written.count == len(names_below(written.folder))
    return written.folder


@pytest.mark.whole
def test_every_aid_has_a_mesh_a_solid_and_a_picture_and_there_are_plates_checks_and_a_note(all_of_it: Path) -> None:
    good = [proved.aid.name for proved in job_of().workshop.good]
    expected = {f"aids/{name}.{ending}" for name in good for ending in ("stl", "step", "svg")}
    found = names_below(all_of_it)
    drawings = {f"aids/marking-template-milled-drawing.{ending}" for ending in ("dxf", "svg", "pdf")}
    assert found == expected | drawings | {
        "aids/plate-1.3mf",
        "aids/plate-2.3mf",
        "aids/aids-note.md",
        "aids/aids-checks.json",
        NAME,
    }
    assert {file.name for file in aid_files(job_of())} == found - {NAME}


def test_the_report_lists_every_file_with_what_it_holds_its_size_and_nothing_stale(all_of_it: Path) -> None:
    report = report_in(all_of_it)
    assert {record.name for record in report.files} == names_below(all_of_it) - {NAME}
    for record in report.files:
        assert record.bytes == (all_of_it / record.name).stat().st_size
        assert record.holds
        assert not record.stale
    names = [record.name for record in report.files]
    assert names == sorted(names), "aids stand by name"


@pytest.mark.whole
def test_meshes_read_back_closed_with_the_volume_of_their_solid_lying_on_the_bed(all_of_it: Path) -> None:
    for proved in job_of().workshop.good:
        points, triangles = stl.read_stl(all_of_it / "aids" / f"{proved.aid.name}.stl")
        found = examine(points, triangles)
        assert (found.closed, found.bodies) == (True, 1)
        volume, slack = volume_of(proved.aid.solid), slack_of(proved.aid.solid)
        assert found.volume == pytest.approx(volume, abs=1e-6 * volume + slack)
        assert slack < 1e-3 * volume
        assert points[:, 2].min() == pytest.approx(0.0, abs=1e-6)
        low, high = bounds(proved.aid.solid)
        assert points.min(axis=0) == pytest.approx(low, abs=1e-4)
        assert points.max(axis=0) == pytest.approx(high, abs=1e-4)


def test_step_files_hold_one_solid_of_the_aids_name_as_a_reader_without_the_kernel_finds(all_of_it: Path) -> None:
    for name in ("marking-template", "cnc-cradle", "paring-block-tails"):
        read = read_step((all_of_it / "aids" / f"{name}.step").read_bytes())
        assert [record.values[0] for record in read.all("MANIFOLD_SOLID_BREP")] == [name]


def test_the_note_has_a_part_for_every_aid_why_others_are_not_made_and_all_cautions(all_of_it: Path) -> None:
    text = (all_of_it / "aids" / "aids-note.md").read_text("utf-8")
    workshop = job_of().workshop
    for proved in workshop.good:
        aid = proved.aid
        assert f"\n## {said(aid.title)}\n" in text
        assert f"\n## {said(aid.title)}\n\n{said(aid.purpose)}\n\n![{said(aid.title)}, as it lies on the bed](" in text
        assert (all_of_it / "aids" / f"{aid.name}.svg").is_file()
        assert f"]({aid.name}.svg)" in text
        assert said(aid.how_to) in text
        assert not proved.takes or f"{said(aid.printing)} {said(proved.print_words)}\n" in text
        assert said(aid.printing) in text
        assert f"`{aid.name}.stl`" in text
        assert all(f"- {name}: {said(value)}\n" in text for name, value in aid.figures)
    for refusal in workshop.refused:
        assert f"- {refusal.name}: {said(refusal.why)} {said(refusal.remedy)}\n" in text
    assert all(caution.text in text for caution in CAUTIONS)
    assert text.endswith("A printed aid shows where to cut. It will not stop a blade.\n")


def test_the_note_tells_its_checks_in_one_line_and_the_file_beside_it_tells_all(all_of_it: Path) -> None:
    text = (all_of_it / "aids" / "aids-note.md").read_text("utf-8")
    lines = [line for line in text.splitlines() if line.startswith("- Checked: ")]
    good = job_of().workshop.good
    assert len(lines) == len(good)
    assert lines[0] == (
        "- Checked: watertight, overhangs nowhere, no wall under 3.5 mm, finds room on your bed, all angles within "
        "0.01 degrees, fits the boards, bears on the boards at 4 places, and works in the plane that the joint wants."
    )
    assert any("fits the joint with 0.2 mm to spare" in line for line in lines)
    assert "every check" in text.casefold()
    assert "`aids-checks.json`" in text
    record = AidsReport.model_validate_json((all_of_it / "aids" / "aids-checks.json").read_bytes())
    assert [aid.name for aid in record.aids] == [proved.aid.name for proved in good]
    for aid, proved in zip(record.aids, good, strict=True):
        assert [check.sentence for check in aid.checks] == [finding.said for finding in proved.findings]
        assert (aid.printed is None) == (not proved.aid.to_print)
        assert aid.printed is None or aid.printed.grams == pytest.approx(proved.takes.grams if proved.takes else 0.0)


def test_every_field_of_the_checks_is_described() -> None:
    schema = AidsReport.model_json_schema()
    own = [schema, schema["$defs"]["AidRecord"], schema["$defs"]["PrintRecord"]]
    for model in own:
        assert all(field.get("description") for field in model["properties"].values()), model["title"]


def test_the_note_says_which_to_print_first_and_why(all_of_it: Path) -> None:
    text = (all_of_it / "aids" / "aids-note.md").read_text("utf-8")
    said_first = job_of().workshop.first_words
    assert f"\n**{said_first}**\n" in text
    assert said_first.startswith("Print coupon-tail with coupon-pin-2 first (about 45 min together): they are small, ")
    assert said_first.endswith("Then print marking-template (about 15 min), the first that you use on the wood.")
    assert asking().joints[0].workshop.first_words == "", "there is nothing to choose"


@pytest.mark.whole
def test_the_note_says_nothing_of_words_where_there_are_none() -> None:
    job = job_of("gauge-case")
    assert any(not proved.aid.engraved for proved in job.workshop.good), "the case that this is about"
    assert 'It is engraved ""' not in aids_note.note_bytes(job.layout, job.workshop).decode()


@pytest.mark.parametrize("lost", ["It will not stop a blade.", CAUTIONS[-1].text], ids=["the end", "a caution"])
def test_a_note_that_is_not_whole_is_refused(tmp_path: Path, lost: str) -> None:
    (job,) = asking().joints
    path = tmp_path / "aids-note.md"
    path.write_bytes(aids_note.note_bytes(job.layout, job.workshop))
    markdown.reread(path, aids_note.END)
    path.write_text(path.read_text("utf-8").replace(lost, ""), "utf-8")
    with pytest.raises(ReadBackError, match="is not whole"):
        markdown.reread(path, aids_note.END)


@pytest.mark.whole
def test_every_file_is_read_back_and_a_wrong_one_is_refused(all_of_it: Path, tmp_path: Path) -> None:
    job = job_of()
    data = whole(all_of_it)
    for file in aid_files(job):
        file.reread(all_of_it / file.name)
    for file in aid_files(job)[:4] + aid_files(job)[-2:]:
        path = tmp_path / Path(file.name).name
        path.write_bytes(data[file.name][: len(data[file.name]) // 2])
        with pytest.raises(ReadBackError):
            file.reread(path)


@pytest.mark.whole
def test_two_runs_give_the_same_bytes(tmp_path: Path) -> None:
    for place in ("first", "second"):
        aids(replace(asking(only=("marking-template", "transfer-rest"))), tmp_path / place)
    first, second = (whole(tmp_path / place) for place in ("first", "second"))
    assert first == second
    assert len(first) == 19


@pytest.mark.whole
def test_a_second_run_over_the_first_changes_nothing(tmp_path: Path) -> None:
    job = asking()
    aids(job, tmp_path)
    before = whole(tmp_path)
    written = aids(job, tmp_path)
    assert (whole(tmp_path), written.stale) == (before, ())


# --- beside the other files ------------------------------------------------------------------------


@pytest.mark.whole
def test_a_later_build_keeps_the_aids_and_lists_them(tmp_path: Path) -> None:
    folder = aids(asking(), tmp_path).folder
    before = whole(folder)
    written = write_files(piece_of(), tmp_path)
    assert written.stale == ()
    assert names_below(folder) == ONE_FILES | CORNER_FILES | {NAME}
    assert {name: data for name, data in whole(folder).items() if name in ONE_FILES} == {
        name: data for name, data in before.items() if name != NAME
    }
    assert {record.name for record in report_in(folder).files} == ONE_FILES | CORNER_FILES
    assert [record.name for record in report_in(folder).files][: len(corners.CORNER_FILES)] == list(
        corners.CORNER_FILES
    )


@pytest.mark.whole
def test_aids_keep_an_earlier_build(tmp_path: Path) -> None:
    folder = write_files(piece_of(), tmp_path).folder
    assert aids(asking(), tmp_path).stale == ()
    assert names_below(folder) == ONE_FILES | CORNER_FILES | {NAME}
    assert {record.name for record in report_in(folder).files} == ONE_FILES | CORNER_FILES


@pytest.mark.whole
def test_a_changed_recipe_marks_the_aids_stale_until_they_are_made_again(tmp_path: Path) -> None:
    folder = aids(asking(), tmp_path).folder
    written = write_files(piece_of("tool-tray", "joint.tails=5"), tmp_path)
    assert set(written.stale) == stale_in(folder) == ONE_FILES
    again = aids(asking("joint.tails=5"), tmp_path)
    assert (again.stale, stale_in(folder)) == ((), set())


@pytest.mark.parametrize(
    "override",
    [
        "print.bed=[300, 300]",
        "print.nozzle=0.6",
        "print.clearance=0.3",
        "print.magnet={diameter = 8, thickness = 3}",
        "kit.bush=20",
        'aids.marker.body="waisted"',
        "aids.marker.hang_hole=4",
    ],
)
@pytest.mark.whole
def test_a_key_of_the_printer_or_the_bush_marks_only_aids_stale(tmp_path: Path, override: str) -> None:
    folder = write_files(piece_of(), tmp_path, groups=("corner", "paper")).folder
    others = names_below(folder) - {NAME}
    assert aids(asking(), tmp_path).stale == ()
    changed = write_files(piece_of("tool-tray", override), tmp_path, groups=("corner",))
    assert set(changed.stale) == stale_in(folder) == ONE_FILES
    again = aids(asking(override), tmp_path)
    assert again.stale == ()
    assert others | ONE_FILES == names_below(folder) - {NAME}


MILLED = {NOTE, "boards/tail-board.dxf", "boards/pin-board.dxf"}
"""What tells the cutters' paths, or holds them."""


@pytest.mark.whole
def test_cutters_mark_paper_aids_paths_and_the_note_for_cnc_stale_but_no_model_of_the_corner(tmp_path: Path) -> None:
    folder = write_files(piece_of(), tmp_path, groups=("corner", "paper")).folder
    paper = names_below(folder) - CORNER_FILES - {NAME} | {BOOKLET} | MILLED
    aids(asking(), tmp_path)
    aids(asking("kit.cutters=[5]"), tmp_path)
    assert stale_in(folder) == paper
    shutil.rmtree(folder)
    write_files(piece_of(), tmp_path, groups=("corner", "paper"))
    aids(asking(), tmp_path)
    write_files(piece_of("tool-tray", "kit.cutters=[5]"), tmp_path)
    assert stale_in(folder) == paper - {BOOKLET} - MILLED | ONE_FILES


@pytest.mark.parametrize("override", ["paper.dxf_units=in", "paper.dxf_version=R12", "paper.corner_relief=true"])
@pytest.mark.whole
def test_how_a_drawing_is_written_marks_drawings_and_the_note_for_cnc_stale_and_nothing_else(
    tmp_path: Path, override: str
) -> None:
    folder = write_files(piece_of(), tmp_path, groups=("corner", "paper", "model")).folder
    aids(asking(), tmp_path)
    write_files(piece_of("tool-tray", override), tmp_path, groups=("model",))
    paper = {"glue-up.pdf", "setup-sheet.pdf", "template.pdf", "drawing.dxf", "drawing.svg", "drawing.pdf", BOOKLET}
    assert stale_in(folder) == paper | MILLED - {NOTE}, "the note for CNC is made again, for its cautions"


@pytest.mark.whole
def test_a_sheet_of_another_size_leaves_aids_as_good_as_they_were(tmp_path: Path) -> None:
    aids(asking(), tmp_path)
    assert write_files(piece_of("tool-tray", "paper.size=A3"), tmp_path).stale == ()


@pytest.mark.whole
def test_aids_of_a_kind_that_is_no_longer_made_stay(tmp_path: Path) -> None:
    folder = aids(asking(only=("marking-template", "transfer-rest")), tmp_path).folder
    both = {f"aids/marking-template-transfer-rest-{name}" for name in ("plate.3mf", "aids-note.md", "aids-checks.json")}
    rest = {*(f"aids/transfer-rest.{ending}" for ending in ("stl", "step", "svg")), *both}
    before = whole(folder)
    assert aids(asking(), tmp_path).stale == ()
    assert names_below(folder) == ONE_FILES | rest | {NAME}
    assert all((folder / name).read_bytes() == before[name] for name in rest)
    assert {record.name for record in report_in(folder).files} == ONE_FILES | rest
    assert set(aids(asking("joint.width=97"), tmp_path).stale) == rest


def test_the_plates_and_the_note_of_all_kinds_stay_where_one_kind_is_made_again(
    all_of_it: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "tool-tray"
    shutil.copytree(all_of_it, folder)
    before = whole(folder)
    assert aids(asking(), tmp_path).stale == ()
    after = whole(folder)
    assert {name: data for name, data in after.items() if name in before and name != NAME} == {
        name: data for name, data in before.items() if name != NAME
    }
    assert set(after) - set(before) == ONE_FILES - set(before)
    assert len(ONE_FILES - set(before)) == 3


@pytest.mark.whole
def test_further_slopes_are_files_of_their_own(tmp_path: Path) -> None:
    folder = aids(asking(slopes="1:6"), tmp_path).folder
    kinds = ("", "-milled", "-nest")
    more = {f"aids/marking-template{kind}-1-6.{ending}" for kind in kinds for ending in ("stl", "step", "svg")}
    more |= {f"aids/marking-template-milled-1-6-drawing.{ending}" for ending in ("dxf", "svg", "pdf")}
    assert names_below(folder) == ONE_FILES | more | {NAME}


@pytest.mark.whole
def test_files_of_two_joints_do_not_mix(tmp_path: Path) -> None:
    aids(asking(), tmp_path)
    aids(asking(preset="drawer-front"), tmp_path)
    assert {path.name for path in tmp_path.iterdir()} == {"tool-tray", "drawer-front"}
    assert all(names_below(folder) == ONE_FILES | {NAME} for folder in tmp_path.iterdir())


# --- what is in the way ----------------------------------------------------------------------------


def test_a_file_named_aids_in_the_way_is_refused_and_left_alone(tmp_path: Path) -> None:
    folder = tmp_path / "tool-tray"
    folder.mkdir()
    (folder / "aids").write_text("mine")
    with pytest.raises(FileError, match="aids is not an ordinary folder"):
        aids(asking(), tmp_path)
    assert whole(folder) == {"aids": b"mine"}


def test_a_link_named_aids_is_refused_and_nothing_is_written_where_it_leads(tmp_path: Path) -> None:
    folder, elsewhere = tmp_path / "tool-tray", tmp_path / "elsewhere"
    folder.mkdir()
    elsewhere.mkdir()
    (folder / "aids").symlink_to(elsewhere)
    with pytest.raises(FileError, match="aids is not an ordinary folder"):
        aids(asking(), tmp_path)
    assert list(elsewhere.iterdir()) == []
    assert list(folder.iterdir()) == [folder / "aids"]


def test_a_link_that_leads_nowhere_is_refused_too(tmp_path: Path) -> None:
    folder = tmp_path / "tool-tray"
    folder.mkdir()
    (folder / "aids").symlink_to(tmp_path / "nowhere")
    with pytest.raises(FileError, match="aids is not an ordinary folder"):
        aids(asking(), tmp_path)
    assert not (tmp_path / "nowhere").exists()


@pytest.mark.whole
def test_a_file_in_the_folder_of_aids_that_is_not_ours_is_left_alone(tmp_path: Path) -> None:
    below = tmp_path / "tool-tray" / "aids"
    below.mkdir(parents=True)
    (below / "marking-template.stl").write_text("mine")
    (below / "own.txt").write_text("also mine")
    with pytest.raises(FileError, match=r"marking-template\.stl was not written by this tool"):
        aids(asking(), tmp_path)
    assert whole(below) == {"marking-template.stl": b"mine", "own.txt": b"also mine"}
    (below / "marking-template.stl").unlink()
    aids(asking(), tmp_path)
    assert (below / "own.txt").read_text() == "also mine"


@pytest.mark.whole
def test_an_aid_that_was_changed_by_hand_is_left_alone(tmp_path: Path) -> None:
    folder = aids(asking(), tmp_path).folder
    path = folder / "aids" / "marking-template.stl"
    path.write_bytes(path.read_bytes() + b"mine")
    before = whole(folder)
    with pytest.raises(FileError, match="was changed since it was written"):
        aids(asking("joint.width=97"), tmp_path)
    assert whole(folder) == before


def test_a_failure_while_reading_back_leaves_no_folder_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: Any) -> None:
        raise ReadBackError("planted")

    monkeypatch.setattr(stl, "reread", fail)
    with pytest.raises(ReadBackError, match="planted"):
        aids(asking(), tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_the_report_of_a_folder_with_aids_is_json_of_this_tool(all_of_it: Path) -> None:
    report = json.loads((all_of_it / NAME).read_bytes())
    assert report["schema"] == "urn:halfpin:report:1"
    assert report["proof"] is not None
