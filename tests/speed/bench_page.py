"""How fast the page of the bench is: .venv/bin/python -m tests.speed.bench_page [--moves N] [--minutes N] [--profile N]

It starts `halfpin bench` and drives its page in Debian's Chromium. One table of medians and 95th percentiles comes out,
with the limits that the project has set itself; a figure over its limit is marked, and nothing fails. `--minutes` adds
so many minutes of handling at random, with the memory of server and page at the start, in the middle and at the end.
"""

from __future__ import annotations

import argparse
import cProfile
import json
import pstats
import random
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

import psutil
from playwright.sync_api import Error, sync_playwright

from solids.app.desk.hands import Hands
from solids.app.desk.piece.moves import moved
from solids.app.desk.piece.state import read, state_of
from solids.app.desk.sitting import Sitting
from solids.recipe import preset_text
from solids.recipe.completing.shop import NO_SHOP, Shop
from tests.app.desk import stand_ins
from tests.app.desk.running import bench
from tests.outside.at_the_bench import PATIENCE, drag, pixels_per_mm, place_of, until_proved
from tests.outside.browser import DRAWS, launched
from tests.speed.ratios import recipe

PIECES = {"five-tails": recipe(5), "twenty-tails": recipe(20), "a-box": preset_text("keepsake-box")}
MOVES = {"five-tails": "flank 3", "twenty-tails": "flank 3", "a-box": "flank 3"}
FOLLOWS_MS, PROVED_MS, PROVED_BOX_MS, READY_MS = 50.0, 300.0, 1000.0, 1500.0
MEGABYTE = 1e6

WATCH = """(handle) => {
  // From a pointer's move to the end of the frame in which the drawing is new, and of that in which the server's
  // numbers are.
  const drawing = document.querySelector('[data-drawing=face] .shapes');
  const grip = document.querySelector(`[data-handle="${handle}"]`);
  const begun = { drawing: null, numbers: null };
  let last = 0;
  window.took = { drawing: [], numbers: [] };
  for (const kind of ['pointerrawupdate', 'pointermove']) document.addEventListener(kind, ({ timeStamp }) => {
    if (timeStamp <= last) return; // the same move, told a second time with the next frame
    last = timeStamp;
    begun.drawing ??= timeStamp;
    begun.numbers ??= timeStamp;
  }, { capture: true });
  const shown = (what) => () => {
    const since = begun[what];
    begun[what] = null;
    if (since === null) return;
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => took[what].push(performance.now() - since); // what is said in a frame is heard after it
    port2.postMessage(null);
  };
  new MutationObserver(shown('drawing')).observe(drawing, { childList: true });
  new MutationObserver(shown('numbers')).observe(grip, { attributeFilter: ['aria-valuetext'] });
}"""

WATCH_PROOF = """() => {
  // From Enter to the frame in which the proof is a new one, and the solid drawn anew after it.
  window.proved = [];
  document.addEventListener('keydown', ({ key, timeStamp: begun }) => {
    if (key !== 'Enter') return;
    const line = () => document.querySelector('.verdict').textContent;
    const drawn = () => document.querySelector('canvas').dataset.drawn;
    let waited = false, solid = null;
    const look = () => {
      const is = line().includes('Proved.');
      if (!is) { waited = true; solid = drawn(); }
      if (waited && is && drawn() !== solid) proved.push(performance.now() - begun);
      else requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
  }, { capture: true });
}"""

PAINTED = "performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? 0"
FLAGS = (*DRAWS, "--disable-gpu-compositing", "--enable-precise-memory-info", "--js-flags=--expose-gc")
"""Frames are put together by the processor, as a browser does it where there is no graphics card; WebGL is in software
either way."""


def show(what: str, values: Sequence[float], limit: float = 0.0, unit: str = "ms") -> None:
    """One row; marked where the 95th percentile is over its limit."""
    if not values:
        print(f"{what:<58} nothing was measured")
        return
    high = sorted(values)[min(len(values) - 1, int(0.95 * len(values)))]
    told = f" limit {limit:g}{'' if high <= limit else '   OVER'}" if limit else ""
    print(f"{what:<58} {statistics.median(values):9.4g} {high:9.4g} {unit}{told}", flush=True)


