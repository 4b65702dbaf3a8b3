"""How much glue a piece takes, how long it takes to brush, and in how many goes it is glued."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.base.messages import capital
from solids.bench.gluing.clamping import clamping, places
from solids.bench.gluing.goes import DRIVE, SET_A_CLAMP, SLIDE, Gluing, gluing_of, slower_glues
from solids.bench.gluing.surfaces import glued_corner
from solids.bench.gluing.words import (
    amount_words,
    caul_words,
    count_words,
    goes_words,
    pause_words,
    pinch_words,
    told_minutes,
    told_seconds,
    trouble_words,
    where_words,
    with_pauses,
)
from solids.layout.assembly import assembly_of
from solids.wood.glues import GLUES
from tests.bench.test_box_procedure import box_of
from tests.corners import layout_of

ORDER = ("left", "front", "back", "bottom", "right")
"""As a box with its tails on the sides goes together: the last board closes two corners."""

MANY = ("joint.tails=10", "box.height=240", "box.panel.kind=plywood", "stock.width=300")
"""So many tails that the keepsake box is not glued in one go."""


def box_gluing(*overrides: str) -> Gluing:
    return gluing_of(assembly_of(box_of("keepsake-box", *overrides)), ORDER)


def test_a_corner_by_hand() -> None:
    """The tool tray: 4 tails in a tail board of 10 mm, d = 12 mm, slope 1:7, so s = sqrt(50)/7. The flanks: 8 s 10 x 12
    = 969.75 mm2, which at 180 g/m2 take 0.17 g. End grain: both floors of each socket. The tails' sockets, 8 pins of
    3 mm and half pins, and the pin board's, together as wide as the board: at the baseline pins and necks share 96 mm,
    pins on 10 mm and tails on 12 mm. 16 faces: 2 s each and 2 x 969.75 / 200 s."""
    layout = layout_of("tool-tray")
    corner = glued_corner("", layout)
    flanks = 8 * math.sqrt(50) / 7 * 10 * 12
    assert corner.long_grain == pytest.approx(flanks, rel=1e-9)
    pins = sum(layout.tail_board_gaps(0.0)) * 10
    floors = sum(layout.tail_width(tail, 6.0) for tail in layout.tails) * 12
    assert corner.end_grain == pytest.approx(pins + floors, rel=1e-9)
    assert corner.faces == 16
    assert corner.seconds == pytest.approx(32 + 2 * flanks / 200, rel=1e-9)
    assert corner.grams == pytest.approx(flanks * 180 / 1e6, rel=1e-9)


def test_a_corner_alone_is_brushed_driven_home_and_clamped() -> None:
    gluing = gluing_of(assembly_of(layout_of("tool-tray")))
    (go,) = gluing.goes
    assert gluing.first == "pin board"
    assert go.parts == ("tail board",)
    assert go.seconds == pytest.approx(gluing.corners[0].seconds + DRIVE + 2 * SET_A_CLAMP)
    assert gluing.clamping.diagonal is None


def test_a_box_by_hand() -> None:
    """The keepsake box has 4 corners of 3 tails: 12 faces, so 48. The front closes one corner, the back one, and the
    right board two. The bottom takes two dabs of 5 s on its way. Four clamps at the end."""
    gluing = box_gluing()
    each = gluing.corners[0].seconds
    assert [corner.faces for corner in gluing.corners] == [12] * 4
    (go,) = gluing.goes
    assert [seat.corners for seat in go.seats] == [
        ("front left",),
        ("back left",),
        (),
        ("front right", "back right"),
    ]
    assert go.seconds == pytest.approx(4 * each + 3 * DRIVE + SLIDE + 2 * 5.0 + 4 * SET_A_CLAMP)
    assert gluing.longest_open == pytest.approx(2 * each + DRIVE)
    assert gluing.grams == pytest.approx(4 * gluing.corners[0].grams + 2 * 0.2)
    assert gluing.pour == 5.0
    assert gluing.clamping.diagonal == pytest.approx(math.hypot(240 - 20, 160 - 24))


def test_without_an_order_there_are_no_goes_and_still_all_glue() -> None:
    unknown = gluing_of(assembly_of(box_of("keepsake-box")))
    assert unknown.goes == ()
    assert goes_words(unknown) == ""
    assert unknown.grams == box_gluing().grams


def test_what_comes_after_the_last_corner_waits_for_the_clamps() -> None:
    """A drawer's bottom slides in from behind when all boards stand."""
    order = ("left", "front", "back", "right", "bottom")
    gluing = gluing_of(assembly_of(box_of("desk-drawer")), order)
    assert [seat.part for go in gluing.goes for seat in go.seats] == ["front", "back", "right"]


