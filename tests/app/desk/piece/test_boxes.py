"""A whole box on the page: its plan, the cut through its groove, its sizes, and moves at every kind of corner."""

from __future__ import annotations

import json
from itertools import pairwise
from typing import Any

import pytest

from solids.app.desk.piece.moves import moved
from solids.app.desk.piece.state import read, state_of
from solids.base.errors import InputError
from solids.layout.box.model import BoxLayout
from solids.recipe import box_preset_names, preset_text
from solids.recipe.completing.shop import NO_SHOP
from solids.recipe.tables.keys import value_at
from solids.recipe.text.starter import starter_text
from tests.app.desk.piece.moves import handles, move, page
from tests.drawers import OAK

KEEPSAKE, DRAWER = preset_text("keepsake-box"), preset_text("desk-drawer")
TWO_KINDS = KEEPSAKE.replace("[box.groove]", "[box.joints.back]\ntails = 4\n\n[box.groove]")
"""Three tails at the front, four at the back."""

BOXES = {"keepsake box": KEEPSAKE, "desk drawer": DRAWER, "two kinds": TWO_KINDS}


def joint_at(state: dict[str, Any], corner: str) -> dict[str, Any]:
    found: dict[str, Any] = next(joint for joint in state["joints"] if corner in joint["corners"])
    return found


def of_joint(state: dict[str, Any], corner: str) -> dict[str, dict[str, Any]]:
    """The handles at a corner by their bare names."""
    return {one["name"].partition(": ")[2]: one for one in joint_at(state, corner)["handles"]}


