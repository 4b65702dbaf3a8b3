"""Open CASCADE's settings for STEP, and how its models are walked through."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from OCP.Interface import Interface_Static
from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor

from solids.base.errors import FaultError

SETTINGS = {
    "write.step.schema": "AP242DIS",
    "write.step.unit": "MM",
    "write.step.assembly": "Auto",
    "write.surfacecurve.mode": "On",
    "write.precision.mode": "Average",
    "write.step.nonmanifold": "Off",
    "write.stepcaf.subshapes.name": "Off",
    "xstep.cascade.unit": "MM",
}
"""Open CASCADE keeps these for the whole process, where another library may have changed any of them."""

COLOUR_STEP = 1.0 / 255


@contextmanager
def settings() -> Iterator[None]:
    """Makes the settings that this file needs, checks each, and restores what another library may rely on."""
    before = {key: Interface_Static.CVal_s(key) for key in SETTINGS}
    for key, value in SETTINGS.items():
        if not Interface_Static.SetCVal_s(key, value) or Interface_Static.CVal_s(key) != value:
            raise FaultError(f"STEP: Open CASCADE does not accept {key} = {value}")
    try:
        yield
    finally:
        for key, value in before.items():
            Interface_Static.SetCVal_s(key, value)


def all_of(model: Any, kind: Any) -> Iterator[Any]:
    """Every entity of a kind, in the order of the file. The kernel picks them out of some thousands."""
    found = model.Entities()
    found.SelectType(kind.get_type_descriptor_s(), True)
    while found.More():
        yield found.Value()
        found.Next()


def colour_of(rgb: tuple[int, int, int]) -> Quantity_Color:
    """A colour as the kernel has it; sRGB keeps the numbers given."""
    red, green, blue = (value * COLOUR_STEP for value in rgb)
    return Quantity_Color(red, green, blue, Quantity_TypeOfColor.Quantity_TOC_sRGB)
