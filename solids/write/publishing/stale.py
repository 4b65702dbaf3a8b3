"""Which files of a piece are out of date: a file is, once a key that matters to it has changed, or another version of
the tool would make it. Plain data, so that a page can ask without the kernel."""

from __future__ import annotations

from collections.abc import Collection

from solids.write.named import BOARDS, BOX_NOTE, NAMED, NOTE, Group

FOR_MACHINES = ("kit_cutters_mm", "paper_corner_relief", "paper_dxf_units", "paper_dxf_version")
"""What the drawings for machines are made with, and what the note for CNC tells of them."""

WITH_GLUE = ("glue",)
"""What the order of work is told with, on paper and in notes."""

OWN_KEYS: dict[Group, tuple[str, ...]] = {
    "corner": ("author", "date"),
    "model": (),
    "gaps": (),
    "page": (),
    "picture": (),
    "paper": ("paper_size", *WITH_GLUE, *FOR_MACHINES),
    "board": ("paper_size",),
    "aids": (
        "author",
        "date",
        "print_bed_mm",
        "print_nozzle_mm",
        "print_clearance_mm",
        "print_magnet_mm",
        "kit_bush_mm",
        "kit_cutters_mm",
        "aids_marker_body",
        "aids_marker_slopes",
        "aids_marker_thickest_mm",
        "aids_marker_leg_mm",
        "aids_marker_words",
        "aids_marker_hang_hole_mm",
    ),
}
"""Keys of the recipe, as the report writes them, that matter to the files of one group only."""


def keys_of_others(group: Group, name: str) -> set[str]:
    """The keys that can change without making a file of this group stale."""
    also = NAMED[name][0].also if name in NAMED else None
    milled = name.endswith(NOTE) or (name.startswith(BOARDS) and name.endswith(".dxf"))
    own = {*OWN_KEYS[group], *(OWN_KEYS[also] if also else ()), *(FOR_MACHINES if milled else ())}
    own |= {*WITH_GLUE} if name.endswith((NOTE, BOX_NOTE)) else set()
    return {key for keys in OWN_KEYS.values() for key in keys} - own


def has_changed(before: object, now: object, of_others: Collection[str] = ()) -> bool:
    """Whether a recipe as the report writes it has changed in more than those keys. That of a box holds the recipes of
    its corners."""
    return _without(before, of_others) != _without(now, of_others)


def _without(recipe: object, keys: Collection[str]) -> object:
    if not isinstance(recipe, dict):
        return recipe
    return {key: _without(value, keys) for key, value in recipe.items() if key not in keys}
