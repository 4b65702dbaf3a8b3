"""The one table of files: its names are the design's, and all of them are made, re-read and published together."""

from __future__ import annotations

import errno
import hashlib
import html
import json
import math
import re
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest

from solids.app.exits import OUR_FAULT, explained
from solids.base.cautions import CAUTIONS, FAILS
from solids.base.errors import FaultError, FileError, ReadBackError
from solids.layout.assembly import JointKind
from solids.model.kernel import measure
from solids.recipe import read_recipe
from solids.write.files import table
from solids.write.files.writing import File, write_set
from tests.commands import told_elsewhere
from tests.commands import whole as contents
from tests.corners import CASES, case, job_of, judged, layout_of, piece_of, titled_piece
from tests.part21 import read_step

NAMES = [
    "corner.step",
    "corner-finished.step",
    "waste.step",
    "boards/tail-board.step",
    "boards/pin-board.step",
    "boards/tail-board.stl",
    "boards/pin-board.stl",
    "boards/tail-board.dxf",
    "boards/pin-board.dxf",
    "boards/tail-board.svg",
    "boards/pin-board.svg",
    "bill-of-materials.csv",
    "cnc-jig-note.md",
    "booklet.pdf",
]
BOOKLET = "booklet.pdf"
BOARD_NAMES = ["boards/tail-board.pdf", "boards/pin-board.pdf"]
LOOK_NAMES = ["corner.glb", "corner-gaps.glb", "corner.html", "corner.png"]
PAPER_NAMES = ["glue-up.pdf", "setup-sheet.pdf", "template.pdf", "drawing.dxf", "drawing.svg", "drawing.pdf"]

HASH_ALL = """
import hashlib, locale, sys
from solids.layout import lay_out
from solids.recipe import read_recipe
from solids.write import report; from solids.write.files import table
try:
    locale.setlocale(locale.LC_ALL, "")
except locale.Error:
    pass
job = table.prove_layout(lay_out(read_recipe(sys.argv[1])))
files = [file for group in table.GROUPS if group != "aids" for file in table.files_of(job, group)]
files = list({file.name: file for file in files}.values())
made = {file.name: file.make() for file in files}
records = [report.file_record(file.name, file.holds, made[file.name]) for file in files]
whole = report.piece_report(job.proof.assembly, job.proof)
made["report.json"] = report.report_bytes(whole.model_copy(update={"files": tuple(records)}))
print({name: hashlib.sha256(data).hexdigest() for name, data in made.items()})
"""


BOTH: tuple[table.Group, ...] = ("corner", "paper")
ALL: tuple[table.Group, ...] = (*BOTH, "board", "model", "gaps", "page", "picture")


def test_the_tables_names_are_the_designs() -> None:
    job = piece_of()
    assert [file.name for file in table.files_of(job, "corner")] == NAMES
    assert [file.name for file in table.papers(job.joints[0])] == PAPER_NAMES[1:]
    every = [file for group in ALL for file in table.files_of(job, group)]
    assert [file.name for file in every if file.name == BOOKLET] == [BOOKLET, BOOKLET], (
        "with the corner, and with paper"
    )
    files = list({file.name: file for file in every}.values())
    assert [file.name for file in files] == NAMES + PAPER_NAMES + BOARD_NAMES + LOOK_NAMES
    assert all(file.holds for file in files)
    assert len({file.holds for file in files}) == len(files)


@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front"])
def test_all_files_go_to_the_folder_of_the_title_and_the_report_lists_them(tmp_path: Path, preset: str) -> None:
    written = table.write_files(piece_of(preset), tmp_path)
    assert written == table.Written(tmp_path / preset, len(NAMES) + 1, (), ())
    made = contents(written.folder)
    assert sorted(made) == sorted([*NAMES, "report.json"])
    listed = {record["name"]: record for record in json.loads(made["report.json"])["files"]}
    assert list(listed) == NAMES
    for name, record in listed.items():
        assert record["bytes"] == len(made[name])
        assert record["sha256"] == hashlib.sha256(made[name]).hexdigest()
    assert [path.name for path in tmp_path.iterdir()] == [preset]


