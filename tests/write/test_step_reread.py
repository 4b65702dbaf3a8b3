"""Reading a STEP file back finds every planted difference, and passes what was meant."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.gp import gp_Trsf, gp_Vec
from OCP.TopoDS import TopoDS

from solids.base.errors import ReadBackError
from solids.wood import Wood, find_wood, own_wood
from solids.write.formats import step
from tests.corners import PRESETS, job_of, step_parts
from tests.part21 import Ref, read_step
from tests.write.conftest import parts, written


@pytest.mark.parametrize("preset", PRESETS)
def test_every_preset_reads_back_in_both_states(tmp_path: Path, preset: str) -> None:
    job = job_of(preset)
    for corner in (job.cut, job.finished):
        both = step_parts(corner)
        step.reread(written(tmp_path, step.step_bytes("t", "x", both)), "t", both)


def moved(part: step.Product, mm: float) -> step.Product:
    shift = gp_Trsf()
    shift.SetTranslation(gp_Vec(0.0, mm, 0.0))
    return replace(part, solid=TopoDS.Solid_s(BRepBuilderAPI_Transform(part.solid, shift, True).Shape()))


def woods(tails: Wood, pins: Wood) -> Callable[[list[step.Product]], list[step.Product]]:
    return lambda both: [replace(both[0], wood=tails), replace(both[1], wood=pins)]


CHERRY, MAPLE = find_wood("cherry"), find_wood("maple")
PEAR, PLUM = own_wood("pear", "hardwood", 690.0), own_wood("plum", "hardwood", 690.0)

PLANTED: dict[str, tuple[Callable[[list[step.Product]], list[step.Product]], str]] = {
    "a wrong colour": (woods(replace(CHERRY, colour="#b5714b"), MAPLE), "colour"),
    "a wrong density": (woods(replace(CHERRY, density=560.001), MAPLE), "density"),
    "a wrong wood's name": (woods(replace(CHERRY, name="cheery"), MAPLE), "material"),
    "a missing part": (lambda both: both[:1], "assembly name|part count"),
    "a part too many": (lambda both: [*both, replace(both[1], name="third")], "part count"),
    "parts in the wrong order": (lambda both: both[::-1], "name"),
    "a wrong part's name": (lambda both: [replace(both[0], name="tale board"), both[1]], "name"),
    "a solid moved by 0.00001 mm": (lambda both: [both[0], moved(both[1], 1e-5)], "centroid"),
    "another slope": (lambda both: [parts("tool-tray", 'joint.slope="1:7.0001"')[0], both[1]], "volume|area|centroid"),
}


@pytest.mark.parametrize("planted", PLANTED)
def test_reading_back_finds(tmp_path: Path, planted: str) -> None:
    change, word = PLANTED[planted]
    both = parts()
    file = written(tmp_path, step.step_bytes("tool tray", "x", change(both)))
    with pytest.raises(ReadBackError, match=word):
        step.reread(file, "tool tray", both)


def test_reading_back_finds_two_woods_that_changed_places_though_their_densities_are_equal(tmp_path: Path) -> None:
    meant = woods(PEAR, PLUM)(parts())
    file = written(tmp_path, step.step_bytes("tool tray", "x", woods(PLUM, PEAR)(parts())))
    with pytest.raises(ReadBackError, match="material"):
        step.reread(file, "tool tray", meant)


def test_reading_back_finds_a_wrong_title(tmp_path: Path, good: bytes) -> None:
    with pytest.raises(ReadBackError, match=r"assembly name reads back as 'tool tray' instead of 'tool tree'"):
        step.reread(written(tmp_path, good), "tool tree", parts())


@pytest.mark.parametrize("kind", ["volume measure", "surface area measure"])
def test_reading_back_finds_a_stored_measure_that_is_wrong_by_a_millionth(
    tmp_path: Path, good: bytes, kind: str
) -> None:
    pattern = re.compile(rb"('" + kind.encode() + rb"',\s*\w+\(\s*)([0-9.E+]+)\)")
    changed, count = pattern.subn(lambda m: m[1] + b"%.15E)" % (float(m[2]) * (1 + 1e-6)), good, count=1)
    assert count == 1
    with pytest.raises(ReadBackError, match="stored"):
        step.reread(written(tmp_path, changed), "tool tray", parts())


def test_reading_back_finds_a_part_that_is_placed_elsewhere_in_the_assembly(tmp_path: Path, good: bytes) -> None:
    file = read_step(good)
    placement = file.get(file.all("ITEM_DEFINED_TRANSFORMATION")[1].values[3])
    at = b"#%d = CARTESIAN_POINT('',(0.,%s0.,0.));"
    changed = good.replace(at % (placement.values[1].number, b""), at % (placement.values[1].number, b"5"))
    assert len(changed) == len(good) + 1
    with pytest.raises(ReadBackError):
        step.reread(written(tmp_path, changed), "tool tray", parts())


@pytest.mark.parametrize("kind", ["ADVANCED_FACE", "FACE_BOUND"])
def test_reading_back_finds_a_face_turned_over_which_the_kernel_would_mend(
    tmp_path: Path, good: bytes, kind: str
) -> None:
    turned, count = re.subn(rb"( = " + kind.encode() + rb"\([^;]*),\.T\.\);", rb"\1,.F.);", good, count=1)
    assert count == 1
    with pytest.raises(ReadBackError, match=r"volume|area"):
        step.reread(written(tmp_path, turned), "tool tray", parts())


def test_reading_back_finds_a_wrong_stored_centroid(tmp_path: Path, good: bytes) -> None:
    changed = good.replace(b"'centre point',(48.,", b"'centre point',(48.00001,", 1)
    assert changed != good
    with pytest.raises(ReadBackError, match="stored centroid"):
        step.reread(written(tmp_path, changed), "tool tray", parts())


def test_a_part_on_its_own_is_a_root_and_no_assembly(tmp_path: Path) -> None:
    alone = parts()[:1]
    data = step.step_bytes("tool tray, tail board", "x", alone)
    file = read_step(data)
    assert [record.values[0] for record in file.all("PRODUCT")] == ["tail board"]
    assert not file.all("NEXT_ASSEMBLY_USAGE_OCCURRENCE")
    assert isinstance(file.all("SHAPE_DEFINITION_REPRESENTATION")[0].values[0], Ref)
    step.reread(written(tmp_path, data), "tail board", alone)