def of_box(state: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {one["name"]: one for one in state["box"]["handles"]}


def tables_after(text: str, handle: str, by_mm: float) -> dict[str, Any]:
    _, reading, _ = move(text, handle, by_mm)
    assert reading.tables is not None
    return reading.tables


# --- the plan and the cut, by hand -----------------------------------------------------------------


def shapes(view: dict[str, Any], kind: str, words: str = "") -> list[list[list[float]]]:
    return [one["points"] for one in view["shapes"] if one["kind"] == kind and words in ("", one["words"])]


def test_the_plan_by_hand() -> None:
    """240 x 160 x 80; the sides lie 24 mm from the plan, so that its front left corner is at (104, 104)."""
    plan = page(KEEPSAKE)[1]["box"]["plan"]
    assert (plan["width"], plan["height"]) == (240 + 2 * 104, 160 + 2 * 104)
    bottom = shapes(plan, "hidden", "bottom")[0]
    # Of 220 x 136 inside, in grooves of 4 mm, with 0.5 mm free at each edge; across the grain, less its room too.
    assert bottom[1][0] - bottom[0][0] == pytest.approx(227)
    assert bottom[2][1] - bottom[1][1] == pytest.approx(142.31, abs=0.01)
    # The front is drawn from outside below the plan, its upper edge toward it, 24 mm away: from 80 up to 0.
    front = shapes(plan, "wood", "pin board")[0]
    assert sorted({y for _, y in front}) == [0, 80]
    # The pins run through to the sides: the front's upper edge is as long as the box, the left one ends at the front.
    boards = [points for points in shapes(plan, "wood") if all(104 <= y <= 264 for _, y in points)]
    above = [points for points in boards if all(104 <= x <= 344 for x, _ in points)]
    assert [max(x for x, _ in points) - min(x for x, _ in points) for points in above] == [240, 10, 240, 10]
    assert [max(y for _, y in points) - min(y for _, y in points) for points in above] == [12, 136, 12, 136]
    assert {one["words"] for one in plan["shapes"] if one["kind"] == "number"} == {
        *("front", "right", "back", "left", "bottom")
    }


def test_the_tails_and_pins_of_every_corner_stand_on_its_sides() -> None:
    """Three tails at each end of the front and of the back; four pins at each end of the left and of the right."""
    plan = page(KEEPSAKE)[1]["box"]["plan"]
    tails = [points for points in shapes(plan, "wood", "tail board") if _spans(points) == (10.0, 21.33)]
    assert len(tails) == 4 * 3
    pins = [points for points in shapes(plan, "wood", "pin board") if min(_spans(points)) < 10]
    assert len(pins) == 4 * 4
    # A drawer: its tails are hidden behind the lap at the front, three at each corner, in the front and from above.
    assert len(shapes(page(DRAWER)[1]["box"]["plan"], "hidden", "tails")) == 2


def _spans(points: list[list[float]]) -> tuple[float, ...]:
    return tuple(sorted(round(max(values) - min(values), 2) for values in zip(*points, strict=True)))


def test_the_cut_by_hand() -> None:
    """The bottom's grain runs along the length, so it moves from front to back: the cut goes through the front, 12 mm
    thick. A groove of 4 mm has its floor at 8 mm; the bottom's edge stands half its room and 0.5 mm before it."""
    box = page(KEEPSAKE)[1]["box"]
    cut, room = box["section"], 0.5 + (136 + 8 - 1 - 142.31) / 2
    side, bottom = shapes(cut, "wood")
    zero = 12.0  # the show face, with room for dimensions left of it
    assert [[x - zero, y] for x, y in side[:6]] == [[0, 0], [12, 0], [12, 10], [8, 10], [8, 15], [12, 15]]
    assert bottom[0] == [pytest.approx(zero + 8 + room, abs=0.01), 10]
    dimensions = [one["words"] for one in cut["shapes"] if one["kind"] == "dimension"]
    assert dimensions == ["10 mm", "5 mm", "4 mm"]
    rows = {row["words"]: row["value"] for row in box["groove"]}
    assert rows["Least wood behind the groove"] == "6 mm"  # of the sides, 10 - 4
    assert rows["Room for the bottom to grow"] == "0.69 mm"  # 144 - 1 - 142.31
    # At the driest it lies where it is held by as much as the figure says.
    driest = shapes(cut, "hidden", "bottom at the driest")[0][0][0] - zero
    assert f"{12 - driest:.2f} mm" == rows["Held in the groove at the driest"]


def test_the_cut_shows_the_lip_of_a_front_by_hand() -> None:
    """A lip of 8 by 9.5 at the lower edge of a front of 20; where the drawing ends at the upper edge, one there too.
    The show face is at 12, and the reference edge at 9.5 above the lower end of the drawing."""
    lipped = OAK + "[box.front.lip]\n"
    cut = page(lipped)[1]["box"]["section"]
    side = [[round(x - 12.0, 2), round(y - 9.5, 2)] for x, y in shapes(cut, "wood")[0]]
    assert side[:4] == [[0, -9.5], [8, -9.5], [8, 0], [20, 0]]
    low = page(lipped.replace("height = 100", "height = 35"))[1]["box"]["section"]
    side = [[round(x - 12.0, 2), round(y - 9.5, 2)] for x, y in shapes(low, "wood")[0]]
    high = side[-4][1]
    assert side[-4:] == [[20, high], [8, high], [8, round(high + 9.5, 2)], [0, round(high + 9.5, 2)]]
    assert low["height"] == pytest.approx(high + 2 * 9.5, abs=0.02)


def test_a_box_without_a_bottom_has_no_cut() -> None:
    text = KEEPSAKE.replace("width = 5\n", "width = 0\n")
    _, state = page(text)
    assert state["good"]
    assert state["box"]["section"] is None
    assert state["box"]["groove"] == []
    assert not [name for name in of_box(state) if "groove" in name]


# --- sizes -------------------------------------------------------------------------------------------


def test_which_size_the_maker_gave_is_told_and_can_be_turned() -> None:
    sizes = {size["name"]: size for size in page(DRAWER)[1]["box"]["sizes"]}
    assert {name: size["given"] for name, size in sizes.items()} == {
        "length": "outside",
        "width": "inside",
        "height": "outside",
    }
    # 380 less two sides of 11; 420 and a front of 20 and a back of 12; 110 less a groove that ends at 16.
    assert sizes["length"]["turn"] == {"box.length": None, "box.inside_length": "358"}
    assert sizes["width"]["turn"] == {"box.inside_width": None, "box.width": "452"}
    assert sizes["height"]["turn"] == {"box.height": None, "box.inside_height": "94"}


@pytest.mark.parametrize("text", BOXES.values(), ids=BOXES)
@pytest.mark.parametrize("name", ["length", "width", "height"])
def test_a_size_that_is_turned_leaves_the_box_as_it_was(text: str, name: str) -> None:
    from tests.app.desk.piece.moves import after

    reading, state = page(text)
    assert isinstance(reading.plan, BoxLayout)
    for _ in range(2):
        (size,) = (size for size in state["box"]["sizes"] if size["name"] == name)
        assert reading.tables is not None
        reading, state = page(after(reading.tables, size["turn"]))
        assert isinstance(reading.plan, BoxLayout), reading.problems
        assert reading.tables is not None
        outside, inside = (value_at(reading.tables, size[way]["key"]) for way in ("outside", "inside"))
        assert (outside is None) != (inside is None)
        before = page(text)[0].plan
        assert isinstance(before, BoxLayout)
        assert reading.plan.outside == pytest.approx(before.outside)
        assert reading.plan.recipe.height == pytest.approx(before.recipe.height)


def test_a_height_that_stands_in_the_joint_is_turned_too() -> None:
    text = KEEPSAKE.replace("height = 80\n", "").replace('slope = "1:7"', 'slope = "1:7"\nwidth = 80')
    (size,) = (size for size in page(text)[1]["box"]["sizes"] if size["name"] == "height")
    assert size["outside"]["key"] == "joint.width"
    assert size["turn"] == {"joint.width": None, "box.inside_height": "65"}


def test_sizes_that_leave_the_boards_to_follow_are_not_turned() -> None:
    text = KEEPSAKE.replace("length = 240", "length = 240\ninside_length = 220").replace("thickness = 10\n", "")
    _, state = page(text)
    assert state["good"]
    (size,) = (size for size in state["box"]["sizes"] if size["name"] == "length")
    assert (size["given"], size["turn"]) == ("both", None)


def test_a_size_that_follows_is_shown() -> None:
    keys = page(KEEPSAKE)[1]["keys"]
    assert keys["box.inside_length"]["shown"].startswith("220 mm")
    assert keys["box.inside_height"]["shown"].startswith("65 mm")


# --- handles of the whole box ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "handle", "by", "changes"),
    [
        (KEEPSAKE, "box: length", 5, {"box.length": "245"}),
        (KEEPSAKE, "box: width", -5, {"box.width": "155"}),
        (KEEPSAKE, "box: height", -2, {"box.height": "82"}),  # its lower edge, in the front from outside, goes down
        (DRAWER, "box: width", 3, {"box.inside_width": "423"}),
        (KEEPSAKE, "box: groove up", 1, {"box.groove.up": "11"}),
        (KEEPSAKE, "box: groove width", 1, {"box.groove.width": "6"}),
        (KEEPSAKE, "box: groove depth", 0.5, {"box.groove.depth": "3.5"}),  # its floor toward the inside
        (KEEPSAKE, "box: left thickness", 1, {"tail_board.thickness": "11"}),
        (KEEPSAKE, "box: right thickness", 1, {"tail_board.thickness": "9"}),
        (KEEPSAKE, "box: back thickness", -1, {"pin_board.thickness": "13"}),
        (DRAWER, "box: front thickness", 1, {"box.front.thickness": "21"}),
        (DRAWER, "box: back thickness", -1, {"pin_board.thickness": "13"}),
    ],
)
def test_a_move_of_the_box_changes_one_key(text: str, handle: str, by: float, changes: dict[str, str]) -> None:
    assert move(text, handle, by)[0] == changes


