"""A STEP file names its faces, shows the reference edge in a colour of its own, and says whose it is and from when."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_DocumentTool

from solids.base.errors import ReadBackError
from solids.write.files.table import files_of
from solids.write.formats import step
from solids.write.formats.part21 import timestamp
from solids.write.formats.step.parts import EDGE_RGB
from tests.boxes import job_of_box
from tests.corners import CASES, STEP_FILES, case, job_of, made, step_parts
from tests.part21 import Record, StepFile, read_step
from tests.write.conftest import parts, written

HEAD = step.Head("tool-tray-corner-cut", "Jörg O'Neil", "2026-11-29T14:30:00")


# --- faces ---------------------------------------------------------------------------------------


def solids_in(file: StepFile) -> list[list[str]]:
    """The names of the faces of each solid, by the references of its shell."""
    shells = [file.get(brep.values[1], "CLOSED_SHELL") for brep in file.all("MANIFOLD_SOLID_BREP")]
    return [[file.get(face, "ADVANCED_FACE").values[0] for face in shell.values[1]] for shell in shells]


@pytest.mark.parametrize("name", CASES)
def test_each_face_in_the_file_has_its_name(name: str) -> None:
    both = step_parts(case(name).finished)
    faces = solids_in(read_step(step.step_bytes("t", "x", both)))
    assert faces == [list(part.face_names) for part in both]
    tails = len(case(name).layout.tails)
    for board in faces:
        assert all(board)
        assert {"show face", "inside face", "reference edge", "other edge", "far end"} <= set(board)
        assert sum(bool(re.fullmatch(r"flank \d+ (left|right)", face)) for face in board) == 2 * tails


def test_boards_of_one_shape_are_one_part_whose_faces_have_the_names_of_both_places(tmp_path: Path) -> None:
    job = job_of_box("keepsake-box")
    box = next(file for file in files_of(job, "corner") if file.name == "box.step")
    file = read_step(box.make())
    breps = [brep.values[0] for brep in file.all("MANIFOLD_SOLID_BREP")]
    named = dict(zip(breps, solids_in(file), strict=True))
    assert set(named) == {"front and back", "right and left", "bottom"}
    assert "front left, flank 2 left and back right, flank 2 left" in named["front and back"]
    assert {"show face", "reference edge", "lower groove wall", "groove floor"} <= set(named["right and left"])
    assert set(named["bottom"]) == {
        *("upper face", "underside", "front edge", "back edge", "left edge", "right edge"),
    }
    (tmp_path / "box.step").write_bytes(box.make())
    box.reread(tmp_path / "box.step")


def names_by_open_cascade(data: bytes, file: Path) -> Iterator[str]:
    """The names that another program finds which reads with Open CASCADE and asks for names of faces."""
    file.write_bytes(data)
    before = Interface_Static.IVal_s("read.stepcaf.subshapes.name")
    Interface_Static.SetIVal_s("read.stepcaf.subshapes.name", 1)
    try:
        reader = STEPCAFControl_Reader()
        assert reader.ReadFile(str(file)) == IFSelect_ReturnStatus.IFSelect_RetDone
        document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
        assert reader.Transfer(document)
    finally:
        Interface_Static.SetIVal_s("read.stepcaf.subshapes.name", before)
    shapes, roots = XCAFDoc_DocumentTool.ShapeTool_s(document.Main()), TDF_LabelSequence()
    shapes.GetFreeShapes(roots)
    inside = TDF_LabelSequence()
    shapes.GetSubShapes_s(roots.Value(1), inside)
    for number in range(1, inside.Length() + 1):
        yield name_of(inside.Value(number))


def name_of(label: TDF_Label) -> str:
    name = TDataStd_Name()
    if not label.IsAttribute(TDataStd_Name.GetID_s()):
        return ""
    label.FindAttribute(TDataStd_Name.GetID_s(), name)
    return str(name.Get().ToExtString())


def test_a_program_that_reads_with_open_cascade_finds_every_name(tmp_path: Path) -> None:
    (tail_board, _) = step_parts(case("through").cut)
    found = names_by_open_cascade(step.step_bytes("t", "x", [tail_board]), tmp_path / "tail-board.step")
    assert sorted(filter(None, found)) == sorted(tail_board.face_names)


# --- colours -------------------------------------------------------------------------------------


def coloured(file: StepFile, kind: str) -> list[tuple[Record, tuple[int, ...]]]:
    """What has a colour of its own in the file, and which, in 1/255."""
    found = []
    for styled in file.all(kind):
        at: Record = styled
        steps = (
            "PRESENTATION_STYLE_ASSIGNMENT",
            "SURFACE_STYLE_USAGE",
            "SURFACE_SIDE_STYLE",
            "SURFACE_STYLE_FILL_AREA",
        )
        reference = styled.values[1][0]
        for step_down in (*steps, "FILL_AREA_STYLE", "FILL_AREA_STYLE_COLOUR"):
            at = file.get(reference, step_down)
            reference = at.values[-1][0] if isinstance(at.values[-1], tuple) else at.values[-1]
        red, green, blue = (round(255 * value) for value in file.get(reference, "COLOUR_RGB").values[1:])
        found.append((file.get(styled.values[2]), (red, green, blue)))
    return found


@pytest.mark.parametrize("name", ["through", "half-blind", "inches"])
def test_the_reference_edge_of_each_board_has_a_colour_of_its_own_and_the_rest_that_of_the_wood(name: str) -> None:
    both = step_parts(case(name).cut)
    file = read_step(step.step_bytes("t", "x", both))
    bodies, faces = coloured(file, "STYLED_ITEM"), coloured(file, "OVER_RIDING_STYLED_ITEM")
    assert [(body.keyword, body.values[0], rgb) for body, rgb in bodies] == [
        ("MANIFOLD_SOLID_BREP", part.name, part.wood.rgb) for part in both
    ]
    assert [(face.keyword, face.values[0], rgb) for face, rgb in faces] == [
        ("ADVANCED_FACE", "reference edge", EDGE_RGB) for _ in both
    ]
    overridden = [file.get(item.values[3]).values[2] for item in file.all("OVER_RIDING_STYLED_ITEM")]
    assert overridden == [item.values[2] for item in file.all("STYLED_ITEM")]


# --- the head --------------------------------------------------------------------------------------


def test_author_and_date_of_the_recipe_stand_in_the_header() -> None:
    name = read_step(step.step_bytes("tool tray", "x", parts(), HEAD)).header[1]
    assert name.values[1:4] == ("2026-11-29T14:30:00", ("Jörg O'Neil",), ("",))


def test_a_day_in_the_recipe_goes_before_that_of_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    assert timestamp("2026-11-29") == "2026-11-29T00:00:00"
    assert timestamp("") == "1970-01-02T00:00:00"


def test_every_step_file_of_a_piece_says_author_and_date() -> None:
    job, asked = case("through"), job_of("tool-tray", "author=Ann Joiner", "date=2026-11-29")
    for file in STEP_FILES:
        assert read_step(made(asked, file)).header[1].values[1:3] == ("2026-11-29T00:00:00", ("Ann Joiner",))
        assert read_step(made(job, file)).header[1].values[1:3] == (timestamp(), ("",))


# --- reading back ----------------------------------------------------------------------------------


def spoilt(data: bytes, was: bytes, becomes: bytes) -> bytes:
    assert was in data
    return data.replace(was, becomes, 1)


SPOILT: dict[str, tuple[bytes, bytes, str]] = {
    "a face's name": (b"'flank 3 left'", b"'flank 3 right'", "face names"),
    "no name of a face": (b"'socket floor 2'", b"''", "face names"),
    "the number of the assembly": (b"'tool-tray-corner-cut'", b"'tool-tray-corner-cup'", "part numbers"),
    "the author": (b"O''Neil", b"O''Neal", "author"),
    "the date": (b"2026-11-29T14", b"2026-11-29T15", "time stamp"),
    "the colour of the reference edge": (b"0.121568629232", b"0.221568629232", "reference edge: the colour"),
}


@pytest.mark.parametrize("what", SPOILT)
def test_reading_back_finds_a_change_of(tmp_path: Path, what: str) -> None:
    was, becomes, word = SPOILT[what]
    both = parts()
    data = step.step_bytes("tool tray", "x", both, HEAD)
    step.reread(written(tmp_path, data), "tool tray", both, HEAD)
    with pytest.raises(ReadBackError, match=word):
        step.reread(written(tmp_path, spoilt(data, was, becomes)), "tool tray", both, HEAD)


NUMBERED: dict[str, Callable[[step.Product], step.Product]] = {
    "part numbers": lambda part: replace(part, number="another"),
    "no colour": lambda part: replace(part, faces=None),
}


@pytest.mark.parametrize("word", NUMBERED)
def test_reading_back_finds_a_part_with_other(tmp_path: Path, word: str) -> None:
    both = parts()
    file = written(tmp_path, step.step_bytes("tool tray", "x", [both[0], NUMBERED[word](both[1])]))
    with pytest.raises(ReadBackError, match=word):
        step.reread(file, "tool tray", both)


def test_a_title_without_latin_letters_is_its_own_number_as_readers_show_that(tmp_path: Path) -> None:
    both, head = parts(), step.Head("muxiang-4ac09f-corner-cut")
    data = step.step_bytes("木箱", "x", both, head)
    assert read_step(data).all("PRODUCT")[0].values[:2] == ("木箱", "木箱")
    step.reread(written(tmp_path, data), "木箱", both, head)
