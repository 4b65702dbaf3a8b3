"""DXF files in the units and of the release that the maker asks for, read afresh: what a machine takes of each board,
and the shop drawing."""

from __future__ import annotations

import io
import re
from collections import Counter
from pathlib import Path

import ezdxf
import pytest
from ezdxf.document import Drawing
from ezdxf.entities import DXFEntity

from solids.base.errors import ReadBackError
from solids.layout.setups import MachineBoard
from solids.write.drafting.layers import layer_name, layer_of
from solids.write.drafting.outlines import machine_items
from solids.write.drafting.sheet import Distance, Label, Stroke
from solids.write.drafting.views import shop_drawing
from solids.write.paper.dxf import dxf_bytes, machine_dxf_bytes, reread, reread_machine
from tests.commands import halfpin, names_below, refused
from tests.corners import layout_of
from tests.write.drafting.machine import boards_of, boards_of_box

CUTTERS = "kit.cutters=[3, 6, 12]"
BOARDS = {
    "tail board": lambda *more: boards_of("tool-tray", "kit.cutters=[2.2, 6, 12]", *more)["tail board"],
    "pin board": lambda *more: boards_of("drawer-front", CUTTERS, "paper.corner_relief=true", *more)["pin board"],
    "front": lambda *more: boards_of_box("keepsake-box", CUTTERS, *more)["front"],
    "bottom": lambda *more: boards_of_box("keepsake-box", CUTTERS, *more)["bottom"],
}
RELEASES = {"R12": "AC1009", "R2010": "AC1024", "R2018": "AC1032"}
"""The names of releases as $ACADVER has them: reference of ezdxf, "DXF versions"."""
MM_IN = {"mm": 1.0, "in": 25.4}
INSUNITS = {"mm": 4, "in": 1}
"""Of $INSUNITS: read in the table of units of ezdxf, `ezdxf.units`. Release 12 has no such setting."""
OLD_NAME = r"[A-Z0-9$_-]{1,31}"
"""Letters of a name in release 12: DXF Reference of AutoCAD R12, from memory."""

each_board = pytest.mark.parametrize("board", BOARDS)
each_file = pytest.mark.parametrize(("units", "release"), [(u, r) for u in MM_IN for r in RELEASES])


def made(board: str, units: str, release: str) -> tuple[MachineBoard, bytes]:
    found = BOARDS[board](f"paper.dxf_units={units}", f"paper.dxf_version={release}")
    paper = found.recipe.paper
    assert (paper.dxf_units, paper.dxf_version) == (units, release)
    return found, machine_dxf_bytes(machine_items(found), paper.dxf_units, paper.dxf_version)


def read(data: bytes) -> Drawing:
    return ezdxf.read(io.StringIO(data.decode("utf-8")))


def points_of(entity: DXFEntity) -> list[tuple[float, float]]:
    if entity.dxftype() == "LINE":
        return [tuple(entity.dxf.start)[:2], tuple(entity.dxf.end)[:2]]
    if entity.dxftype() == "POLYLINE":
        return [tuple(vertex.dxf.location)[:2] for vertex in entity.vertices]  # type: ignore[attr-defined]
    return [(x, y) for x, y, *_ in entity.get_points()]  # type: ignore[attr-defined]


@each_board
@each_file
def test_it_passes_the_audit_and_says_its_unit_and_release(board: str, units: str, release: str) -> None:
    _, data = made(board, units, release)
    doc = read(data)
    auditor = doc.audit()
    assert (auditor.errors, auditor.fixes) == ([], [])
    assert doc.header["$ACADVER"] == RELEASES[release]
    if release == "R12":
        assert b"$INSUNITS" not in data
    else:
        assert doc.header["$INSUNITS"] == INSUNITS[units]
        assert doc.header["$MEASUREMENT"] == (units == "mm")