@pytest.mark.parametrize("text", BOXES.values(), ids=BOXES)
def test_every_handle_of_a_box_follows_the_hand(text: str) -> None:
    """Its value changes by as much as it was moved, the way that it says, and it is drawn there."""
    _, before = page(text)
    for name, handle in of_box(before).items():
        by = handle["sense"] * 0.5
        _, reading, state = move(text, name, by)
        assert state["good"], (name, reading.problems)
        there = of_box(state)[name]
        assert there["value_mm"] == pytest.approx(handle["value_mm"] + 0.5), name
        assert value_at(reading.tables or {}, handle["key"]) is not None


@pytest.mark.parametrize("handle", ["box: lid", "box: 3", "box: flank 1", "boxes: length", "front: flank 1"])
def test_what_a_box_does_not_have_is_refused_in_words(handle: str) -> None:
    reading, _ = page(KEEPSAKE)
    assert reading.tables is not None
    assert reading.plan is not None
    with pytest.raises(InputError, match="nothing that can be moved"):
        moved(reading.tables, reading.plan, handle, 1.0)
    corner, _ = page(preset_text("tool-tray"))
    assert corner.tables is not None
    assert corner.plan is not None
    with pytest.raises(InputError, match="nothing that can be moved"):
        moved(corner.tables, corner.plan, "box: length", 1.0)


# --- at the corners ----------------------------------------------------------------------------------


