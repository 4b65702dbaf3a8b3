"""Random whole pieces for the campaign, in which all that a box can have meets: drawers and boxes, corners of every
kind, bottoms, dividers, lids and hinges, feet, single boards, woods, air and a rack.

Tables come from the generators of boxes that try one of these alone, and are mixed. A piece is refused with reasons
that name a key and say what would be accepted, or it is proved, its plain boards less their waste are its boards, a
rack is cut up without a fault, and its report and note are written.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator

from solids.base.errors import RecipeError
from solids.layout.box.model import BoxLayout
from solids.layout.plan import plan_of
from solids.recipe.text.toml import Raw, parse_toml
from solids.write.files.table import Job, files_of
from solids.write.named import BOX_NOTE
from solids.write.report import piece_report, report_bytes
from tests.bottoms import random_bottom_text
from tests.cutting_lists import faults_on
from tests.divided_boxes import divided_box_text
from tests.drawers import drawer_text, has_its_play
from tests.irregular_boxes import irregular_box_text
from tests.properties import check_proved_box, check_reasons

Dice = random.Random

BASES = (drawer_text, random_bottom_text, divided_box_text, irregular_box_text)

WOODS = ("cherry", "walnut", "beech", "white oak", "spruce", "white pine", "teak", "birch")

NO_LENGTHS = ("tails", "lid_tails", "seed", "count", "grading")
"""Keys whose plain numbers are no lengths."""


def _lid(dice: Dice, tables: Raw) -> Raw:
    """Mostly on a box that is high enough for a lid, and has nothing that none goes with."""
    if seldom_on_a_drawer(dice, tables):
        return {}
    height = dice.choice((120, 150, 190, 240))
    kind = dice.choice(("sawn off", "sawn off", "lift off", "hinged"))
    lid: Raw = {"kind": kind}
    if kind == "sawn off":
        lid |= {"at": round(height * dice.uniform(0.5, 0.8), 1)}
        lid |= {"kerf": dice.choice((0.5, 1, 3.2)), "planing": dice.choice((0, 0.3, 1))}
    else:
        lid |= {"overhang": dice.choice((0, 3, 8))} | ({"drop": dice.choice((3, 6))} if kind == "lift off" else {})
    if dice.random() < 0.4:
        lid["panel"] = {"kind": dice.choice(("solid", "plywood")), "wood": dice.choice(WOODS)}
    if kind == "sawn off" and dice.random() < 0.2:
        lid["groove"] = {"width": dice.choice((0, 4, 6))}
    if kind == "hinged" or (kind == "sawn off" and dice.random() < 0.5):
        lid["hinge"] = {"leaf": dice.choice((25, 38)), "width": dice.choice((6, 9)), "thickness": 1.5, "barrel": 4}
    if kind == "sawn off" and "hinge" not in lid and dice.random() < 0.5:
        lid["lining"] = {"stands": dice.choice((3, 6)), "clearance": dice.choice((0, 0.2)), "wood": dice.choice(WOODS)}
    if dice.random() < 0.1:
        return {"box": {"lid": lid}}
    box = {"lid": lid, "height": height, "back_above_bottom": None}
    if "lining" in lid:  # which stands on a level bottom, and covers what is housed in the sides
        box |= {"divider": None, "panel": {"kind": dice.choice(("solid", "plywood"))}, "groove": {}}
    return {"box": box, "undercut": {"depth": 0}, "finish": {"ends": None, "chamfer": None}}


def _slips(dice: Dice, _: Raw) -> Raw:
    """A bottom between slips, with nothing that none goes with."""
    panel: Raw = {"held": "slips", "kind": dice.choice(("solid", "plywood"))}
    groove: Raw = {"width": dice.choice((4, 6))} if dice.random() < 0.5 else {}
    return {"box": {"panel": panel, "groove": groove, "lid": None, "divider": None}}


def _feet(dice: Dice, tables: Raw) -> Raw:
    if seldom_on_a_drawer(dice, tables):
        return {}
    feet: Raw = {"height": dice.choice((8, 14, 20)), "wood": dice.choice(WOODS)}
    if dice.random() < 0.5:
        feet |= {"width": dice.choice((25, 40)), "inset": dice.choice((0, 2))}
    return {"box": {"feet": feet}}


def seldom_on_a_drawer(dice: Dice, tables: Raw) -> bool:
    """Whether to leave out what is refused on a drawer: nine times of ten that it is one."""
    return "opening" in tables and dice.random() < 0.9


def _boards(dice: Dice, tables: Raw) -> Raw:
    """Single boards of their own thickness and wood, and one that is hollow."""
    sides: Raw = {}
    for side in dice.sample(("front", "back", "left", "right"), dice.randint(1, 2)):
        sides[side] = {"thickness": dice.choice((9, 12, [14, 13.6], 18)), "wood": dice.choice(WOODS)}
        if dice.random() < 0.3:
            sides[side]["cup"] = dice.choice((0.3, 0.8))
    return {"box": {side: {**tables["box"].get(side, {}), **board} for side, board in sides.items()}}


def _corners(dice: Dice, _: Raw) -> Raw:
    """Some corners unlike the others."""
    joint: Raw = {"slope": dice.choice(("1:5", "1:6", "1:8", "9 deg"))}
    if dice.random() < 0.5:
        joint["kind"] = dice.choice(("through", "half-blind"))
    if dice.random() < 0.5:
        joint["tails"] = dice.randint(1, 4)
    if dice.random() < 0.3:
        joint["spacing"] = dice.choice(("graduated", "by eye"))
    if dice.random() < 0.2:
        joint["undercut"] = {"depth": 0.2}
    where = dice.choice(("front", "back", "front_left", "back_right"))
    return {"box": {"joints": {where: joint}}}


def _shop(dice: Dice, _: Raw) -> Raw:
    """Air, and a rack that is often too small."""
    shop, damp = (f"20 C, {dice.choice(percent)} %" for percent in ((35, 50, 65), (45, 60, 75)))
    rack = [
        {"length": dice.choice((900, 1800, 2400)), "width": dice.choice((120, 200, 260)), "thickness": thick}
        | {"wood": dice.choice(WOODS), "count": dice.randint(1, 4), "planed": dice.random() < 0.3}
        for thick in dice.sample((12, 19, 27, 35), dice.randint(1, 3))
    ]
    stock = {"kerf": dice.choice((1.5, 3)), "board": rack, "grain": dice.choice(("round", "yield"))}
    return {"stock": stock, "climate": {"shop": shop, "home": {"dry": "20 C, 30 %", "damp": damp}}}


def _from(text_of: Callable[[Dice], str], *keys: str) -> Callable[[Dice, Raw], Raw]:
    """Some tables of what another generator draws."""

    def drawn(dice: Dice, _: Raw) -> Raw:
        other, found = parse_toml(text_of(dice), "the box"), Raw()
        for key in keys:
            table, _, name = key.partition(".")
            if name and name in other["box"]:
                found.setdefault(table, {})[name] = other["box"][name]
            elif not name and table in other:
                found[table] = other[table]
        return found

    return drawn


MIXED: tuple[tuple[float, Callable[[Dice, Raw], Raw]], ...] = (
    (0.4, _from(random_bottom_text, "box.groove", "box.panel")),
    (0.4, _from(divided_box_text, "box.divider")),
    (0.3, _from(irregular_box_text, "joint")),
    (0.4, _lid),
    (0.1, _slips),
    (0.3, _feet),
    (0.3, _boards),
    (0.3, _corners),
    (0.25, _shop),
)
"""How often each comes to a piece, and its tables, whose keys take the place of those that are there."""


def piece_tables(dice: Dice) -> Raw:
    """The tables of a piece, sometimes in inches."""
    tables = parse_toml(dice.choice(BASES)(dice), "the piece")
    for share, drawn in MIXED:
        if dice.random() < share:
            for name, table in drawn(dice, tables).items():
                tables[name] = table if name == "joint" else merged(tables.get(name, {}), table)
    # Where a generator draws a piece in inches, it says millimetres at every length.
    tables |= {"title": "mixed piece", "units": "mm"}
    return in_inches(tables) if dice.random() < 0.3 else tables


def merged(table: Raw, other: Raw) -> Raw:
    """One table with the keys of another, and without those that are None there."""
    return {key: value for key, value in {**table, **other}.items() if value is not None}


def in_inches(tables: Raw) -> Raw:
    """The same piece, whose plain numbers say that they are millimetres, for a reader who thinks in inches."""
    return {**_with_units(tables), "units": "in"}


def _with_units(tables: Raw) -> Raw:
    return {key: value if key in NO_LENGTHS else _with_unit(value) for key, value in tables.items()}


def _with_unit(value: object) -> object:
    if isinstance(value, dict):
        return _with_units(value)
    if isinstance(value, list):
        return [_with_unit(each) for each in value]
    return f"{value} mm" if isinstance(value, int | float) and not isinstance(value, bool) else value


def accepted_piece(dice: Dice) -> tuple[BoxLayout, int]:
    """The first piece that is accepted, and how many were refused before it, each with reasons that help."""
    refused = 0
    while True:
        tables = piece_tables(dice)
        try:
            found = plan_of(tables)
        except RecipeError as err:
            check_reasons(err)
            refused += 1
        except Exception as err:
            err.add_note(f"tables: {tables}")
            raise
        else:
            assert isinstance(found, BoxLayout)
            return found, refused


def mixed_piece(number: int) -> str:
    """One case of the campaign: pieces are drawn until one is accepted, so that all cases take about as long."""
    found, _ = accepted_piece(Dice(number))
    proof = check_proved_box(found)
    if found.recipe.opening:
        has_its_play(found)
    if not proof.passes:
        return "proved to fail, as its woods or flanks have it"
    job = Job(proof)
    assert job.solids.waste
    faults = [
        fault for plan in (job.cutting.boards if job.cutting else ()) for fault in faults_on(plan, job.cutting.kerf)
    ]
    assert not faults, faults
    assert report_bytes(piece_report(proof.assembly, proof, job.cutting))
    (note,) = [file for file in files_of(job, "corner") if file.name == BOX_NOTE]
    assert note.make()
    return "proved"


def features(found: BoxLayout) -> Iterator[str]:
    """What a piece has, in a word each."""
    recipe = found.recipe
    yield from ["opening"] if recipe.opening else []
    yield from [f"bottom in {recipe.panel.held}"] if recipe.groove.width else ["no bottom"]
    yield from ["lid"] if recipe.lid else []
    yield from ["lining"] if recipe.lid and recipe.lid.lining else []
    yield from ["feet"] if recipe.feet else []
    yield from ["dividers"] if recipe.dividers else []
    yield from ["rack"] if recipe.rack.boards else []
    yield from ["half-blind"] if any(corner.layout.is_half_blind for corner in found.corners.values()) else []