@contextmanager
def opened(browser: Any, address: str, name: str = "") -> Iterator[Any]:
    room = browser.new_context(viewport={"width": 1280, "height": 900})
    page = room.new_page()
    page.goto(address)
    page.locator(".shelf > li").first.wait_for()
    if name:
        page.goto(f"{address}#/piece/{name}")
        page.locator(".drawing").first.wait_for(timeout=1000 * PATIENCE)
    yield page
    room.close()


# --- on the server alone ---------------------------------------------------------------------------


def _proves_nothing(_shop: Shop, _out: Path, tell: Callable[[dict[str, Any]], None]) -> Hands:
    """The tool's own hands, but for those that take the kernel."""
    theirs = stand_ins.hands_of(_shop, _out, tell)
    return replace(theirs, read=lambda text, live: read(text, NO_SHOP, live=live), state_of=state_of, moved=moved)


def on_the_server(folder: Path, moves: int, lines: int) -> None:
    """What a move costs without a browser and without HTTP: CPU time, size of the answer, and where the time goes."""
    sitting = Sitting(folder, NO_SHOP, _proves_nothing)
    profile = cProfile.Profile()
    for name in PIECES:
        state = sitting.state(name)
        handles = [one["name"] for one in state.get("joints", [state])[0]["handles"]]
        handle = next(one for one in handles if one.endswith(MOVES[name]))
        costs = []
        for number in range(moves):
            begun = time.process_time()
            if lines:
                profile.enable()
            state = sitting.move(name, handle, 0.5 if number % 2 else -0.5, live=True)
            json.dumps(state)
            profile.disable()
            costs.append(1000 * (time.process_time() - begun))
        show(f"{name}: a move on the server alone, CPU", costs)
        show(f"{name}: the answer", [len(json.dumps(state)) / 1000], unit="kB")
    sitting.close()
    if lines:
        pstats.Stats(profile).sort_stats("cumulative").print_stats(r"solids|json|tomlkit|pydantic", lines)


# --- in the browser --------------------------------------------------------------------------------


def while_a_handle_moves(page: Any, name: str, server: psutil.Process, moves: int) -> None:
    """A handle goes to and fro by a step, each place once the last is on the page with its numbers."""
    handles = page.locator("[data-handle]").evaluate_all("all => all.map((one) => one.dataset.handle)")
    ends = ("flank 1", "flank 2", MOVES[name])
    first, second, third = (next(one for one in handles if one.endswith(end)) for end in ends)
    scale = pixels_per_mm(page, first, second)
    x, y = place_of(page, third)
    page.evaluate(WATCH, third)
    page.mouse.move(x, y)
    page.mouse.down()
    before = sum(server.cpu_times()[:2])
    for number in range(moves):
        came = page.evaluate("took.numbers.length")
        page.mouse.move(x + scale * (1 + number % 2) / 2, y)
        page.wait_for_function("came => took.numbers.length > came", arg=came)
    spent = sum(server.cpu_times()[:2]) - before
    page.mouse.up()
    took = page.evaluate("took")
    show(f"{name}: from a move to the drawing", took["drawing"], FOLLOWS_MS)
    show(f"{name}: from a move to its numbers", took["numbers"], FOLLOWS_MS)
    show(f"{name}: CPU of the server for a move", [1000 * spent / moves])


def from_rest_to_proof(page: Any, name: str, limit: float, times: int) -> None:
    """Another slope is typed; its proof comes, and its solid is drawn."""
    page.evaluate(WATCH_PROOF)
    for number in range(times):
        until_proved(page)
        page.locator("canvas").wait_for()
        page.locator('[data-key="joint.slope"]').fill(f"1:{7.5 + 0.1 * number:.1f}")
        page.keyboard.press("Enter")
        page.wait_for_function("came => proved.length > came", arg=number, timeout=1000 * PATIENCE)
    show(f"{name}: from rest to a new proof and solid", page.evaluate("proved"), limit)


