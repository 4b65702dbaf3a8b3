"""Other programs read our paper: qpdf and poppler the PDF files, a reader of thirty lines the DXF.

A DXF text file is pairs of lines, a group code and its value (AutoCAD DXF reference, "ASCII DXF files"; from memory).
"""

from __future__ import annotations

import io
import shutil
import subprocess
import warnings
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import ezdxf
import pikepdf
import pytest

from solids.write.files.table import papers
from tests.corners import case, file_named

QPDF, PDFTOPPM = shutil.which("qpdf"), shutil.which("pdftoppm")
TAILS, SVG = "boards/tail-board.dxf", "boards/tail-board.svg"
NAMES = ("through", "half-blind", "inches", "listed, no symmetry", "ends left proud, chamfered")

pytestmark = pytest.mark.outside

needs_qpdf = pytest.mark.skipif(QPDF is None, reason="qpdf is not on PATH (Debian package qpdf)")
needs_poppler = pytest.mark.skipif(PDFTOPPM is None, reason="pdftoppm is not on PATH (Debian package poppler-utils)")


@pytest.fixture(scope="module")
def paper(tmp_path_factory: pytest.TempPathFactory) -> dict[tuple[str, str], Path]:
    """Every file of a few joints on disk: {(joint, file): path}."""
    folder = tmp_path_factory.mktemp("paper")
    paths = {}
    for number, name in enumerate(NAMES):
        job = case(name)
        for file in (*papers(job), *(file_named(job, more) for more in ("booklet.pdf", TAILS, SVG))):
            path = folder / f"{number}-{file.name.replace('/', '-')}"
            path.write_bytes(file.make())
            paths[name, file.name] = path
    return paths


def pdfs(paper: dict[tuple[str, str], Path], name: str) -> list[Path]:
    found = [path for (joint, file), path in paper.items() if joint == name and file.endswith(".pdf")]
    assert len(found) == 4
    return found


