"""Halfpin: from a short recipe for a hand-cut dovetailed corner to exact, proved solids and the files the bench needs.

    import solids

    layout = solids.lay_out(solids.read_recipe("tool-tray"))
    job = solids.prove_layout(layout)
    job.proof.passes                # True
    solids.write_files(job, Path("exports"))

`solids.cadquery` hands corners and boxes to CadQuery, to model on with.

Names are loaded when they are first used: the geometry kernel takes most of a second, and arithmetic needs none of it.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING

__version__ = "0.1.0"

if TYPE_CHECKING:
    from solids.base.errors import HalfpinError, RecipeError
    from solids.base.findings import Finding
    from solids.layout import Layout, lay_out
    from solids.model.corner import Corner, make_corner
    from solids.proof.joint.corner import Proof, prove
    from solids.recipe import Recipe, parse_recipe, preset_names, read_recipe
    from solids.write.files.table import Job, prove_layout, write_files

_HOMES = {
    "Corner": "solids.model.corner",
    "Finding": "solids.base.findings",
    "HalfpinError": "solids.base.errors",
    "Job": "solids.write.files.table",
    "Layout": "solids.layout",
    "Proof": "solids.proof.joint.corner",
    "Recipe": "solids.recipe",
    "RecipeError": "solids.base.errors",
    "lay_out": "solids.layout",
    "make_corner": "solids.model.corner",
    "parse_recipe": "solids.recipe",
    "preset_names": "solids.recipe",
    "prove": "solids.proof.joint.corner",
    "prove_layout": "solids.write.files.table",
    "read_recipe": "solids.recipe",
    "write_files": "solids.write.files.table",
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
