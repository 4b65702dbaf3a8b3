"""Masses, as scales show them."""

from __future__ import annotations

import pytest

from solids.base.masses import told_grams


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
