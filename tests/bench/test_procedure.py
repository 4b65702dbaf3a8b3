"""The order of work: its steps and their order, with this joint's own numbers, in the maker's own units."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings

from solids.base.lengths import format_length
from solids.bench.procedure import WorkStep, order_of_work
from solids.bench.settings import bench_of
from solids.recipe import preset_names, preset_text
from tests.recipes import HALF_BLIND, STANDING, WHOLE, laid_out, recipe_texts, try_lay_out

KIT = ("kit.chisels=[3, 6, 10, 14, 16]", "kit.saw_kerf=0.6")
CHAMFER = ("entry_chamfer.width=1", "entry_chamfer.back=2")
HOLLOW = ("undercut.depth=0.3", "undercut.land=2")

THROUGH = [
    "Saw to length",
    "Gauge",
    "Mark and saw the tails",
    "Clear between the tails",
    "Mark the pins",
    "Saw and chop the pins",
    "Try it dry",
    "Glue",
    "Plane",
]
"""Tails first, and the pins marked from them: common practice."""


def named(*, tails: int = 4, tails_chamfered: bool = False, ends_chamfered: bool = False) -> list[str]:
    """The steps of a joint, in order: one tail has nothing between tails, and a chamfer is a step of its own."""
    names = ["Clear beside the tail" if tails == 1 and what == THROUGH[3] else what for what in THROUGH]
    if tails_chamfered:
        names.insert(names.index("Mark the pins"), "Chamfer the tails")
    if ends_chamfered:
        names.insert(names.index("Glue"), "Chamfer the ends")
    return names


def steps(*overrides: str, text: str = WHOLE) -> dict[str, str]:
    return {step.what: step.how for step in order_of_work(laid_out(*overrides, text=text))}


def everything(made: tuple[WorkStep, ...]) -> str:
    return " ".join(f"{step.what}. {step.how}" for step in made)


# --- the order ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [(), HALF_BLIND, STANDING], ids=["through", "half-blind", "standing"])
def test_steps_run_from_sawing_to_planing_with_tails_before_pins(kind: tuple[str, ...]) -> None:
    assert list(steps(*kind)) == named(ends_chamfered=kind == STANDING)


@pytest.mark.parametrize("kind", [(), HALF_BLIND], ids=["through", "half-blind"])
def test_a_chamfer_is_cut_before_the_tails_mark_the_pins_and_only_where_there_is_one(kind: tuple[str, ...]) -> None:
    with_chamfer = list(steps(*kind, *CHAMFER))
    assert with_chamfer.index("Chamfer the tails") == THROUGH.index("Clear between the tails") + 1
    assert [what for what in with_chamfer if what != "Chamfer the tails"] == THROUGH
    assert with_chamfer == named(tails_chamfered=True)
    told = steps(*kind, *CHAMFER)["Chamfer the tails"]
    stop = "2 mm" if kind else "2.5 mm"  # 2 mm behind the finished face, which lies 0.5 mm behind a through raw end
    assert told == f"1 mm on the inside edges of the flanks, from the baseline to {stop} short of the raw end."


# --- the numbers ----------------------------------------------------------------------------------------


def test_boards_are_sawn_to_their_length_and_the_joint() -> None:
    """120 + 12 + 0.5 mm and 110 + 10 + 0.25 mm; half-blind 120 + 9 mm."""
    assert steps()["Saw to length"].startswith("Tail board 132.5 mm, pin board 120.25 mm. Square the ends.")
    assert steps(*HALF_BLIND)["Saw to length"].startswith("Tail board 129 mm, pin board 120.25 mm.")


def test_gauging_tells_both_settings_and_what_each_is_for() -> None:
    """12 + 0.5 mm for the tail board, 10 + 0.25 mm for the pin board; its edges take no line."""
    told = steps()["Gauge"]
    assert "12.5 mm: the tail board's inside face and edges." in told
    assert "10.25 mm: the pin board's inside face." in told
    assert told.index("12.5 mm") < told.index("10.25 mm")
    assert "do not mix them up" in told


def test_gauging_a_half_blind_joint_takes_in_the_end_grain() -> None:
    """12 - 3 = 9 mm on the tail board and on the end grain, 10.25 mm on the inside face."""
    told = steps(*HALF_BLIND)["Gauge"]
    assert "9 mm: the tail board's inside face and edges. Also the pin board's end grain, from its inside face." in told
    assert "10.25 mm: the pin board's inside face." in told
    assert "end grain" not in steps()["Gauge"]


def test_two_settings_that_are_alike_are_said_to_be() -> None:
    """10 + 0.5 and 10 + 0.5 mm."""
    alike = steps("pin_board.thickness=10", "pin_board.proud=0.5")["Gauge"]
    assert "Both settings are the same here." in alike
    assert "do not mix them up" not in alike
    assert "the same" not in steps()["Gauge"]


@pytest.mark.parametrize("name", preset_names())
def test_gauge_settings_and_cut_lengths_of_every_preset_stand_in_its_steps(name: str) -> None:
    layout = laid_out(text=preset_text(name))
    told, bench = {step.what: step.how for step in order_of_work(layout)}, bench_of(layout)
    for gauge in bench.gauges:
        assert f"{format_length(gauge.setting, layout.recipe.units)}: " in told["Gauge"]
    for cut in bench.cut_lengths:
        assert format_length(cut.saw_to, layout.recipe.units) in told["Saw to length"]


@pytest.mark.parametrize(
    ("overrides", "words"),
    [
        ((), "Knife 4 tails on the raw end"),
        (("joint.tails=1", "joint.width=40"), "Knife 1 tail on the raw end"),
        (("joint.slope=1:7.5",), "Bevel 1 in 7.5 on both faces"),
        (KIT, "down to the baseline (kerf 0.6 mm)."),
        ((), "down to the baseline."),
    ],
)
def test_marking_and_sawing_tells_tails_bevel_and_kerf(overrides: tuple[str, ...], words: str) -> None:
    assert words in steps(*overrides)["Mark and saw the tails"]


# --- marking the pins -----------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [(), HALF_BLIND, STANDING], ids=["through", "half-blind", "standing"])
def test_marking_the_pins_tells_how_the_tail_board_lies(kind: tuple[str, ...]) -> None:
    """Inside face down. Through, the baseline lies over the pin board's inside edge, for the tails reach across it;
    half-blind, their ends lie on the line gauged on the end grain (common practice)."""
    told = steps(*kind)["Mark the pins"]
    assert told.startswith("Lay the tail board on the pin board's end, show face up: reference edges flush, ")
    assert ("the ends of the tails on the gauged line." in told) == (kind == HALF_BLIND)
    assert ("the baseline over the inside edge." in told) == (kind != HALF_BLIND)
    assert "Knife along every flank." in told


# --- scribing -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [(), HALF_BLIND, STANDING], ids=["through", "half-blind", "standing"])
def test_show_faces_are_marked_in_the_waste_only(kind: tuple[str, ...]) -> None:
    """A line across a tail or a pin would stay to be seen (common practice). The waste is known only once the tails, or
    the pins, are marked."""
    told = steps(*kind)
    assert "Leave the show faces alone for now." in told["Gauge"]
    waste = "Gauge the show face in the waste only."
    assert told["Mark and saw the tails"].index("Knife") < told["Mark and saw the tails"].index(waste)
    others = " ".join(
        how for what, how in told.items() if what not in ("Gauge", "Mark and saw the tails", "Mark the pins")
    )
    assert not re.search(r"\b(gauge|scribe|cut a line)\b", others, re.IGNORECASE)


def test_steps_and_scribe_lines_agree_on_what_is_left_alone() -> None:
    """A half-blind pin board's show face takes no line at all."""
    for kind in ((), HALF_BLIND):
        layout = laid_out(*kind, text=WHOLE)
        partial = {(line.board, line.face) for line in bench_of(layout).scribes if not line.full}
        assert ("tail board", "show face") in partial
        assert (("pin board", "show face") in partial) == ("Gauge the show face" in steps(*kind)["Mark the pins"])


