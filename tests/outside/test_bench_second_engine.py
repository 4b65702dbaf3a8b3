"""The bench in a second engine, WebKit: from the shelf over handles, by hand and by keys, to a proof and files."""

from __future__ import annotations

import time
import tomllib
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest

from tests.app.desk.running import bench
from tests.app.desk.stand_ins import tray
from tests.outside.at_the_bench import PATIENCE
from tests.outside.webkit import NEEDED, webkit

pytestmark = NEEDED


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "home"


@pytest.fixture
def browser(home: Path) -> Iterator[Any]:
    with webkit(home) as driver:
        yield driver


def one(browser: Any, selector: str) -> Any:
    """What a selector finds, once it is there."""
    return until(browser, lambda: next(iter(browser.find_elements("css selector", selector)), None))


def until(browser: Any, what: Callable[[], Any]) -> Any:
    """What is found. A part that the page puts another in place of while it is read is looked for again."""
    from selenium.common.exceptions import StaleElementReferenceException

    end = time.monotonic() + PATIENCE
    while True:
        with suppress(StaleElementReferenceException):
            if found := what():
                return found
        assert time.monotonic() < end, browser.execute_script("return document.body.innerText.slice(0, 1500)")
        browser.execute_async_script("requestAnimationFrame(arguments[0])")


def press(browser: Any, selector: str) -> None:
    until(browser, lambda: one(browser, selector).click() or True)


def type_at(browser: Any, selector: str, *keys: str) -> None:
    until(browser, lambda: one(browser, selector).send_keys(*keys) or True)


def value_of(browser: Any, handle: str) -> float:
    return float(until(browser, lambda: one(browser, f'[data-handle="{handle}"]').get_attribute("aria-valuenow")))


def proof(browser: Any) -> str:
    return str(one(browser, ".verdict [role=status]").text)


def middle(browser: Any, handle: str) -> tuple[float, float]:
    x, y = browser.execute_script(
        """const knob = document.querySelector(`[data-handle="${arguments[0]}"] .knob`).getBoundingClientRect();
        return [knob.x + knob.width / 2, knob.y + knob.height / 2];""",
        handle,
    )
    return float(x), float(y)


def drag(browser: Any, handle: str, by_mm: float) -> None:
    """Drags a flank by a pointer that goes in ten steps."""
    from selenium.webdriver.common.actions.action_builder import ActionBuilder

    (x, y), (other, _) = middle(browser, handle), middle(browser, "flank 1")
    scale = (x - other) / (value_of(browser, handle) - value_of(browser, "flank 1"))
    actions = ActionBuilder(browser, duration=20)
    pointer = actions.pointer_action
    pointer.move_to_location(round(x), round(y))
    pointer.pointer_down()
    for step in range(1, 11):
        pointer.move_to_location(round(x + by_mm * scale * step / 10), round(y))
    pointer.pointer_up()
    actions.perform()


def test_from_the_shelf_to_files(browser: Any, home: Path, tmp_path: Path) -> None:
    from selenium.webdriver.common.keys import Keys

    folder = tmp_path / "shelf"
    folder.mkdir()
    recipe = tray(folder)
    with bench(str(folder), "--no-open", proves=True) as there:
        browser.get(there.address)
        press(browser, ".shelf a.open")
        until(browser, lambda: proof(browser).startswith("Proved."))
        press(browser, '[aria-label="One tail more"]')
        until(browser, lambda: len(browser.find_elements("css selector", "[data-drawing=face] .count")) == 5)
        before = value_of(browser, "flank 3")
        drag(browser, "flank 3", 2.0)
        until(browser, lambda: value_of(browser, "flank 3") == pytest.approx(before + 2.0, abs=0.06))
        until(browser, lambda: proof(browser).startswith("Proved."))
        type_at(browser, '[data-handle="baseline"]', Keys.ARROW_DOWN)
        until(browser, lambda: value_of(browser, "baseline") == pytest.approx(12.5))
        until(browser, lambda: one(browser, "#saved").text == "Saved")
        until(browser, lambda: tomllib.loads(recipe.read_text())["pin_board"]["thickness"] == 12.5)
        assert "# as the drawer" in recipe.read_text()
        until(browser, lambda: one(browser, '[data-key="joint.width"]').clear() or True)
        type_at(browser, '[data-key="joint.width"]', "4 in", Keys.ENTER)
        until(browser, lambda: proof(browser).startswith("Proved.") and '"4 in"' in recipe.read_text())
        until(browser, lambda: int(one(browser, "canvas").get_attribute("data-triangles") or 0) > 50)
        press(browser, 'a[href^="#/make/"]')
        press(browser, "input[value=corner]")
        until(browser, lambda: not one(browser, "input[value=corner]").is_selected())
        browser.find_element("xpath", "//button[text()='Make']").click()
        until(browser, lambda: "made, and the report" in one(browser, ".making").text)
        press(browser, '[aria-label="Download booklet.pdf"]')
        made, got = folder / "exports" / "tool-tray" / "booklet.pdf", home / "Downloads" / "booklet.pdf"
        until(browser, lambda: got.is_file() and got.read_bytes() == made.read_bytes())
        there.run.kill()
        there.run.wait()
        until(browser, lambda: "does not answer" in one(browser, "#lost").text)
