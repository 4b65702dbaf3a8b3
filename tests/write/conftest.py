"""What the tests of STEP share: the parts of a corner, a good file, and a file on disk."""

from __future__ import annotations

from pathlib import Path

import pytest

from solids.write.formats import step
from tests.corners import job_of, step_parts


def parts(preset: str = "tool-tray", *overrides: str) -> list[step.Product]:
    job = job_of(preset, *overrides)
    return step_parts(job.cut)


@pytest.fixture(scope="module")
def good() -> bytes:
    return step.step_bytes("tool tray", "both boards", parts())


def written(path: Path, data: bytes) -> Path:
    file = path / "corner.step"
    file.write_bytes(data)
    return file
