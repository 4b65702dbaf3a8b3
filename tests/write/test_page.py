"""`corner.html` as a document: read by Python's own HTML parser, its links and names followed, its tables against the
layout. What a browser makes of it is tested in `tests/outside`."""

from __future__ import annotations

import importlib.util
import json
import math
import re
import zipfile
from collections import Counter
from functools import cache
from html.parser import HTMLParser
from importlib import resources
from importlib.machinery import ModuleSpec
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

import solids.write.page.page
from solids.base.cautions import CAUTIONS
from solids.base.errors import FaultError, ReadBackError
from solids.base.findings import worst_first
from solids.bench.listing import pin_rows, raw_end_rows, tail_rows
from solids.write import templates
from solids.write.files import table
from solids.write.files.job import Job
from solids.write.formats.scene import GAPS, scene_of
from solids.write.page import library
from solids.write.page.contents import scene_json
from solids.write.page.page import page_bytes, reread
from tests.boxes import box_case
from tests.corners import CASES, case, job_of, piece_of, titled

MOST_BYTES = 1_500_000
VOID = {"meta", "link", "input", "br", "img", "line", "polygon", "path"}
HARD = "<script>a & \"b\" 'c' {{ 7*7 }} <!-- "
"""A title that would be markup, an attribute's end or a template anywhere that it is not text."""


