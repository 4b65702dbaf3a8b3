"""Files of the joint in `tests/irregular.py`, in which nothing is alike: the dimensions and names of its boards, its
report, its waste, and the flat drawing on the page, by hand."""

from __future__ import annotations

import json
import math

import jsonschema
import pytest

from solids.layout.dimensions import board_dimensions
from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from solids.model.corner import corner_parts, make_corner
from solids.model.kernel import volume_of
from solids.proof.waste import proved_waste
from solids.write import report
from solids.write.formats import step
from solids.write.page.contents import flat_layout
from tests.irregular import FLANKS, at, irregular, irregular_job
from tests.named_faces import check_names
from tests.part21 import read_step
from tests.write.test_step_dimensions import check

SLOPES = {"1 right": 6, "2 left": 5, "3 left": 8, "3 right": 9}
NAMES = ["1 right", "2 left", "2 right", "3 left", "3 right"]
BOTH = pytest.mark.parametrize("mirrored", [False, True], ids=["as drawn", "mirrored"])


def degrees_of(rise: float, run: float) -> float:
    return math.degrees(math.atan(rise / run))


@BOTH
@pytest.mark.parametrize("board", ["tail board", "pin board"])
def test_each_dimension_in_a_file_is_the_one_by_hand(board: str, *, mirrored: bool) -> None:
    layout, tails = irregular(mirrored=mirrored), board == "tail board"
    part = next(part for part in corner_parts(make_corner(layout, layout.as_cut)) if part.name == board)
    dimensions = board_dimensions(layout, board)
    product = step.Product(board, part.solid, part.wood, faces=part.faces, dimensions=dimensions)
    found = {what: told for what, (told, _) in check(read_step(step.step_bytes(board, "x", [product]))).items()}
    meant = {"thickness": 10.0 if tails else 12.0, "width": 96.0}
    meant |= {"length": 120 + 13.2, "gauge for the baseline": 13.2, "depth of the rebate": 2.0} if tails else {}
    meant |= {} if tails else {"length": 120 + 10.8, "gauge for the baseline": 8.8}
    mitre = degrees_of(7.5, 11.5) if tails else degrees_of(11.5, 7.5)
    meant |= {"angle of the mitre at the other edge": mitre}
    meant |= {f"slope of flank {name}": degrees_of(1, n) for name, n in SLOPES.items()}
    where, places = ("on the raw end", at(13.2)) if tails else ("at the inside face", at(0.0))
    meant |= {f"flank {name} {where}": x for name, x in zip(NAMES, places, strict=True)}
    assert list(found) == list(meant)
    assert found == pytest.approx(meant)


@BOTH
@pytest.mark.parametrize("finished", [False, True])
def test_every_face_has_a_name_and_one_plane_for_each(*, mirrored: bool, finished: bool) -> None:
    layout = irregular(mirrored=mirrored)
    for part in corner_parts(make_corner(layout, layout.state(finished=finished))):
        check_names(part)


def test_a_flank_that_runs_outward_is_a_flank_by_name() -> None:
    """The third tail's right flank from 80 to 81 at the baseline."""
    flanks = "joint.flanks=[0, [20, 18], [26, 28.4], [50, 50], [56, 58], [80, 81]]"
    layout = irregular(flanks)
    for part in corner_parts(make_corner(layout, layout.as_cut)):
        check_names(part)
    names = [dimension.what for dimension in board_dimensions(layout, "tail board")]
    assert "slope of flank 3 right" in names