@needs_qpdf
@pytest.mark.parametrize("name", NAMES)
def test_qpdf_finds_nothing_to_complain_of(paper: dict[tuple[str, str], Path], name: str) -> None:
    for path in pdfs(paper, name):
        done = subprocess.run([str(QPDF), "--check", str(path)], capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stdout + done.stderr
        assert "No syntax or stream encoding errors found" in done.stdout


@needs_qpdf
def test_qpdf_complains_of_a_file_that_was_cut_off(paper: dict[tuple[str, str], Path], tmp_path: Path) -> None:
    """So the check above can fail."""
    bad = tmp_path / "bad.pdf"
    bad.write_bytes(pdfs(paper, "through")[0].read_bytes()[:-200])
    done = subprocess.run([str(QPDF), "--check", str(bad)], capture_output=True, text=True, check=False)
    assert done.returncode != 0


@pytest.mark.parametrize("name", NAMES)
def test_pikepdf_opens_every_file_without_a_warning(paper: dict[tuple[str, str], Path], name: str) -> None:
    for path in pdfs(paper, name):
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            with pikepdf.open(io.BytesIO(path.read_bytes())) as pdf:
                assert pdf.get_warnings() == []
                assert pdf.check_pdf_syntax() == []
                assert len(pdf.pages) >= 1


@needs_poppler
@pytest.mark.parametrize("name", NAMES)
def test_poppler_draws_every_page_at_its_size_and_not_blank(
    paper: dict[tuple[str, str], Path], name: str, tmp_path: Path
) -> None:
    for path in pdfs(paper, name):
        done = subprocess.run(
            [str(PDFTOPPM), "-r", "50", "-gray", str(path), str(tmp_path / path.stem)],
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0
        assert done.stderr == ""
        drawn = sorted(tmp_path.glob(f"{path.stem}-*.pgm"))
        with pikepdf.open(path) as pdf:
            assert len(drawn) == len(pdf.pages)
            sizes = [tuple(round(float(side) * 50 / 72) for side in page.mediabox[2:]) for page in pdf.pages]
        for file, size in zip(drawn, sizes, strict=True):
            kind, width, height, white, dots = file.read_bytes().split(maxsplit=4)
            assert (kind, white) == (b"P5", b"255")
            assert (int(width), int(height)) == (pytest.approx(size[0], abs=1), pytest.approx(size[1], abs=1))
            dark = sum(dot < 128 for dot in dots[-int(width) * int(height) :])
            assert 0.001 < dark / (int(width) * int(height)) < 0.3


# --- DXF -------------------------------------------------------------------------------------------------


def pairs_of(data: bytes) -> Iterator[tuple[int, str]]:
    """The pairs of a DXF text file."""
    lines = data.decode("utf-8").splitlines()
    assert len(lines) % 2 == 0
    for code, value in zip(lines[::2], lines[1::2], strict=True):
        yield int(code), value.strip()


def header_of(pairs: list[tuple[int, str]]) -> dict[str, str]:
    """The first value of each variable of the header."""
    return {name: value for (code, name), (_, value) in pairwise(pairs) if code == 9}


def entities_of(pairs: list[tuple[int, str]]) -> list[list[tuple[int, str]]]:
    """The entities of the section ENTITIES, each with its pairs."""
    start = pairs.index((2, "ENTITIES")) + 1
    end = pairs.index((0, "ENDSEC"), start)
    found: list[list[tuple[int, str]]] = []
    for code, value in pairs[start:end]:
        if code == 0:
            found.append([])
        found[-1].append((code, value))
    return found


@pytest.mark.parametrize("name", NAMES)
def test_a_reader_of_pairs_sees_millimetres_and_as_many_dimensions(
    paper: dict[tuple[str, str], Path], name: str
) -> None:
    path = paper[name, "drawing.dxf"]
    pairs = list(pairs_of(path.read_bytes()))
    assert pairs[0] == (0, "SECTION")
    assert pairs[-1] == (0, "EOF")
    header = header_of(pairs)
    assert header["$INSUNITS"] == "4"
    assert header["$ACADVER"] == "AC1024"  # release 2010: reference of ezdxf, "DXF versions"
    entities = entities_of(pairs)
    kinds = [entity[0][1] for entity in entities]
    doc = ezdxf.readfile(path)
    for kind in ("DIMENSION", "LINE", "LWPOLYLINE", "TEXT"):
        assert kinds.count(kind) == len(doc.modelspace().query(kind)) > 0
    assert set(kinds) == {"DIMENSION", "LINE", "LWPOLYLINE", "TEXT"}


@pytest.mark.parametrize("name", NAMES)
def test_a_reader_of_pairs_finds_each_tail_on_the_outline(paper: dict[tuple[str, str], Path], name: str) -> None:
    """The tail board's outline as a CAM program reads it: group 10 and 20 of its polyline, closed by bit 1 of 70."""
    plan = case(name).layout
    entities = entities_of(list(pairs_of(paper[name, TAILS].read_bytes())))
    (outline,) = [e for e in entities if (8, "flat outline") in e and e[0] == (0, "LWPOLYLINE")]
    xs, ys = ([float(value) for code, value in outline if code == axis] for axis in (10, 20))
    assert int(next(value for code, value in outline if code == 70)) & 1
    assert len(xs) == len(ys) == 4 * len(plan.tails) + 4
    assert (min(xs), max(ys)) == pytest.approx((0, 0), abs=1e-9), "zero: raw end and reference edge"
    out = plan.recipe.tail_board.proud / plan.recipe.slope_ratio
    tips = sorted(-y for x, y in zip(xs, ys, strict=True) if abs(x) < 1e-6)
    meant = sorted(x for tail in plan.tails for x in (tail.left - out, tail.right + out))
    assert tips == pytest.approx(meant, abs=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_every_byte_of_a_drawing_is_plain_text(paper: dict[tuple[str, str], Path], name: str) -> None:
    for file in ("drawing.dxf", "drawing.svg", TAILS, SVG):
        text = paper[name, file].read_bytes().decode("utf-8")
        assert all(ch.isprintable() or ch in "\n\r\t" for ch in text)