class Reader(HTMLParser):
    """Elements in order, each with its attributes and its own text, and whether all of them are closed in turn."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[SimpleNamespace] = []
        self.found: list[SimpleNamespace] = []
        self.comments: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert len(dict(attrs)) == len(attrs), f"<{tag}> has an attribute twice"
        element = SimpleNamespace(tag=tag, has=dict(attrs), text="", inside=[one.tag for one in self.open])
        self.found.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop().tag == tag

    def handle_data(self, data: str) -> None:
        for element in self.open:
            element.text += data

    def handle_comment(self, data: str) -> None:
        self.comments.append(data)


def page(job: Job) -> str:
    """The page as `build --page` writes it."""
    files = [*table.beside(job.job, "corner", "model"), ("report.json", "every number, for programs")]
    return page_bytes(job.job.proof, job.job.scene, files).decode("utf-8")


@cache
def page_of(name: str) -> str:
    return page(case(name))


def elements(text: str, tag: str | None = None) -> list[SimpleNamespace]:
    reader = Reader()
    reader.feed(text)
    reader.close()
    assert reader.open == [], "everything that is opened is closed"
    assert reader.comments == []
    return [element for element in reader.found if tag in (None, element.tag)]


def by_id(text: str, name: str) -> SimpleNamespace:
    (found,) = (element for element in elements(text) if element.has.get("id") == name)
    return found


def plain(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture(params=CASES)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


# --- one file, and nothing from elsewhere --------------------------------------------------------


def test_it_is_one_file_of_less_than_a_megabyte_and_a_half(name: str) -> None:
    assert 500_000 < len(page_of(name).encode("utf-8")) < MOST_BYTES


@pytest.mark.whole
def test_a_hundred_tails_are_no_larger() -> None:
    job = job_of("tool-tray", "joint.width=2410", "joint.tails=100")
    assert len(page(job).encode("utf-8")) < MOST_BYTES


def test_no_element_and_no_style_loads_anything(name: str) -> None:
    text = page_of(name)
    for element in elements(text):
        for key in ("src", "srcset", "href", "action", "data", "poster", "formaction", "xlink:href", "background"):
            value = element.has.get(key)
            if value is None:
                continue
            local = element.tag == "a" and re.fullmatch(r"(boards/)?[a-z-]+\.[a-z0-9]+", value)
            assert local or value == "data:,", f'<{element.tag} {key}="{value}">'
        assert not [key for key in element.has if key.startswith("on")], "no script in an attribute"
        assert "url(" not in (element.has.get("style") or "")
        assert element.tag not in ("iframe", "object", "embed", "base", "form") or "action" not in element.has
    (style,) = elements(text, "style")
    assert not re.search(r"url\(|@import|https?:|//", style.text)


def test_our_own_script_names_no_address_and_makes_no_code_from_text() -> None:
    folder = resources.files("solids.write.page")
    own = "".join((folder / name).read_text("utf-8") for name in ("solid-view.js", "page.js"))
    code = re.sub(r"//[^\n]*", "", own)
    assert not re.search(r"https?:|\beval\b|new Function|innerHTML|document\.write|import\(|\bWorker\b|fetch", code)
    assert "localStorage" not in code
    assert "cookie" not in code


def test_the_policy_lets_nothing_in_from_elsewhere(name: str) -> None:
    (policy,) = (m.has["content"] for m in elements(page_of(name), "meta") if "http-equiv" in m.has)
    rules = dict(rule.split(maxsplit=1) for rule in policy.split("; "))
    assert rules == {
        "default-src": "'none'",
        "style-src": "'unsafe-inline'",
        "script-src": "'unsafe-inline'",
        "img-src": "data:",
    }
    head = page_of(name)[: page_of(name).index("<style>")]
    assert head.index("Content-Security-Policy") < head.index("<title>"), "before anything that it governs"


# --- a sound document ----------------------------------------------------------------------------


def test_every_id_is_there_once_and_every_name_of_an_id_leads_to_one(name: str) -> None:
    found = elements(page_of(name))
    ids = Counter(element.has["id"] for element in found if "id" in element.has)
    assert set(ids.values()) == {1}
    for element in found:
        for key in ("for", "aria-labelledby", "aria-describedby"):
            assert set((element.has.get(key) or "").split()) <= set(ids)


def test_every_control_has_a_label_and_every_section_a_heading(name: str) -> None:
    found = elements(page_of(name))
    labelled = {element.has["for"] for element in found if element.tag == "label" and "for" in element.has}
    controls = [element for element in found if element.tag in ("input", "button", "select")]
    assert len(controls) >= 12
    for control in controls:
        assert control.tag == "button" or control.has.get("id") in labelled or "label" in control.inside
    for section in (element for element in found if element.tag == "section"):
        assert by_id(page_of(name), section.has["aria-labelledby"]).tag == "h2"
    assert next(element.tag for element in found if re.fullmatch(r"h\d", element.tag)) == "h1"
    assert sum(element.tag == "h1" for element in found) == 1
    (html,) = (element for element in found if element.tag == "html")
    assert html.has["lang"] == "en"


def test_what_the_script_asks_for_is_on_the_page() -> None:
    own = (resources.files("solids.write.page") / "page.js").read_text("utf-8")
    ids = {element.has.get("id") for element in elements(page_of("through"))}
    assert set(re.findall(r'\bat\("([^"]+)"\)', own)) <= ids


# --- what stands on it ---------------------------------------------------------------------------


def test_each_table_has_every_row_of_the_layout(name: str) -> None:
    text, layout = page_of(name), case(name).layout
    tables = elements(text, "table")
    rows = [pin for of in (tail_rows, pin_rows, raw_end_rows) for pin in of(layout)[1]]
    assert [plain(one.text) for one in elements(text, "caption")] == [
        "Tails on the show face",
        "Pins as cut",
        "Tails on the raw end, to mark",
    ]
    assert len(tables) == 3
    cells = [e.text for e in elements(text) if e.tag in ("td", "th") and "tbody" in e.inside]
    assert cells == [cell for row in rows for cell in row]
    assert len(rows) == 3 * len(layout.tails) + 1


def test_every_finding_stands_there_worst_first_with_its_remedy(name: str) -> None:
    text, proof = page_of(name), case(name).proof
    listed = [e for e in elements(text, "li") if e.has.get("class") in ("pass", "note", "warning", "fail")]
    assert [item.has["class"] for item in listed] == [finding.severity for finding in worst_first(proof.findings)]
    for item, finding in zip(listed, worst_first(proof.findings), strict=True):
        assert plain(item.text).endswith(plain(finding.words))


def test_every_caution_stands_there_word_for_word(name: str) -> None:
    text = page_of(name)
    cautions = text[text.index('id="cautions"') :]
    listed = [
        plain(item.text) for item in elements(cautions[cautions.index("<ul>") : cautions.index("</ul>") + 5], "li")
    ]
    assert listed == [plain(f"{caution.topic}. {caution.text}") for caution in CAUTIONS]


def test_every_file_that_comes_with_it_is_listed_and_leads_there(name: str) -> None:
    links = {link.has["href"]: link.text for link in elements(page_of(name), "a")}
    meant = [name for name, _ in table.beside(piece_of(), "corner", "model")]
    assert list(links) == [*meant, "report.json"]
    assert all(href == text for href, text in links.items())


def test_the_legend_names_each_gap_beside_its_colour(name: str) -> None:
    legend = by_id(page_of(name), "legend")
    assert "hidden" in legend.has
    assert plain(legend.text) == plain(" ".join(gap.words for gap in GAPS))
    swatches = [e.has["style"] for e in elements(page_of(name), "span") if e.has.get("class") == "swatch"]
    recipe = case(name).layout.recipe
    woods = [recipe.tail_board.wood.colour, recipe.pin_board.wood.colour]
    assert swatches == [f"background:{colour}" for colour in (*(gap.colour for gap in GAPS), *woods)]


@pytest.mark.parametrize(("overrides", "passes"), [((), True), (("fit.flank_gap=-0.06",), False)])
def test_the_verdict_is_the_proofs(overrides: tuple[str, ...], passes: bool) -> None:
    job = job_of("tool-tray", *overrides)
    assert job.proof.passes == passes
    verdict = by_id(page(job), "verdict")
    assert ("bad" in verdict.has["class"]) != passes
    assert verdict.text.startswith("Proved" if passes else "This joint fails its proof")


def test_the_flat_drawing_has_a_polygon_for_each_tail_as_wide_as_it(name: str) -> None:
    layout = case(name).layout
    polygons = [
        np.array([[float(v) for v in point.split(",")] for point in element.has["points"].split()])
        for element in elements(page_of(name), "polygon")
    ]
    svg = elements(page_of(name), "svg")[0]
    left, top, width, height = map(float, svg.has["viewbox"].split())
    board, *tails = polygons
    assert (board[:, 0].min(), board[:, 0].max()) == pytest.approx((0, layout.width), abs=1e-3)
    assert len(tails) == len(layout.tails)
    for outline, tail in zip(tails, layout.tails, strict=True):
        ends = sorted(x for x, y in outline if abs(y) < 1e-3)
        necks = sorted(x for x, y in outline if abs(y - layout.depth) < 1e-3)
        assert ends == pytest.approx([tail.left, tail.right], abs=1e-3)
        assert necks == pytest.approx(layout.tail_edges(tail, 0.0), abs=1e-3)
    everything = np.concatenate(polygons)
    assert (everything >= [left, top]).all()
    assert (everything <= [left + width, top + height]).all()
    numbers = [e.text for e in elements(page_of(name), "text") if "class" not in e.has]
    assert numbers == [str(tail.number) for tail in layout.tails]


# --- the scene -----------------------------------------------------------------------------------


def island(text: str) -> Any:
    (found,) = (e for e in elements(text, "script") if e.has.get("type") == "application/json")
    assert "<" not in found.text
    assert found.text.isascii()
    return json.loads(found.text)


def test_the_scene_on_the_page_is_the_scene(name: str) -> None:
    job = case(name)
    scene, said = job.job.scene.drawn, island(page_of(name))
    assert said["apart"] == pytest.approx(scene.apart, abs=1e-4)
    assert said["reach"] == [pytest.approx(corner.tolist(), abs=1e-4) for corner in scene.reach]
    assert said["corners"] == [], "there is one only"
    assert said["gaps"] == {gap.name: gap.colour for gap in GAPS}
    assert list(said["states"]) == ["cut", "finished"]
    for shown, boards in zip((scene.cut, scene.finished), said["states"].values(), strict=True):
        for board, record in zip(shown, boards, strict=True):
            assert (record["name"], record["colour"]) == (board.name, board.wood.colour)
            assert np.array(record["points"]).reshape(-1, 3) == pytest.approx(board.points, abs=6e-5)
            assert record["triangles"] == board.triangles.ravel().tolist()
            assert record["gaps"] == [board.gaps[number] for number in board.faces]
            assert record["shades"] == pytest.approx(scene.shades(board).tolist(), abs=6e-5)
            assert np.array(record["edges"]).reshape(-1, 2, 3) == pytest.approx(board.edges, abs=6e-5)


def test_the_corners_of_a_box_are_seen_from_outside_with_both_faces() -> None:
    """The front looks toward -Y and a turn of 0 looks back at it from +Y: from its front right corner the eye stands at
    135 degrees, half-way up, and takes in a quarter more than the height."""
    scene = scene_of(box_case("drawer").proof)
    said = json.loads(scene_json(scene))["corners"]
    (left, front, below), (right, back, above) = scene.bounds
    places = [(left, front), (right, front), (left, back), (right, back)]
    assert [corner["place"] for corner in said] == [pytest.approx([x, y, (below + above) / 2]) for x, y in places]
    assert [math.degrees(corner["turn"]) for corner in said] == pytest.approx([-135, 135, -45, 45], abs=0.01)
    assert {round(corner["size"] / (above - below), 6) for corner in said} == {1.25}


def test_the_numbers_are_short_and_finite() -> None:
    text = scene_json(case("inches").job.scene)
    assert "NaN" not in text
    assert "Infinity" not in text
    assert max(len(number.partition(".")[2]) for number in re.findall(r"-?\d+\.\d+", text)) <= 4


# --- titles and names that look like markup ------------------------------------------------------


def test_a_title_that_looks_like_markup_is_text_wherever_it_stands() -> None:
    text = page(titled(HARD))
    usual = page(case("through"))
    assert by_id(text, "title").text == HARD.strip()
    (title,) = (e for e in elements(text, "title"))
    assert title.text == f"{HARD.strip()} - the corner"
    assert [e.tag for e in elements(text)] == [e.tag for e in elements(usual)], "no element came of it"
    assert "49" not in by_id(text, "title").text


def test_a_wood_of_ones_own_is_text_too() -> None:
    def with_wood(name: str) -> str:
        return page(
            job_of("tool-tray", f"tail_board.wood={{name = {json.dumps(name)}, kind = 'hardwood', density = 690}}")
        )

    hard, usual = with_wood("a<b>&'c\""), with_wood("pear")
    assert "a<b>&'c\"" in by_id(hard, "woods").text
    assert [e.tag for e in elements(hard)] == [e.tag for e in elements(usual)]


def test_a_title_that_nobody_escapes_would_be_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """So that the tests above can fail."""
    import jinja2

    real = jinja2.Environment
    monkeypatch.setattr(jinja2, "Environment", lambda **options: real(**{**options, "autoescape": False}))
    monkeypatch.setattr(solids.write.page.page, "template", templates.template.__wrapped__)
    text = page(titled("a <b>c"))
    with pytest.raises(AssertionError):
        assert [e.tag for e in elements(text)] == [e.tag for e in elements(page(case("through")))]


def test_the_same_joint_gives_the_same_page() -> None:
    page(titled("another"))
    assert page(case("half-blind")) == page_of("half-blind")


# --- the library ---------------------------------------------------------------------------------


def test_the_library_stands_there_whole_with_its_licence() -> None:
    text = library.three_js()
    assert "SPDX-License-Identifier: MIT" in text[:300]
    assert "Three.js Authors" in text[:300]
    assert f'"{library.REVISION}"' in text
    assert text in page_of("through")
    (footer,) = elements(page_of("through"), "footer")
    assert "three.js" in footer.text
    assert "MIT licence" in footer.text
    assert "</script" not in text


@pytest.fixture
def fresh_library(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Another place to look for the library; what was found is forgotten before and after."""
    library.three_js.cache_clear()
    yield monkeypatch
    monkeypatch.undo()
    library.three_js.cache_clear()
    assert library.three_js()