@each_board
@each_file
def test_every_line_and_word_is_there_in_the_files_unit(board: str, units: str, release: str) -> None:
    """Figures are millimetres over 25.4 where the file is in inches. Closed rings are closed."""
    found, data = made(board, units, release)
    items = machine_items(found)
    entities = list(read(data).modelspace())
    assert len(entities) == len(items)
    for item, entity in zip(items, entities, strict=True):
        assert entity.dxf.layer == layer_name(item.layer, release)  # type: ignore[arg-type]
        if isinstance(item, Label):
            assert (entity.dxftype(), entity.dxf.text) == ("TEXT", item.text)
            assert entity.dxf.height == pytest.approx(item.height / MM_IN[units])
            continue
        assert isinstance(item, Stroke)
        meant = [pytest.approx((x / MM_IN[units], y / MM_IN[units]), abs=1e-9) for x, y in item.points]
        assert points_of(entity) == meant
        if item.closed:
            kind = "POLYLINE" if release == "R12" else "LWPOLYLINE"
            assert entity.dxftype() == kind
            assert entity.is_closed if release == "R12" else entity.closed  # type: ignore[attr-defined]
        else:
            assert entity.dxftype() == "LINE"


@each_board
@each_file
def test_layers_have_their_colour_and_are_those_that_are_used(board: str, units: str, release: str) -> None:
    found, data = made(board, units, release)
    doc = read(data)
    meant = {layer_name(item.layer, release): layer_of(item.layer).colour for item in machine_items(found)}  # type: ignore[arg-type]
    assert {layer.dxf.name: layer.dxf.color for layer in doc.layers if layer.dxf.name in meant} == meant
    assert {layer.dxf.name for layer in doc.layers} - set(meant) <= {"0", "Defpoints", "DEFPOINTS"}


@each_board
def test_an_old_file_has_nothing_that_came_later(board: str) -> None:
    """Release 12: no LWPOLYLINE, no subclass markers (group 100), names in its own letters."""
    for units in MM_IN:
        found, data = made(board, units, "R12")
        assert len({layer_name(item.layer, "R12") for item in machine_items(found)}) == len(
            {item.layer for item in machine_items(found)}
        ), "and no two layers fall together"
        lines = data.decode("utf-8").splitlines()
        pairs = list(zip((int(code) for code in lines[::2]), lines[1::2], strict=True))
        assert (0, "LWPOLYLINE") not in pairs
        assert (0, "POLYLINE") in pairs
        assert not [code for code, _ in pairs if code == 100]
        names = {value for code, value in pairs if code == 8}
        assert len(names) > 2
        assert all(re.fullmatch(OLD_NAME, name) for name in names), names


def test_a_file_in_inches_tells_depth_and_cutter_in_inches() -> None:
    """10 mm is 0.3937 in, 2.2 mm 0.0866 in; the tool tray's tail board is 96 mm, 3.7795 in, wide."""
    _, data = made("tail board", "in", "R2010")
    space = read(data).modelspace()
    assert {e.dxf.layer for e in space} >= {"flat clear D0.0866 Z-0.3937", "flat last D0.0866 Z-0.3937"}
    (outline,) = [e for e in space if e.dxf.layer == "flat outline"]
    assert min(y for _, y in points_of(outline)) == pytest.approx(-96 / 25.4, abs=1e-9)


