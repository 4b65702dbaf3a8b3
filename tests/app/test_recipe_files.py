"""A recipe file that is made new is whole, or not there."""

from __future__ import annotations

from pathlib import Path

import pytest

from solids.app.recipe_files import write_new
from solids.base.errors import FileError


def test_a_new_file_that_cannot_be_written_is_not_left_half_made(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="cannot be written"):
        write_new(tmp_path / "new.toml", "half of a sign: \ud800")
    assert list(tmp_path.iterdir()) == []
