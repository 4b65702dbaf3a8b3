"""Each rule and check names a book, a standard or a paper by title, or bears a plain mark; and the maker reads it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import solids
from solids.base.sources import MARKS, NOYES, OWN_SIZES, SOURCES, TITLES
from solids.recipe import box_preset_names, preset_names
from solids.recipe.tables.resolved import Choice
from solids.recipe.text.reading import read_box, read_recipe
from tests.commands import halfpin
from tests.recipes import MINIMAL, recipe

ROOT = Path(solids.__file__).parent.parent
NAMELESS = re.compile(r"handbook (text|of \d{4})|reference values|\b[a-z]+\.(com|us|eu|city|net)\b", re.IGNORECASE)
"""A handbook without its name, a page that is not here, a web page of nobody known."""
FORMATS = ("microsoft.com", "example.")
"""Names that a file format prescribes, and the one that stands for any."""


def choices() -> list[Choice]:
    """All that rules choose for the presets, for a recipe of three keys, and for a half-blind one with a list."""
    boxes = [read_box(name) for name in box_preset_names()]
    corners = [corner for box in boxes for corner in box.corners.values()]
    own = [recipe(), recipe("joint.kind=half-blind", "joint.spacing=[20, 20]", "undercut.depth=0.3", text=MINIMAL)]
    return [made for each in (*map(read_recipe, preset_names()), *boxes, *corners, *own) for made in each.choices]


def test_every_rule_of_a_choice_names_its_source() -> None:
    assert {made.source for made in choices()} <= set(SOURCES)
    assert {made.source for made in choices()} >= {MARKS[0], OWN_SIZES, NOYES}


def test_a_title_has_a_name_and_a_year() -> None:
    assert all(re.search(r"\b(19|20)\d\d\b", title) and title[0].isupper() for title in TITLES)


@pytest.mark.parametrize("name", ["tool-tray", "keepsake-box"])
def test_the_maker_reads_the_source_of_what_was_chosen(name: str) -> None:
    told = halfpin("layout", name).stdout.partition("Chosen for you")[2]
    rows = [line for line in told.splitlines() if re.match(r"\s{2}[a-z_]+(\.[a-z_]+)+ = ", line)]
    assert rows
    assert [row for row in rows if not row.endswith(tuple(f"({source})" for source in SOURCES))] == []


def test_no_file_names_a_source_that_nobody_can_find() -> None:
    """Code, presets, tests and both pages; but for this file, which has the words to look for."""
    files = [path for part in ("solids", "presets", "tests") for path in (ROOT / part).rglob("*.py")]
    files += [*(ROOT / "presets").glob("*.toml"), ROOT / "README.md", ROOT / "DEVELOPERS.md"]
    found = [
        f"{path.relative_to(ROOT)}: {line.strip()}"
        for path in files
        if path != Path(__file__)
        for line in path.read_text("utf-8").splitlines()
        if NAMELESS.search(line) and not any(word in line for word in FORMATS)
    ]
    assert found == []
