"""Marking templates as their tests ask for them."""

from __future__ import annotations

from functools import cache

from solids.aids.making.aid import Aid
from solids.aids.marking.sizes import MarkerSizes, marker_sizes
from solids.aids.marking.template import MarkerAid, marking_templates
from tests.corners import layout_of

WAISTED = ('aids.marker.body="waisted"',)
TWO = (*WAISTED, 'aids.marker.slopes=["1:6","1:8"]')
WHOLE = (*TWO, "aids.marker.thickest=25", 'aids.marker.words="OAK & ASH"', "aids.marker.hang_hole=5")


def sizes_of(*overrides: str, preset: str = "tool-tray") -> MarkerSizes:
    layout = layout_of(preset, *overrides)
    return marker_sizes(layout, layout.ratios[0])


@cache
def made(*overrides: str, preset: str = "tool-tray") -> tuple[MarkerAid, MarkerAid, Aid]:
    """The template to print, the one to mill, and the nest."""
    layout = layout_of(preset, *overrides)
    printed, milled, nest = marking_templates(layout, layout.recipe.printing)
    assert isinstance(printed, MarkerAid)
    assert isinstance(milled, MarkerAid)
    assert isinstance(nest, Aid)
    return printed, milled, nest