# --- clearing the tails -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("tails", [1, 2, 4])
@pytest.mark.parametrize("kind", [(), HALF_BLIND, STANDING], ids=["through", "half-blind", "standing"])
def test_waste_at_both_edges_is_sawn_off_before_any_is_chopped(kind: tuple[str, ...], tails: int) -> None:
    """A half pin leaves a shoulder, open at the edge: the saw goes in from there (common practice)."""
    told = steps(*kind, f"joint.tails={tails}", f"joint.width={12 + 21 * tails}")
    (how,) = (how for what, how in told.items() if what.startswith("Clear"))
    assert how.startswith("Saw off the waste at both edges, beside the baseline.")
    assert ("Chop" in how) == (tails > 1)


def test_one_tail_has_nothing_between_tails_to_clear() -> None:
    told = steps("joint.tails=1", "joint.width=40", *KIT)
    assert list(told) == named(tails=1)
    assert told["Clear beside the tail"].endswith("Pare to the line from both faces.")
    assert "between" not in " ".join([*told, *told.values()])
    assert "Clear beside the tail" not in steps("joint.tails=2")


# --- chopping --------------------------------------------------------------------------------------------------


def test_chopping_tells_depths_that_meet() -> None:
    """The tail board 5 + 5 of 10 mm, the pin board 6 + 6 of 12 mm; half-blind 9 mm deep and 10 + 0.25 mm from the
    end."""
    told = steps()
    assert "Chop: 5 mm from the show face, then 5 mm from the inside face." in told["Clear between the tails"]
    assert "Chop: 6 mm from the show face, then 6 mm from the inside face." in told["Saw and chop the pins"]
    hidden = steps(*HALF_BLIND)["Saw and chop the pins"]
    assert "Chop: 9 mm from the inside face, then 10.25 mm from the end." in hidden
    assert "show face" not in hidden


