"""3MF files: the same bytes each time, and what the reference implementation reads back in its strict mode."""

from __future__ import annotations

import hashlib
import io
import re
import xml.etree.ElementTree as ET
import zipfile
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import lib3mf
import numpy as np
import pytest
from lib3mf import get_wrapper

from solids.aids.making.modelling import block
from solids.aids.making.plates import MARGIN
from solids.base.errors import FaultError, ReadBackError
from solids.model.kernel import bounds, mesh
from solids.model.kernel.shaping import prism
from solids.write.files.aid_files import COLOURS, aid_files
from solids.write.formats.mf3 import PlacedMesh, mf3_bytes, reread
from tests.commands import told_elsewhere
from tests.corners import job_of

CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
"""Name space of the 3MF Core Specification 1.x, 3MF Consortium."""

WEDGE = mesh(prism([(0.0, 0.0), (30.0, 0.0), (0.0, 10.0)], 0.0, 5.0))
BOX = mesh(block((0.0, 0.0, 0.0), (40.0, 20.0, 6.0)))
PIECES = (PlacedMesh("wedge", WEDGE, "#d0893f", 5.0, 7.0, False), PlacedMesh("box", BOX, "#0102ff", 60.0, 5.0, True))

SCRIPT = """
import hashlib
from tests.write.test_mf3 import PIECES, plates_of
from solids.write.formats.mf3 import mf3_bytes
print(hashlib.sha256(mf3_bytes("two pieces", PIECES)).hexdigest())
for name, data in plates_of("tool-tray"):
    print(hashlib.sha256(data).hexdigest())
"""


def plates_of(preset: str) -> list[tuple[str, bytes]]:
    job = job_of(preset)
    return [(file.name, file.make()) for file in aid_files(job) if file.name.endswith(".3mf")]


def opened(data: bytes) -> object:
    """The model that lib3mf reads in strict mode, with no warning."""
    model = get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromBuffer(data)
    assert [reader.GetWarning(number) for number in range(reader.GetWarningCount())] == []
    return model


def items_of(model: object) -> list[tuple[str, np.ndarray, np.ndarray]]:
    """Each build item: its object's name, its vertices where they stand on the bed, and its triangles."""
    found = []
    items = model.GetBuildItems()  # type: ignore[attr-defined]
    while items.MoveNext():
        item = items.GetCurrent()
        body = model.GetMeshObjectByID(item.GetObjectResource().GetResourceID())  # type: ignore[attr-defined]
        matrix = np.array([list(row) for row in item.GetObjectTransform().Fields])
        points = np.array([list(vertex.Coordinates) for vertex in body.GetVertices()])
        triangles = np.array([list(triangle.Indices) for triangle in body.GetTriangleIndices()])
        found.append((body.GetName(), points @ matrix[:3] + matrix[3], triangles))
    return found


def written(path: Path, data: bytes) -> Path:
    file = path / "plate.3mf"
    file.write_bytes(data)
    return file


# --- bytes ---------------------------------------------------------------------------------------


def test_the_same_pieces_give_the_same_bytes() -> None:
    first = mf3_bytes("two pieces", PIECES)
    mf3_bytes("another", PIECES[:1])
    assert mf3_bytes("two pieces", PIECES) == first
    assert mf3_bytes("two pieces", PIECES[::-1]) != first


@pytest.mark.whole
def test_another_process_with_another_hash_order_gives_the_same_bytes() -> None:
    here = [mf3_bytes("two pieces", PIECES), *(data for _, data in plates_of("tool-tray"))]
    assert told_elsewhere(SCRIPT).split() == [hashlib.sha256(data).hexdigest() for data in here]
    assert len(here) == 3


def test_the_zip_holds_the_parts_that_the_format_wants_and_no_date_of_today() -> None:
    with zipfile.ZipFile(io.BytesIO(mf3_bytes("two pieces", PIECES))) as archive:
        assert set(archive.namelist()) == {"[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model"}
        assert {entry.date_time[0] for entry in archive.infolist()} == {1980}
        assert archive.testzip() is None
        kinds = ET.fromstring(archive.read("[Content_Types].xml"))
        relations = ET.fromstring(archive.read("_rels/.rels"))
    known = {part.get("Extension"): part.get("ContentType") for part in kinds}
    assert known["model"] == "application/vnd.ms-package.3dmanufacturing-3dmodel+xml"
    assert [part.get("Target") for part in relations] == ["/3D/3dmodel.model"]


