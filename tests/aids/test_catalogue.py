"""The table of shop aids: what is asked for is made, proved, and passes, or is refused with a reason and a remedy."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from solids.aids import catalogue
from solids.aids.catalogue import KINDS, Workshop, make_aids
from solids.aids.making.aid import Aid, Refusal
from solids.aids.making.asked import AidsAsked, asked_for
from solids.aids.making.modelling import block
from solids.aids.making.names import KIND_NAMES
from solids.aids.making.plates import Footprint, finds_room, lay_out_plates, too_large
from solids.base.cautions import CAUTIONS
from solids.base.errors import InputError
from solids.base.messages import said
from solids.layout import Layout
from solids.layout.box.kinds import shown_layout
from solids.model.kernel import volume_of
from solids.recipe.tables.resolved import Printing
from tests.aids.helpers import PRINTING
from tests.aids.irregular import mitred
from tests.corners import CASES, PRESETS, case, job_of, layout_of
from tests.drawers import drawer
from tests.sampling import few

TOOL_TRAY = (
    "marking-template",
    "marking-template-milled",
    "marking-template-nest",
    "saw-guide-tails",
    "saw-guide-pins",
    "saw-guide-square",
    "paring-block-tails",
    "paring-block-pins",
    "transfer-rest",
    "caul-tails",
    "caul-pins",
    "edge-pad",
    "cnc-cradle",
    "coupon-tail",
    "coupon-pin-1",
    "coupon-pin-2",
    "coupon-pin-3",
)
TEMPLATES = ("marking-template", "marking-template-milled", "marking-template-nest")
FOUND_IN_A_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def named(workshop: Workshop) -> tuple[str, ...]:
    assert not workshop.failed
    return tuple(proved.aid.name for proved in workshop.good)


def test_the_names_for_the_shell_are_those_of_the_kinds_in_their_order() -> None:
    assert tuple(kind.name for kind in KINDS) == KIND_NAMES
    assert len(set(KIND_NAMES)) == len(KIND_NAMES)


@pytest.mark.parametrize("preset", PRESETS)
@pytest.mark.whole
def test_every_aid_of_every_preset_passes_or_is_refused_with_a_reason_and_a_remedy(preset: str) -> None:
    workshop = job_of(preset).workshop
    assert [item.aid.name for item in workshop.failed] == []
    assert len(workshop.good) >= 10
    names = [proved.aid.name for proved in workshop.good]
    assert [name for name, count in Counter(names).items() if count > 1] == [], "each makes files of its own"
    for refusal in workshop.refused:
        assert said(refusal.why).endswith("."), refusal
        assert said(refusal.remedy).endswith("."), refusal
        assert refusal.name not in names
    topics = {caution.topic for caution in CAUTIONS}
    for proved in workshop.good:
        aid = proved.aid
        assert FOUND_IN_A_NAME.fullmatch(aid.name)
        assert said(aid.title)
        assert said(aid.purpose).endswith(".")
        assert said(aid.how_to).endswith(".")
        assert said(aid.printing).endswith(".")
        assert aid.cautions
        assert set(aid.cautions) <= topics, "a caution that is not in the list would be lost"
        assert aid.to_print or {"Router and CNC", "Eyes", "Dust"} <= set(aid.cautions), aid.name
        codes = {finding.code for finding in proved.findings}
        assert codes >= {"sound", "flat", "overhang", "walls", "meets"}
        assert ("bed" in codes) == aid.to_print, "what is milled needs no bed"


@pytest.mark.parametrize("name", ["tight", "one tail"])
@pytest.mark.whole
def test_unusual_joints_have_aids_that_pass_too(name: str) -> None:
    workshop = case(name).workshop
    assert [item.aid.name for item in workshop.failed] == []
    assert len(workshop.good) >= 10
    assert name in CASES


@pytest.mark.whole
def test_five_tails_in_the_tool_tray_have_all_aids_that_need_no_more_keys() -> None:
    workshop = job_of("tool-tray", "joint.tails=5").workshop
    assert named(workshop) == TOOL_TRAY
    assert [refusal.name for refusal in workshop.refused] == ["cnc-comb"]
    assert "kit.bush" in said(workshop.refused[0].remedy)


@pytest.mark.whole
def test_the_remedy_of_the_comb_is_one() -> None:
    workshop = job_of("tool-tray", "joint.tails=5", "kit.bush=16", "kit.cutters=[6]").workshop
    assert workshop.failed == ()
    assert "kit.bush" not in " ".join(said(refusal.remedy) for refusal in workshop.refused)


@pytest.mark.parametrize("kind", KINDS, ids=KIND_NAMES)
def test_only_what_is_asked_for_is_made(kind: catalogue.AidKind) -> None:
    layout = mitred() if kind.name == "mitre-block" else layout_of()
    workshop = make_aids(layout, AidsAsked((kind.name,)))
    made = kind.make(layout, layout.recipe.printing)
    assert named(workshop) == tuple(item.name for item in made if isinstance(item, Aid))
    assert workshop.refused == tuple(item for item in made if isinstance(item, Refusal))
    assert 0 < len(workshop.good) < len(TOOL_TRAY)


def test_kinds_come_in_the_order_of_the_table_whatever_the_order_asked_for() -> None:
    workshop = make_aids(layout_of(), asked_for(["transfer-rest", "marking-template", "transfer-rest"], ""))
    assert named(workshop) == (*TEMPLATES, "transfer-rest")


@pytest.mark.parametrize(
    ("typed", "near"),
    [
        ("saw-guide", "saw-guides"),
        ("coupons", "coupon"),
        ("jig", "cnc-jig"),
        ("caul", "cauls"),
        ("template", "marking-template"),
        ("jigsaw", None),
    ],
)
def test_an_unknown_kind_names_the_nearest_and_all_others(typed: str, near: str | None) -> None:
    for ask in (lambda: asked_for((typed,), ""), lambda: make_aids(layout_of(), AidsAsked((typed,)))):
        with pytest.raises(InputError) as caught:
            ask()
        said = str(caught.value)
        assert said.startswith(f"{typed!r} is no shop aid")
        assert all(name in said for name in KIND_NAMES)
        assert (f"the nearest is {near}." in said) if near else "nearest" not in said


def test_an_endless_name_is_cut_short() -> None:
    with pytest.raises(InputError) as caught:
        asked_for(("x" * 5000,), "")
    assert len(str(caught.value)) < 300


@pytest.mark.whole
def test_slopes_add_templates_that_carry_their_slope_in_name_and_words() -> None:
    workshop = make_aids(layout_of(), asked_for(("marking-template",), "1:6,1:8.5,8 deg"))
    assert named(workshop) == (
        *TEMPLATES,
        *(f"{name}-1-6" for name in TEMPLATES),
        *(f"{name}-1-8-5" for name in TEMPLATES),
        *(f"{name}-1-7-115" for name in TEMPLATES),
    )
    words = [proved.aid.engraved for proved in workshop.good[::3]]
    assert words == ["1:7", "1:6", "1:8.5", "1:7.115"], "8 degrees are 1:7.115, as 1 / tan 8 says"


@pytest.mark.whole
def test_further_slopes_change_no_other_aid() -> None:
    kinds = ("marking-template", "saw-guides", "transfer-rest")
    plain, more = (make_aids(layout_of(), asked_for(kinds, slopes)) for slopes in ("", "1:5"))
    assert named(more) == (*named(plain), *(f"{name}-1-5" for name in TEMPLATES))
    for first, second in zip(plain.good, more.good, strict=False):
        assert volume_of(first.aid.solid) == pytest.approx(volume_of(second.aid.solid), rel=1e-12)


def test_slopes_do_nothing_where_no_template_is_asked_for() -> None:
    assert named(make_aids(layout_of(), asked_for(("transfer-rest",), "1:6"))) == ("transfer-rest",)


@pytest.mark.parametrize("slopes", ["1:6,1:6", "1:6.5,1:6.50001", "1:6,1:6.0"])
def test_slopes_that_are_named_alike_make_one_template(slopes: str) -> None:
    names = named(make_aids(layout_of(), asked_for(("marking-template",), slopes)))
    assert len(names) == len(set(names)) == 6


@pytest.mark.parametrize(
    ("slopes", "said"),
    [
        ("1:6x", "--slope: '1:6x' is not a slope"),
        ("1:0.1", "--slope: 1:0.1 is outside what wood holds"),
        ("1:6,,1:8", "has an empty place"),
        ("1:6,89 deg", "--slope: "),
        ("1:nan", "--slope: "),
        (",".join(["1:6"] * 500), "more than fit"),
    ],
)
def test_a_bad_slope_is_told(slopes: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        asked_for(("marking-template",), slopes)
    assert said in str(caught.value)
    assert len(str(caught.value)) < 400


def test_what_fails_its_proof_is_kept_apart(monkeypatch: pytest.MonkeyPatch) -> None:
    def faulty(layout: Layout, printing: Printing) -> list[Aid | Refusal]:
        good = Aid("good", "Good", "It is good.", block((0, 0, 0), (20, 20, 5)), "", (), "Use it.", ())
        thin = replace(good, name="thin", solid=block((0, 0, 0), (20, 20, 0.5)))
        return [good, thin, Refusal("none", "There is none.", "Take another.")]

    monkeypatch.setattr(catalogue, "KINDS", (catalogue.AidKind("marking-template", faulty),))
    workshop = make_aids(layout_of(), AidsAsked(("marking-template",)))
    assert [proved.aid.name for proved in workshop.good] == ["good"]
    assert [proved.aid.name for proved in workshop.failed] == ["thin"]
    assert [refusal.name for refusal in workshop.refused] == ["none"]
    assert (workshop.good[0].passes, workshop.failed[0].passes) == (True, False)


# --- what is too large for the bed -----------------------------------------------------------------

SIZES = re.compile(r'print\.bed = (\["\d+ mm", "\d+ mm"\])|to (\d+(?:\.\d+)?) mm or more on both sides')


def bed_in(remedy: str) -> str:
    """What the remedy says to write, as it stands there."""
    found = SIZES.search(remedy)
    assert found, remedy
    return f"print.bed={found[1] or [float(found[2])] * 2}"


@pytest.mark.parametrize(
    "kind", [name for name in KIND_NAMES if name not in ("cnc-jig", "marking-template", "mitre-block")]
)
def test_on_a_bed_of_the_size_that_a_refusal_names_the_aid_is_made(kind: str) -> None:
    refused = make_aids(layout_of("tool-tray", "print.bed=[20, 20]"), AidsAsked((kind,))).refused
    assert refused
    for refusal in refused:
        assert "20 x 20 mm" in said(refusal.why) or "bed" in said(refusal.why)
        workshop = make_aids(layout_of("tool-tray", bed_in(said(refusal.remedy))), AidsAsked((kind,)))
        assert workshop.failed == ()
        assert any(proved.aid.name.startswith(refusal.name) for proved in workshop.good), refusal


def test_all_aids_are_refused_by_one_rule_in_one_wording() -> None:
    """5 mm stay free all round. In an inch recipe the text to write holds its own units."""
    kinds = AidsAsked(("saw-guides", "paring-blocks", "transfer-rest", "coupon", "cnc-jig"))
    refused = make_aids(layout_of("tea-box", 'print.bed=["20 mm", "30 mm"]', 'kit.bush="16 mm"'), kinds).refused
    sized = [refusal for refusal in refused if "print.bed" in said(refusal.remedy)]
    assert len({refusal.name.split("-")[0] for refusal in sized}) == 5
    for refusal in sized:
        needed = re.fullmatch(
            r"With 5 mm \(0\.197 in\) free all round it takes a bed of (\d+) x (\d+) mm \(.* in\); "
            r"yours has 30 x 20 mm \(1\.181 x 0\.787 in\)\.",
            said(refusal.why, "in"),
        )
        assert needed, refusal
        told = f'print.bed = ["{needed[1]} mm", "{needed[2]} mm"].'
        assert said(refusal.remedy) == f"Have it made on such a bed, and set {told}"


@given(st.floats(1, 300), st.floats(1, 300), st.floats(10, 300), st.floats(10, 300))
@example(96.0, 30.0, 106.0, 50.0)
@example(30.0, 96.0 + 1e-12, 106.0, 50.0)
def test_what_finds_room_on_the_bed_has_a_place_on_a_plate_and_nothing_else(
    width: float, depth: float, long: float, wide: float
) -> None:
    printing = replace(PRINTING, bed=(long, wide))
    plates = lay_out_plates([Footprint("aid", width, depth)], printing.bed)
    assert bool(plates) == finds_room(width, depth, printing) == (too_large("aid", width, depth, printing) is None)


@pytest.mark.parametrize(
    "bed",
    few(["[28, 29]", "[10, 10]", "[110, 80]", "[80, 110]", "[60, 60]", "[10000, 10000]"], 2),
)
def test_no_aid_fails_its_proof_for_the_size_of_a_bed(bed: str) -> None:
    """One that a bed does not hold is refused, with the size that it takes; it is no fault of ours."""
    workshop = make_aids(layout_of("tool-tray", f"print.bed={bed}"), AidsAsked())
    assert [proved.aid.name for proved in workshop.failed] == []


@pytest.mark.parametrize(
    "magnet", ["{diameter = 3, thickness = 1}", "{diameter = 20, thickness = 5}", "{diameter = 60, thickness = 2}"]
)
def test_any_magnet_is_held_or_refused(magnet: str) -> None:
    workshop = make_aids(layout_of("tool-tray", f"print.magnet={magnet}"), AidsAsked(("saw-guides",)))
    assert workshop.failed == ()
    assert len(workshop.good) + len(workshop.refused) == 3
    for refusal in workshop.refused:
        (largest,) = re.findall(r"print\.magnet\.diameter to ([\d.]+) mm or less", said(refusal.remedy))
        smaller = magnet.replace("60", largest)
        again = make_aids(layout_of("tool-tray", f"print.magnet={smaller}"), AidsAsked(("saw-guides",)))
        assert refusal.name in [proved.aid.name for proved in again.good]


@pytest.mark.parametrize("nozzle", few([0.8, 0.6, 0.2, 2, 5], 2))
@pytest.mark.whole
def test_no_aid_fails_its_proof_for_the_width_of_a_nozzle(nozzle: float) -> None:
    workshop = make_aids(layout_of("tool-tray", f"print.nozzle={nozzle}"), AidsAsked())
    assert [proved.aid.name for proved in workshop.failed] == []


def test_a_nozzle_too_wide_for_an_aid_is_refused_with_one_that_works() -> None:
    wide = make_aids(layout_of("tool-tray", "print.nozzle=5"), AidsAsked(("marking-template",)))
    (refusal,) = wide.refused
    assert said(refusal.why) == "Its thinnest wall of 3.5 mm is thinner than two lines of a nozzle of 5 mm."
    assert said(refusal.remedy) == "Set print.nozzle to 1.75 mm or less."  # 3.5 / 2
    assert [proved.aid.name for proved in wide.good] == list(TEMPLATES[1:]), "which no nozzle makes"
    again = make_aids(layout_of("tool-tray", "print.nozzle=1.75"), AidsAsked(("marking-template",)))
    assert named(again) == TEMPLATES


def test_a_wall_that_no_printer_makes_is_still_a_fault_of_ours(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("solids.aids.proof.thinnest_wall", lambda _: 0.5)
    workshop = make_aids(layout_of("tool-tray", "print.nozzle=5"), AidsAsked(("marking-template",)))
    assert len(workshop.failed) == 3


@pytest.mark.whole
def test_aids_that_would_run_into_a_lip_are_not_made() -> None:
    """The rest lies against the end of the pin board, where the lip stands out; marking and trying need no end."""
    box = drawer("box.front.lip.width=9")
    front, plain = (shown_layout(plan, ("front left", "front right")) for plan in (box, drawer()))
    of = ("transfer-rest", "marking-template", "coupon")
    (lipped, without) = (make_aids(layout, asked_for((",".join(of),), "")) for layout in (front, plain))
    assert {refusal.name for refusal in lipped.refused} == {"transfer-rest"}
    assert "lip of the front stands in its way" in said(lipped.refused[0].why, "mm")
    assert not without.refused
    assert {item.aid.name for item in lipped.good} == {item.aid.name for item in without.good} - {"transfer-rest"}
