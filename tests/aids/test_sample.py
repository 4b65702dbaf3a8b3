"""The sample boards against the layout they are cut out of: their volumes by closed form; they slide together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import pytest

from solids.aids.catalogue import make_aids
from solids.aids.making.aid import Aid, Refusal
from solids.aids.making.asked import AidsAsked, asked_for
from solids.aids.making.engraving import DEPTH, letter_height, words_outlines
from solids.aids.making.modelling import FOOT
from solids.aids.proof import prove_aid
from solids.aids.trial.sample import samples
from solids.base.findings import fails
from solids.base.messages import said
from solids.layout import Layout
from solids.model.kernel import bounds, volume_of
from tests.aids.helpers import PRINTING, in_place, shared
from tests.corners import PRESETS, layout_of

Loop = Sequence[tuple[float, float]]


def samples_of(layout: Layout, bed: tuple[float, float] = (220.0, 220.0)) -> tuple[Aid, Aid]:
    tails, pins = samples(layout, replace(PRINTING, bed=bed))
    assert isinstance(tails, Aid)
    assert isinstance(pins, Aid)
    return tails, pins


def area(loop: Loop) -> float:
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*loop, loop[0]]))) / 2


def letters(text: str, room: tuple[float, float]) -> float:
    """What a text cut into a board takes (mm3)."""
    outlines, _ = words_outlines(text, letter_height(text, room))
    return DEPTH * sum(area(outer) - sum(map(area, holes)) for outer, holes in outlines)


def foot_loss(perimeter: float, corners: Sequence[float]) -> float:
    """What a chamfer c round the foot of a prism takes: inset by s an outline loses P s - s^2 sum tan(t/2), t being the
    turn at each corner, to the left counted positive; from s = 0 to c that adds up to P c^2/2 - c^3/3 sum tan(t/2)."""
    return perimeter * FOOT**2 / 2 - FOOT**3 / 3 * sum(math.tan(turn / 2) for turn in corners)


@pytest.mark.parametrize("preset", PRESETS)
def test_the_samples_of_every_preset_pass_their_proof_and_overlap_nowhere(preset: str) -> None:
    layout = layout_of(preset)
    made = samples_of(layout)
    for aid in made:
        assert not fails(prove_aid(aid, PRINTING)), aid.name
    assert shared(*map(in_place, made)) == pytest.approx(0.0, abs=1e-6)


def test_the_volumes_of_through_boards_by_hand() -> None:
    """The tool tray: W = 96, n = 4, slope 1:7, d = t_p, L = 25. Tail board: (W L + sum A_i) t_t, with A_i(D) = D w -
    (2 d D - D^2)/7, less foot and letters. Its outline turns left by 90 degrees at its 4 outer corners and by 90 + a
    at the 8 of the tips, and right by 90 + a at the 8 of the feet."""
    layout = layout_of("tool-tray")
    tails, pins = samples_of(layout)
    slant, n, length, gap = math.atan(1 / 7), len(layout.tails), 25.0, 0.2
    d, (thick, deep) = layout.depth, (layout.recipe.tail_board.thickness, layout.recipe.pin_board.thickness)
    out, up = d + layout.recipe.tail_board.proud, thick + layout.recipe.pin_board.proud
    wide = [tail.width for tail in layout.tails]
    assert (layout.width, n, d) == (96.0, 4, deep)

    cut = [out * w - (2 * d * out - out**2) / 7 for w in wide]
    around = 2 * (layout.width + length) + sum(
        2 * out * math.hypot(1, 1 / 7) + (w + 2 * (out - d) / 7) - (w - 2 * d / 7) for w in wide
    )
    turns = [math.pi / 2] * 4 + [math.pi / 2 + slant] * 2 * n + [-math.pi / 2 - slant] * 2 * n
    assert sum(turns) == pytest.approx(2 * math.pi)
    whole = (layout.width * length + sum(cut)) * thick
    meant = whole - foot_loss(around, turns) - letters("1:7 tails", (92.0, 21.0))
    assert volume_of(tails.solid) == pytest.approx(meant, abs=1e-6)

    # A pin board's outline changes with y: a socket is w - 2 (d - y)/7 + 2 g s wide. The foot runs from the outline at
    # y = c, inset by c, to the outline there, corner for corner: a prismatoid.
    def socket(w: float, y: float) -> float:
        return w - 2 * (d - y) / 7 + 2 * gap * math.hypot(1, 1 / 7)

    def cross(y: float, by: float = 0.0) -> float:
        """The outline at y, inset by so much: every socket gets so much wider on both sides and deeper."""
        sockets = sum((socket(w, y) + 2 * by) * up for w in wide)
        return (layout.width - 2 * by) * (up + length - 2 * by) - sockets

    sockets = sum(d * w - d**2 / 7 + 2 * d * gap * math.hypot(1, 1 / 7) for w in wide)
    whole = deep * layout.width * length + up * (deep * layout.width - sockets)
    straight = FOOT * (cross(0.0) + cross(FOOT)) / 2
    foot = FOOT / 6 * (cross(FOOT) + 4 * cross(FOOT, FOOT / 2) + cross(FOOT, FOOT))
    meant = whole - straight + foot - letters("pins", (92.0, 21.0))
    assert volume_of(pins.solid) == pytest.approx(meant, abs=1e-6)


def test_the_volume_of_a_half_blind_pin_board_by_hand() -> None:
    """It lies on its show face, a plain rectangle W x (25 + t_t + o) with 4 corners of 90 degrees. Tails end short of
    the lap by the clearance, 0.2 mm."""
    layout = layout_of("drawer-front")
    tails, pins = samples_of(layout)
    d, n = layout.depth, layout.ratios[0]
    deep, up = layout.recipe.pin_board.thickness, layout.recipe.tail_board.thickness + layout.recipe.pin_board.proud
    sockets = sum(d * tail.width - d**2 / n + 2 * d * 0.2 * math.hypot(1, 1 / n) for tail in layout.tails)
    whole = deep * layout.width * 25 + up * (deep * layout.width - sockets)
    loss = foot_loss(2 * (layout.width + 25 + up), [math.pi / 2] * 4)
    # Letters stand on the inside face, which lies on top.
    meant = whole - loss - letters("pins", (layout.width - 4, 21.0))
    assert volume_of(pins.solid) == pytest.approx(meant, abs=1e-6)
    (_, _, _), (_, tip, _) = bounds(in_place(tails))
    assert tip == pytest.approx(d - 0.2)
    assert "do not touch the lap" in said(tails.how_to)


def test_on_a_small_bed_there_are_the_first_tails_from_the_reference_edge() -> None:
    """Two tails, the pin between them and two half pins fit on 70 mm less 2 x 5; three tails do not."""
    layout = layout_of("tool-tray")
    h, p = layout.recipe.half_pin, layout.recipe.pin
    first, second, third, _ = (tail.width for tail in layout.tails)
    assert 2 * h + first + p + second < 60 < 2 * h + first + 2 * p + second + third
    tails, pins = samples_of(layout, (70.0, 70.0))
    for aid in (tails, pins):
        (left, _, _), (right, _, _) = bounds(aid.solid)
        assert right - left == pytest.approx(2 * h + first + p + second)
        assert "It has the first 2 of 4 tails from the reference edge; your bed holds no more." in said(aid.how_to)
        assert not fails(prove_aid(aid, replace(PRINTING, bed=(70.0, 70.0))))
    assert "first 4" not in said(samples_of(layout)[0].how_to)


def test_a_mirrored_joint_begins_at_its_own_reference_edge() -> None:
    """Graduated tails: those at the reference edge are the narrowest, and there they are on the right."""
    layout = layout_of("tool-tray", 'joint.spacing="graduated"', "joint.grading=0.3", "joint.tails=5")
    shares = tuple(range(1, 6))
    from solids.layout.joint.shape.placing import place

    for mirrored in (False, True):
        joint = place(replace(layout.recipe, tail_shares=shares), mirrored=mirrored)
        tails, _ = samples_of(joint, (60.0, 60.0))
        widths = [tail.width for tail in joint.tails]
        nearest = widths[::-1] if mirrored else widths
        count = int(said(tails.title).split(", ")[1].split()[0])
        assert 1 < count < 5
        (left, _, _), (right, _, _) = bounds(tails.solid)
        told = 2 * joint.recipe.half_pin + sum(nearest[:count]) + (count - 1) * joint.recipe.pin
        assert right - left == pytest.approx(told)
        assert f"on your {'right' if mirrored else 'left'}" in said(tails.how_to)


def test_boards_shorter_than_a_sample_stay_as_short() -> None:
    layout = layout_of("tool-tray", "tail_board.length=18", "pin_board.length=40")
    for aid in samples_of(layout):
        (_, low, _), (_, high, _) = bounds(aid.solid)
        assert high - low < 18 + 14


def test_samples_come_only_where_they_are_asked_for() -> None:
    layout = layout_of()

    def made(asked: AidsAsked) -> list[str]:
        return [proved.aid.name for proved in make_aids(layout, asked).good]

    both = ["sample-tails", "sample-pins"]
    assert made(asked_for((), "", sample=True)) == both
    assert made(asked_for(("transfer-rest",), "", sample=True)) == ["transfer-rest", *both]
    assert not set(both) & set(made(asked_for(("transfer-rest",), "")))
    assert asked_for((), "").named == ()
    assert asked_for(("cauls",), "", sample=True).named == ("cauls", "sample")


def test_pins_with_no_clearance_where_some_is_stated_fail() -> None:
    layout = layout_of()
    _, pins = samples_of(layout)
    tight = samples(layout, replace(PRINTING, clearance=0.1))[1]
    assert isinstance(tight, Aid)
    found = prove_aid(replace(pins, solid=tight.solid), PRINTING)
    assert [finding.code for finding in found if finding.severity == "fail"] == ["clears"]


@pytest.mark.parametrize(
    ("preset", "override", "words"),
    [
        ("tool-tray", "joint.tails=12", "neck"),
        ("drawer-front", "joint.lap=0.5", "lap"),
        ("tool-tray", "print.nozzle=3", "pin"),
    ],
)
def test_what_would_be_too_thin_is_refused_with_what_works(preset: str, override: str, words: str) -> None:
    layout = layout_of(preset, override)
    (refusal,) = samples(layout, layout.recipe.printing)
    assert isinstance(refusal, Refusal)
    assert words in said(refusal.why)
    assert "works" in said(refusal.remedy)


def test_a_bed_that_holds_not_one_tail_is_refused_with_one_that_does() -> None:
    (refusal,) = samples(layout_of(), replace(PRINTING, bed=(40.0, 40.0)))
    assert isinstance(refusal, Refusal)
    assert "print.bed" in said(refusal.remedy)
