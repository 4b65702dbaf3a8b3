"""The worked example in the repository is what the tool makes: byte for byte on the pinned kernel, else by figures."""

from __future__ import annotations

import json
import platform
import re
from importlib.metadata import version
from pathlib import Path

import pytest
from PIL import Image

from solids.layout import lay_out
from solids.recipe import read_recipe
from solids.write.files.table import prove_layout, write_files
from solids.write.report import NAME as REPORT
from tests.commands import names_below
from tests.corners import CORNER_FILES, file_named, job_of

ROOT = Path(__file__).parent.parent
EXAMPLE = ROOT / "exports" / "tool-tray"


def pinned(name: str) -> str:
    found = re.search(rf"^{name}==(.+)$", (ROOT / "constraints.txt").read_text("utf-8"), re.MULTILINE)
    assert found
    return found[1]


ON_THE_PINNED_KERNEL = (
    platform.system() == "Linux"
    and platform.machine() == "x86_64"
    and all(version(name) == pinned(name) for name in ("cadquery-ocp", "manifold3d", "numpy"))
)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_files(prove_layout(lay_out(read_recipe("tool-tray"))), tmp_path_factory.mktemp("out")).folder


def test_the_example_holds_the_files_of_a_build_and_one_small_picture() -> None:
    names = names_below(EXAMPLE)
    assert names == {*CORNER_FILES, REPORT, "tool-tray.png"}
    assert (EXAMPLE / "tool-tray.png").stat().st_size < 100_000


def test_the_picture_of_the_page_is_small() -> None:
    with Image.open(ROOT / "exports" / "bench.png") as picture:
        assert picture.size == (1440, 900)
    assert (ROOT / "exports" / "bench.png").stat().st_size < 150_000


@pytest.mark.parametrize("name", [*CORNER_FILES, REPORT])
def test_the_example_is_made_again(name: str, made: Path) -> None:
    if ON_THE_PINNED_KERNEL:
        assert (made / name).read_bytes() == (EXAMPLE / name).read_bytes()
    elif name == REPORT:
        same_within_tolerance(json.loads((made / name).read_bytes()), json.loads((EXAMPLE / name).read_bytes()))
    else:
        file_named(job_of("tool-tray"), name).reread(EXAMPLE / name)


def same_within_tolerance(found: object, kept: object) -> None:
    """Numbers within 1e-6, everything else equal; hashes and sizes of files may differ between kernels."""
    if isinstance(kept, dict):
        assert isinstance(found, dict)
        assert set(found) == set(kept)
        for key in set(kept) - {"sha256", "bytes"}:
            same_within_tolerance(found[key], kept[key])
    elif isinstance(kept, list):
        assert isinstance(found, list)
        for a, b in zip(found, kept, strict=True):
            same_within_tolerance(a, b)
    elif isinstance(kept, float):
        assert found == pytest.approx(kept, rel=1e-9, abs=1e-6)
    else:
        assert found == kept