def test_plywood_is_glued_all_round_and_a_loose_bottom_not_at_all() -> None:
    """Both faces of a groove 4 mm deep round the bottom, at 180 g/m2."""
    long, wide, _ = box_of("keepsake-box", "box.panel.kind=plywood").panel.size  # type: ignore[union-attr]
    (bottom,) = box_gluing("box.panel.kind=plywood").parts
    assert (bottom.name, bottom.grams) == ("bottom", pytest.approx(4 * (long + wide) * 4 * 180 / 1e6))
    assert gluing_of(assembly_of(box_of("desk-drawer"))).parts == ()


def test_slips_by_hand() -> None:
    """A drawer 300 deep inside, its back 12 thick, between slips as the rule chooses them: each is glued from the front
    to the back at its whole height, and under the back as high as the groove's top. Both faces are brushed. They wait
    until the box is in its clamps; with one clamp every 150 mm, 312 mm take 3."""
    box = box_of("desk-drawer", "box.panel.held=slips")
    order = ("left", "front", "back", "right", "left slip", "right slip", "bottom")
    gluing = gluing_of(assembly_of(box), order)
    inside, back = box.recipe.inside[1], box.board_of("back").thickness
    area = inside * box.recipe.slip_top + back * box.recipe.groove.top
    assert [part.name for part in gluing.parts] == ["left slip", "right slip"]
    for part in gluing.parts:
        assert part.long_grain == pytest.approx(area)
        assert part.grams == pytest.approx(area * 180 / 1e6)
        assert part.seconds == pytest.approx(2 * 2 + 2 * area / 200)
    corners = math.fsum(corner.grams for corner in gluing.corners)
    assert gluing.grams == pytest.approx(corners + 2 * area * 180 / 1e6)
    assert [seat.part for seat in gluing.after] == ["left slip", "right slip", "bottom"]
    clamps = math.ceil((inside + back) / 150)
    assert [pinch.count for pinch in gluing.clamping.pinches] == [clamps, clamps]
    assert gluing.after[0].opened == pytest.approx(gluing.parts[0].seconds + SLIDE + clamps * SET_A_CLAMP)
    assert gluing.after[2].opened == SLIDE
    (told,) = pinch_words(gluing.clamping, "mm")
    assert told.startswith(f"For the left slip and right slip {clamps} small clamps each, that open ")


def test_the_top_of_a_lid_takes_its_dabs_as_the_bottom_does() -> None:
    """Cherry in its groove: two dabs of 5 s and 0.2 g each. The plywood bottom has its bead."""
    parts = {part.name: part for part in gluing_of(assembly_of(box_of("work-box"))).parts}
    assert list(parts) == ["bottom", "top"]
    assert (parts["top"].seconds, parts["top"].grams) == (10.0, pytest.approx(0.4))


