"""`corner.html` as text: one file, whole, with everything in it and nothing from elsewhere."""

from __future__ import annotations

import html
import json
import re
import zipfile
from pathlib import Path

import pytest

from solids.cautions import CAUTIONS
from solids.errors import FaultError, ReadBackError
from solids.write.page import library
from solids.write.page.contents import flat_layout
from solids.write.page.page import page_bytes, reread
from tests.corners import CASES, case, job_of, titled

FILES = [("corner.step", "both boards"), ("report.json", "every number")]


def page(name: str = "through", *, live: int | None = None) -> str:
    job = case(name)
    return page_bytes(job.layout, job.proof, job.scene, [] if live else FILES, live=live).decode()


@pytest.mark.parametrize("name", CASES)
def test_it_is_small_and_asks_for_nothing_from_elsewhere(name: str) -> None:
    text = page(name)
    assert len(text.encode()) < 1_500_000
    markup = re.sub(r"<script>.*?</script>", "", text, flags=re.S)
    assert not re.search(r"(?:src|href)=\"(?:https?:)?//|@import|url\(", markup)
    assert "default-src 'none'" in text
    assert text.endswith("</html>\n")


def test_every_finding_caution_file_and_number_stands_on_it() -> None:
    job, text = case("through"), html.unescape(page())
    for finding in job.proof.findings:
        assert finding.sentence in text
    for caution in CAUTIONS:
        assert caution.text in text
    for name, holds in FILES:
        assert f'<a href="{name}">{name}</a>: {holds}' in text
    assert "18.75 mm" in text
    assert "Three.js Authors" in text, "the licence of the library goes with it"


def test_the_scene_can_be_read_from_it_and_ends_no_script() -> None:
    (island,) = re.findall(r'<script type="application/json" id="scene">(.*?)</script>', page(), flags=re.S)
    assert "<" not in island
    scene = json.loads(island)
    assert [board["name"] for board in scene["states"]["cut"]] == ["tail board", "pin board"]
    for boards in scene["states"].values():
        for board in boards:
            assert len(board["gaps"]) * 3 == len(board["triangles"])
            assert max(board["triangles"]) * 3 + 2 < len(board["points"])
    assert scene["high"][0] == 96


def test_a_title_is_text_and_no_markup() -> None:
    job = titled("a <b> & <title> 'c'")
    text = page_bytes(job.layout, job.proof, job.scene, FILES).decode()
    assert "a &lt;b&gt; &amp; &lt;title&gt;" in text
    assert text.count("<h1") == 1


def test_a_joint_that_fails_says_so_on_top() -> None:
    job = job_of("tool-tray", "fit.flank_gap=-0.06")
    text = page_bytes(job.layout, job.proof, job.scene, FILES).decode()
    assert "This joint fails its proof. Do not cut it." in text
    assert text.index("fails its proof") < text.index("<main>")


def test_a_live_page_lists_no_files_and_has_a_number() -> None:
    text = page(live=7)
    assert 'data-live="7"' in text
    assert "Files next to this page" not in text


def test_the_flat_layout_is_the_finished_show_face() -> None:
    layout = case("through").layout
    flat = flat_layout(layout)
    outline, x, _, _, number = flat.tails[0]
    corners = [tuple(map(float, point.split(","))) for point in outline.split()]
    assert number == 1
    assert corners[0] == pytest.approx((layout.tails[0].left, 0.0))
    assert corners[2] == pytest.approx((layout.tail_edges(layout.tails[0], 0.0)[1], layout.depth), abs=1e-4)
    assert x == pytest.approx(layout.tails[0].middle, abs=1e-3)


@pytest.mark.parametrize("lost", ["</html>\n", CAUTIONS[0].topic])
def test_a_page_that_is_not_whole_is_refused(tmp_path: Path, lost: str) -> None:
    path = tmp_path / "corner.html"
    path.write_text(page(), "utf-8")
    reread(path)
    path.write_text(page().replace(lost, ""), "utf-8")
    with pytest.raises(ReadBackError, match="is not whole"):
        reread(path)


@pytest.mark.parametrize("text", ["", "<script>/**\n * @license\n other */\n(function(){const _changeEvent"])
def test_another_library_than_the_one_it_is_written_for_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str
) -> None:
    archive = tmp_path / "viewer.zip"
    with zipfile.ZipFile(archive, "w") as file:
        file.writestr(library.TEMPLATE, text)
    monkeypatch.setattr(library, "ARCHIVE", archive)
    library.three_js.cache_clear()
    with pytest.raises(FaultError, match=r"constraints\.txt"):
        library.three_js()
    monkeypatch.undo()
    library.three_js.cache_clear()
    assert len(library.three_js()) > 500_000
