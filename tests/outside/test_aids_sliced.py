"""PrusaSlicer, as Debian ships it, slices every printed aid: all of it lies on the bed, no support is printed, and what
we say of grams and time agrees with what it says.

The options are those of `prusa-slicer --help-fff`. Supports are switched on and automatic. By its help the threshold is
"the most horizontal slope (measured from the horizontal plane) that you can print without support material". We ask for
40: it compares layers whose outlines are rounded, and at 43 and 44 it lays one patch of one layer at one corner of one
chamfer of exactly 45 degrees. What leans out by 45 degrees and not a hair more is for the exact proof of each aid to
say. Comments `;TYPE:` in its G-code say what each path is for, and `Support material` is one of them.
"""

from __future__ import annotations

import math
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from solids.aids.catalogue import make_aids
from solids.aids.making.asked import asked_for
from solids.aids.making.modelling import extrude
from solids.aids.making.print_way import DENSITY, PrintWay
from solids.base.geometry import MINUS_Y, Frame, X, Z
from solids.model.kernel import bounds, mesh
from solids.model.kernel.shaping import placed
from solids.write.files.table import write_files
from solids.write.formats import stl
from tests.corners import job_of, layout_of, piece_of

COMMAND = shutil.which("prusa-slicer")
BED = 220.0

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(COMMAND is None, reason="prusa-slicer is not on PATH (Debian package prusa-slicer)"),
]

OPTIONS = (
    *("--export-gcode", "--support-material", "--support-material-auto", "--support-material-threshold", "40"),
    *("--skirts", "0"),
    *("--bed-shape", f"0x0,{BED:g}x0,{BED:g}x{BED:g},0x{BED:g}", "--loglevel", "1"),
)
LINE = 0.45
"""Wide enough for half a line of a 0.4 mm nozzle beside the path's middle, and its rounding."""

MOVE = re.compile(r"^G1 (?=.*[XY])(?=.*E[\d.]).*$", re.MULTILINE)
AXIS = {name: re.compile(rf"{name}(-?[\d.]+)") for name in "XYZ"}


