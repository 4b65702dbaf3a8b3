"""By the thousand, outside CI: random recipes built and proved, their papers made, faults planted, recipes fuzzed.

    .venv/bin/python -m tests.campaign build 5000
    .venv/bin/python -m tests.campaign paper 2000
    .venv/bin/python -m tests.campaign faults 2000
    .venv/bin/python -m tests.campaign fuzz 100000
    .venv/bin/python -m tests.campaign hostile 250

Each prints one line of figures, and every case that went wrong with the number that makes it again. Two processes.
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from solids.boards import pin_board_faces, tail_board_faces
from solids.corner import Corner, make_corner
from solids.errors import HalfpinError, InputError, RecipeError
from solids.fit import prove
from solids.kernel import Face, Point, solid_from_faces
from solids.layout import Layout, lay_out
from solids.recipe import parse_recipe
from solids.tolerances import tight_limit
from solids.write.table import PAPER, prove_layout
from tests import hostile

GAPS = (0, 0, 0, 0.001, -0.001, 0.0005, -0.0005, 0.02, -0.02, 0.1, -0.05, -0.08)

OWN_WOODS = (
    '{ name = "pear", kind = "hardwood", density = 690 }',
    '{ kind = "softwood", density = 420, radial = 0.001, tangential = 0.002, shear = 8, bending = 70 }',
)


def random_text(dice: random.Random, most_tails: int = 40) -> str:
    """A recipe that is often accepted: sizes are drawn so that necks and pins usually stay open."""
    tails = dice.choice((1, 2, 3, 4, 5, 6, 8, 10, 12, dice.randint(1, most_tails)))
    thickness = [round(dice.uniform(4, 30), dice.choice((0, 1, 2))) for _ in range(2)]
    ratio = round(dice.uniform(4, 12), 2)
    pin, half_pin = round(dice.uniform(1, 9), 2), round(dice.uniform(5, 15), 2)
    widths = [round(2 * thickness[1] / ratio + dice.uniform(1, 40), 2) for _ in range(tails)]
    half_blind = dice.random() < 0.4
    spacing = dice.choice(('"even"', '"graduated"', str(widths)))
    joint = {
        "kind": '"half-blind"' if half_blind else '"through"',
        "width": round(sum(widths) + (tails - 1) * pin + 2 * half_pin, 4),
        "slope": f'"1:{ratio}"',
        "pin": pin,
        "spacing": spacing,
    }
    if not spacing.startswith("["):
        joint |= {"tails": tails, "half_pin": half_pin}
    if half_blind:
        joint["lap"] = round(thickness[1] * dice.uniform(0.1, 0.6), 2)
    proud = [0 if half_blind else dice.choice((0, 0.5, round(dice.uniform(0.01, 4), 2))), dice.choice((0, 0.5, 2))]
    ends = "proud" if not half_blind and dice.random() < 0.3 else "flush"
    planing = 0 if ends == "proud" else dice.choice((0, 0, 0.2))
    wood = dice.choice(('"beech"', '"walnut"', '"spruce"', '"white pine"', *OWN_WOODS))
    lines = ["[joint]", *(f"{key} = {value}" for key, value in joint.items())]
    for board, i in (("tail_board", 0), ("pin_board", 1)):
        lines += [f"[{board}]", f"thickness = {thickness[i]}", f"proud = {proud[i]}", f"wood = {wood}"]
    if dice.random() < 0.3:
        lines += [
            "[entry_chamfer]",
            f"width = {dice.choice((0.3, 0.5, 1, 1.5))}",
            f"back = {dice.choice((0.5, 1, 2.5))}",
        ]
    if dice.random() < 0.3:
        lines += ["[undercut]", f"depth = {dice.choice((0.1, 0.2, 0.4))}", f"land = {dice.choice((0.8, 1.5, 2))}"]
    if dice.random() < 0.3:
        shop, home = (f'"{dice.randint(5, 30)} C, {dice.randint(20, 80)} %"' for _ in range(2))
        lines += ["[climate]", f"shop = {shop}", f"home = {home}"]
        lines += ["[kit]", f"cutters = {sorted(dice.sample((2, 3, 4, 6, 8, 12), 2))}"]
        lines += ["[paper]", f'size = "{dice.choice(("A4", "Letter", "A3"))}"']
    lines += ["[fit]", f"flank_gap = {dice.choice(GAPS)}", "[finish]", f'ends = "{ends}"', f"planing = {planing}"]
    return "\n".join(lines)


def accepted(number: int) -> Layout:
    """The accepted layout that belongs to a number: draws until one is accepted."""
    dice = random.Random(number)
    while True:
        try:
            return lay_out(parse_recipe(random_text(dice)))
        except InputError:
            continue


def build(number: int) -> str:
    """Builds and proves one accepted recipe: "right", or what is wrong with it."""
    layout = accepted(number)
    proof = prove(make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished))
    tight = -layout.recipe.flank_gap > tight_limit(both_hardwood=layout.recipe.both_hardwood)
    failing = {finding.code for finding in proof.findings if finding.severity == "fail"}
    return "right" if failing == ({"overlap"} if tight else set()) else f"wrong: {sorted(failing)}"


def paper(number: int) -> str:
    """Makes the papers of one accepted recipe and reads them back: "right", "refused" where they would be too many
    sheets, or what is wrong."""
    layout = accepted(number)
    with tempfile.TemporaryDirectory() as folder:
        try:
            job = prove_layout(layout)
            for kind in PAPER:
                path = Path(folder) / kind.name
                path.write_bytes(kind.make(job))
                kind.reread(path, job)
        except InputError:
            return "refused"
        except Exception as err:
            return f"wrong: {type(err).__name__}: {err}"
    return "right"


def plant(number: int) -> str:
    """Plants one fault of 0.001 to 0.05 mm in a board and proves it: "found", or "missed"."""
    layout = accepted(number)
    dice = random.Random(-number)
    by = dice.choice((-1, 1)) * dice.choice((0.001, 0.001, 0.002, 0.01, 0.05))
    cut = make_corner(layout, layout.as_cut)
    tail = dice.choice(layout.tails)
    kind = dice.choice(("pin flank", "tail flank", "tail shifted"))
    if kind == "pin flank":
        faces, edges, low = pin_board_faces(layout, layout.as_cut), layout.socket_edges, 2
    else:
        faces, edges, low = tail_board_faces(layout, layout.as_cut), layout.tail_edges, 1
    sides = (0, 1) if kind == "tail shifted" else (dice.choice((0, 1)),)
    lines = [edges(tail, y)[side] for side in sides for y in (0.0, layout.depth, layout.as_cut.tail_end)]
    solid = solid_from_faces(shifted(faces, lines, low, by))
    faulty = Corner(layout, cut.state, cut.tail_board, solid)
    if kind != "pin flank":
        faulty = Corner(layout, cut.state, solid, cut.pin_board)
    proof = prove(faulty, make_corner(layout, layout.as_finished))
    departs = any(f.severity == "fail" and f.code != "overlap" for f in proof.findings)
    return "found" if departs else f"missed: {kind} by {by}, gap {layout.recipe.flank_gap}"


def shifted(faces: list[Face], lines: list[float], low: int, by: float) -> list[Face]:
    """The faces with every point on one of the lines X = x, in the joint, moved by `by` in X."""

    def move(point: Point) -> Point:
        hit = point[low] >= 0 and any(abs(point[0] - x) < 1e-9 for x in lines)
        return (point[0] + by, point[1], point[2]) if hit else point

    return [[[move(point) for point in loop] for loop in face] for face in faces]


ODD = (
    *("nan", "inf", "-inf", "0", "-1", "-0.0", "1e308", "1e-308", "9" * 400, '"x"', '""', "true", "[]", "{}", "[[1]]"),
    *("1979-05-27", '"3/4 in"', '"1/0 in"', '"-1 mm"', '"1e400"', "'''a\nb'''", '"\\u0000"', "[nan]", '"1:0"'),
    *('"20 C, 140 %"', '"20 C, nan %"', '"999 F, 50 %"', '{ kind = "hardwood", density = 600, radial = 0.001 }'),
    *('"90 deg"', '"\U0001f332"', "0x10", "12:00:00", '{ name = "x", kind = "hardwood", density = nan }'),
)


def fuzz(number: int) -> str:
    """Mutates one recipe text and reads it: "laid out" or "refused", else the exception that got out."""
    dice = random.Random(number)
    lines = random_text(dice, 120).split("\n")
    for _ in range(dice.randint(1, 4)):
        at = dice.randrange(len(lines))
        key, equals, _ = lines[at].partition(" = ")
        lines[at] = dice.choice(
            (
                f"{key} = {dice.choice(ODD)}",
                key + "x" + equals + "1",
                lines[at][: dice.randrange(len(lines[at]) + 1)],
                "".join(chr(dice.choice((dice.randrange(32, 127), dice.randrange(0xD800)))) for _ in range(9)),
                dice.choice(lines),
                f"[{key}]",
            )
        )
    try:
        lay_out(parse_recipe("\n".join(lines)))
    except RecipeError as err:
        return "refused" if err.problems else "wrong: refused without a reason"
    except HalfpinError as err:
        return "refused" if str(err) else "wrong: refused without a reason"
    except Exception as err:
        return f"wrong: {type(err).__name__}: {err}"
    return "laid out"


JOBS: dict[str, Callable[[int], str]] = {"build": build, "paper": paper, "faults": plant, "fuzz": fuzz}


def main() -> None:
    """Runs one job for the numbers 1 to N and prints the figures."""
    name, count = sys.argv[1], int(sys.argv[2])
    if name == "hostile":
        sys.exit(bool(hostile.main(count, random.SystemRandom().randrange(10**6))))
    start = time.perf_counter()
    outcomes: Counter[str] = Counter()
    with ProcessPoolExecutor(2) as pool:
        for number, outcome in enumerate(pool.map(JOBS[name], range(1, count + 1), chunksize=20), start=1):
            head = outcome.partition(":")[0]
            outcomes[head] += 1
            if head in ("wrong", "missed"):
                print(f"{name} {number}: {outcome}")
    print(f"{name} {count}: {dict(outcomes)} in {time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