def test_writing_twice_gives_the_same_bytes_and_leaves_the_job_as_it_was(tmp_path: Path) -> None:
    job = piece_of("tool-tray")
    before = [measure(part.solid) for part in (*job.proof.cut, *job.proof.finished)]
    first = contents(table.write_files(job, tmp_path).folder)
    assert contents(table.write_files(job, tmp_path).folder) == first
    assert contents(table.write_files(job, tmp_path / "elsewhere").folder) == first
    assert [measure(part.solid) for part in (*job.proof.cut, *job.proof.finished)] == before


@pytest.mark.parametrize("preset", ["drawer-front", "tea-box"])
@pytest.mark.whole
def test_another_process_with_another_hash_order_time_zone_and_language_gives_the_same_bytes(
    tmp_path: Path, preset: str
) -> None:
    made = contents(table.write_files(piece_of(preset), tmp_path / "out", groups=ALL).folder)
    names = [*NAMES, *PAPER_NAMES, *BOARD_NAMES, *LOOK_NAMES, "report.json"]
    hashes = {name: hashlib.sha256(made[name]).hexdigest() for name in names}
    assert told_elsewhere(HASH_ALL, preset, cwd=tmp_path) == str(hashes)


@pytest.mark.parametrize("name", CASES)
def test_every_kind_of_joint_can_be_written(tmp_path: Path, name: str) -> None:
    job = case(name).job
    assert sorted(contents(table.write_files(job, tmp_path).folder)) == sorted([*NAMES, "report.json"])


@pytest.mark.parametrize("title", ["Kästchen für Nähzeug, Öl, Übungsstücke", "木工の引き出しの角の箱", "O'Brien's"])
def test_a_title_in_any_script_can_be_written(tmp_path: Path, title: str) -> None:
    folder = table.write_files(titled_piece(title), tmp_path).folder
    assert folder.parent == tmp_path
    assert folder.name.isascii()
    assert json.loads((folder / "report.json").read_bytes())["title"] == title


@pytest.mark.whole
def test_each_step_file_holds_what_its_name_says(tmp_path: Path) -> None:
    folder = table.write_files(piece_of("shoe-bench"), tmp_path).folder
    products = {
        name: [record.values[1] for record in read_step((folder / name).read_bytes()).all("PRODUCT")]
        for name in NAMES
        if name.endswith(".step")
    }
    numbers = {
        name: [record.values[0] for record in read_step((folder / name).read_bytes()).all("PRODUCT")]
        for name in products
    }
    assert numbers == {
        "corner.step": ["shoe-bench-corner-cut", "shoe-bench-tail-board-cut", "shoe-bench-pin-board-cut"],
        "corner-finished.step": [
            "shoe-bench-corner-finished",
            "shoe-bench-tail-board-finished",
            "shoe-bench-pin-board-finished",
        ],
        "waste.step": [
            "shoe-bench-corner-waste",
            *(f"shoe-bench-tail-board-socket-{number}-waste" for number in (1, 2, 3, 4, 5, 6)),
            *(f"shoe-bench-pin-board-socket-for-tail-{number}-waste" for number in (1, 2, 3, 4, 5)),
        ],
        "boards/tail-board.step": ["shoe-bench-tail-board-cut"],
        "boards/pin-board.step": ["shoe-bench-pin-board-cut"],
    }
    assert products == {
        "corner.step": ["shoe bench", "tail board", "pin board"],
        "corner-finished.step": ["shoe bench, finished", "tail board, finished", "pin board, finished"],
        "waste.step": [
            "shoe bench, wood to take away",
            *(f"tail board, socket {number}" for number in (1, 2, 3, 4, 5, 6)),
            *(f"pin board, socket for tail {number}" for number in (1, 2, 3, 4, 5)),
        ],
        "boards/tail-board.step": ["tail board"],
        "boards/pin-board.step": ["pin board"],
    }
    # A body of waste is a block with two leaning sides.
    # n = 5 tails: 4n + 6 faces as cut, and 4n, 4n + 4 more where proud ends are chamfered.
    faces = {name: len(read_step((folder / name).read_bytes()).all("ADVANCED_FACE")) for name in products}
    assert faces == {
        "corner.step": 2 * 26,
        "corner-finished.step": 2 * 26 + 20 + 24,
        "waste.step": 11 * 6,
        "boards/tail-board.step": 26,
        "boards/pin-board.step": 26,
    }