def sliced(path: Path, *options: str, nozzle: float = 0.4, layer: float = 0.2) -> str:
    """The G-code of a file. Each option is given once: a repeated nozzle does not replace the first."""
    head = ("--nozzle-diameter", f"{nozzle:g}", "--layer-height", f"{layer:g}", "--first-layer-height", f"{layer:g}")
    out = path.with_suffix(".gcode")
    done = subprocess.run(
        [str(COMMAND), *OPTIONS, *head, *options, str(path), "-o", str(out)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    return out.read_text("utf-8")


def kinds_of_path(gcode: str) -> set[str]:
    found = set(re.findall(r"^;TYPE:(.+)$", gcode, re.MULTILINE))
    assert "External perimeter" in found, "the G-code says what each path is for"
    return found


def reach(gcode: str) -> tuple[list[float], list[float], float]:
    """The least and the greatest X and Y where plastic is laid, and the highest layer."""
    xs, ys = [], []
    for move in MOVE.findall(gcode):
        for axis, values in (("X", xs), ("Y", ys)):
            found = AXIS[axis].search(move)
            if found:
                values.append(float(found[1]))
    assert len(xs) > 10
    return (
        [min(xs), min(ys)],
        [max(xs), max(ys)],
        max(float(z) for z in re.findall(r"^;Z:([\d.]+)", gcode, re.MULTILINE)),
    )


def wedge(degrees: float, path: Path) -> Path:
    """A block, 30 mm wide, one side of which leans out by so many degrees from upright over 15 mm of height."""
    out = 15.0 * math.tan(math.radians(degrees))
    profile = [(0.0, 0.0), (20.0, 0.0), (20.0 + out, 15.0), (0.0, 15.0)]
    body = placed(extrude(profile, 0.0, 30.0), Frame.of(X, Z, MINUS_Y, (0.0, 30.0, 0.0)))
    path.write_bytes(stl.stl_bytes("wedge", mesh(body)))
    return path


@pytest.fixture(scope="module", params=["tool-tray", "drawer-front"])
def folder(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The aids of a joint, as they are written."""
    return write_files(piece_of(request.param), tmp_path_factory.mktemp("sliced"), groups=("aids",)).folder / "aids"


@pytest.mark.parametrize(("degrees", "supported"), [(45.0, False), (52.0, True), (60.0, True)])
def test_the_slicer_does_print_supports_where_a_side_leans_out_more(
    degrees: float, supported: bool, tmp_path: Path
) -> None:
    kinds = kinds_of_path(sliced(wedge(degrees, tmp_path / "wedge.stl")))
    assert any("Support" in kind for kind in kinds) == supported


def test_every_printed_aid_prints_whole_with_no_support(folder: Path) -> None:
    preset = folder.parent.name
    printed = [proved.aid for proved in job_of(preset).workshop.good if proved.aid.to_print]
    assert len(printed) >= 10
    for aid in printed:
        gcode = sliced(folder / f"{aid.name}.stl")
        assert not [kind for kind in kinds_of_path(gcode) if "Support" in kind], aid.name
        low, high, top = reach(gcode)
        first, last = bounds(aid.solid)
        assert min(low) >= 0.0, aid.name
        assert max(high) <= BED, aid.name
        for axis in (0, 1):
            size = last[axis] - first[axis]
            assert size - 2 * LINE < high[axis] - low[axis] < size, aid.name
        assert top == pytest.approx(last[2], abs=0.21), aid.name


TAKEN = {
    "grams": re.compile(r"^; filament used \[g\] = ([\d.]+)$", re.MULTILINE),
    "time": re.compile(r"^; estimated printing time \(normal mode\) = (.+)$", re.MULTILINE),
}
MINUTES = {"d": 1440.0, "h": 60.0, "m": 1.0, "s": 1 / 60}


def slicer_takes(path: Path, way: PrintWay, nozzle: float) -> tuple[float, float]:
    """Grams and minutes by the slicer's own account, at its own speeds, for how we say that an aid is printed."""
    gcode = sliced(
        path,
        *("--perimeters", f"{way.walls}", "--fill-density", f"{100 * way.infill:g}%"),
        *("--top-solid-layers", f"{way.skins}", "--bottom-solid-layers", f"{way.skins}"),
        *("--filament-density", f"{DENSITY:g}"),
        nozzle=nozzle,
        layer=way.layer,
    )
    grams, time = (TAKEN[what].search(gcode) for what in ("grams", "time"))
    assert grams, "the G-code tells grams"
    assert time, "the G-code tells the time"
    minutes = sum(float(count) * MINUTES[unit] for count, unit in re.findall(r"(\d+)([dhms])", time[1]))
    return float(grams[1]), minutes


@pytest.mark.parametrize("nozzle", [0.4, 0.6])
@pytest.mark.parametrize("name", ["saw-guide-tails", "paring-block-pins", "caul-tails", "coupon-pin-2"])
def test_our_grams_are_within_a_quarter_and_our_time_within_a_factor_two_of_the_slicers(
    name: str, nozzle: float, tmp_path: Path
) -> None:
    good = job_of("tool-tray", f"print.nozzle={nozzle}").workshop.good
    (proved,) = [item for item in good if item.aid.name == name]
    assert proved.way
    assert proved.takes
    path = tmp_path / f"{name}.stl"
    path.write_bytes(stl.stl_bytes(name, proved.surface))
    grams, minutes = slicer_takes(path, proved.way, nozzle)
    assert proved.takes.grams == pytest.approx(grams, rel=0.25)
    assert minutes / 2 < proved.takes.minutes < 2 * minutes


def test_a_sample_prints_whole_with_no_support_as_we_say(tmp_path: Path) -> None:
    for proved in make_aids(layout_of(), asked_for((), "", sample=True)).good:
        assert proved.way
        assert proved.takes
        path = tmp_path / f"{proved.aid.name}.stl"
        path.write_bytes(stl.stl_bytes(proved.aid.name, proved.surface))
        assert not [kind for kind in kinds_of_path(sliced(path)) if "Support" in kind]
        grams, minutes = slicer_takes(path, proved.way, 0.4)
        assert proved.takes.grams == pytest.approx(grams, rel=0.25)
        assert minutes / 2 < proved.takes.minutes < 2 * minutes


def test_plates_are_sliced_as_they_are_laid_out_within_the_margin_of_the_bed(folder: Path) -> None:
    plates = sorted(folder.glob("plate*.3mf"))
    assert plates
    for path in plates:
        gcode = sliced(path, "--dont-arrange")
        assert not [kind for kind in kinds_of_path(gcode) if "Support" in kind], path.name
        low, high, _ = reach(gcode)
        # The first aid stands in the corner of the margin; the slicer has moved none.
        assert low == pytest.approx([5.0, 5.0], abs=2 * LINE + 1.0), path.name
        assert max(high) <= BED - 5.0, path.name
