"""A recipe file that is made new is whole, or not there."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from solids.app.recipe_files import write_new, write_over
from solids.base.errors import FileError


def test_a_new_file_that_cannot_be_written_is_not_left_half_made(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="cannot be written"):
        write_new(tmp_path / "new.toml", "half of a sign: \ud800")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")
@pytest.mark.parametrize("write", [write_new, write_over])
def test_a_new_file_may_be_read_by_all_who_share_the_folder(tmp_path: Path, write: Callable[[Path, str], None]) -> None:
    before = os.umask(0o022)
    try:
        write(tmp_path / "new.toml", "")
    finally:
        os.umask(before)
    assert (tmp_path / "new.toml").stat().st_mode & 0o777 == 0o644


def test_a_file_that_is_written_again_keeps_its_mode(tmp_path: Path) -> None:
    file = tmp_path / "own.toml"
    write_new(file, "old")
    file.chmod(0o600)
    write_over(file, "new")
    assert (file.read_text("utf-8"), file.stat().st_mode & 0o777) == ("new", 0o600)
