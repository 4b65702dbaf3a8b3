"""The bench for people who see, hear, move or look otherwise, in Debian's Chromium against `halfpin bench` itself.
Accessibility by axe-core (Deque Systems); the rules by their numbers are those of WCAG 2.2 (W3C)."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import pytest

from solids.recipe import preset_text
from tests.app.desk.running import Bench, bench
from tests.app.desk.stand_ins import TRAY, tray
from tests.outside.at_the_bench import MOST_TABS, until, until_proved
from tests.outside.browser import AXE, NEEDED, TWO_FRAMES, needs_axe, opened

pytestmark = NEEDED

WIDTHS = (360, 768, 1280, 2560)
TOO_MANY = TRAY.replace("tails = 4", "tails = 35").replace('"tool tray"', '"too many"')


@pytest.fixture(scope="module")
def there(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """A bench with a corner, a box, a corner that cannot be cut, and one that was put away."""
    folder = tmp_path_factory.mktemp("shelf")
    tray(folder)
    tray(folder, "too-many", TOO_MANY)
    tray(folder, "keepsake-box", preset_text("keepsake-box"))
    (folder / "put away").mkdir()
    tray(folder / "put away", "old-tray")
    with bench(str(folder), "--no-open", proves=True) as found:
        yield found


# --- every view ------------------------------------------------------------------------------------


def _nothing(_page: Any) -> None:
    """The view is as it comes."""


def _button(name: str) -> Callable[[Any], None]:
    return lambda page: page.get_by_role("button", name=name).first.click()


def _folds(page: Any) -> None:
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")


def _wrong_marks(page: Any) -> None:
    page.get_by_role("button", name="From measured marks").click()
    page.get_by_label("Title").fill("old drawer")
    page.get_by_label("or paste it here").fill("nonsense")
    page.get_by_role("button", name="Begin", exact=True).click()
    page.get_by_role("dialog").get_by_role("alert").wait_for()


def _proved(page: Any) -> None:
    until_proved(page)
    page.locator("canvas").wait_for()
    _folds(page)


def _cannot_be(page: Any) -> None:
    until(page, lambda: "Not proved" in page.locator(".verdict").inner_text())
    _folds(page)


@dataclass(frozen=True)
class View:
    """A view by its address behind #, what to wait for on it, and what to do on it before it is looked at."""

    at: str
    shows: str
    then: Callable[[Any], None] = _nothing


VIEWS = {
    "the shelf": View("", ".shelf > li", _folds),
    "a new piece": View("", ".shelf > li", _button("New piece")),
    "marks that cannot be read": View("", ".shelf > li", _wrong_marks),
    "a recipe to take in": View("", ".shelf > li", _button("Take in a recipe")),
    "a title": View("", ".shelf > li", _button("Rename tool tray")),
    "a corner": View("#/piece/tool-tray", ".drawing", _proved),
    "a box": View("#/piece/keepsake-box", ".drawing", _proved),
    "what cannot be cut": View("#/piece/too-many", ".problems li", _cannot_be),
    "a piece that is not there": View("#/piece/nowhere", "h1:has-text('cannot be shown')"),
    "files to make": View("#/make/tool-tray", ".lists .empty"),
}
"""Every view of the page; a new one is a line here."""

each_view = pytest.mark.parametrize("name", VIEWS)


@contextmanager
def seen(browser: Any, there: Bench, name: str, width: int = 1280, height: int = 900, **more: Any) -> Iterator[Any]:
    view = VIEWS[name]
    with opened(browser, there.address, width, height, quiet=False, bypass_csp=True, **more) as page:
        page.locator(".shelf > li").first.wait_for()
        page.goto(there.address + view.at)
        page.locator(view.shows).first.wait_for()
        view.then(page)
        page.evaluate(TWO_FRAMES)
        yield page


@needs_axe
@pytest.mark.parametrize("scheme", ["light", "dark"])
@each_view
def test_axe_finds_nothing_serious_at_any_width(browser: Any, there: Bench, name: str, scheme: str) -> None:
    with seen(browser, there, name, color_scheme=scheme, reduced_motion="reduce") as page:
        page.add_script_tag(path=str(AXE))
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            page.evaluate(TWO_FRAMES)
            found = page.evaluate("axe.run()")["violations"]
            serious = [
                (one["id"], one["nodes"][0]["html"]) for one in found if one["impact"] in ("serious", "critical")
            ]
            assert (width, serious) == (width, [])
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), f"{width} px scroll to the side"