def test_corners_of_one_kind_are_told_with_each_other() -> None:
    """A drawer's back corners are mirror images: they are drawn one by one, and change together."""
    state = page(DRAWER)[1]
    assert [(joint["corners"], joint["together"]) for joint in state["joints"]] == [
        (["front left"], ["front left", "front right"]),
        (["front right"], ["front left", "front right"]),
        (["back left"], ["back left", "back right"]),
        (["back right"], ["back left", "back right"]),
    ]
    assert {tuple(joint["together"]) for joint in page(KEEPSAKE)[1]["joints"]} == {
        ("front left", "front right", "back left", "back right")
    }


@pytest.mark.parametrize(
    ("text", "handle", "by", "changes"),
    [
        (KEEPSAKE, "back left: pin 1", 0.5, {"joint.pin": "3.5"}),
        (KEEPSAKE, "front right: half pin 1", 0.5, {"joint.half_pin": "5.5"}),
        (KEEPSAKE, "front right: tails", 1, {"joint.tails": "4"}),
        (KEEPSAKE, "front left: baseline", 1, {"pin_board.thickness": "11"}),
        (DRAWER, "front left: baseline", -1, {"box.front.thickness": "21"}),
        (DRAWER, "back left: baseline", 1, {"pin_board.thickness": "11"}),
        (DRAWER, "back right: pin 1", 0.5, {"box.joints.back.pin": "4.5"}),
        (TWO_KINDS, "back left: tails", 1, {"box.joints.back.tails": "5"}),
        (TWO_KINDS, "front right: tails", 1, {"box.joints.front.tails": "4"}),
        (TWO_KINDS, "back right: baseline", 1, {"box.back.thickness": "11"}),
        (KEEPSAKE, "front right alone: pin 1", 0.5, {"box.joints.front_right.pin": "3.5"}),
        (KEEPSAKE, "back left alone: tails", 1, {"box.joints.back_left.tails": "4"}),
        (KEEPSAKE, "back left alone: baseline", 1, {"box.back.thickness": "11"}),
        (DRAWER, "front left alone: half pin 2", 0.5, {"box.joints.front_left.half_pin": "6.5"}),
    ],
)
def test_a_move_changes_the_kind_or_the_corner_alone(
    text: str, handle: str, by: float, changes: dict[str, str]
) -> None:
    assert move(text, handle, by)[0] == changes


def test_a_flank_of_a_box_by_hand() -> None:
    """Half pins of 5 mm, pins of 3 mm: tails of (80 - 10 - 6) / 3 = 21.3333 mm. Flank 3 is at 5 + 21.3333 + 3 =
    29.3333 mm; two mm further it comes to a tenth of a mm, 31.3 mm. At the front right X runs up from the reference
    edge; at the front left it runs down, so that there to the right is nearer to it."""
    tables = tables_after(KEEPSAKE, "front right: flank 3", 2.0)
    assert tables["joint"] == {"slope": "1:7", "flanks": [5, 26.33, 31.3, 50.67, 53.67, 75]}
    tables = tables_after(KEEPSAKE, "front left: flank 3", 2.0)
    assert tables["joint"]["flanks"][2] == 27.3
    assert "joints" not in tables["box"], "all four corners"


def test_a_flank_of_a_box_goes_on_after_the_first_move() -> None:
    """The joint is then no longer its own mirror image: both hands of it are one kind still."""
    _, reading, _ = move(KEEPSAKE, "front right: flank 3", 0.5)
    assert reading.tables is not None
    assert reading.plan is not None
    for name in ("front left", "front right", "back left", "back right"):
        changes = moved(reading.tables, reading.plan, f"{name}: flank 4", 0.5)
        assert list(changes) == ["joint.flanks"], name


def test_a_flank_at_one_corner_alone_leaves_the_others_as_they_were() -> None:
    before = page(DRAWER)[1]
    changes, reading, state = move(DRAWER, "back right alone: flank 3", 0.5)
    assert state["good"], reading.problems
    assert changes["joint.pin"] is None
    assert (changes["box.joints.back_left.pin"], changes["box.joints.front.pin"]) == ("4", "4")
    for name in ("front left", "front right", "back left"):
        assert joint_at(state, name)["drawings"] == joint_at(before, name)["drawings"], name
    assert joint_at(state, "back right")["drawings"] != joint_at(before, "back right")["drawings"]
    assert joint_at(state, "back right")["together"] == ["back right"]