@each_file
def test_the_shop_drawing_comes_in_every_unit_and_release_too(units: str, release: str) -> None:
    """A dimension shows millimetres as the sheet does, whatever the file is in: its factor makes up for the unit."""
    sheet = shop_drawing(layout_of("tool-tray"), "A4")
    doc = read(dxf_bytes(sheet, units, release))  # type: ignore[arg-type]
    auditor = doc.audit()
    assert (auditor.errors, auditor.fixes) == ([], [])
    assert doc.header["$ACADVER"] == RELEASES[release]
    linear = [d for d in doc.modelspace().query("DIMENSION") if d.dimtype == 0]
    meant = [item for item in sheet.items if isinstance(item, Distance)]
    spans = [abs(d.end[d.axis != "across"] - d.start[d.axis != "across"]) for d in meant]
    measured = sorted(float(d.get_measurement()) for d in linear)
    assert measured == pytest.approx(sorted(span / sheet.scale / MM_IN[units] for span in spans), abs=1e-9)
    assert doc.dimstyles.get("halfpin").dxf.dimlfac == MM_IN[units]
    kinds = Counter(entity.dxftype() for entity in doc.modelspace())
    assert ("LWPOLYLINE" in kinds) is (release != "R12")
    if release == "R12":
        assert all(re.fullmatch(OLD_NAME, entity.dxf.layer) for entity in doc.modelspace())


def test_a_file_of_another_unit_or_without_a_line_or_a_layer_does_not_read_back(tmp_path: Path) -> None:
    found, data = made("tail board", "mm", "R2010")
    items, file = machine_items(found), tmp_path / "tail-board.dxf"
    file.write_bytes(data)
    reread_machine(file, items)
    with pytest.raises(ReadBackError, match="inches"):
        reread_machine(file, items, "in")
    with pytest.raises(ReadBackError, match="lines and words"):
        reread_machine(file, items[:-1])
    with pytest.raises(ReadBackError, match="layers"):
        reread_machine(file, [*items[:-1], Label("x", (0, 0), 3.0, layer="end outline")])
    for bad in (data[: len(data) // 2], b"", b"not a drawing"):
        file.write_bytes(bad)
        with pytest.raises(ReadBackError):
            reread_machine(file, items)
    sheet = shop_drawing(layout_of("tool-tray"), "A4")
    file.write_bytes(dxf_bytes(sheet, "in"))
    reread(file, sheet, "in")
    with pytest.raises(ReadBackError, match="millimetres"):
        reread(file, sheet)


@pytest.mark.parametrize(
    ("key", "value", "accepted"),
    [
        ("paper.dxf_units", "ft", ("mm", "in")),
        ("paper.dxf_units", "1", ("mm", "in")),
        ("paper.dxf_version", "R11", ("R12", "R2010", "R2018")),
        ("paper.dxf_version", "2018", ("R12", "R2010", "R2018")),
    ],
)
@pytest.mark.parametrize("recipe", ["tool-tray", "keepsake-box"])
def test_another_unit_or_release_is_refused_in_words_and_nothing_is_written(
    tmp_path: Path, recipe: str, key: str, value: str, accepted: tuple[str, ...]
) -> None:
    for command in ("build", "paper"):
        told = refused(command, recipe, "--set", f"{key}={value}", "--out", str(tmp_path))
        assert key in told
        assert value in told
        assert all(word in told for word in accepted)
    assert names_below(tmp_path) == set()


def test_an_old_file_of_inch_cutters_on_long_named_ends_has_names_that_are_short_enough() -> None:
    """1/8 in is 3.175 mm; 10.414 mm is 0.41 in. "right end relief D3.175 Z-10.914" would be 32 letters."""
    asked = (
        'kit.cutters=["1/8 in"]',
        "paper.corner_relief=true",
        "paper.dxf_version=R12",
        'tail_board.thickness="0.41 in"',
    )
    for units in MM_IN:
        board = boards_of_box("keepsake-box", *asked, "joint.kind=half-blind", f"paper.dxf_units={units}")["front"]
        names = {layer_name(item.layer, "R12") for item in machine_items(board)}
        assert any(name.startswith("RIGHT_RELIEF_D") for name in names)
        assert all(re.fullmatch(OLD_NAME, name) for name in names), names


def test_the_library_that_writes_an_old_file_says_nothing_to_the_maker(tmp_path: Path) -> None:
    done = halfpin("build", "tool-tray", "--set", "paper.dxf_version=R12", "--out", str(tmp_path))
    assert done.returncode == 0
    assert "INSUNITS" not in done.stderr + done.stdout
