"""Files that look like recipes and cannot be on the shelf because of their names: each is told with the reason."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from solids.app.desk.shelf.names import is_name, left_out
from tests.app.desk.stand_ins import TRAY, tray
from tests.app.desk.test_routes import page


@pytest.mark.parametrize(
    ("file", "why"),
    [
        ("a:b.toml", "colon"),
        ("a\\b.toml", "backslash"),
        (".hidden.toml", "dot"),
        (" blank.toml", "space"),
        (".toml", "dot"),
        ("x" * 201 + ".toml", "longer than 200"),
        ("two\nlines.toml", "cannot be shown"),
        ("bad \udcff.toml", "cannot be shown"),
        ("con.toml", "device"),
        ("Tray.TOML", "ends in .TOML"),
    ],
)
def test_why_a_file_stays_off_the_shelf(file: str, why: str) -> None:
    (told,) = left_out([file])
    assert why in told["why"]
    assert told["name"].isprintable()
    assert len(told["name"]) < 90


def test_what_is_a_recipe_or_looks_like_none_is_not_told() -> None:
    assert left_out(["tray.toml", "tray.toml~", "tray.txt", "._tray.toml", ".#tray.toml", "exports", ""]) == []
    assert is_name("x" * 200)
    assert not is_name("../tray")


def test_the_shelf_tells_them_beside_the_recipes(tmp_path: Path) -> None:
    tray(tmp_path, "good")
    (tmp_path / "a:b.toml").write_text(TRAY)
    Path(os.fsdecode(os.fsencode(tmp_path) + b"/odd \xff.toml")).write_text(TRAY)
    with page(tmp_path) as client:
        found = client.get("api/shelf").json()
    assert [one["name"] for one in found["recipes"]] == ["good"]
    assert [one["name"] for one in found["left_out"]] == ["a:b.toml", "odd \\udcff.toml"]