def told() -> None:
    with pytest.raises(FaultError, match=rf"three\.js revision {library.REVISION}.*constraints\.txt"):
        library.three_js()


def test_no_trimesh_is_told(fresh_library: pytest.MonkeyPatch) -> None:
    fresh_library.setattr(importlib.util, "find_spec", lambda _: None)
    told()


def test_a_trimesh_without_folders_is_told(fresh_library: pytest.MonkeyPatch) -> None:
    fresh_library.setattr(importlib.util, "find_spec", lambda name: ModuleSpec(name, None))
    told()


def test_a_trimesh_without_the_archive_is_told(fresh_library: pytest.MonkeyPatch) -> None:
    fresh_library.setattr(library, "ARCHIVE", Path("resources") / "nothing.zip")
    told()


def test_an_archive_that_is_none_is_told(fresh_library: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "viewer.zip").write_bytes(b"not an archive")
    fresh_library.setattr(library, "ARCHIVE", tmp_path / "viewer.zip")
    told()


def archive_of(folder: Path, *, name: str = library.TEMPLATE, text: str) -> Path:
    path = folder / "viewer.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(name, text)
    return path


def template(revision: str = library.REVISION, authors: str = "Three.js Authors", more: str = "") -> str:
    return f'x{library.BEGINS}\n * Copyright {authors}\n */\nconst a="{revision}";{more}{library.ENDS}'


