"""Facts about Open CASCADE that shape our code. When an upgrade heals or worsens one, the test says so."""

from __future__ import annotations

import re
import subprocess
import sys
from unittest.mock import patch

import pytest

from solids.write.formats import step
from solids.write.formats.step import writing
from tests.corners import case, step_parts


def test_settings_are_not_known_before_the_controller_is_there() -> None:
    """Why `step_bytes` calls Init first."""
    code = (
        "from OCP.Interface import Interface_Static as S\n"
        "from OCP.STEPCAFControl import STEPCAFControl_Controller as C\n"
        "before = S.SetCVal_s('write.step.schema', 'AP242DIS')\n"
        "C.Init_s()\n"
        "print(before, S.SetCVal_s('write.step.schema', 'AP242DIS'))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "True"]


def unmended() -> str:
    """What Open CASCADE writes by itself."""
    job = case("through")
    with (
        patch.object(writing, "_mend"),
        patch.object(writing, "encoded", lambda text: text),
        patch.object(writing, "order_styles", lambda text: text),
    ):
        return step.step_bytes("plain", "as it comes", step_parts(job.cut)).decode("ascii")


def test_density_comes_with_impossible_units() -> None:
    """Why `_mend_density_unit` is there: gram to the power 3, centimetre to the power 2."""
    text = unmended()
    unit = re.search(r"DERIVED_UNIT\(\(#(\d+),#(\d+)\)\)", text)
    assert unit
    exponents = [re.search(rf"#{number} = DERIVED_UNIT_ELEMENT\(#\d+,([-\d.]+)\)", text)[1] for number in unit.groups()]
    assert exponents == ["3.", "2."]


def test_numbers_of_occurrences_go_on_from_file_to_file() -> None:
    """Why they are given anew."""
    first, second = (re.findall(r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\('(\d+)'", unmended()) for _ in range(2))
    assert int(second[0]) > int(first[-1])


def test_the_brep_comes_without_a_name() -> None:
    assert "MANIFOLD_SOLID_BREP(''" in unmended()


@pytest.mark.parametrize("name", ["through", "half-blind"])
def test_a_boolean_of_boards_that_touch_is_empty(name: str) -> None:
    """No sliver comes out of faces that coincide."""
    from solids.model.kernel import common

    job = case(name)
    assert common(job.cut.tail_board, job.cut.pin_board) == []