@pytest.mark.parametrize(
    ("groups", "names"),
    [
        (("corner",), NAMES),
        (("paper",), [BOOKLET, *PAPER_NAMES]),
        (BOTH, NAMES + PAPER_NAMES),
        (("paper", "corner"), NAMES + PAPER_NAMES),
        (("page", "picture", "model", "gaps"), [*LOOK_NAMES, "cnc-jig-note.md"]),
    ],
)
def test_progress_is_told_of_every_file(tmp_path: Path, groups: tuple[table.Group, ...], names: list[str]) -> None:
    told: list[str] = []
    table.write_files(piece_of(), tmp_path, told.append, groups)
    assert sorted(told) == sorted(names)


@pytest.mark.parametrize("name", [*NAMES, *PAPER_NAMES, *BOARD_NAMES, *LOOK_NAMES])
def test_whatever_one_file_is_asked_for_its_cautions_come_with_it(tmp_path: Path, name: str) -> None:
    """Paper that sends its reader to the setup sheet comes with the setup sheet; a model comes with the note."""
    folder = table.write_files(piece_of(), tmp_path, groups=ALL, only=(name,)).folder
    made = contents(folder)
    own = {"cnc-jig-note.md", BOOKLET, "glue-up.pdf", "setup-sheet.pdf", "corner.html"}
    beside = "setup-sheet.pdf" if name in PAPER_NAMES else "cnc-jig-note.md"
    assert set(made) == {name, "report.json"} | (set() if name in own else {beside})
    written = [text_of_file(folder / each) for each in own & set(made)]
    assert written
    for caution in CAUTIONS:
        assert any(" ".join(f"{caution.topic}. {caution.text}".split()) in text for text in written), caution.topic


def text_of_file(path: Path) -> str:
    """What a reader sees of a note, a sheet or a page, its white space made single."""
    if path.suffix == ".pdf":
        document = pypdfium2.PdfDocument(path)
        text = " ".join(page.get_textpage().get_text_range() for page in document)
        document.close()
    else:
        text = html.unescape(re.sub(r"</?strong>|\*\*", "", path.read_text("utf-8")))
    return " ".join(text.split())


def test_a_set_that_leaves_its_cautions_out_is_a_fault_of_ours(tmp_path: Path) -> None:
    lone = File("model.stl", "a model", lambda: b"", lambda _: None, "note.md")
    with pytest.raises(FaultError, match=r"without their cautions: note\.md is left out"):
        write_set(tmp_path / "x", "x", [lone], lambda *_: pytest.fail("nothing is made"))
    assert list(tmp_path.iterdir()) == []


