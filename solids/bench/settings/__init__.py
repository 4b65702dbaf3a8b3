"""What the bench needs to set, scribe, saw and chop. Pure arithmetic on a layout, lengths in mm.

The rules are common practice. Places are told as a maker measures them, from the reference edge.
"""

from __future__ import annotations

from solids.bench.settings.bench import bench_of
from solids.bench.settings.marking import (
    BOTH,
    bevels,
    edges_gauged,
    gauge_settings,
    mitre_lines,
    mitred_shoulders,
    who_has,
)
from solids.bench.settings.records import (
    BETWEEN_TAILS,
    CHOP_CLEAR,
    EDGES,
    INWARD,
    MOST_NUMBERS,
    Bench,
    Bevel,
    ChiselFit,
    Chop,
    GaugeSetting,
    MitredShoulder,
    MitreLine,
    Planing,
)

__all__ = [
    "BETWEEN_TAILS",
    "BOTH",
    "CHOP_CLEAR",
    "EDGES",
    "INWARD",
    "MOST_NUMBERS",
    "Bench",
    "Bevel",
    "ChiselFit",
    "Chop",
    "GaugeSetting",
    "MitreLine",
    "MitredShoulder",
    "Planing",
    "bench_of",
    "bevels",
    "edges_gauged",
    "gauge_settings",
    "mitre_lines",
    "mitred_shoulders",
    "who_has",
]
