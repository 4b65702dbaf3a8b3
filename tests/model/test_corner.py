"""A corner hands out CadQuery objects to those who model on."""

from __future__ import annotations

from functools import partial

import pytest

from solids.model.corner import make_corner
from solids.model.kernel import volume_of
from tests.recipes import MINIMAL, laid_out

plan = partial(laid_out, text=MINIMAL)


def test_cadquery_gets_two_named_coloured_parts_in_place() -> None:
    layout = plan("tail_board.wood=walnut", "pin_board.wood=maple", "title=for cadquery")
    corner = make_corner(layout, layout.as_cut)
    assembly = corner.to_cadquery()
    assert assembly.name == "for cadquery"
    parts = {child.name: child for child in assembly.children}
    assert set(parts) == {"tail board", "pin board"}
    for name, solid in corner.boards:
        assert parts[name].obj.Volume() == pytest.approx(volume_of(solid), rel=1e-12)
        assert parts[name].obj.isValid()
    red, green, blue, alpha = parts["tail board"].color.toTuple()
    assert alpha == 1
    assert (red, green, blue) != parts["pin board"].color.toTuple()[:3]