def test_the_model_as_xml_has_millimetres_names_colours_and_vertices_with_no_reader_of_3mf() -> None:
    with zipfile.ZipFile(io.BytesIO(mf3_bytes("two pieces", PIECES))) as archive:
        root = ET.fromstring(archive.read("3D/3dmodel.model"))
    assert root.get("unit") == "millimeter"
    assert [base.get("displaycolor") for base in root.iter(f"{CORE}base")] == ["#D0893FFF", "#0102FFFF"]
    assert [item.get("name") for item in root.iter(f"{CORE}object")] == ["wedge", "box"]
    wedge, box = root.iter(f"{CORE}object")
    for element, surface in ((wedge, WEDGE), (box, BOX)):
        points = {tuple(float(vertex.get(axis, "")) for axis in "xyz") for vertex in element.iter(f"{CORE}vertex")}
        assert points == {tuple(point) for point in surface.points.tolist()}
        assert len(list(element.iter(f"{CORE}triangle"))) == len(surface.triangles)


# --- as the reference implementation reads it --------------------------------------------------------


def test_lib3mf_reads_it_strictly_with_unit_title_names_and_colours() -> None:
    model = opened(mf3_bytes("two pieces", PIECES))
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter  # type: ignore[attr-defined]
    data = model.GetMetaDataGroup()  # type: ignore[attr-defined]
    assert data.GetMetaDataByKey("", "Title").GetValue() == "two pieces"
    assert data.GetMetaDataByKey("", "Application").GetValue().startswith("halfpin ")
    meshes, found = model.GetMeshObjects(), {}  # type: ignore[attr-defined]
    while meshes.MoveNext():
        body = meshes.GetCurrentMeshObject()
        group, place, has = body.GetObjectLevelProperty()
        assert has
        assert body.IsManifoldAndOriented()
        colours = model.GetBaseMaterialGroupByID(group)  # type: ignore[attr-defined]
        colour = colours.GetDisplayColor(place)
        assert colours.GetName(place) == body.GetName()
        found[body.GetName()] = (colour.Red, colour.Green, colour.Blue, colour.Alpha)
    assert found == {"wedge": (0xD0, 0x89, 0x3F, 255), "box": (1, 2, 255, 255)}


def test_plates_and_pieces_say_how_they_are_printed_and_a_reader_that_finds_other_words_refuses(tmp_path: Path) -> None:
    """Read as XML, with no reader of 3MF, and by lib3mf."""
    told = replace(PIECES[0], words="About 10 min & 2 g: layers of 0.2 mm, 3 walls.")
    data = mf3_bytes("two pieces", (told, PIECES[1]), "About 1 h for the plate.")
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        root = ET.fromstring(archive.read("3D/3dmodel.model"))
    plate = [entry.text for entry in root.findall(f"{CORE}metadata") if entry.get("name") == "Description"]
    pieces = [
        [entry.text for entry in item.iter(f"{CORE}metadata") if entry.get("name") == "Description"]
        for item in root.iter(f"{CORE}object")
    ]
    assert (plate, pieces) == (["About 1 h for the plate."], [[told.words], []])
    assert opened(data)
    reread(written(tmp_path, data), (told, PIECES[1]), "About 1 h for the plate.")
    with pytest.raises(ReadBackError, match="what printing it takes"):
        reread(written(tmp_path, data), (told, PIECES[1]), "About 2 h for the plate.")
    with pytest.raises(ReadBackError, match="does not hold its 2 pieces"):
        reread(written(tmp_path, data), PIECES, "About 1 h for the plate.")


