"""Halfpin: from a short recipe for a hand-cut dovetailed corner to exact, proved solids and the files the bench needs.

    import solids

    layout = solids.lay_out(solids.read_recipe("tool-tray"))
    job = solids.prove_layout(layout)
    job.proof.passes                # True
    job.cut.to_cadquery()           # both boards as a CadQuery assembly
    solids.write_files(job, Path("exports"))

Names are loaded when they are first used: the geometry kernel takes most of a second, and arithmetic needs none of it.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING

__version__ = "0.1.0"

if TYPE_CHECKING:
    from solids.corner import Corner, make_corner
    from solids.errors import HalfpinError, RecipeError
    from solids.findings import Finding
    from solids.fit import Proof, prove
    from solids.layout import Layout, lay_out
    from solids.recipe import Recipe, parse_recipe, preset_names, read_recipe
    from solids.write.table import Job, prove_layout, write_files

_HOMES = {
    "Corner": "solids.corner",
    "Finding": "solids.findings",
    "HalfpinError": "solids.errors",
    "Job": "solids.write.table",
    "Layout": "solids.layout",
    "Proof": "solids.fit",
    "Recipe": "solids.recipe",
    "RecipeError": "solids.errors",
    "lay_out": "solids.layout",
    "make_corner": "solids.corner",
    "parse_recipe": "solids.recipe",
    "preset_names": "solids.recipe",
    "prove": "solids.fit",
    "prove_layout": "solids.write.table",
    "read_recipe": "solids.recipe",
    "write_files": "solids.write.table",
}

__all__ = [
    "Corner",
    "Finding",
    "HalfpinError",
    "Job",
    "Layout",
    "Proof",
    "Recipe",
    "RecipeError",
    "__version__",
    "lay_out",
    "make_corner",
    "parse_recipe",
    "preset_names",
    "prove",
    "prove_layout",
    "read_recipe",
    "write_files",
]


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module 'solids' has no attribute {name!r}")
    return getattr(importlib.import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return __all__
