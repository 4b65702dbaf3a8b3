"""A piece at the bench, in Debian's Chromium on a phone's screen against the real bench; and the code that leads there,
read by ZBar (Debian package zbar-tools). Accessibility by axe-core (Deque Systems)."""

from __future__ import annotations

import io
import os
import pty
import re
import select
import shlex
import shutil
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from fcntl import ioctl
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from PIL import Image

from solids.app.desk.serving.lan import QUIET, lan_of
from solids.base.errors import InputError
from solids.recipe.text.texts import preset_text
from tests.app.desk.running import Bench, bench
from tests.outside.browser import AXE, NEEDED, needs_axe

pytestmark = NEEDED

needs_zbar = pytest.mark.skipif(shutil.which("zbarimg") is None, reason="zbarimg is not on PATH (Debian zbar-tools)")

PATIENCE = 90.0
PHONE: dict[str, Any] = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
NO_SECURE_CONTEXT = "Cross-Origin-Opener-Policy header has been ignored"
"""What Chromium says of a header that only counts over an encrypted connection. It is sent all the same."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in ("tool-tray", "keepsake-box", "blanket-chest"):
        (tmp_path / f"{name}.toml").write_text(preset_text(name), "utf-8")
    return tmp_path


def until(page: Any, what: Callable[[], Any]) -> Any:
    end = time.monotonic() + PATIENCE
    while not (found := what()):
        assert time.monotonic() < end, page.locator("body").inner_text()[:1500]
        page.wait_for_timeout(20)
    return found


@contextmanager
def on(browser: Any, address: str, **screen: Any) -> Iterator[Any]:
    """A page on a screen. At the end it has said nothing on its console."""
    room = browser.new_context(**(screen or PHONE))
    page = room.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(address)
    yield page
    room.close()
    assert [words for words in said if NO_SECURE_CONTEXT not in words] == []


def step(page: Any, what: str) -> Any:
    return page.locator(".todo", has=page.locator("strong", has_text=re.compile(rf"^{re.escape(what)}\."))).first


def tally(page: Any) -> str:
    return str(page.locator(".tally").inner_text())


def network() -> str:
    try:
        return lan_of(None).address
    except InputError as err:
        pytest.skip(f"this machine cannot offer anything in a network: {err}")


def guests(there: Bench) -> str:
    """The address for others that the bench has told."""
    assert there.run.stderr
    there.run.stderr.readline()
    found = re.search(r"http://\S+", there.run.stderr.readline())
    assert found
    return found[0]


# --- on a phone --------------------------------------------------------------------------------------


def test_a_tick_on_a_phone_stays_and_a_change_of_the_recipe_tells_which_steps_have_changed(
    browser: Any, folder: Path
) -> None:
    network()
    with bench(str(folder), "--no-open", "--lan", proves=True) as there:
        address = guests(there)
        with on(browser, address) as phone, on(browser, f"{there.address}#/bench/tool-tray", **PHONE) as own:
            phone.get_by_role("link", name="tool tray").click()
            until(phone, lambda: tally(phone) == "0 of 10 steps ticked.")
            assert phone.get_by_role("button", name="On your phone").count() == 0
            step(phone, "Gauge").tap()
            step(phone, "Try it dry").tap()
            until(own, lambda: tally(own) == "2 of 10 steps ticked.")
            phone.reload()
            until(phone, lambda: tally(phone) == "2 of 10 steps ticked.")
            assert step(phone, "Gauge").locator("input").is_checked()
            there.ask("api/piece/tool-tray/set", {"changes": {"pin_board.thickness": "14"}})
            until(phone, lambda: "1 step has changed" in tally(phone))
            assert not step(phone, "Gauge").locator("input").is_checked()
            assert "It said: 12.5 mm" in step(phone, "Gauge").inner_text()
            assert step(phone, "Try it dry").locator("input").is_checked()
            assert "14.5 mm" in phone.locator(".large > div", has_text="Gauge, tail board").inner_text()
        there.run.kill()
        there.run.wait()
    with (
        bench(str(folder), "--no-open", proves=True) as there,
        on(browser, f"{there.address}#/bench/tool-tray", **PHONE) as own,
    ):
        until(own, lambda: tally(own).startswith("1 of 10 steps ticked. 1 step has changed"))
        own.get_by_role("button", name="Begin again").tap()
        until(own, lambda: tally(own) == "0 of 10 steps ticked.")
        own.get_by_role("button", name="Bring the ticks back").tap()
        until(own, lambda: tally(own).startswith("1 of 10"))


def test_a_tick_that_could_not_be_sent_is_sent_when_the_network_is_back(browser: Any, folder: Path) -> None:
    with bench(str(folder), "--no-open") as there:
        room = browser.new_context(**PHONE)
        page = room.new_page()
        page.goto(f"{there.address}#/bench/tool-tray")
        until(page, lambda: page.locator(".tally").count() and tally(page) == "0 of 10 steps ticked.")
        room.set_offline(True)
        step(page, "Gauge").tap()
        until(page, lambda: "sent when it comes back" in page.locator("#lost").inner_text())
        assert step(page, "Gauge").locator("input").is_checked()
        room.set_offline(False)
        until(page, (folder / "ticks" / "tool-tray.json").exists)
        until(page, lambda: not page.locator("#lost").is_visible())
        assert tally(page) == "1 of 10 steps ticked."
        room.close()


def test_by_keys_alone_the_next_step_is_found_and_ticked(browser: Any, folder: Path) -> None:
    with (
        bench(str(folder), "--no-open") as there,
        on(browser, f"{there.address}#/bench/tool-tray", viewport={"width": 1280, "height": 800}) as page,
    ):
        until(page, lambda: page.locator(".todo").count() == 10)
        for number in range(1, 4):
            page.get_by_role("button", name="Next step").focus()
            page.keyboard.press("Enter")
            assert page.evaluate("document.activeElement.type") == "checkbox"
            page.keyboard.press("Space")
            until(page, lambda number=number: tally(page) == f"{number} of 10 steps ticked.")


def test_a_box_gets_the_order_of_its_proof(browser: Any, folder: Path) -> None:
    with (
        bench(str(folder), "--no-open", proves=True) as there,
        on(browser, f"{there.address}#/bench/keepsake-box", **PHONE) as page,
    ):
        until(page, lambda: page.get_by_text("Lay the left board on two battens, show face down").count())
        assert page.get_by_text("comes with the proof").count() == 0
        assert page.locator(".cut-list tbody tr").count() == 5


# --- how it looks ------------------------------------------------------------------------------------

SIZES = ((320, 640), (768, 1024), (1280, 800), (1920, 1080))


@needs_axe
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_has_no_serious_fault_fits_and_is_large_enough_for_a_thumb(browser: Any, folder: Path, scheme: str) -> None:
    with bench(str(folder), "--no-open", proves=True) as there:
        for width, height in SIZES:
            screen = {"viewport": {"width": width, "height": height}, "color_scheme": scheme, "bypass_csp": True}
            for name in ("blanket-chest", "keepsake-box"):
                with on(browser, f"{there.address}#/bench/{name}", **screen) as page:
                    until(page, lambda page=page: page.locator(".todo").count() > 9)
                    until(page, lambda page=page: page.locator(".waits").count() == 0)  # no step comes under the finger
                    page.locator(".todo").first.click()
                    until(page, lambda page=page: tally(page).startswith("1 of"))
                    assert page.evaluate("document.documentElement.scrollWidth") <= width, (name, width)
                    heights = page.evaluate(
                        "[...document.querySelectorAll('.at-bench :is(.todo, button, a.button, .joints label)')]"
                        ".filter((one) => one.offsetParent).map((one) => one.getBoundingClientRect().height)"
                    )
                    assert min(heights) >= 44, (name, width)
                    page.evaluate(AXE.read_text())
                    found = page.evaluate("axe.run()")["violations"]
                    assert [one["id"] for one in found if one["impact"] in ("serious", "critical")] == [], name
                    page.get_by_role("button", name="Begin again").click()
                    until(page, lambda page=page: tally(page).startswith("0 of"))


# --- the code ----------------------------------------------------------------------------------------


def read_by_zbar(image: Image.Image) -> str:
    data = io.BytesIO()
    image.save(data, "PNG")
    done = subprocess.run(["zbarimg", "--quiet", "--raw", "-"], input=data.getvalue(), capture_output=True, check=False)
    return done.stdout.decode().strip()


@needs_zbar
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_page_shows_a_code_that_leads_to_this_piece(browser: Any, folder: Path, scheme: str) -> None:
    network()
    (folder / "tool-tray.toml").rename(folder / "my tray.toml")
    with bench(str(folder), "--no-open", "--lan") as there:
        address = guests(there)
        with on(
            browser, f"{there.address}#/bench/my%20tray", viewport={"width": 900, "height": 900}, color_scheme=scheme
        ) as own:
            own.get_by_role("button", name="On your phone").click()
            code = own.locator("dialog .code")
            code.wait_for()
            until(own, lambda: code.evaluate("(one) => one.complete && one.naturalWidth"))
            with Image.open(io.BytesIO(code.screenshot())) as image:
                found = read_by_zbar(image)
            assert found == f"{address}#/bench/{quote('my tray')}" == own.locator("dialog .address").inner_text()
            own.keyboard.press("Escape")
            until(own, lambda: own.locator("dialog").count() == 0)
        with on(browser, found) as phone:
            until(phone, lambda: phone.locator("h1", has_text="tool tray").count())


def test_where_it_is_off_the_page_says_how_to_switch_it_on(browser: Any, folder: Path) -> None:
    with (
        bench(str(folder), "--no-open") as there,
        on(browser, f"{there.address}#/bench/tool-tray", viewport={"width": 900, "height": 900}) as own,
    ):
        own.get_by_role("button", name="On your phone").click()
        command = shlex.split(own.locator("dialog .address").inner_text())
        assert command[1:] == ["-P", "-m", "solids", "bench", str(folder), "--lan"]
        assert Path(command[0]).samefile(sys.executable)
        assert own.locator("dialog img").count() == 0


DRAW = """
import sys
from solids.app.desk.serving.lan import code_rows
from solids.app.terminal import draw_code
draw_code(code_rows(sys.argv[1]))
"""
ADDRESS = f"http://192.168.100.100:65535/{'aB3_-xYz' * 4}/"


def on_a_terminal(columns: int = 80, **environment: str) -> str:
    """What the code is on a terminal of 24 lines, signs of colour and all."""
    main, other = pty.openpty()
    ioctl(other, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    names = ("NO_COLOR", "COLORTERM", "TERM", "COLUMNS", "LINES", "LC_ALL", "LANG", "PYTHONIOENCODING")
    env = {key: value for key, value in os.environ.items() if key not in names}
    env |= {"TERM": "xterm-256color", "LC_ALL": "C.UTF-8", **environment}
    with subprocess.Popen([sys.executable, "-c", DRAW, ADDRESS], stdout=other, stderr=other, env=env) as run:
        os.close(other)
        said = b""
        while run.poll() is None or select.select([main], [], [], 0.2)[0]:
            if select.select([main], [], [], 0.2)[0]:
                try:
                    said += os.read(main, 65536)
                except OSError:  # the other end is closed
                    break
    os.close(main)
    assert b"Traceback" not in said, said.decode()
    return said.decode()


def drawn(said: str) -> Image.Image:
    """The signs as pixels, as a dark terminal shows them: ten for a square, and what is drawn is light."""
    lines = [line for line in re.sub(r"\x1b\[[\d;]*m", "", said).splitlines() if line]
    image = Image.new("L", (len(lines[0]), 2 * len(lines)))
    for y, line in enumerate(lines):
        for x, sign in enumerate(line):
            image.putpixel((x, 2 * y), 255 * (sign in "\u2588\u2580"))
            image.putpixel((x, 2 * y + 1), 255 * (sign in "\u2588\u2584"))
    return image.resize((image.width * 10, image.height * 10), Image.Resampling.NEAREST)


@needs_zbar
def test_the_terminal_draws_a_code_that_a_camera_reads() -> None:
    said = on_a_terminal()
    assert "\x1b[38;5;231;48;5;16m" in said, "white on black, whatever the terminal's own colours"
    image = drawn(said)
    assert read_by_zbar(image) == ADDRESS
    assert image.crop((0, 0, image.width, QUIET * 10)).getextrema() == (255, 255)
    plain = on_a_terminal(NO_COLOR="1")
    assert "\x1b[38" not in plain
    assert read_by_zbar(drawn(plain)) == ADDRESS


@pytest.mark.parametrize(
    "terminal", [{"TERM": "dumb"}, {"LC_ALL": "C", "PYTHONIOENCODING": "ascii"}, {"columns": 40}], ids=str
)
def test_a_terminal_that_cannot_show_it_gets_none(terminal: dict[str, Any]) -> None:
    assert on_a_terminal(**terminal) == ""