def until_ready(browser: Any, folder: Path, times: int) -> None:
    """From the command to the shelf on the page, in a browser that runs already, as a maker's mostly does."""
    took, painted = [], []
    for _ in range(times):
        with browser.new_context(viewport={"width": 1280, "height": 900}) as room:
            page = room.new_page()
            begun = time.perf_counter()
            with bench(str(folder), "--no-open", proves=True) as there:
                page.goto(there.address)
                page.locator(".shelf > li").first.wait_for()
                took.append(1000 * (time.perf_counter() - begun))
                painted.append(page.evaluate(PAINTED))
    show("from the command to the shelf", took, READY_MS)
    show("of that, in the browser until something is drawn", painted)


# --- for long --------------------------------------------------------------------------------------


def at_random(page: Any, address: str, server: psutil.Process, minutes: float, seed: int) -> None:
    """Handles, keys, undo and other pieces by chance, with the memory at the start, in the middle and at the end."""
    chance, done = random.Random(seed), 0
    for words, share in (("start", 0.0), ("middle", 0.5), ("end", 0.5)):
        end = time.monotonic() + 60 * minutes * share
        while time.monotonic() < end:
            _something(page, address, chance)
            done += 1
        show(f"memory after {done} doings, {words}: server", [_server_memory(server)], unit="MB")
        show(f"memory after {done} doings, {words}: page", [_heap(page)], unit="MB")


def _something(page: Any, address: str, chance: random.Random) -> None:
    what = chance.random()
    if what < 0.05:
        page.goto(f"{address}#/piece/{chance.choice(list(PIECES))}")
        page.locator(".drawing").first.wait_for(timeout=1000 * PATIENCE)
    elif what < 0.6:
        names = page.locator("[data-handle]").evaluate_all("all => all.map((one) => one.dataset.handle)")
        with suppress(Error, AssertionError):  # the handle may have gone with what was done before
            drag(page, chance.choice(names), chance.uniform(-12, 12), steps=6)
    elif what < 0.7:
        page.get_by_role("button", name=chance.choice(["One tail more", "One tail less"])).click()
    else:
        page.keyboard.press(chance.choice(["Control+z", "Control+z", "Control+Shift+z"]))


def _server_memory(server: psutil.Process) -> float:
    return float(sum(one.memory_info().rss for one in (server, *server.children(recursive=True))) / MEGABYTE)


def _heap(page: Any) -> float:
    page.evaluate("gc()")
    return float(page.evaluate("performance.memory.usedJSHeapSize") / MEGABYTE)


def measured(moves: int, minutes: float, lines: int, seed: int) -> None:
    """Prints the table."""
    with tempfile.TemporaryDirectory() as place, sync_playwright() as driver, launched(driver, FLAGS) as browser:
        folder = Path(place)
        for name, text in PIECES.items():
            (folder / f"{name}.toml").write_text(text)
        print(f"{'':<58} {'median':>9} {'95 of 100':>9}")
        on_the_server(folder, moves, lines)
        until_ready(browser, folder, 5)
        with bench(str(folder), "--no-open", proves=True) as there:
            server = psutil.Process(there.run.pid)
            for name in PIECES:
                with opened(browser, there.address, name) as page:
                    while_a_handle_moves(page, name, server, moves)
                    from_rest_to_proof(page, name, PROVED_BOX_MS if "box" in name else PROVED_MS, 10)
            if minutes:
                with opened(browser, there.address, next(iter(PIECES))) as page:
                    at_random(page, there.address, server, minutes, seed)


if __name__ == "__main__":
    asked = argparse.ArgumentParser(prog="python -m tests.speed.bench_page", description="How fast the bench is.")
    asked.add_argument("--moves", type=int, default=200, help="how many moves of a handle")
    asked.add_argument("--minutes", type=float, default=0, help="minutes of handling at random, with the memory")
    asked.add_argument(
        "--profile", type=int, default=0, metavar="N", help="the N costliest calls of the server's moves"
    )
    asked.add_argument("--seed", type=int, default=0, help="of what is done at random")
    given = asked.parse_args()
    measured(given.moves, given.minutes, given.profile, given.seed)
