"""What a campaign does, each job a function of a number. An exception that gets out is wrong."""

from __future__ import annotations

import random
import tempfile
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from hypothesis import given, seed, settings

from solids.base.errors import HalfpinError, InputError, RecipeError
from solids.base.geometry import Point
from solids.layout import lay_out
from solids.model.boards import pin_board_faces, tail_board_faces
from solids.model.corner import Corner, make_corner
from solids.model.kernel import Face, solid_from_faces
from solids.proof.joint.corner import prove
from solids.recipe import parse_recipe
from solids.write.files.table import papers, prove_layout
from tests.bottoms import random_bottom
from tests.campaign.random_recipes import accepted, random_text
from tests.cutting_lists import against_limit, against_search
from tests.divided_boxes import divided_box
from tests.drawers import random_drawer
from tests.irregular_boxes import irregular_box
from tests.irregular_joints import irregular, planted
from tests.mixed_pieces import mixed_piece
from tests.odd_joints import odd
from tests.properties import PROPERTIES, examples, meant_to_fail


def build(number: int) -> str:
    """Builds and proves one accepted recipe: "right", or what is wrong with it."""
    layout = accepted(number)
    proof = prove(make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished))
    failing = {finding.code for finding in proof.findings if finding.severity == "fail"}
    return "right" if failing == meant_to_fail(layout) else f"wrong: {sorted(failing)}"


def paper(number: int) -> str:
    """Makes the papers of one accepted recipe and reads them back: "right", "refused" where they would be too many
    sheets, or what is wrong."""
    layout = accepted(number)
    with tempfile.TemporaryDirectory() as folder:
        try:
            (job,) = prove_layout(layout).joints
            for file in papers(job):
                path = Path(folder) / file.name
                path.write_bytes(file.make())
                file.reread(path)
        except InputError:
            return "refused"
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
    departs = any(f.severity == "fail" and f.code not in {"overlap", *meant_to_fail(layout)} for f in proof.findings)
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
        return "refused" if err.told else "wrong: refused without a reason"
    except HalfpinError as err:
        return "refused" if str(err) else "wrong: refused without a reason"
    return "laid out"


def holds(name: str, number: int) -> str:
    """Tries a property of `tests/properties.py` on ten examples; where one fails, hypothesis tells the smallest."""
    drawn, check = PROPERTIES[name]

    def tried(example: Any) -> None:
        """Some checks have defaults, which hypothesis does not take."""
        check(example)

    settings(examples(10), derandomize=False, database=None)(seed(number)(given(drawn)(tried)))()
    return "right"


JOBS: dict[str, Callable[[int], str]] = {
    "build": build,
    "paper": paper,
    "faults": plant,
    "fuzz": fuzz,
    "odd": odd,
    "irregular": irregular,
    "irregular-faults": planted,
    "irregular-boxes": irregular_box,
    "drawers": random_drawer,
    "bottoms": random_bottom,
    "divided-boxes": divided_box,
    "pieces": mixed_piece,
    "cutting": against_search,
    "cutting-lists": against_limit,
    **{name: partial(holds, name) for name in PROPERTIES},
}
