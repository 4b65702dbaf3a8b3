"""From the dividers of a box to their records."""

from __future__ import annotations

from collections.abc import Iterator

from solids.layout.box.alike import fitted_alike
from solids.layout.box.fitted.dividers import crossed_by, length_of, name_of
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.model import BoxLayout
from solids.recipe.tables.dividers import numbered
from solids.write.report.records.dividers import DividerRecord


def divider_records(box: BoxLayout) -> Iterator[DividerRecord]:
    """One for each divider, in the order of the recipe."""
    volumes = {part.name: part.volume for part in fitting_of(box).parts}
    for number, divider in numbered(box.recipe.dividers):
        name, is_dovetailed = name_of(number), divider.is_dovetailed
        yield DividerRecord(
            name=name,
            runs=divider.runs,
            at_mm=divider.at,
            thickness_mm=divider.thickness,
            height_mm=divider.height,
            up_mm=divider.up,
            length_mm=length_of(box, divider),
            wood=divider.wood.name,
            sawn=divider.sawn,
            joint=divider.joint,
            depth_mm=divider.depth,
            housing=divider.housing,
            housing_top_mm=divider.housing_top(box.recipe.height),
            slope_ratio=divider.ratio if is_dovetailed else None,
            taper_mm=divider.taper if is_dovetailed else None,
            crosses=tuple(name_of(other) for other, _, _ in crossed_by(box, divider)),
            grows_mm=divider.height * divider.grows,
            shrinks_mm=divider.height * divider.shrinks,
            volume_mm3=volumes[name],
            files_of=fitted_alike(box)[name][0],
        )
