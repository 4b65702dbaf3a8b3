"""Our STEP files read by steputils 0.1 (Manfred Moitzi, MIT), a strict Part 21 parser that is not Open CASCADE."""

from __future__ import annotations

import math
import re

import pytest
from steputils import p21

from solids import __version__
from tests.corners import CASES, STEP_FILES, case, made, titled
from tests.part21 import read_step

pytestmark = pytest.mark.outside


# AP242 edition 1 as listed by NIST's STEP analyzer (usnistgov/SFA, sfa-step.tcl).
AP242_E1 = "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF {1 0 10303 442 1 1 4}"


def entities(file: p21.StepFile, name: str) -> list[p21.Entity]:
    simple = (instance for instance in file if isinstance(instance, p21.SimpleEntityInstance))
    return [instance.entity for instance in simple if instance.entity.name == name]


@pytest.mark.parametrize("name", CASES)
def test_it_finds_the_products_the_schema_and_an_assembly_of_two(name: str) -> None:
    job = case(name)
    file = p21.loads(made(job, "corner.step").decode("ascii"))
    schema = file.header["FILE_SCHEMA"].params[0][0]
    assert re.sub(r"\s+}", "}", schema) == AP242_E1
    assert [product.params[1] for product in entities(file, "PRODUCT")] == [
        job.layout.recipe.title,
        "tail board",
        "pin board",
    ]
    whole, *parts = [product.params for product in entities(file, "PRODUCT_DEFINITION")]
    assert len(parts) == 2
    occurrences = [occurrence.params for occurrence in entities(file, "NEXT_ASSEMBLY_USAGE_OCCURRENCE")]
    assert [row[1] for row in occurrences] == ["tail board", "pin board"]
    assert len({row[3] for row in occurrences}) == 1, "both belong to one assembly"
    assert len({row[4] for row in occurrences}) == 2, "each is a part of its own"
    for row in occurrences:
        assert file[row[3]].entity.params == whole


def test_it_finds_title_and_tool_in_the_header() -> None:
    file = p21.loads(made(case("through"), "corner.step").decode("ascii"))
    name = file.header["FILE_NAME"].params
    assert (name[0], name[1], name[5]) == ("tool tray", "1970-01-01T00:00:00", f"halfpin {__version__}")


@pytest.mark.parametrize("title", ["Kästchen", "O'Brien's 木箱", "木工の引き出し"])
def test_it_decodes_a_title_in_any_script(title: str) -> None:
    file = p21.loads(made(titled(title), "corner.step").decode("ascii"))
    assert file.header["FILE_NAME"].params[0] == title
    assert entities(file, "PRODUCT")[0].params[1] == title


@pytest.mark.parametrize("name", STEP_FILES)
def test_it_reads_as_many_instances_as_our_own_small_reader(name: str) -> None:
    data = made(case("half-blind"), name)
    assert len(p21.loads(data.decode("ascii"))) == len(read_step(data).data)


def test_it_refuses_a_broken_file_so_that_reading_means_something() -> None:
    text = made(case("through"), "corner.step").decode("ascii")
    with pytest.raises(p21.ParseError):
        p21.loads(text.replace("= PLANE('',", "= PLANE'',", 1))


@pytest.mark.parametrize("name", CASES)
def test_it_finds_a_name_for_every_face_and_the_overridden_colour_of_each_reference_edge(name: str) -> None:
    layout = case(name).layout
    file = p21.loads(made(case(name), "corner.step").decode("ascii"))
    names = [face.params[0] for face in entities(file, "ADVANCED_FACE")]
    assert all(names)
    tails = range(1, len(layout.tails) + 1)
    for flank in (f"flank {number} {side}" for number in tails for side in ("left", "right")):
        assert names.count(flank) == 2, "of a tail, and of the socket that it goes into"
    for number in tails:
        assert names.count(f"end of tail {number}") == 1
        assert names.count(f"lap {number}") == layout.is_half_blind
    own = [file.get(item.params[2]).entity for item in entities(file, "OVER_RIDING_STYLED_ITEM")]
    assert [face.params[0] for face in own] == ["reference edge", "reference edge"]


@pytest.mark.parametrize("name", CASES)
def test_it_finds_the_dimensions_of_single_boards_with_their_values(name: str) -> None:
    recipe = case(name).layout.recipe
    for board, thickness in (("tail", recipe.tail_board.thickness), ("pin", recipe.pin_board.thickness)):
        file = p21.loads(made(case(name), f"boards/{board}-board.step").decode("ascii"))
        values = {}
        for link in entities(file, "DIMENSIONAL_CHARACTERISTIC_REPRESENTATION"):
            what = file.get(link.params[0]).entity.params[1]
            (item,) = file.get(link.params[1]).entity.params[1]
            (measure,) = (entity for entity in file.get(item).entities if entity.name == "MEASURE_WITH_UNIT")
            values[what] = measure.params[0].param
        assert values["thickness"] == thickness
        assert values["width"] == recipe.width
        assert math.tan(values["slope"]) == pytest.approx(1 / recipe.slope_ratio)
        assert sum(what.startswith("flank") for what in values) == 2 * len(recipe.tail_shares)
