"""The nest: the template lies in it with its legs on top, at the same zero, and a nest that does not fit is found."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solids.aids.marking.nest import BELOW, BORDER, CLEAR, FLOOR, SIDE, nest_aid
from solids.aids.proof import prove_aid
from solids.base.cautions import MILLING
from solids.base.findings import fails
from solids.base.messages import said
from solids.model.kernel import bounds, volume_of
from tests.aids.helpers import PRINTING, failing, shared
from tests.aids.marking.helpers import TWO, WAISTED, made


@pytest.mark.parametrize("overrides", [(), WAISTED, TWO])
def test_the_turned_template_goes_in_and_its_legs_lie_on_the_nest(overrides: tuple[str, ...]) -> None:
    _, milled, nest = made(*overrides)
    assert not fails(prove_aid(nest, PRINTING))
    ((_, turned),) = nest.uses[0].boards
    assert shared(nest.solid, turned) < 1e-6
    (x1, y1, _), (x2, y2, top) = bounds(nest.solid)
    (tx1, ty1, low), (tx2, ty2, _) = bounds(turned)
    sizes = milled.sizes
    assert sizes is not None
    assert top - low == pytest.approx(sizes.hook), "the body hangs down into the pocket from the legs"
    assert top == pytest.approx(sizes.hook + BELOW + FLOOR)
    assert (tx1 - x1, x2 - tx2) == pytest.approx((SIDE, SIDE)), "X0 is the middle of both"
    assert (y2 - ty2, ty1 - y1) == pytest.approx((BORDER, BORDER))
    assert ty2 == pytest.approx(sizes.reach), "Y0 is the front of the fence, turned over or not"


def test_a_nest_for_another_body_is_found() -> None:
    _, milled, nest = made(*TWO)
    sizes = milled.sizes
    assert sizes is not None
    narrow = nest_aid(replace(sizes, body=sizes.body - 0.5), milled.solid)
    assert "meets" in failing(narrow)
    wide = nest_aid(replace(sizes, slopes=(3.0, 3.0)), milled.solid)
    assert volume_of(wide.solid) != pytest.approx(volume_of(nest.solid))


def test_a_pocket_with_no_room_is_found() -> None:
    _, milled, nest = made(*TWO)
    tight = tuple((name, way, 2 * CLEAR + 0.05) for name, way, _ in nest.uses[0].clears)
    assert "clears" in failing(replace(nest, uses=(replace(nest.uses[0], clears=tight),)))
    assert milled.to_print is nest.to_print is False


def test_its_steps_tell_both_sides_how_deep_and_what_brass_does() -> None:
    _, milled, nest = made(*TWO)
    steps = " ".join(said(step) for step in nest.steps)
    sizes = milled.sizes
    assert sizes is not None
    for words in ("First side.", "Second side.", "Y0 30.5 mm from the end", "tiny sharp chips", "eye protection"):
        assert words in steps
    assert f"the whole outline, {sizes.height:g} mm deep" in steps
    assert "Take about 2.8 mm off, in light cuts, down to 4.2 mm above the top of the nest" in steps, "0.2 mm hold it"
    assert set(MILLING) <= set(nest.cautions)
    assert "maker of the cutter" in steps