@pytest.mark.parametrize("kind", [(), HALF_BLIND, STANDING], ids=["through", "half-blind", "standing"])
def test_chopping_stays_clear_of_the_line_and_paring_goes_to_it(kind: tuple[str, ...]) -> None:
    """The wedge of the blade is pushed back as it goes in, so one begins 1/32 in, 0.8 mm, inside the line (common
    practice)."""
    clear = "Stay 0.8 mm clear of the line, in the waste, then pare to it."
    told = steps(*kind)
    for what in ("Clear between the tails", "Saw and chop the pins"):
        assert told[what].index("Chop") < told[what].index(clear)
    assert "Stay 1/32 in clear of the line" in everything(order_of_work(laid_out(text=preset_text("tea-box"))))


def test_chisels_of_the_kit_are_named_for_each_board() -> None:
    """Between tails 5.57 mm takes the 3. In the pin board 17.04 mm half-way would take the 16, but 15.32 mm at the
    inside face takes the 14 only, and one blade does both cuts."""
    told = steps(*KIT)
    assert re.search(r"Chop with 3 mm\b", told["Clear between the tails"])
    assert "Chop with 14 mm: 6 mm" in told["Saw and chop the pins"]
    assert "with" not in steps()["Saw and chop the pins"].partition("Chop")[2].partition(":")[0]


def test_no_chisel_is_named_for_gaps_between_tails_that_it_does_not_fit() -> None:
    """They are 5.57 mm wide where a blade of 30 mm would stand."""
    assert "30 mm" not in steps("kit.chisels=[30]")["Clear between the tails"]


@pytest.mark.parametrize(("kind", "pins"), [((), "4.3"), (HALF_BLIND, "2.5")], ids=["through", "half-blind"])
def test_a_hollow_floor_is_chopped_leaning(kind: tuple[str, ...], pins: str) -> None:
    """atan(0.3/(5 - 2)) = 5.71, atan(0.3/(6 - 2)) = 4.29, atan(0.3/(9 - 2)) = 2.45 degrees."""
    told = steps(*kind, *HOLLOW)
    assert "Past the land lean the chisel by 5.7 degrees." in told["Clear between the tails"]
    assert f"Past the land lean the chisel by {pins} degrees." in told["Saw and chop the pins"]
    assert "land" not in everything(order_of_work(laid_out(*kind, text=WHOLE)))


def test_the_hollow_floors_beside_a_single_tail_are_told() -> None:
    """The floors at the edges are hollowed as those between tails are: atan(0.3/(5 - 2)) = 5.71 degrees."""
    assert "by 5.7 degrees" in steps("joint.tails=1", "joint.width=40", *HOLLOW)["Clear beside the tail"]


def test_a_half_blind_socket_is_sawn_at_a_slant_and_pared_in_its_corners() -> None:
    assert steps(*HALF_BLIND, *KIT)["Saw and chop the pins"].startswith(
        "Saw at a slant from the inside corner, on the waste side (kerf 0.6 mm)."
    )
    assert "skew chisel" in steps(*HALF_BLIND)["Saw and chop the pins"]
    assert "slant" not in steps()["Saw and chop the pins"]


# --- planing ----------------------------------------------------------------------------------------------------


INWARD = "Work from the arris inward, along the board, never off the arris."


def test_planing_flush_tells_how_much_and_which_way() -> None:
    assert steps()["Plane"] == (
        f"{INWARD} Ends of the tails, on the pin board's show face: 0.5 mm. "
        "Ends of the pins, on the tail board's show face: 0.25 mm."
    )