def test_the_waste_is_the_rebate_the_sockets_and_what_the_mitre_takes() -> None:
    """The rebate: 96 x 13.2 x 2. The tail board's strip: below the mitre, 6 wide, from 0 to 13.2, 8 high but for a
    triangle of 11.5 x 8/7.5 by 8."""
    job = irregular_job().job
    boards = {board.name: board for board in proved_waste(job.proof.assembly, job.proof.cut)}
    tails = {part.name.removeprefix("tail board, "): volume_of(part.solid) for part in boards["tail board"].waste}
    pins = [part.name.removeprefix("pin board, ") for part in boards["pin board"].waste]
    assert list(tails) == ["socket 1", "socket 2", "socket 3", "mitre at the other edge", "rebate"]
    assert pins == ["socket for tail 1", "socket for tail 2", "socket for tail 3", "mitre at the other edge"]
    assert tails["rebate"] == pytest.approx(96 * 13.2 * 2)
    assert tails["mitre at the other edge"] == pytest.approx(6 * (13.2 * 8 - 11.5 * 8 / 7.5 * 8 / 2))
    assert tails["socket 1"] == pytest.approx(8 * 13.2 * (at(6.6)[1] - at(6.6)[0]))


def test_the_report_holds_both_flanks_of_each_tail_and_what_stands_at_the_edges() -> None:
    job = irregular_job()
    made = json.loads(report.report_bytes(report.make_report(job.layout, job.proof)))
    schema = jsonschema.Draft202012Validator(report.report_schema())
    assert list(schema.iter_errors(made)) == []
    layout = made["layout"]
    flanks = [flank for tail in layout["tails"] for flank in tail["flanks"]]
    assert [len(tail["flanks"]) for tail in layout["tails"]] == [1, 2, 2]
    assert [flank["side"] for flank in flanks] == ["right", "left", "right", "left", "right"]
    assert [flank["face_mm"] for flank in flanks] == [x for x, _ in FLANKS]
    assert [flank["baseline_mm"] for flank in flanks] == pytest.approx(at(0.0))
    assert [flank["slope_ratio"] for flank in flanks] == [
        pytest.approx(6),
        pytest.approx(5),
        None,
        *map(pytest.approx, (8, 9)),
    ]
    assert layout["slope_ratios"] == [*map(pytest.approx, (5, 6, 8, 9)), None]
    assert [pin["half"] for pin in layout["pins"]] == [False, False, True]
    assert [pin["narrow_mm"] for pin in layout["pins"]] == pytest.approx([6, 6, 10])
    assert (layout["rebate_mm"], made["recipe"]["rebate_mm"]) == (2, 2)
    assert layout["mitre"] == {
        "reference_mm": 0,
        "other_mm": 6,
        "tail_board_deg": pytest.approx(degrees_of(7.5, 11.5)),
        "pin_board_deg": pytest.approx(degrees_of(11.5, 7.5)),
    }
    assert made["recipe"]["listed"]["edges"] == ["half tail", "half pin"]
    assert made["recipe"]["listed"]["faces_mm"] == [[0, 20], [26, 50], [56, 80]]
    assert made["recipe"]["mitre_mm"] == [0, 6]
    cut = layout["states"][0]
    assert cut["tail_board_mm3"] == pytest.approx(tail_board_volume(job.layout, job.layout.as_cut))
    assert cut["pin_board_mm3"] == pytest.approx(pin_board_volume(job.layout, job.layout.as_cut))


def test_a_mirrored_joint_has_the_same_report_of_its_flanks() -> None:
    told = [report.make_report(irregular(mirrored=mirrored)).layout for mirrored in (False, True)]
    assert told[0].tails == told[1].tails
    assert told[0].pins == told[1].pins
    assert told[0].mitre == told[1].mitre


def test_the_pages_drawing_has_the_half_tail_at_its_edge_and_the_mitred_strip_beside_the_half_pin() -> None:
    flat = flat_layout(irregular())
    assert flat.tails[0][0] == "0.0000,0.0000 20.0000,0.0000 18.0000,12.0000 0.0000,12.0000"
    assert flat.board.split()[:4] == ["0.0000,12.0000", "90.0000,12.0000", "90.0000,0.0000", "96.0000,0.0000"]
    assert flat.baseline == (0.0, 90.0, 12.0)
