"""How fast the tool is, as ratios: .venv/bin/python tests/speed/ratios.py [RUNS]

A cold build is compared with loading the geometry kernel alone, in turn, on the same machine; the median of the runs
counts. Warm figures are the best of several, in one process. The limits are those the project has set itself; a figure
over its limit is marked, and nothing fails.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

JOINTS = 300
PICKED = ("--files", "corner.step,tail-board.stl,pin-board.stl")
HALFPIN = str(Path(sys.executable).parent / "halfpin")


def seconds(*command: str) -> float:
    """Wall time of one command."""
    start = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return time.perf_counter() - start


def best(action: Callable[[], object], runs: int) -> float:
    """The least wall time of an action."""

    def once() -> float:
        start = time.perf_counter()
        action()
        return time.perf_counter() - start

    return min(once() for _ in range(runs))


def show(what: str, value: float, limit: float, unit: str) -> None:
    """One line, marked where the figure is over its limit."""
    print(f"{what:<58} {value:8.3g} {unit:<3} limit {limit:g}{'' if value <= limit else '   OVER'}")


def recipe(tails: int) -> str:
    """A plain corner with so many tails."""
    return (
        f"[joint]\nwidth = {24 * tails + 10}\ntails = {tails}\n"
        '[tail_board]\nthickness = 12\nwood = "beech"\n[pin_board]\nthickness = 14\n'
    )


def batch(folder: str, jobs: int, *options: str) -> float:
    """Joints a second of four tails, without the start of the run."""
    table, rates = Path(folder) / "joints.csv", []
    for count in (JOINTS // 10, JOINTS):
        rows = (f"joint {number},{96 + number / 100},4\n" for number in range(count))
        table.write_text("title,joint.width,joint.tails\n" + "".join(rows), "utf-8")
        out = str(Path(folder) / f"batch-{jobs}-{count}-{len(options)}")
        rates.append(seconds(HALFPIN, "batch", str(table), "--out", out, "--jobs", str(jobs), *options))
    return (JOINTS - JOINTS // 10) / (rates[1] - rates[0])


def main() -> None:
    """Prints all figures."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    with tempfile.TemporaryDirectory() as folder:
        builds, kernels, layouts, helps, papers, aids, pages, boxes = ([] for _ in range(8))
        for _ in range(runs):
            kernels.append(seconds(sys.executable, "-c", "import OCP.gp"))
            builds.append(seconds(HALFPIN, "build", "tool-tray", "--out", folder))
            layouts.append(seconds(HALFPIN, "layout", "tool-tray"))
            helps.append(seconds(HALFPIN, "--help"))
            papers.append(seconds(HALFPIN, "paper", "tool-tray", "--out", folder))
            aids.append(seconds(HALFPIN, "aids", "tool-tray", "--set", "joint.tails=5", "--out", folder))
            pages.append(seconds(HALFPIN, "build", "tool-tray", "--page", "--out", folder))
            boxes.append(seconds(HALFPIN, "build", "desk-drawer", "--out", folder))
        picture = min(seconds(HALFPIN, "build", "tool-tray", "--picture", "--out", folder) for _ in range(2))
        batches = [batch(folder, jobs, *options) for options in (("--check",), PICKED) for jobs in (1, 2)]
    kernel = statistics.median(kernels)
    print(f"loading the kernel alone: {kernel:.2f} s, median of {runs}")
    show("cold build of 4 tails / loading the kernel", statistics.median(builds) / kernel, 1.7, "x")
    show("cold paper / loading the kernel", statistics.median(papers) / kernel, 3.0, "x")
    show("all aids for 5 tails, cold", statistics.median(aids), 3.0, "s")
    show("page and model, beside the build", statistics.median(pages) - statistics.median(builds), 0.3, "s")
    show("picture, beside the build", picture - statistics.median(builds), 3.0, "s")
    show("cold build of a drawer / loading the kernel", statistics.median(boxes) / kernel, 3.0, "x")
    for what, one, two, least in (("proved", *batches[:2], 40), ("written", *batches[2:], 20)):
        print(f"batch: {one:.1f} joints a second {what} by one process, {two:.1f} by two (aim {least})")
        show(f"batch: {what} by one / by two processes, at most 1 / 1.8", one / two, 1 / 1.8, "")
    show("halfpin layout", statistics.median(layouts), 0.35, "s")
    show("halfpin --help", statistics.median(helps), 0.35, "s")

    from solids.layout import lay_out
    from solids.recipe import parse_recipe
    from solids.write.page.page import page_bytes
    from solids.write.table import prove_layout

    def whole(tails: int) -> Callable[[], object]:
        return lambda: prove_layout(lay_out(parse_recipe(recipe(tails))))

    whole(4)()
    four, six, twenty, hundred = best(whole(4), 9), best(whole(6), 9), best(whole(20), 5), best(whole(100), 3)
    show("warm: recipe to proved solids, 4 tails", four * 1000, 60, "ms")
    show("warm: recipe to proved solids, 6 tails", six * 1000, 100, "ms")
    show("warm: 100 tails / 20 tails", hundred / twenty, 10, "x")
    # What `watch` does at each save, by what a proof alone takes.
    job = prove_layout(lay_out(parse_recipe(recipe(4))))
    page = best(lambda: page_bytes(job.layout, job.proof, replace(job).scene, (), live=1), 9)
    show("warm: scene and page of 4 tails / their proof", page / four, 0.5, "x")


if __name__ == "__main__":
    main()