def test_planing_off_the_faces_comes_last() -> None:
    told = steps("finish.planing=0.4")["Plane"]
    assert told.endswith("Both show faces: 0.4 mm.")
    assert told.startswith(f"{INWARD} Ends of the tails")


def test_a_half_blind_joint_has_only_pins_to_plane() -> None:
    assert steps(*HALF_BLIND)["Plane"] == f"{INWARD} Ends of the pins, on the tail board's show face: 0.25 mm."


def test_ends_cut_flush_leave_nothing_to_plane() -> None:
    assert steps("tail_board.proud=0", "pin_board.proud=0")["Plane"] == "Nothing: the ends stay as they are."
    assert steps(*HALF_BLIND, "pin_board.proud=0")["Plane"] == "Nothing: the ends stay as they are."


def test_ends_left_standing_are_chamfered_before_the_glue() -> None:
    told = steps(*STANDING)
    assert list(told).index("Glue") == list(told).index("Chamfer the ends") + 1
    assert told["Chamfer the ends"] == "1.5 mm round the ends that stay proud."
    assert told["Plane"] == "Nothing: the ends stay as they are."


def test_ends_that_are_planed_flush_are_not_chamfered() -> None:
    for kind in ((), HALF_BLIND):
        assert "Chamfer the ends" not in steps(*kind)


@pytest.mark.parametrize(
    ("overrides", "stand"),
    [
        ((), True),
        (("tail_board.proud=0",), True),
        (("pin_board.proud=0",), False),
        (HALF_BLIND, True),
        ((*HALF_BLIND, "pin_board.proud=0"), False),
        (STANDING, True),
    ],
)
def test_cauls_clear_the_pins_only_where_pins_stand_proud(overrides: tuple[str, ...], stand: bool) -> None:
    """Pins stand past the very face that is pressed on; the ends of the tails stand past the other one."""
    press = "Press on the tails only: let cauls clear the pins." if stand else "Press on the tails."
    glue = steps(*overrides)["Glue"]
    assert glue.startswith("Glue the flanks. Brush both faces of each, ")
    assert glue.endswith(f"Leave end grain dry. {press} Check for square.")


@pytest.mark.parametrize("overrides", [(*STANDING, "finish.chamfer=0"), ("finish.ends=proud", "finish.chamfer=0")])
def test_ends_without_a_chamfer_are_not_chamfered(overrides: tuple[str, ...]) -> None:
    assert "hamfer" not in everything(order_of_work(laid_out(*overrides, text=WHOLE)))


# --- words ----------------------------------------------------------------------------------------------------


INCHES = ("kit.chisels=['1/8', '1/4', '1/2']", "kit.saw_kerf=0.02", "entry_chamfer.width=1/32", "undercut.depth=0.01")


@pytest.mark.parametrize("overrides", [(), INCHES, ("finish.planing=1/64",)])
def test_an_inch_recipe_gives_fractions_and_no_millimetres(overrides: tuple[str, ...]) -> None:
    """Boards of 6 and 4 in, 3/8 in thick, ends proud by 1/32 in: 6 13/32 and 4 13/32 in, gauges at 13/32 in."""
    told = everything(order_of_work(laid_out(*overrides, text=preset_text("tea-box"))))
    assert not re.search(r"\bmm\b", told)
    assert "Tail board 6 13/32 in, pin board 4 13/32 in." in told
    assert "13/32 in: the tail board's inside face and edges. 13/32 in: the pin board's inside face." in told
    assert "3/16 in from the show face, then 3/16 in from the inside face" in told


@settings(max_examples=80, deadline=None)
@given(recipe_texts())
def test_steps_of_any_layout_are_sentences_in_one_unit(text: str) -> None:
    layout = try_lay_out(text)
    if layout is None:
        return
    made = order_of_work(layout)
    recipe = layout.recipe
    assert [step.what for step in made] == named(
        tails=len(layout.tails),
        tails_chamfered=bool(recipe.entry_chamfer.width),
        ends_chamfered=recipe.finish.ends == "proud" and recipe.finish.chamfer > 0,
    )
    for step in made:
        assert re.fullmatch(r"[A-Z0-9].*[^. ]\.", step.how)
        assert "  " not in step.how
        assert ".." not in step.how
    told = everything(made)
    foreign = r"\d in\b(?! \d)" if layout.recipe.units == "mm" else r"\bmm\b"
    assert not re.search(foreign, told)
    assert not re.search(r"-\d|\bnan\b|\binf\b|None", told.replace(" - 0.", ""))
