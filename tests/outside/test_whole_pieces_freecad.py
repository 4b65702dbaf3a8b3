"""FreeCAD reads the assemblies of whole pieces, headless: lids, feet, dividers, runners and kickers beside the four
boards. Every part is one sound solid with the volume of the report, lies where the sizes of the recipe put it, and has
nothing in common with its neighbours.

By `Part.read`; names by its importer, which FreeCAD 0.20.2, as Debian ships it, needs a window for.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from solids.layout.assembly import assembly_of
from solids.layout.box.model import BoxLayout
from solids.layout.plan import plan
from solids.recipe.text.texts import box_preset_names
from solids.write.files.table import Job, files_of
from solids.write.report import BoxReport, piece_report
from tests.boxes import job_of_box
from tests.outside.freecad import NEEDED, found_by
from tests.outside.whole_pieces import faults, meant_parts

pytestmark = NEEDED

FILES = ("box.step", "box-finished.step")
BOARDS_AND_BOTTOM = 5

SCRIPT = """
import Part
for path in PATHS:
    solids = Part.read(path).Solids
    boxes = [solid.BoundBox for solid in solids]
    shared = {}
    for i, first in enumerate(solids):
        for j in range(i):
            near = FreeCAD.BoundBox(boxes[j])
            near.enlarge(1e-6)
            if boxes[i].intersect(near):
                shared[f"{j}, {i}"] = first.common(solids[j]).Volume
    found[path] = {
        "solids": [
            {
                "volume": solid.Volume, "valid": solid.isValid(), "closed": solid.isClosed(),
                "bounds": [box.XMin, box.YMin, box.ZMin, box.XMax, box.YMax, box.ZMax],
            }
            for solid, box in zip(solids, boxes)
        ],
        "shared": shared,
    }
"""

NAMES = """
import FreeCADGui
FreeCADGui.showMainWindow()
import ImportGui
for number, path in enumerate(PATHS):
    document = FreeCAD.newDocument(f"d{number}")
    ImportGui.insert(name=path, docName=document.Name, merge=False)
    found[path] = {
        each.Label: [[solid.Volume for solid in each.Shape.Solids], each.TypeId]
        for each in document.Objects
        if getattr(each, "Shape", None) and each.Shape.Solids
    }