def cut_short(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    """One file loses its second half when it is made."""
    whole = table.files_of

    def files_of(job: table.Job, group: table.Group) -> list[File]:
        return [
            replace(file, make=lambda file=file: (data := file.make())[: len(data) // 2]) if file.name == name else file
            for file in whole(job, group)
        ]

    monkeypatch.setattr(table, "files_of", files_of)


@pytest.mark.parametrize("name", NAMES + PAPER_NAMES)
def test_a_file_that_does_not_read_back_stops_all_of_them(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, name: str
) -> None:
    cut_short(monkeypatch, name)
    with pytest.raises(ReadBackError, match=Path(name).name):
        table.write_files(piece_of(), tmp_path, groups=BOTH)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", LOOK_NAMES)
def test_something_to_look_at_that_does_not_read_back_stops_all_of_them(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, name: str
) -> None:
    cut_short(monkeypatch, name)
    with pytest.raises(ReadBackError, match=name):
        table.write_files(piece_of(), tmp_path, groups=("model", "gaps", "page", "picture"))
    assert list(tmp_path.iterdir()) == []


@pytest.mark.whole
def test_another_joint_under_the_same_title_replaces_the_first(tmp_path: Path) -> None:
    first = contents(table.write_files(piece_of(), tmp_path).folder)
    second = contents(table.write_files(piece_of("tool-tray", "joint.tails=3"), tmp_path).folder)
    assert second != first
    assert len(read_step(second["boards/tail-board.step"]).all("ADVANCED_FACE")) == 4 * 3 + 6


def test_a_preset_can_be_read_again_where_its_own_files_were_written_to_the_working_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    table.write_files(piece_of(), Path())
    assert read_recipe("tool-tray") == job_of().layout.recipe


def test_another_title_with_the_same_folder_is_refused(tmp_path: Path) -> None:
    before = contents(table.write_files(titled_piece("Tool tray!"), tmp_path).folder)
    with pytest.raises(FileError, match="holds the files of 'Tool tray!'"):
        table.write_files(piece_of(), tmp_path)
    assert contents(tmp_path / "tool-tray") == before


# --- groups, and what stays from an earlier run --------------------------------------------------------


def listed_in(folder: Path) -> dict[str, bool]:
    """The files that a folder's report lists, in order, and whether each is stale; hashes are those of the files."""
    records = json.loads((folder / "report.json").read_bytes())["files"]
    for record in records:
        data = (folder / record["name"]).read_bytes()
        assert (record["bytes"], record["sha256"]) == (len(data), hashlib.sha256(data).hexdigest())
    return {record["name"]: record["stale"] for record in records}


@pytest.fixture
def papers(tmp_path: Path) -> Path:
    """A folder with the tool tray's papers alone."""
    return table.write_files(piece_of(), tmp_path, groups=("paper",)).folder


CHANGED = ("tool-tray", "joint.tails=3")


def test_paper_alone_is_the_booklet_six_files_and_a_report_of_them(papers: Path) -> None:
    assert sorted(contents(papers)) == sorted([BOOKLET, *PAPER_NAMES, "report.json"])
    assert listed_in(papers) == dict.fromkeys([BOOKLET, *PAPER_NAMES], False)


@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front", "tea-box"])
@pytest.mark.whole
def test_corner_then_paper_lists_all_and_none_is_stale(tmp_path: Path, preset: str) -> None:
    job = piece_of(preset)
    before = contents(table.write_files(job, tmp_path).folder)
    written = table.write_files(job, tmp_path, groups=("paper",))
    assert (written.count, written.stale) == (8, ())
    assert listed_in(written.folder) == dict.fromkeys(NAMES + PAPER_NAMES, False)
    after = contents(written.folder)
    assert {name: after[name] for name in NAMES} == {name: before[name] for name in NAMES}
    once = table.write_files(job, tmp_path / "at once", groups=BOTH)
    assert (once.count, once.stale) == (len(NAMES + PAPER_NAMES) + 1, ())
    assert contents(once.folder) == after


def test_paper_then_corner_lists_all_as_well(tmp_path: Path, papers: Path) -> None:
    written = table.write_files(piece_of(), tmp_path)
    assert (written.folder, written.count, written.stale) == (papers, len(NAMES) + 1, ())
    assert listed_in(papers) == dict.fromkeys(NAMES + PAPER_NAMES, False)


def test_papers_of_an_earlier_recipe_are_listed_as_stale_and_stay_as_they_are(tmp_path: Path, papers: Path) -> None:
    before = contents(papers)
    written = table.write_files(piece_of(*CHANGED), tmp_path)
    assert written.stale == tuple(PAPER_NAMES)
    assert listed_in(papers) == {**dict.fromkeys(NAMES, False), **dict.fromkeys(PAPER_NAMES, True)}
    assert {name: contents(papers)[name] for name in PAPER_NAMES} == {name: before[name] for name in PAPER_NAMES}


@pytest.mark.whole
def test_the_corner_of_an_earlier_recipe_is_listed_as_stale_beside_new_papers(tmp_path: Path) -> None:
    table.write_files(piece_of(), tmp_path)
    written = table.write_files(piece_of(*CHANGED), tmp_path, groups=("paper",))
    old = [name for name in NAMES if name != BOOKLET]
    assert written.stale == tuple(old)
    assert listed_in(written.folder) == {**dict.fromkeys(old, True), **dict.fromkeys([BOOKLET, *PAPER_NAMES], False)}


def test_what_is_stale_stays_so_until_it_is_made_anew(tmp_path: Path, papers: Path) -> None:
    """A second build of the changed recipe finds the report's recipe unchanged: the papers are as old as before. Going
    back to the first recipe does not make them fresh either, for nobody looks into them."""
    table.write_files(piece_of(*CHANGED), tmp_path)
    assert table.write_files(piece_of(*CHANGED), tmp_path).stale == tuple(PAPER_NAMES)
    assert table.write_files(piece_of(), tmp_path).stale == tuple(PAPER_NAMES)
    assert table.write_files(piece_of(), tmp_path, groups=("paper",)).stale == ()
    assert listed_in(papers) == dict.fromkeys(NAMES + PAPER_NAMES, False)


def test_files_of_an_earlier_version_are_stale(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, papers: Path) -> None:
    monkeypatch.setattr("solids.write.report.making.reports.__version__", "999.0.0")
    assert table.write_files(piece_of(), tmp_path).stale == tuple(PAPER_NAMES)


def test_a_report_from_before_files_could_be_stale_is_read(tmp_path: Path, papers: Path) -> None:
    report = json.loads((papers / "report.json").read_bytes())
    for record in report["files"]:
        del record["stale"]
    (papers / "report.json").write_text(json.dumps(report), "utf-8")
    assert table.write_files(piece_of(), tmp_path).stale == ()
    assert listed_in(papers) == dict.fromkeys(NAMES + PAPER_NAMES, False)


@pytest.mark.parametrize("name", PAPER_NAMES)
def test_a_file_that_was_deleted_or_changed_by_hand_is_not_listed(tmp_path: Path, papers: Path, name: str) -> None:
    rest = [each for each in PAPER_NAMES if each != name]
    (papers / name).write_bytes((papers / name).read_bytes() + b"\n")
    table.write_files(piece_of(), tmp_path)
    assert listed_in(papers) == dict.fromkeys(NAMES + rest, False)
    (papers / name).unlink()
    table.write_files(piece_of(), tmp_path)
    assert listed_in(papers) == dict.fromkeys(NAMES + rest, False)


@pytest.mark.whole
def test_a_file_changed_by_hand_is_no_obstacle_to_the_others_but_is_not_written_over(
    tmp_path: Path, papers: Path
) -> None:
    (papers / "template.pdf").write_bytes(b"my own drawing")
    table.write_files(piece_of(), tmp_path)
    with pytest.raises(FileError, match=r"template\.pdf was not written by this tool"):
        table.write_files(piece_of(), tmp_path, groups=("paper",))
    assert (papers / "template.pdf").read_bytes() == b"my own drawing"


def test_a_listed_name_that_leads_out_of_the_folder_or_is_none_of_ours_is_left_out(
    tmp_path: Path, papers: Path
) -> None:
    data = b"not yours"
    (tmp_path / "secret.txt").write_bytes(data)
    (papers / "mine.txt").write_bytes(data)
    report = json.loads((papers / "report.json").read_bytes())
    digest = hashlib.sha256(data).hexdigest()
    for name in ("../secret.txt", str(tmp_path / "secret.txt"), "mine.txt", "..", ".", ""):
        report["files"].append({"name": name, "holds": "x", "bytes": len(data), "sha256": digest, "stale": False})
    (papers / "report.json").write_text(json.dumps(report), "utf-8")
    written = table.write_files(piece_of(), tmp_path)
    assert written.stale == ()
    assert listed_in(papers) == dict.fromkeys(NAMES + PAPER_NAMES, False)
    assert (tmp_path / "secret.txt").read_bytes() == (papers / "mine.txt").read_bytes() == data


def test_papers_under_another_title_are_refused_before_anything_is_written(tmp_path: Path, papers: Path) -> None:
    before = contents(papers)
    with pytest.raises(FileError, match="holds the files of 'tool tray', not of 'Tool tray!'"):
        table.write_files(titled_piece("Tool tray!"), tmp_path, groups=("paper",))
    assert contents(papers) == before


# --- what a maker should know of the paper ---------------------------------------------------------------


@pytest.mark.whole
def test_letters_that_the_font_lacks_are_told_with_every_paper_and_not_with_the_solids_alone(tmp_path: Path) -> None:
    """\u6728 and \u7bb1 are read "mu" and "xiang" (Unihan, Mandarin readings; from memory)."""
    job = titled_piece("tray \u6728\u7bb1")
    assert table.write_files(job, tmp_path / "solids", only=("corner.step",)).notices == ()
    written = table.write_files(job, tmp_path, groups=("paper",))
    (notice,) = written.notices
    assert table.write_files(job, tmp_path / "booklet").notices == (notice,)
    assert "\u6728 as Mu" in notice
    assert "\u7bb1 as Xiang" in notice
    assert json.loads((written.folder / "report.json").read_bytes())["notices"] == [notice]


@pytest.mark.whole
def test_cutters_that_pass_no_opening_are_told_with_the_widest_that_would(tmp_path: Path) -> None:
    """Pins of 3 mm at the finished face are 3 - 2 x 0.5/7 = 2.857 mm between the tails' raw ends, less the 0.3 mm that
    stay on both lines. The sockets of 18.75 - 24/7 = 15.32 mm let 6 mm pass."""
    written = table.write_files(piece_of("tool-tray", "kit.cutters=[6, 8]"), tmp_path, groups=("paper",))
    (notice,) = written.notices
    assert notice.startswith("None of your cutters passes the tail board's openings")
    told = float(notice.split("; one of ")[1].split(" mm")[0])
    assert told == math.floor(100 * (3 - 2 * 0.5 / 7 - 0.6)) / 100
    fits = table.write_files(piece_of("tool-tray", f"kit.cutters=[{told}]"), tmp_path / "b", groups=("paper",))
    assert fits.notices == ()


DIFFERENT = [round(16 + 0.2 * number, 2) for number in range(20)]
"""Widths of tails, no two alike: each asks for its own line about chisels."""


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("tails", [2, 8, 12, 14, 20])
def test_a_joint_of_many_different_tails_still_fits_its_setup_sheet(tails: int, paper: str) -> None:
    """Half pins of 20 mm, pins of 3 mm, and a kit, a knife and rooms that all ask for words of their own."""
    widths = DIFFERENT[:tails]
    layout = layout_of(
        "tool-tray",
        f"joint.spacing={widths}",
        f"joint.tails={tails}",
        f"joint.width={round(sum(widths) + 3 * (tails - 1) + 2 * 20, 2)}",
        "joint.half_pin=20",
        "kit.chisels=[3, 6, 9, 12]",
        "kit.knife=5",
        "climate.shop=20 C, 70 %",
        "climate.home=21 C, 20 %",
        f"paper.size={paper}",
    )
    joint = replace(job_of(), kind=JointKind(layout))
    (sheet,) = (file for file in table.papers(joint) if file.name == "setup-sheet.pdf")
    assert sheet.make().startswith(b"%PDF-1.")


@pytest.mark.parametrize("lost", ["cnc-jig-note.md.jinja", "Roboto-Regular.ttf"])
def test_a_missing_file_of_our_own_is_a_fault_of_ours(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, lost: str
) -> None:
    """A template, or the font: what a maker can do about a folder would not help."""

    def missing(*_: object, **__: object) -> None:
        raise FileNotFoundError(errno.ENOENT, "No such file or directory", lost)

    place = (
        "solids.write.notes.markdown.template" if lost.endswith(".jinja") else "solids.write.paper.setup_sheet.in_font"
    )
    monkeypatch.setattr(place, missing)
    with pytest.raises(FaultError, match=lost) as caught:
        table.write_files(piece_of(), tmp_path, groups=BOTH)
    assert explained(caught.value)[0] == OUR_FAULT
    assert list(tmp_path.iterdir()) == []


def test_every_paper_of_a_failing_joint_says_so(tmp_path: Path) -> None:
    """The same layout, but for its proof. The SVG and the DXF hold their words as text."""
    job = piece_of()
    failing = judged(job, job_of("tool-tray", "fit.flank_gap=-0.06").proof)
    assert not failing.proof.passes
    good, bad = (
        contents(table.write_files(each, tmp_path / str(i), groups=("paper",)).folder)
        for i, each in enumerate((job, failing))
    )
    assert {name for name in PAPER_NAMES if good[name] != bad[name]} == set(PAPER_NAMES)
    for name in ("drawing.svg", "drawing.dxf"):
        assert FAILS.encode() in bad[name]
        assert FAILS.encode() not in good[name]