def test_a_half_blind_corner_has_its_lap_among_the_end_grain() -> None:
    through, lapped = (glued_corner("", layout_of(name)) for name in ("tool-tray", "drawer-front"))
    layout = layout_of("drawer-front")
    laps = sum(tail.width for tail in layout.tails) * layout.tail_thickness
    floors = sum(layout.tail_width(tail, layout.depth / 2) for tail in layout.tails) * layout.depth
    pins = sum(layout.tail_board_gaps(0.0)) * layout.tail_thickness
    assert lapped.end_grain == pytest.approx(laps + floors + pins, rel=1e-6)
    assert through.faces == 2 * len(layout_of("tool-tray").flanks)


def test_a_mitred_shoulder_is_brushed_though_it_is_end_grain() -> None:
    plain, mitred = layout_of("tool-tray"), layout_of("tool-tray", "joint.mitre={reference = 12}")
    more = glued_corner("", mitred).faces - 2 * len(mitred.flanks)
    assert more == 4  # both faces of the mitre, and of the side of its strip
    assert glued_corner("", plain).faces == 2 * len(plain.flanks)


# --- goes ----------------------------------------------------------------------------------------


def test_too_many_tails_for_the_glue_are_glued_in_goes_that_keep_the_proved_order() -> None:
    gluing = box_gluing(*MANY)
    assert len(gluing.goes) > 1
    assert tuple(part for go in gluing.goes for part in go.parts) == ORDER[1:]
    assert all(go.seconds <= 600 for go in gluing.goes if go not in gluing.overlong)
    merged = gluing.goes[0].seconds + gluing.goes[1].seconds - gluing.goes[0].clamping
    assert merged > 600, "both would not have done in one"


def test_a_pause_comes_after_the_last_board_of_a_go() -> None:
    gluing = box_gluing(*MANY)
    together = [f"step {part}" for part in ORDER]
    steps = with_pauses(gluing, together)
    assert [step for step in steps if step in together] == together
    at = steps.index(pause_words(gluing, 0))
    assert steps[at - 1] == f"step {gluing.goes[0].parts[-1]}"
    assert with_pauses(box_gluing(), together) == tuple(together)


@given(tails=st.integers(2, 9), open_time=st.integers(1, 40), more=st.integers(0, 40))
@pytest.mark.whole
def test_a_longer_open_time_never_asks_for_more_goes(tails: int, open_time: int, more: int) -> None:
    few, many = (
        box_gluing(f"joint.tails={tails}", *MANY[1:], f"glue.open_time={minutes}")
        for minutes in (open_time, open_time + more)
    )
    assert len(many.goes) <= len(few.goes)
    assert len(many.late) <= len(few.late)


@given(tails=st.integers(1, 9), more=st.integers(1, 3))
def test_more_tails_take_more_glue_and_more_time(tails: int, more: int) -> None:
    few, many = (glued_corner("", layout_of("carcase", f"joint.tails={count}")) for count in (tails, tails + more))
    assert many.grams > few.grams
    assert many.seconds > few.seconds
    assert many.faces > few.faces


@given(spread=st.integers(50, 300))
def test_grams_follow_the_spread(spread: int) -> None:
    one = glued_corner("", layout_of("tool-tray", f"glue.spread={spread}"))
    two = glued_corner("", layout_of("tool-tray", f"glue.spread={2 * spread}"))
    assert two.grams == pytest.approx(2 * one.grams)
    assert two.seconds == one.seconds


def test_a_slower_glue_is_named_where_it_would_do_in_one_go() -> None:
    gluing = box_gluing(*MANY)
    quickest = slower_glues(gluing)[0]
    assert quickest.open_min * 60 >= gluing.longest_open
    assert quickest.assembly_min * 60 >= gluing.at_once
    assert any(quickest.kind in words or capital(quickest.kind) in words for words in trouble_words(gluing))
    again = box_gluing(*MANY, f"glue.kind={quickest.kind}")
    assert len(again.goes) == 1
    assert list(trouble_words(again)) == []


def test_a_board_that_no_pause_helps_is_told_with_what_helps() -> None:
    late = box_gluing("glue.kind=hot hide glue")
    told = " ".join(trouble_words(late))
    assert "The right board closes 2 corners" in told
    assert "With a second person to brush it is" in told
    assert GLUES["hot hide glue"].open_min * 60 < late.longest_open


