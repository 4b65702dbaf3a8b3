"""What a hand does on the page of the bench, and what it reads there, in a browser that Playwright drives. Nothing here
waits for a time: each wait ends when what is waited for is there."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

PATIENCE = 90.0
"""How long anything may take on a machine that does other things too (s)."""

MOST_TABS = 400
"""How often Tab is pressed for a place on the page, before it is out of reach."""


def until(page: Any, what: Callable[[], Any], patience: float = PATIENCE) -> None:
    """Waits until something is so. What the page says is told where it does not happen."""
    end = time.monotonic() + patience
    while not what():
        assert time.monotonic() < end, page.locator("body").inner_text()[:1500]
        page.wait_for_timeout(10)


# --- what stands on a piece ------------------------------------------------------------------------


def key(page: Any, name: str) -> Any:
    """The control of a key."""
    return page.locator(f'[data-key="{name}"]')


def row(page: Any, name: str) -> Any:
    """A control with all that is said of it."""
    return page.locator(f'[data-row="{name}"]')


def proof(page: Any) -> str:
    """What is said of the proof in one line."""
    return str(page.locator(".verdict [role=status]").inner_text())


def tails(page: Any) -> int:
    """How many tails are numbered on the drawing of the face."""
    return int(page.locator('[data-drawing="face"] .count').count())


def until_proved(page: Any) -> None:
    until(page, lambda: proof(page).startswith("Proved."))


def until_saved(page: Any) -> None:
    until(page, lambda: page.locator("#saved").inner_text() == "Saved")


def typed(page: Any, name: str, value: str) -> None:
    """Types a value at its control."""
    key(page, name).fill(value)
    page.keyboard.press("Enter")


# --- handles ---------------------------------------------------------------------------------------


def place_of(page: Any, handle: str) -> tuple[float, float]:
    """Where a handle is on the screen."""
    knob = page.locator(f'[data-handle="{handle}"] .knob')
    knob.scroll_into_view_if_needed()
    box = knob.bounding_box()
    assert box, f"{handle} has gone"
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def value_of(page: Any, handle: str) -> float:
    """The length of a handle (mm)."""
    return float(page.locator(f'[data-handle="{handle}"]').get_attribute("aria-valuenow"))


def pixels_per_mm(page: Any, handle: str = "flank 1", other: str = "flank 2") -> float:
    """How large the drawing is, by two handles that both are places along it."""
    across = place_of(page, other)[0] - place_of(page, handle)[0]
    return abs(across / (value_of(page, other) - value_of(page, handle)))


def drag(page: Any, handle: str, by_px: float, steps: int = 12) -> None:
    """Drags a handle to the right."""
    x, y = place_of(page, handle)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + by_px, y, steps=steps)
    page.mouse.up()


# --- by keys alone ---------------------------------------------------------------------------------

NAME_IN_FOCUS = """() => {
  const one = document.activeElement;
  const label = one.labels?.[0]?.textContent;
  return (one.getAttribute('aria-label') || label || one.textContent || one.tagName).trim().replace(/\\s+/g, ' ');
}"""


def in_focus(page: Any) -> str:
    """The name of what has the focus."""
    return str(page.evaluate(NAME_IN_FOCUS))


def tab_to(page: Any, name: str) -> None:
    """Presses Tab until what begins with that name has the focus."""
    for _ in range(MOST_TABS):
        if in_focus(page).startswith(name):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"Tab does not come to {name}")


# --- files -----------------------------------------------------------------------------------------


def make(page: Any, *wanted: str) -> None:
    """On the view for files: ticks these words and no others, makes, and waits until all is made."""
    boxes = page.locator(".wanted")
    for number in range(boxes.count()):
        one = boxes.nth(number)
        one.locator("input").set_checked(any(words in one.inner_text() for words in wanted))
    page.get_by_role("button", name="Make", exact=True).click()
    until(page, lambda: "made, and the report" in page.locator(".making").inner_text(), 4 * PATIENCE)
