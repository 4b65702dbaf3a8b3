"""How fast the tool is, as ratios: .venv/bin/python tests/speed/ratios.py [RUNS]

A cold command is compared with loading the geometry kernel alone, in turn, on the same machine; the median of the pairs
counts. Warm figures are medians too, in one process. The limits are those the project has set itself; a figure over its
limit is marked, and nothing fails.
"""

from __future__ import annotations

import gc
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

JOINTS = 600
PICKED = ("--files", "corner.step,tail-board.stl,pin-board.stl")
os.environ["OPENBLAS_NUM_THREADS"] = "1"  # as the command has it
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # a maker's machine compiles the modules once
HALFPIN = str(Path(sys.executable).parent / "halfpin")


def seconds(*command: str) -> float:
    """Wall time of one command."""
    start = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return time.perf_counter() - start


def median(action: Callable[[], object], runs: int) -> float:
    """The median wall time of an action."""

    def once() -> float:
        start = time.perf_counter()
        action()
        return time.perf_counter() - start

    return statistics.median(once() for _ in range(runs))


def ratio(action: Callable[[], object], other: Callable[[], object], runs: int) -> float:
    """The median of an action's wall time over another's, each pair in turn."""
    return statistics.median(median(action, 1) / median(other, 1) for _ in range(runs))


def show(what: str, value: float, limit: float, unit: str) -> None:
    """One line, marked where the figure is over its limit."""
    print(f"{what:<66} {value:8.3g} {unit:<3} limit {limit:g}{'' if value <= limit else '   OVER'}")


def recipe(tails: int) -> str:
    """A plain corner with so many tails."""
    return (
        f"[joint]\nwidth = {24 * tails + 10}\ntails = {tails}\n"
        '[tail_board]\nthickness = 12\nwood = "beech"\n[pin_board]\nthickness = 14\n'
    )


IRREGULAR = (
    "[joint]\nwidth = 106\n"
    "flanks = [[6, 8], [26, 23.5], [31, 33], [50, 48.5], [54, 54], [75, 72], [79, 81], [99, 97]]\n"
    '[tail_board]\nthickness = 12\nwood = "beech"\n[pin_board]\nthickness = 14\n'
)
"""Four tails of which nothing is alike, in the boards of `recipe(4)`."""


def batch(folder: str, jobs: int, *options: str) -> float:
    """Joints a second of four tails, the start of the run included."""
    table = Path(folder) / "joints.csv"
    rows = (f"joint {number},{96 + number / 100},4\n" for number in range(JOINTS))
    table.write_text("title,joint.width,joint.tails\n" + "".join(rows), "utf-8")
    out = str(Path(folder) / f"batch-{jobs}-{len(options)}")
    return JOINTS / seconds(HALFPIN, "batch", str(table), "--out", out, "--jobs", str(jobs), *options)


COLD: dict[str, tuple[tuple[str, ...], float]] = {
    "build tool-tray": (("build", "tool-tray"), 1.25),
    "build keepsake-box": (("build", "keepsake-box"), 1.55),
    "build desk-drawer": (("build", "desk-drawer"), 1.9),
    "paper tool-tray": (("paper", "tool-tray"), 3.0),
    "aids tool-tray, 5 tails": (("aids", "tool-tray", "--set", "joint.tails=5"), 4.5),
    "build tool-tray --page": (("build", "tool-tray", "--page"), 1.35),
    "build tool-tray --picture": (("build", "tool-tray", "--picture"), 3.0),
}
"""Commands by what they are called, and how many times as long as loading the kernel each may take."""


def cold(folder: str, runs: int) -> None:
    """Each command in turn with loading the kernel alone, pair by pair."""
    for name, (command, limit) in COLD.items():
        pairs = []
        for _ in range(runs):
            took = seconds(HALFPIN, *command, "--out", folder)
            pairs.append((took / seconds(sys.executable, "-c", "import OCP.gp"), took))
        ratio, took = (statistics.median(values) for values in zip(*pairs, strict=True))
        show(f"cold: {name} ({took:.2f} s) / loading the kernel", ratio, limit, "x")
    for command in (("layout", "tool-tray"), ("--help",)):
        show(
            f"cold: {' '.join(command)}", statistics.median(seconds(HALFPIN, *command) for _ in range(runs)), 0.25, "s"
        )


def batches(folder: str) -> None:
    """Many joints, by one process and by two."""
    for what, options, least in (("proved", ("--check",), 50), ("written", PICKED, 24)):
        one, two = (batch(folder, jobs, *options) for jobs in (1, 2))
        print(f"batch of {JOINTS}: {one:.1f} joints a second {what} by one process, {two:.1f} by two (aim {least})")


def warm() -> None:
    """From recipe to proved solids in one process that has all loaded, as the bench has it."""
    from solids.layout import lay_out
    from solids.recipe import parse_recipe
    from solids.write.files.table import prove_layout
    from solids.write.page.page import page_bytes

    def whole(tails: int) -> Callable[[], object]:
        return lambda: prove_layout(lay_out(parse_recipe(recipe(tails))))

    whole(4)()
    gc.collect()
    gc.freeze()
    for tails, runs, limit in ((4, 9, 35), (20, 9, 140), (100, 9, 700)):
        show(f"warm: recipe to proved solids, {tails} tails, median", median(whole(tails), runs) * 1000, limit, "ms")
    irregular = ratio(lambda: prove_layout(lay_out(parse_recipe(IRREGULAR))), whole(4), 41)
    show("warm: four tails of which nothing is alike / four even ones", irregular, 1.3, "x")
    # What `--page` takes on top of it.
    job = prove_layout(lay_out(parse_recipe(recipe(4))))
    page = median(lambda: page_bytes(job.proof, replace(job).scene, ()), 9)
    show("warm: scene and page of 4 tails / their proof", page / median(whole(4), 9), 0.6, "x")


def main() -> None:
    """Prints all figures."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    warm()
    with tempfile.TemporaryDirectory() as folder:
        cold(folder, runs)
        batches(folder)


if __name__ == "__main__":
    main()
