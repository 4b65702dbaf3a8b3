"""Masses, as scales show them."""

from __future__ import annotations

import pytest

from solids.base.masses import told_grams, told_mass


@pytest.mark.parametrize(
    ("grams", "units", "told"),
    [
        (0.0, "mm", "0 g"),
        (0.0, "in", "0 g"),
        (0.4, "mm", "under 1 g"),
        (0.4, "in", "under 1 g"),
        (1.4, "mm", "1 g"),
        (12.6, "mm", "13 g"),
        (14.0, "in", "0.5 oz (14 g)"),  # 14 / 28.35 = 0.494
        (85.0, "in", "3.0 oz (85 g)"),  # 85 / 28.35 = 2.998
    ],
)
def test_a_small_mass_is_told_in_whole_grams(grams: float, units: str, told: str) -> None:
    assert told_grams(grams, units) == told  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("kg", "told"),
    [
        (0.0123, "12 g (0.43 oz)"),  # 12.3 / 28.35 = 0.434
        (0.4534, "450 g (1.0 lb)"),  # 15.99 oz is 16 oz to two figures
        (0.9996, "1.0 kg (2.2 lb)"),
        (2.0, "2.0 kg (4.4 lb)"),
        (9.96, "10 kg (22 lb)"),
        (123.4, "120 kg (270 lb)"),  # 123.4 / 0.4536 = 272
    ],
)
def test_a_mass_has_two_figures_in_the_unit_that_it_then_has(kg: float, told: str) -> None:
    assert told_mass(kg, "mm") == told