@pytest.mark.parametrize(
    "text",
    [
        "",
        template(revision="141"),
        template(authors="Somebody Else"),
        template(more='"</script>"'),
        template().replace(library.ENDS, ""),
        template().replace(library.BEGINS, ""),
    ],
    ids=["empty", "another revision", "another author", "ends the script", "no end", "no beginning"],
)
def test_another_library_is_told(fresh_library: pytest.MonkeyPatch, tmp_path: Path, text: str) -> None:
    fresh_library.setattr(library, "ARCHIVE", archive_of(tmp_path, text=text))
    told()


def test_the_same_library_under_the_same_name_is_taken(fresh_library: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """So that the test above tests what it says."""
    fresh_library.setattr(library, "ARCHIVE", archive_of(tmp_path, text=template()))
    assert library.three_js().endswith(f'"{library.REVISION}";')
    library.three_js.cache_clear()
    fresh_library.setattr(library, "ARCHIVE", archive_of(tmp_path, name="another.html", text=template()))
    told()


# --- reading back --------------------------------------------------------------------------------


def refused(folder: Path, data: bytes) -> str:
    path = folder / "corner.html"
    path.write_bytes(data)
    with pytest.raises(ReadBackError) as caught:
        reread(path)
    assert "corner.html" in str(caught.value)
    return str(caught.value)


def test_a_good_page_reads_back(name: str, tmp_path: Path) -> None:
    path = tmp_path / "corner.html"
    path.write_text(page_of(name), "utf-8")
    reread(path)


@pytest.mark.parametrize("share", [0.0, 0.01, 0.5, 0.9, 0.99999])
def test_reading_back_refuses_a_page_cut_short(share: float, tmp_path: Path) -> None:
    data = page_of("through").encode("utf-8")
    refused(tmp_path, data[: math.floor(share * len(data))])


@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda caution: caution.topic)
def test_reading_back_finds_each_caution_that_is_missing(caution: Any, tmp_path: Path) -> None:
    text = page_of("through").replace(caution.topic, "")
    assert caution.topic in refused(tmp_path, text.encode("utf-8"))


def test_reading_back_refuses_bytes_that_are_no_utf_8(tmp_path: Path) -> None:
    data = page_of("through").encode("utf-8")
    refused(tmp_path, data[:1000] + b"\xff\xfe" + data[1002:])


@pytest.mark.parametrize(
    "planted",
    [
        '<script src="https://example.org/x.js"></script>',
        '<img src="http://example.org/x.png">',
        '<link rel="stylesheet" href="//example.org/x.css">',
    ],
)
def test_reading_back_refuses_a_page_that_asks_for_something_from_elsewhere(planted: str, tmp_path: Path) -> None:
    refused(tmp_path, page_of("through").replace("</head>", f"{planted}</head>").encode("utf-8"))
