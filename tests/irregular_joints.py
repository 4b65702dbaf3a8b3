"""Random joints of which nothing is alike, for tests and the campaign: flanks given one by one or lists of pins and
slopes, half tails, rebates and mitred shoulders, with gaps, chamfers, hollows, proud ends and planing.

Each is laid out and proved, or refused with a reason. What is proved must pass, but for what its own recipe makes fail,
and each board must be as large as slices of it say.
"""

from __future__ import annotations

import random

import pytest

from solids.base.errors import RecipeError
from solids.layout import Layout, lay_out, with_layout_problems
from solids.layout.joint.volumes import joint_overlap, pin_board_volume, tail_board_volume
from solids.model.corner import corner_parts, make_corner
from solids.model.kernel import volume_of
from solids.proof.joint.corner import prove
from solids.recipe import parse_recipe
from tests import sections
from tests.irregular_faults import PLANTS, codes_with
from tests.model.by_slices import corner_volumes
from tests.named_faces import check_names
from tests.properties import meant_to_fail

GAPS = (0, 0, 0, 0, 0.001, -0.001, 0.02, -0.02, 0.1, -0.05)


def irregular_text(dice: random.Random) -> str:
    """A recipe that is often accepted: sizes are drawn so that necks and pins usually stay open."""
    thick = [round(dice.uniform(5, 28), dice.choice((0, 1, 2))) for _ in range(2)]
    half_blind = dice.random() < 0.25
    lap = round(thick[1] * dice.uniform(0.15, 0.5), 2) if half_blind else 0.0
    edges = [dice.choice(("half pin", "half pin", "half tail")) for _ in range(2)]
    mitre = [
        round(dice.uniform(1, 12), 2) if not half_blind and edge == "half pin" and dice.random() < 0.4 else 0
        for edge in edges
    ]
    way = _by_flanks if dice.random() < 0.6 else _by_lists
    joint = [
        *way(dice, round(thick[1] - lap, 4), edges, mitre),
        f'kind = "{"half-blind" if half_blind else "through"}"',
    ]
    if half_blind:
        joint.append(f"lap = {lap}")
    if any(mitre) or dice.random() < 0.02:
        joint.append(f"mitre = {{ reference = {mitre[0]}, other = {mitre[1]} }}")
    if dice.random() < 0.3:
        joint.append("allow_thin_half_pin = true")
    return "\n".join(
        ["[joint]", *joint, *_boards(dice, thick, half_blind=half_blind), *_cuts(dice, half_blind=half_blind)]
    )


def _by_flanks(dice: random.Random, depth: float, edges: list[str], mitre: list[float]) -> list[str]:
    """Flanks one by one, each two numbers or one: some square, some outward, some with the joint's slope."""
    tails, x, flanks = dice.choice((1, 2, 2, 3, 3, 4, 5, 7)), mitre[0], list[object]()
    for number in range(tails):
        leans = [dice.choice((depth / dice.uniform(3, 12), depth / dice.uniform(4, 9), 0.0, None)) for _ in range(2)]
        if dice.random() < 0.25:
            outward = dice.randrange(2)
            leans[outward] = -(leans[1 - outward] or 1.0) * dice.uniform(0.1, 0.9)
        own = [0.3 * depth if lean is None else lean for lean in leans]
        pin = dice.uniform(5, 14) if number == 0 else dice.uniform(0.8, 9)
        if number == 0 and edges[0] == "half tail":
            flanks.append(dice.choice((0, [0, 0])))
            left, own[0] = 0.0, 0.0
        else:
            left = x + pin + max(-own[0], 0.0)
            flanks.append(_flank(left, 1, leans[0]))
        right = left + dice.uniform(3, 35) + max(own[0], 0.0) + max(own[1], 0.0)
        if number == tails - 1 and edges[1] == "half tail":
            flanks.append(width := round(right, 2))
            return [f"width = {width}", f"flanks = {flanks}", *_slope(dice)]
        flanks.append(_flank(right, -1, leans[1]))
        x = right + max(-own[1], 0.0)
    width = round(x + dice.uniform(4.9, 14) + mitre[1], 2)
    return [f"width = {width}", f"flanks = {flanks}", *_slope(dice)]


def _flank(x: float, inward: int, lean: float | None) -> object:
    face = round(x, 2)
    return face if lean is None else [face, round(face + inward * lean, 3)]


def _slope(dice: random.Random) -> list[str]:
    return [f'slope = "1:{dice.uniform(4, 10):.2f}"'] if dice.random() < 0.5 else []