def test_a_corner_alone_takes_the_value_of_its_end_with_it() -> None:
    """Pins that were given for both corners at the back are given for the other one by itself."""
    text = KEEPSAKE.replace("[box.groove]", "[box.joints.back]\npin = 4\n\n[box.groove]")
    changes, reading, state = move(text, "back left alone: flank 3", 0.5)
    assert state["good"], reading.problems
    assert changes["box.joints.back.pin"] is None
    assert changes["box.joints.back_right.pin"] == "4"


def test_corners_that_are_alike_across_the_box_are_written_one_by_one() -> None:
    """A left side of another wood parts the corners: what is common to front left and back left has two places."""
    text = KEEPSAKE.replace("[box.groove]", "[box.left]\nwood = 'cherry'\n\n[box.groove]")
    changes, _, state = move(text, "back left: pin 1", 0.5)
    assert changes == {"box.joints.front_left.pin": "3.5", "box.joints.back_left.pin": "3.5"}
    assert of_joint(state, "back left")["pin 1"]["keys"] == ["box.joints.front_left.pin", "box.joints.back_left.pin"]


@pytest.mark.parametrize("text", BOXES.values(), ids=BOXES)
@pytest.mark.parametrize("single", ["", " alone"])
@pytest.mark.whole
def test_every_handle_at_every_corner_follows_the_hand(text: str, single: str) -> None:
    """Each can go at least one fine step one way; its value grows the way that it says, and no other kind of corner
    changes."""
    _, before = page(text)
    for corner in ("front left", "front right", "back left", "back right"):
        joint = joint_at(before, corner)
        changed = [corner] if single else joint["together"]
        for name, handle in of_joint(before, corner).items():
            ways = [sense * (1.0 if name == "tails" else 0.1) for sense in (handle["sense"], -handle["sense"])]
            ends = [(by, *move(text, f"{corner}{single}: {name}", by)) for by in ways]
            good = [(by, changes, state) for by, changes, _, state in ends if state["good"]]
            assert good or name in ("tails", "slope"), (corner, name, ends[0][2].problems)
            for by, changes, state in good:
                after = of_joint(state, corner).get(name)
                if after and not name.startswith("slope") and name != "baseline":
                    grown = (after["value_mm"] - handle["value_mm"]) * by * handle["sense"]
                    assert grown > 0, (corner, name, by)
                assert joint["alone"][corner][handle["of"]] in changes or not single
                if name == "baseline":
                    continue
                for other in joint_names(before):
                    if other not in changed:
                        assert joint_at(state, other)["drawings"] == joint_at(before, other)["drawings"], (name, other)


def joint_names(state: dict[str, Any]) -> list[str]:
    return [name for joint in state["joints"] for name in joint["corners"]]


def test_what_holds_at_one_corner_is_shown_at_its_key() -> None:
    keys = page(DRAWER)[1]["keys"]
    front, single = keys["box.joints.front.pin"], keys["box.joints.front_left.kind"]
    assert (front["shown"], front["by"], front["rule"]) == ("4", "rule", "as at all corners")
    assert (single["shown"], single["rule"]) == ("half-blind", "as at both corners of this end")
    assert keys["box.back.thickness"]["shown"] == "12"
    assert keys["box.left.wood"]["rule"] == "as both tail boards"
    assert keys["box.front.thickness"]["by"] == "you"


def test_where_corners_differ_the_key_for_all_of_them_says_which_has_what() -> None:
    keys = page(DRAWER)[1]["keys"]
    kind = keys["joint.kind"]
    assert (kind["value"], kind["shown"], kind["by"]) == ("", "half-blind / through", "corner")
    assert kind["rule"] == "half-blind at front left and front right; through at back left and back right"
    assert keys["joint.lap"]["shown"] == "5", "only the corners that have one"
    assert keys["joint.lap"]["rule"] == "5 at front left and front right"
    assert keys["joint.slope"]["by"] == "you"
    assert keys["joint.mitre.other"]["shown"] == ""
    alike = page(KEEPSAKE)[1]["keys"]
    assert alike["joint.kind"]["by"] == "rule"
    assert page(TWO_KINDS)[1]["keys"]["joint.tails"]["shown"] == "3 / 4"


@pytest.mark.parametrize("name", box_preset_names())
def test_a_new_box_from_a_preset_starts_well(name: str) -> None:
    _, state = page(starter_text(name, "my box"))
    assert state["good"]
    assert (state["piece"], state["title"]) == ("box", "my box")
    assert json.loads(json.dumps(state)) == state
    assert set(handles(state)) <= {one["name"] for joint in state["joints"] for one in joint["handles"]}