def test_the_plates_of_a_joint_say_what_they_and_their_aids_take() -> None:
    """The tool tray's aids together: the sum of its plates, and of its own aids, as often as each stands on them."""
    models = [opened(data) for _, data in plates_of("tool-tray")]
    told = [model.GetMetaDataGroup().GetMetaDataByKey("", "Description").GetValue() for model in models]  # type: ignore[attr-defined]
    assert all(
        re.match(r"About [0-9/ ]+ h and \d+ g for the plate\. Times are for a plain printer", words) for words in told
    )
    grams = sum(int(words.split(" and ")[1].split()[0]) for words in told)
    good = job_of().workshop.good
    assert grams == pytest.approx(sum(item.aid.copies * item.takes.grams for item in good if item.takes), abs=10)


def test_a_piece_stands_where_it_is_put_and_a_turned_one_by_a_quarter_counter_clockwise() -> None:
    (_, wedge, _), (_, box, _) = items_of(opened(mf3_bytes("two pieces", PIECES)))
    assert {tuple(point) for point in wedge} == {(x + 5.0, y + 7.0, z) for x, y, z in WEDGE.points.tolist()}
    assert {tuple(point) for point in box} == {(60.0 - y, 5.0 + x, z) for x, y, z in BOX.points.tolist()}


def test_triangles_keep_their_turn() -> None:
    for name, points, triangles in items_of(opened(mf3_bytes("two pieces", PIECES))):
        volume = np.linalg.det(points[triangles]).sum() / 6
        assert volume == pytest.approx({"wedge": 30 * 10 * 5 / 2, "box": 40 * 20 * 6}[name], rel=1e-6)


@pytest.mark.parametrize(
    "title", ["a & b <c> \"d\" 'e'", "B\u00fccherregal \u2013 \u00e9tag\u00e8re", "x" * 80, "1/2 \u2014 \u2264"]
)
def test_any_title_comes_back_as_it_was(title: str) -> None:
    model = opened(mf3_bytes(title, PIECES))
    data = model.GetMetaDataGroup()  # type: ignore[attr-defined]
    assert data.GetMetaDataByKey("", "Title").GetValue() == title


@pytest.mark.parametrize(
    ("preset", "overrides"),
    [("tool-tray", ()), ("drawer-front", ()), ("tool-tray", ("print.bed=[130, 260]",))],
    ids=["tool tray", "drawer front", "a narrow bed"],
)
@pytest.mark.whole
def test_the_plates_of_a_joint_hold_every_printed_aid_as_often_as_it_says_on_the_bed_and_apart(
    preset: str, overrides: tuple[str, ...]
) -> None:
    job = job_of(preset, *overrides)
    printed = {proved.aid.name: proved.aid.solid for proved in job.workshop.good if proved.aid.to_print}
    told_twice = [proved.aid for proved in job.workshop.good if proved.aid.printing.startswith("Print two")]
    assert [aid.name for aid in told_twice] == ["edge-pad"], "one for either edge"
    printed["edge-pad-2"] = printed["edge-pad"]
    bed = job.layout.recipe.printing.bed
    names = []
    for file in aid_files(job):
        if not file.name.endswith(".3mf"):
            continue
        items = items_of(opened(file.make()))
        names += [name for name, _, _ in items]
        boxes = []
        for name, points, triangles in items:
            low, high = points.min(axis=0), points.max(axis=0)
            assert (low[:2] >= MARGIN - 1e-4).all(), name
            assert (high[:2] <= np.array(bed) - MARGIN + 1e-4).all(), name
            assert low[2] == pytest.approx(0.0, abs=1e-6)
            size, (first, last) = high - low, bounds(printed[name])
            expected = np.array(last) - np.array(first)
            assert size[2] == pytest.approx(expected[2], abs=1e-4)
            assert sorted(size[:2]) == pytest.approx(sorted(expected[:2]), abs=1e-4)
            assert len(triangles) == len(mesh(printed[name]).triangles)
            assert all((low[:2] >= other[1][:2]).any() or (high[:2] <= other[0][:2]).any() for other in boxes)
            boxes.append((low, high))
    assert sorted(names) == sorted(printed)
    assert "marking-template-milled" not in names, "what is milled stays off the plates"