"""


def many_parts() -> list[str]:
    """The box presets that have more than four boards and a bottom."""
    plans = {name: plan(name) for name in box_preset_names()}
    return [name for name, found in plans.items() if len(assembly_of(found).parts) > BOARDS_AND_BOTTOM]


PIECES = many_parts()


def test_pieces_with_lids_feet_dividers_and_runners_are_among_them() -> None:
    parts = {name for piece in PIECES for name in assembly_of(plan(piece)).parts}
    assert parts >= {"lid front", "top", "foot front left", "divider 1", "divider 2", "left runner", "right kicker"}


def step_of(job: Job, file: str, folder: Path) -> str:
    """The path of one of its files, newly made."""
    (made,) = [each for each in files_of(job, "corner") if each.name == file]
    path = folder / f"{len([*folder.iterdir()])}-{file}"
    path.write_bytes(made.make())
    return str(path)


def wrong_in(job: Job, file: str, read: dict[str, Any]) -> list[str]:
    """What FreeCAD found wrong in a file of a piece, by its report."""
    box, report = job.proof.assembly.plan, piece_report(job.proof.assembly, job.proof)
    assert isinstance(box, BoxLayout)
    assert isinstance(report, BoxReport)
    return faults(meant_parts(box, report, finished=file == FILES[1]), read["solids"], read["shared"])


@pytest.fixture(scope="module")
def paths(tmp_path_factory: pytest.TempPathFactory) -> dict[tuple[str, str], str]:
    folder = tmp_path_factory.mktemp("pieces")
    return {(name, file): step_of(job_of_box(name), file, folder) for name in PIECES for file in FILES}


@pytest.fixture(scope="module")
def found(paths: dict[tuple[str, str], str], tmp_path_factory: pytest.TempPathFactory) -> dict[tuple[str, str], Any]:
    """What FreeCAD finds in every file, all in one run."""
    read = found_by(SCRIPT, tmp_path_factory.mktemp("freecad"), PATHS=[*paths.values()])
    return {key: read[path] for key, path in paths.items()}


@pytest.mark.parametrize("file", FILES)
@pytest.mark.parametrize("name", PIECES)
def test_every_part_is_whole_in_its_place_and_clear_of_all_others(
    found: dict[tuple[str, str], Any], name: str, file: str
) -> None:
    read = found[name, file]
    assert len(read["shared"]) >= 8, "four corners, and a bottom in four grooves, at least lie side by side"
    assert wrong_in(job_of_box(name), file, read) == []


@pytest.fixture(scope="module")
def named(paths: dict[tuple[str, str], str], tmp_path_factory: pytest.TempPathFactory) -> dict[tuple[str, str], Any]:
    """The names that FreeCAD shows in every file, with what lies under each."""
    read = found_by(NAMES, tmp_path_factory.mktemp("names"), PATHS=[*paths.values()])
    return {key: read[path] for key, path in paths.items()}


@pytest.mark.parametrize("file", FILES)
@pytest.mark.parametrize("name", PIECES)
def test_every_part_is_there_by_its_name(named: dict[tuple[str, str], Any], name: str, file: str) -> None:
    """Boards that are alike are one part with both names, "right and left"."""
    job, state = job_of_box(name), ", finished" if file == FILES[1] else ""
    box, report = job.proof.assembly.plan, piece_report(job.proof.assembly, job.proof)
    assert isinstance(box, BoxLayout)
    assert isinstance(report, BoxReport)
    meant, left = meant_parts(box, report, finished=bool(state)), set[str]()
    for label, (volumes, kind) in named[name, file].items():
        if kind != "Part::Feature":
            continue
        assert label.endswith(state)
        for part in label.removesuffix(state).split(" and "):
            left.add(part)
            assert volumes == [pytest.approx(meant[part].volume, rel=1e-6)], part
    assert left == set(meant)
    (whole,) = [volumes for _, (volumes, kind) in named[name, file].items() if kind == "App::LinkGroup"]
    assert len(whole) == len(meant)


def planted(name: str, part: str, by: tuple[float, float, float]) -> Job:
    """A piece of which one part as cut lies elsewhere in its file, by so much."""
    proof = job_of_box(name).proof
    cut = tuple(replace(each, rows=each.rows.shifted(by)) if each.name == part else each for each in proof.cut)
    assert cut != proof.cut
    return Job(replace(proof, cut=cut))


def test_a_part_out_of_place_and_parts_that_overlap_are_seen(tmp_path: Path) -> None:
    """A foot that stands 0.001 mm too low, a shelf that is pushed 0.5 mm into the side of its carcase, and the report
    of a tray whose divider is a hair thicker than that in the file."""
    foot = planted("tea-chest", "foot back left", (0.0, 0.0, -0.001))
    shelf = planted("shelf-carcase", "divider 2", (0.5, 0.0, 0.0))
    tray, thicker = job_of_box("work-box-tray"), job_of_box("work-box-tray", "box.divider.1.thickness=4.001")
    paths = [step_of(job, FILES[0], tmp_path) for job in (foot, shelf, tray)]
    read = found_by(SCRIPT, tmp_path, PATHS=paths)
    low, pushed, thin = (
        wrong_in(job, FILES[0], read[path]) for job, path in zip((foot, shelf, thicker), paths, strict=True)
    )
    assert next(each.split(":")[0] for each in low if "should" in each) == "foot back left"
    assert not [each for each in low if "in common" in each], "it only leaves the board above it"
    assert [each for each in pushed if each.startswith("divider 2")]
    assert [each for each in pushed if "in common" in each]
    assert [each for each in thin if each.startswith("divider 1")]