@pytest.mark.parametrize("name", box_preset_names())
def test_the_last_good_box_stays_in_view_where_a_new_one_is_refused(name: str) -> None:
    text = preset_text(name).replace("[joint]", "[joint]\ntails = 30")
    good = read(preset_text(name), NO_SHOP).plan
    state = state_of(read(text, NO_SHOP, live=True), good)
    assert not state["good"]
    assert state["box"] == state_of(read(preset_text(name), NO_SHOP), None)["box"]


def test_the_places_of_sides_do_not_overlap() -> None:
    """Corners have free room beside the plan, which no side reaches into."""
    for text in BOXES.values():
        box = page(text)[1]["box"]
        assert [one["name"] for one in box["corners"]] == ["front left", "front right", "back left", "back right"]
        for one in box["corners"]:
            (x0, x1), (y0, y1) = (sorted(values) for values in zip(*one["room"], strict=True))
            for shape in box["plan"]["shapes"]:
                if shape["kind"] != "wood":
                    continue
                for a, b in pairwise(shape["points"]):
                    x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
                    assert not (x0 < x < x1 and y0 < y < y1), (one["name"], shape)


# --- a drawer in its opening -----------------------------------------------------------------------


def test_the_plan_shows_the_opening_round_a_drawer_and_no_size_of_the_box_is_needed() -> None:
    """400 wide and 450 deep: 0.5 beside the drawer on either side, 10 behind it."""
    state = page(OAK)[1]
    (outline,) = shapes(state["box"]["plan"], "hidden", "opening")
    (drawn,) = shapes(state["box"]["plan"], "hidden", "bottom")
    xs, ys = ([point[axis] for point in outline] for axis in (0, 1))
    assert (max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx((400, 450))
    assert min(xs) < min(x for x, _ in drawn)
    keys = state["keys"]
    assert not any(keys[f"box.{name}"]["needed"] for name in ("length", "width", "height"))
    assert all(keys[f"opening.{name}"]["needed"] for name in ("width", "height", "depth"))
    assert not page(KEEPSAKE)[1]["keys"]["opening.width"]["needed"]


def test_the_side_shows_what_runs_on_above_and_below_the_back() -> None:
    """Seen from behind, 5 of the oak drawer's sides stand above its back, and its groove's top below."""
    box = read(OAK, NO_SHOP).plan
    assert isinstance(box, BoxLayout)
    corner = box.corners["back left"]
    ends = [one for one in page(OAK)[1]["box"]["plan"]["shapes"] if one["kind"] == "wood"]
    tall = {round(max(y for _, y in one["points"]) - min(y for _, y in one["points"]), 6) for one in ends}
    assert {round(corner.above, 6), round(corner.below, 6)} <= tall


def test_a_bottom_that_grows_out_under_the_back_has_its_room_behind_the_drawer() -> None:
    """No groove leaves it any there; what is free behind it at the dampest is that of the opening."""
    rows = {row["words"]: row["value"] for row in page(OAK)[1]["box"]["groove"]}
    assert "Room for the bottom to grow" not in rows
    behind = float(rows["Free behind the bottom at the dampest"].removesuffix(" mm"))
    assert 2 <= behind < 10


def test_the_plan_shows_a_lip_and_the_opening_behind_it() -> None:
    """The box is 399 long; the lip is 8 thick and reaches 9 past it, and the opening begins behind it, 0.5 beside the
    box."""
    plan = page(f"{OAK}\n[box.front.lip]\nwidth = 9\n")[1]["box"]["plan"]
    (opening,) = shapes(plan, "hidden", "opening")
    x, y = opening[0]

    def size(points: list[list[float]]) -> tuple[float, float]:
        across, up = ([point[axis] for point in points] for axis in (0, 1))
        return round(max(across) - min(across), 2), round(max(up) - min(up), 2)

    # From the sides the lip is seen from its end, further out.
    strips = [each for each in shapes(plan, "wood", "pin board") if size(each) == (9, 8)]
    left, right = sorted(each for each in strips if x - 10 < each[0][0] < x + 400)
    assert x - min(point[0] for point in left) == pytest.approx(9 - 0.5, abs=0.01)
    assert y - min(point[1] for point in left) == pytest.approx(8, abs=0.01)
    assert min(point[0] for point in right) - x == pytest.approx(0.5 + 399, abs=0.01)