def _by_lists(dice: random.Random, depth: float, edges: list[str], mitre: list[float]) -> list[str]:
    """Lists of pins, half pins and slopes, each at times one number, with tails in any spacing."""
    tails = dice.choice((1, 2, 3, 3, 4, 5, 8))
    pins = [round(dice.uniform(0.8, 9), 2) for _ in range(tails - 1)]
    half_pins = [round(dice.uniform(4.9, 14), 2) for _ in range(2)]
    halves = [end for end, edge in zip((0, 1), edges, strict=True) if edge == "half tail"]
    slopes = [f"1:{dice.uniform(4, 12):.2f}" for _ in range(max(2 * tails - len(halves), 1))]
    if dice.random() < 0.3:
        pins = [dice.choice([*pins, 3])] * len(pins)
    if dice.random() < 0.4:
        slopes = slopes[:1] * len(slopes)
    widths = [round(depth / 2.5 + dice.uniform(2, 30), 2) for _ in range(tails)]
    free = [half for half, edge in zip(half_pins, edges, strict=True) if edge == "half pin"]
    width = round(sum(widths) + sum(pins) + sum(free) + sum(mitre), 3)
    spacing = dice.choice(("even", "graduated", "by eye", widths))
    lines = [f"width = {width}", f"edges = {edges}".replace("'", '"')]
    lines.append(f"spacing = {spacing}" if isinstance(spacing, list) else f'spacing = "{spacing}"\ntails = {tails}')
    if pins:
        lines.append(f"pin = {pins[0] if len(set(pins)) == 1 else pins}")
    if not isinstance(spacing, list) or dice.random() < 0.5:
        lines.append(f"half_pin = {half_pins[0] if half_pins[0] == half_pins[1] else half_pins}")
    lines.append(f"slope = {slopes}".replace("'", '"') if len(set(slopes)) > 1 else f'slope = "{slopes[0]}"')
    return lines


def _boards(dice: random.Random, thick: list[float], *, half_blind: bool) -> list[str]:
    rebate = round(dice.uniform(0.5, thick[0] * 0.26), 2) if dice.random() < 0.4 else 0
    proud = [0 if half_blind else dice.choice((0, 0.5, 2)), dice.choice((0, 0.5, round(dice.uniform(0.01, 4), 2)))]
    woods = [dice.choice(("beech", "walnut", "spruce", "white pine")) for _ in range(2)]
    lines = []
    for name, mm, stands, wood in zip(("tail_board", "pin_board"), thick, proud, woods, strict=True):
        lines += [f"[{name}]", f'thickness = {mm}\nproud = {stands}\nwood = "{wood}"']
        if name == "tail_board" and rebate:
            lines.append(f"rebate = {rebate}")
    return lines


def _cuts(dice: random.Random, *, half_blind: bool) -> list[str]:
    lines = []
    if dice.random() < 0.35:
        lines += ["[entry_chamfer]", f"width = {dice.choice((0.3, 0.5, 1, 1.5))}\nback = {dice.choice((0.5, 1, 2.5))}"]
    if dice.random() < 0.35:
        lines += ["[undercut]", f"depth = {dice.choice((0.1, 0.2, 0.4))}\nland = {dice.choice((0.8, 1.5, 2))}"]
    ends = "proud" if not half_blind and dice.random() < 0.3 else "flush"
    planing = 0 if ends == "proud" else dice.choice((0, 0, 0.2))
    return [*lines, "[finish]", f'ends = "{ends}"\nplaning = {planing}', "[fit]", f"flank_gap = {dice.choice(GAPS)}"]


def irregular_layout(dice: random.Random) -> Layout:
    """The next joint that is accepted."""
    while True:
        try:
            return lay_out(parse_recipe(irregular_text(dice)))
        except RecipeError:
            continue


def irregular(number: int) -> str:
    """Proves one irregular joint: "right", "lets go", "refused", or what is wrong with it."""
    try:
        layout = lay_out(parse_recipe(irregular_text(random.Random(number))))
    except RecipeError as err:
        told = with_layout_problems(err).told
        bad = not told or any(not (each.key and each.wrong and each.remedy) for each in told)
        return "wrong: refused without a reason" if bad else "refused"
    cut, finished = make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished)
    for corner in (cut, finished):
        volumes = [tail_board_volume(layout, corner.state), pin_board_volume(layout, corner.state)]
        assert [volume_of(solid) for _, solid in corner.boards] == pytest.approx(volumes, rel=1e-9)
        assert volumes == pytest.approx(corner_volumes(layout, corner.state), rel=1e-9)
        for part in corner_parts(corner):
            check_names(part)
    assert joint_overlap(layout) == pytest.approx(sections.overlap(layout), abs=1e-7, rel=1e-9)
    proof = prove(cut, finished)
    failing = {finding.code for finding in proof.findings if finding.severity == "fail"}
    if failing != meant_to_fail(layout):
        said = [finding.said for finding in proof.findings if finding.severity == "fail"]
        return f"wrong: {sorted(failing)}, not {sorted(meant_to_fail(layout))}: {said}"
    return "lets go" if layout.lets_go else "right"


def planted(number: int) -> str:
    """Plants one fault of 0.001 to 0.05 mm in an irregular joint and proves it: "found", or "missed"."""
    dice = random.Random(number)
    layout = irregular_layout(dice)
    # Rarer faults are planted as often as those that any joint can have.
    able = [kind for kind, (_, can) in PLANTS.items() if can(layout)]
    kind = dice.choice([*able, *able[3:], *able[3:]])
    by = dice.choice((-1, 1)) * dice.choice((0.001, 0.001, 0.001, 0.01, 0.05))
    found = codes_with(layout, PLANTS[kind][0](layout, dice, by))
    return f"found: {kind}" if found else f"missed: {kind} by {by}"