# --- clamps --------------------------------------------------------------------------------------


def test_clamps_stand_in_the_middle_of_equal_parts() -> None:
    assert places(0.0, 80.0, "mm") == (20.0, 60.0)
    assert places(0.0, 440.0, "mm") == (75.0, 220.0, 365.0)  # 73.3, 220 and 366.7, to 5 mm
    assert places(16.0, 110.0, "mm") == (40.0, 85.0)  # 39.5 and 86.5
    assert places(0.0, 152.4, "in") == pytest.approx((38.1, 114.3))  # six inches


def test_clamps_of_a_box_run_along_the_boards_with_pins() -> None:
    sides, ends = (clamping(box_of("keepsake-box", f"box.tails_on={which}")) for which in ("sides", "ends"))
    assert ([run.along for run in sides.runs], sides.pressed) == (["front", "back"], ("left", "right"))
    assert ([run.along for run in ends.runs], ends.pressed) == (["left", "right"], ("front", "back"))
    assert {(caul.corner, caul.board) for caul in ends.cauls} >= {("front left", "front"), ("back right", "back")}


def test_clamps_are_told_in_both_units() -> None:
    clamps = clamping(layout_of("tool-tray"))
    assert count_words(clamps, "mm").startswith("2 clamps that open ")
    where = where_words(clamps, "mm")
    assert where.startswith("They stand 25 mm and 70 mm from the reference edge, along the pin board, and press the ")
    assert "tail board down on the pins." in where
    # 7/8 and 2 5/8 of 3 1/2 in, to a quarter.
    assert "They stand 1 in and 2 3/4 in from the reference edge" in where_words(clamping(layout_of("tea-box")), "in")


def test_cauls_clear_pins_that_stand_proud_and_are_straight_where_none_do() -> None:
    """Pins proud by 0.5 mm take blocks of 1.5 mm; the narrowest neck of the keepsake box is 17.9 mm wide."""
    proud, flush = (box_of("keepsake-box", f"pin_board.proud={mm}") for mm in (0.5, 0))
    told = caul_words(clamping(proud), "mm")
    assert "Lay a caul of 80 mm or longer over the tails at each end of left and right, with 3 blocks of 1.5 mm" in told
    assert "17.9 mm wide at most, so that it clears the pins that stand proud." in told
    assert caul_words(clamping(flush), "mm") == (
        "Lay a straight caul of 80 mm or longer over the tails at each end of left and right."
    )


def test_a_drawer_with_two_kinds_of_corner_has_two_kinds_of_caul() -> None:
    told = caul_words(clamping(box_of("desk-drawer")), "mm")
    assert "at the front left and front right, with 3 blocks" in told
    assert "at the back left and back right, with 3 blocks" in told


# --- words ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("seconds", "told"),
    [(0.0, "0 s"), (31.0, "40 s"), (60.0, "1 min"), (61.0, "1 min 10 s"), (599.0, "10 min"), (601.0, "11 min")],
)
def test_a_time_is_rounded_up(seconds: float, told: str) -> None:
    assert told_seconds(seconds) == told


@pytest.mark.parametrize(("minutes", "told"), [(0.5, "0.5 min"), (60.0, "60 min"), (360.0, "6 h"), (150.0, "2.5 h")])
def test_the_glues_times_are_told_in_minutes_and_hours(minutes: float, told: str) -> None:
    assert told_minutes(minutes) == told


def test_the_amount_is_told_in_grams_and_ounces() -> None:
    metric, inch = (gluing_of(assembly_of(layout_of(name))) for name in ("tool-tray", "tea-box"))
    assert "16 altogether: have 5 g of glue ready, and count on 50 s of brushing." in amount_words(metric)
    assert "have 0.2 oz (5 g) of glue ready" in amount_words(inch)