def test_neighbours_have_colours_of_their_own() -> None:
    assert len(set(COLOURS)) == len(COLOURS) >= 2
    for _, data in plates_of("tool-tray"):
        model = opened(data)
        groups = model.GetBaseMaterialGroups()  # type: ignore[attr-defined]
        assert groups.MoveNext()
        group = groups.GetCurrentBaseMaterialGroup()
        shown = [group.GetDisplayColor(number) for number in group.GetAllPropertyIDs()]
        colours = [(colour.Red, colour.Green, colour.Blue) for colour in shown]
        assert all(a != b for a, b in pairwise(colours))


# --- refusing ------------------------------------------------------------------------------------


def test_a_good_file_is_read_back_without_a_word(tmp_path: Path) -> None:
    reread(written(tmp_path, mf3_bytes("two pieces", PIECES)), PIECES)


@pytest.mark.parametrize("kept", [0, 1, 100, 0.5, 0.98, -1])
def test_a_file_that_is_cut_short_is_refused(tmp_path: Path, kept: float) -> None:
    data = mf3_bytes("two pieces", PIECES)
    end = int(kept * len(data)) if isinstance(kept, float) else kept
    with pytest.raises(ReadBackError, match=r"plate\.3mf is not a sound 3MF file"):
        reread(written(tmp_path, data[:end]), PIECES)


def with_model(data: bytes, old: bytes, new: bytes) -> bytes:
    """The file with one thing in its model written otherwise."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(out, "w") as target:
        for name in source.namelist():
            part = source.read(name)
            if name == "3D/3dmodel.model":
                assert part.count(old) >= 1
                part = part.replace(old, new, 1)
            target.writestr(name, part)
    return out.getvalue()


def test_another_unit_is_refused(tmp_path: Path) -> None:
    data = with_model(mf3_bytes("two pieces", PIECES), b'unit="millimeter"', b'unit="inch"')
    with pytest.raises(ReadBackError, match="is not in millimetres"):
        reread(written(tmp_path, data), PIECES)


def test_what_the_strict_mode_warns_of_is_refused(tmp_path: Path) -> None:
    data = with_model(mf3_bytes("two pieces", PIECES), b"<build", b"<unknown/><build")
    with pytest.raises(ReadBackError, match=r"plate\.3mf"):
        reread(written(tmp_path, data), PIECES)


def test_another_number_of_triangles_is_refused(tmp_path: Path) -> None:
    file = written(tmp_path, mf3_bytes("two pieces", PIECES))
    fewer = replace(WEDGE, triangles=WEDGE.triangles[:-1])
    with pytest.raises(ReadBackError, match="does not hold its 2 pieces"):
        reread(file, (replace(PIECES[0], mesh=fewer), PIECES[1]))


@pytest.mark.parametrize(
    "meant",
    [PIECES[:1], (replace(PIECES[0], name="edge"), PIECES[1]), (*PIECES, replace(PIECES[0], name="third")), ()],
    ids=["one too many", "another name", "one too few", "none meant"],
)
def test_other_pieces_than_were_meant_are_refused(tmp_path: Path, meant: Sequence[PlacedMesh]) -> None:
    with pytest.raises(ReadBackError, match=f"does not hold its {len(meant)} pieces"):
        reread(written(tmp_path, mf3_bytes("two pieces", PIECES)), meant)


def test_a_surface_with_a_hole_is_a_fault_of_ours() -> None:
    opened_up = replace(WEDGE, triangles=WEDGE.triangles[:-1])
    with pytest.raises(FaultError, match="wedge is not one closed, oriented surface"):
        mf3_bytes("x", (replace(PIECES[0], mesh=opened_up),))


def test_a_turned_triangle_is_a_fault_of_ours() -> None:
    triangles = WEDGE.triangles.copy()
    triangles[0] = triangles[0][::-1]
    with pytest.raises(FaultError, match="wedge is not one closed, oriented surface"):
        mf3_bytes("x", (replace(PIECES[0], mesh=replace(WEDGE, triangles=triangles)),))
