"""Glues by the names of the trade, and how long each gives a maker: what stands in until the bottle's own figures do.

Makers' sheets differ, and warm or dry air shortens every time, so each figure is one of the shorter that are usual.
Minutes hold at about 20 C. A spread is for one glue line, both its faces together. All are from memory, but for these:

- PVA, 5 minutes from brush to joint: makers' sheets give 5 to 10, and half an hour to an hour in the clamps.
- Polyurethane glue: four hours in the clamps, by a maker's guide for gluing.
- Hot hide glue: six hours in the clamps, W. Noyes, Handwork in Wood, 1910.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

GlueKind = Literal[
    "PVA", "slow PVA", "liquid hide glue", "hot hide glue", "urea resin glue", "polyurethane glue", "epoxy glue"
]
GLUE_KINDS: tuple[GlueKind, ...] = get_args(GlueKind)
USUAL: GlueKind = "PVA"
"""What stands in most shops. Common practice."""


@dataclass(frozen=True)
class Glue:
    """A glue: how long its open time is, from the first face that is brushed until the joint is closed; its assembly
    time, from the first brush to the last clamp; how long it stays in the clamps (all in minutes); and how much goes on
    a glue line (g/m2)."""

    kind: GlueKind
    open_min: float
    assembly_min: float
    clamp_min: float
    spread_g_m2: float


GLUES: dict[GlueKind, Glue] = {
    glue.kind: glue
    for glue in (
        Glue("PVA", 5.0, 10.0, 60.0, 180.0),
        Glue("slow PVA", 10.0, 20.0, 60.0, 180.0),
        Glue("liquid hide glue", 10.0, 25.0, 360.0, 200.0),
        Glue("hot hide glue", 1.0, 3.0, 360.0, 250.0),
        Glue("urea resin glue", 15.0, 30.0, 720.0, 200.0),
        Glue("polyurethane glue", 15.0, 25.0, 240.0, 150.0),
        Glue("epoxy glue", 20.0, 40.0, 720.0, 250.0),
    )
}


def glue_words(name: str, value: float) -> str:
    """A figure of a glue by the name of its key, as it is listed: "5 min", "180 g/m2"."""
    return f"{value:g} g/m2" if name == "spread" else f"{value:g} min"
