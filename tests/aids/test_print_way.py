"""How an aid is printed, and what that takes, by hand for a plain block."""

from __future__ import annotations

import pytest

from solids.aids.making.modelling import block, surface_of
from solids.aids.making.print_way import (
    HELD,
    PLAIN,
    PRESSED,
    PrintWay,
    Strength,
    about_grams,
    about_minutes,
    print_way,
    takes,
)
from tests.corners import job_of


def test_a_block_by_hand() -> None:
    """40 x 30 x 20 mm. Walls: 3 x 0.45 = 1.35 mm on 2 (40 + 30) 20 = 2800 mm2 are 3780 mm3. Skins: 3 x 0.2 = 0.6 mm
    on 2 x 1200 = 2400 mm2 are 1440 mm3. Shell 5220 mm3; of the other 24000 - 5220 = 18780 mm3 15 % are 2817 mm3.
    Plastic 8037 mm3, by 1.24 g/cm3 9.966 g. At 40 x 0.45 x 0.2 = 3.6 mm3/s 2232.5 s, and 100 layers of 4 s, 400 s:
    2632.5 s or 43.875 min, and 3 min before."""
    way = print_way(0.4, PLAIN)
    assert way == PrintWay(layer=0.2, line=pytest.approx(0.45), walls=3, skins=3, infill=0.15)
    found = takes(surface_of(block((0, 0, 0), (40, 30, 20))), way)
    assert found.grams == pytest.approx(8.037 * 1.24, abs=1e-9)
    assert found.minutes == pytest.approx(46.875, abs=1e-9)
    assert (about_grams(found.grams), about_minutes(found.minutes)) == ("10 g", "45 min")


def test_what_is_thinner_than_its_walls_is_printed_solid() -> None:
    """A plate of 2 x 20 x 10 mm: 400 mm3, which 2 (2 + 20) 10 x 1.35 = 594 mm3 of walls would more than fill."""
    assert takes(surface_of(block((0, 0, 0), (2, 20, 10))), print_way(0.4, PLAIN)).grams == pytest.approx(0.4 * 1.24)


@pytest.mark.parametrize(
    ("nozzle", "strength", "walls", "skins"),
    [
        *((0.4, PLAIN, 3, 3), (0.4, PRESSED, 4, 3), (0.4, HELD, 4, 3)),
        *((0.2, PLAIN, 6, 6), (0.6, PLAIN, 2, 2), (0.8, PRESSED, 2, 2)),
    ],
)
def test_a_layer_is_half_the_nozzle_and_walls_are_as_thick_for_any(
    nozzle: float, strength: Strength, walls: int, skins: int
) -> None:
    """By hand: 1.2 mm of lines of 1.125 x 0.4 = 0.45 mm takes 3, 1.6 mm takes 4; of 0.675 mm takes 2."""
    way = print_way(nozzle, strength)
    assert (way.layer, way.walls, way.skins) == (pytest.approx(nozzle / 2), walls, skins)
    assert way.walls * way.line >= strength.walls or way.walls == 2


@pytest.mark.parametrize(
    ("grams", "said"),
    [(0.2, "1 g"), (4.6, "5 g"), (9.4, "9 g"), (9.6, "10 g"), (38, "40 g"), (49, "50 g"), (144, "140 g")],
)
def test_grams_are_told_as_a_person_would(grams: float, said: str) -> None:
    assert about_grams(grams) == said


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (1, "5 min"),
        (9, "10 min"),
        (44, "45 min"),
        (58, "1 h"),
        (85, "1 1/2 h"),
        (119, "2 h"),
        (230, "4 h"),
        (540, "9 h"),
    ],
)
def test_minutes_are_told_as_a_person_would(minutes: float, said: str) -> None:
    assert about_minutes(minutes) == said


@pytest.mark.whole
def test_the_floor_of_a_magnets_slot_is_wall_right_through() -> None:
    """Both its sides are wall, and it is no thicker than two times three lines."""
    job = job_of()
    (guide,) = [proved for proved in job.workshop.good if proved.aid.name == "saw-guide-tails"]
    thinnest = next(finding.measured for finding in guide.findings if finding.code == "walls")
    assert guide.way is not None
    assert thinnest is not None
    assert thinnest <= 2 * guide.way.walls * guide.way.line


@pytest.mark.whole
def test_what_is_milled_takes_no_filament_and_all_else_takes_some() -> None:
    for proved in job_of().workshop.good:
        assert (proved.takes is None) != proved.aid.to_print
        assert proved.takes is None or (proved.takes.grams > 0 and proved.takes.minutes > 3)
