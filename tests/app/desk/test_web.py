"""The page's own files: nothing inline, nothing from elsewhere, every module there, every id that a script asks for."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from importlib import resources
from typing import Any

import pytest

WEB = resources.files("solids.app.desk") / "web"
SCRIPTS = sorted(path.name for path in WEB.iterdir() if path.name.endswith(".js"))
LONGEST = 350
"""Lines of a file, as everywhere below `solids/`."""


def text(name: str) -> str:
    return (WEB / name).read_text("utf-8")


def code(name: str) -> str:
    """A script without its comments."""
    return re.sub(r"(?m)(^|\s)//[^\n]*", "", text(name))


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, Any]]] = []
        self.inside_script = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        if self.found and self.found[-1][0] in ("script", "style"):
            self.inside_script += data.strip()


PAGES = ("index.html", "guest.html")


def tags_of(page: str) -> Tags:
    tags = Tags()
    tags.feed(text(page))
    return tags


@pytest.mark.parametrize("page", PAGES)
def test_the_page_has_nothing_inline_and_names_its_own_files_only(page: str) -> None:
    tags = tags_of(page)
    assert tags.inside_script == "", "the policy lets no script or style inline"
    for tag, has in tags.found:
        assert not [name for name in has if name.startswith("on") or name == "style"], tag
        for name in ("src", "href"):
            value = has.get(name)
            assert (
                value is None
                or value in ("data:,", "#/", "#/shop", "#view")
                or (WEB / value.removeprefix("web/")).is_file()
            )


@pytest.mark.parametrize("name", SCRIPTS)
def test_a_script_makes_no_code_from_text_and_names_no_address_elsewhere(name: str) -> None:
    found = code(name).replace('"http://www.w3.org/2000/svg"', "")
    forbidden = r"https?:|\beval\b|new Function|[iI]nnerHTML|outerHTML|insertAdjacent|document\.write|import\(|cookie"
    assert not re.search(rf"{forbidden}|localStorage|setAttribute\(\"style", found)


@pytest.mark.parametrize("name", SCRIPTS)
def test_what_a_script_takes_from_another_is_handed_out_there(name: str) -> None:
    for names, other in re.findall(r'import \{ ([^}]+) \} from "\./([^"]+)";', text(name)):
        for one in names.split(", "):
            assert re.search(rf"export (async )?(function|const|class) {one}\b", text(other)), f"{other} has no {one}"
            assert len(re.findall(rf"\b{one}\b", code(name))) > 1, f"{one} is not used"


def scripts_of(page: str) -> set[str]:
    """All that a page loads: the scripts that it names, and those that they import."""
    found: set[str] = set()
    new = {has["src"].removeprefix("web/") for tag, has in tags_of(page).found if tag == "script"}
    while new:
        found |= new
        new = {other for name in new for other in re.findall(r'from "\./([^"]+)";', text(name))} - found
    return found


def test_guests_load_no_script_that_changes_a_recipe() -> None:
    assert scripts_of("guest.html").isdisjoint(
        {"piece.js", "shelf.js", "make.js", "shop.js", "controls.js", "beside.js", "end.js"}
    )
    assert scripts_of("index.html") | scripts_of("guest.html") == set(SCRIPTS)


@pytest.mark.parametrize("page", PAGES)
def test_what_scripts_ask_for_is_on_the_page(page: str) -> None:
    ids = {has["id"] for _, has in tags_of(page).found if "id" in has}
    scripts = scripts_of(page)
    assert {"dom.js", "going.js", "wire.js"} < scripts <= set(SCRIPTS)
    for name in scripts:
        asked = set(re.findall(r'\bat\("([^"]+)"\)', code(name)))
        asked |= set(re.findall(r'document\.getElementById\("([^"]+)"\)', code(name)))
        assert asked <= ids, name


@pytest.mark.parametrize("name", sorted(path.name for path in WEB.iterdir()))
def test_files_stay_small(name: str) -> None:
    assert text(name).count("\n") <= LONGEST


@pytest.mark.parametrize("name", sorted(path.name for path in WEB.iterdir() if path.name.endswith(".css")))
def test_styles_fetch_nothing_and_every_colour_is_named_for_light_and_dark(name: str) -> None:
    found = text(name)
    assert not re.search(r"url\(|@import|https?:", found)
    named = text("style.css")
    light, dark = (
        set(re.findall(r"(--[\w-]+):", part)) for part in named.split("@media (prefers-color-scheme: dark)", 1)
    )
    used = set(re.findall(r"var\((--[\w-]+)\)", found)) - {
        "--hatch"
    }  # which is the pattern of a drawing, set by script
    assert used <= light
    assert used <= dark