SIDEWAYS = """() => [...document.querySelectorAll('body, body *')]
  .filter((one) => !one.closest('.scroll, svg, textarea, select') && getComputedStyle(one).display !== 'inline'
    && one.scrollWidth > one.clientWidth + 1 && one.clientWidth > 1
    && !['visible', 'clip'].includes(getComputedStyle(one).overflowX))
  .map((one) => one.outerHTML.slice(0, 120))"""
"""What scrolls to the side by itself. A drawing may (1.4.10 leaves out what needs two dimensions), and a line to type
in does."""


@each_view
def test_at_400_percent_nothing_scrolls_two_ways(browser: Any, there: Bench, name: str) -> None:
    """1280 x 1024 px at 400 % are 320 x 256 (1.4.10)."""
    with seen(browser, there, name, 320, 256) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= 320
        assert [one for one in page.evaluate(SIDEWAYS) if not one.startswith("<input")] == []


# --- by keys ---------------------------------------------------------------------------------------

REST = """() => {
  // How everything that can be reached looks while the focus is elsewhere.
  const looks = (one) => {
    const its = getComputedStyle(one);
    return [its.outlineStyle, its.outlineWidth, its.stroke, its.strokeWidth, its.fill].join();
  };
  window.looks = (one) => [one, ...one.querySelectorAll('*')].map(looks).join();
  window.at_rest = new Map();
  document.activeElement.blur();
  for (const one of document.querySelectorAll('a, button, input, select, textarea, summary, canvas, [tabindex]')) {
    at_rest.set(one, window.looks(one));
  }
}"""

WHERE = """() => {
  const one = document.activeElement;
  if (!one || one === document.body) return null;
  const box = one.getBoundingClientRect();
  const clear = (x, y) => {
    const top = document.elementFromPoint(box.x + box.width * x, box.y + box.height * y);
    return top && (one.contains(top) || top.contains(one));
  };
  const name = one.getAttribute('aria-label') || one.labels?.[0]?.textContent || one.textContent || '';
  return {
    name: name.trim().slice(0, 40),
    at: [...document.querySelectorAll('*')].indexOf(one),
    marked: window.looks(one) !== at_rest.get(one),
    seen: [0.5, 0.1, 0.9].some((x) => [0.5, 0.15, 0.85].some((y) => clear(x, y))),
  };
}"""


@pytest.mark.parametrize("name", [name for name, view in VIEWS.items() if "cannot be read" not in name])
def test_tab_goes_through_all_in_order_and_shows_where_it_is(browser: Any, there: Bench, name: str) -> None:
    """No trap (2.1.2), an order that has sense (2.4.3), a focus that is seen (2.4.7) and not covered (2.4.11)."""
    with seen(browser, there, name) as page:
        page.evaluate(REST)
        stops: list[dict[str, Any]] = []
        for _ in range(MOST_TABS):
            page.keyboard.press("Tab")
            page.evaluate(TWO_FRAMES)
            stop = page.evaluate(WHERE)
            if stop is None or (stops and stop["at"] == stops[0]["at"]):
                break
            stops.append(stop)
        else:
            raise AssertionError(f"Tab does not come round: {stops[-3:]}")
        assert stops
        assert [stop["name"] for stop in stops if not stop["marked"]] == []
        assert [stop["name"] for stop in stops if not stop["seen"]] == []
        places = [stop["at"] for stop in stops]
        assert places == sorted(places), "Tab goes as it stands on the page"
        assert [stop for stop in stops if not stop["name"]] == []


# --- less motion, and colours of one's own -----------------------------------------------------------

MOVES = """() => [...document.querySelectorAll('*')].filter((one) => {
  const its = getComputedStyle(one), lasts = (time) => /[1-9]/.test(time);
  return lasts(its.transitionDuration) || (its.animationName !== 'none' && lasts(its.animationDuration));
}).map((one) => one.outerHTML.slice(0, 80))"""


@each_view
def test_nothing_moves_by_itself_where_less_motion_is_asked_for(browser: Any, there: Bench, name: str) -> None:
    with seen(browser, there, name, reduced_motion="reduce") as page:
        assert page.evaluate(MOVES) == []


def test_in_colours_of_ones_own_handles_wood_and_focus_stand_out(browser: Any, there: Bench) -> None:
    with seen(browser, there, "a corner", forced_colors="active") as page:
        knob = page.locator(".handle .knob").first
        fill = "one => getComputedStyle(one).fill"
        assert knob.evaluate(fill) != page.locator('[data-drawing="face"] .tail-board').evaluate(fill)
        line = "one => getComputedStyle(one).stroke"
        assert page.locator('[data-drawing="face"] .tail-board').evaluate(line) != page.evaluate(
            "getComputedStyle(document.body).backgroundColor"
        )
        page.locator(".handle").first.focus()
        page.keyboard.press("Shift+Tab")
        assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
