"""`halfpin watch` with a recipe for a whole box, and with one that is a corner now and a box then."""

from __future__ import annotations

import re
import signal
from pathlib import Path

import pytest

from solids.recipe import preset_text
from tests.app.test_cli_watch import GOES, TRAY, events, headline, save, watch

BOX = preset_text("keepsake-box")
BOX_GOES = "The box goes together."


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    path = tmp_path / "mine.toml"
    path.write_text(BOX, "utf-8")
    return path


def test_a_box_is_proved_and_its_page_follows_each_save(recipe: Path) -> None:
    with watch(recipe, cwd=recipe.parent) as run:
        run.line("out", BOX_GOES)
        run.line("err", ", in ")
        with events(run) as heard:
            assert heard.next() == (1, "")
            assert headline(run.page()).startswith("Outside 240 mm")
            assert b'data-live="1"' in run.page()
            assert b"Files next to this page" not in run.page(), "nothing lies next to a page that is served"
            save(recipe, BOX.replace("length = 240", "length = 300"))
            heard.until(2)
            assert headline(run.page()).startswith("Outside 300 mm")
            assert b'data-live="2"' in run.page()
        run.line("err", ", in ")
        code, out, err = run.end()
    assert code == 0
    assert out.count(BOX_GOES) == 2
    assert out.count("It goes together in this order") == 2
    assert len(re.findall(r"^\d\d:\d\d:\d\d, in \d+\.\d\d s$", err, re.MULTILINE)) == 2
    assert [path.name for path in recipe.parent.iterdir()] == ["mine.toml"]


def test_a_box_that_breaks_leaves_the_last_good_one_and_says_why(recipe: Path) -> None:
    with watch(recipe) as run, events(run) as heard:
        heard.until(1)
        good = run.page()
        for text, says in (
            ("[box\nlength = 240", "is not TOML"),
            (BOX.replace("length = 240", "length = 5"), "box.length"),
            (BOX.replace("up = 10", "up = 29"), "the groove cuts a pin"),
            (BOX.replace("[box]\n", "[box]\ndepth = 3\n"), "box.depth"),
            (BOX.replace("length = 240\n", ""), "box.length: is missing"),
        ):
            save(recipe, text)
            version, trouble = heard.troubled()
            while says not in trouble:
                version, trouble = heard.troubled()
            assert version == 1
            assert trouble.endswith("Below is the last version that could be read.")
            assert run.page() == good
            run.line("err", says)
        save(recipe, BOX)
        heard.until(2)
        run.line("err", ", in ")
        assert run.end()[0] == 0


def test_a_corner_that_becomes_a_box_and_back_is_shown_as_what_it_is(recipe: Path) -> None:
    save(recipe, TRAY)
    with watch(recipe) as run, events(run) as heard:
        heard.until(1)
        run.line("out", GOES)
        assert "4 tails" in headline(run.page())
        save(recipe, f"{TRAY}\n[box]\nlength = 300\nwidth = 200\n")
        heard.until(2)
        run.line("out", BOX_GOES)
        assert headline(run.page()).startswith("Outside 300 mm")
        save(recipe, f"{TRAY}\n[box]\nlength = 3\nwidth = 200\n")
        version, trouble = heard.troubled()
        assert (version, "box.length" in trouble) == (2, True)
        save(recipe, TRAY.replace("tails = 4", "tails = 5"))
        heard.until(3)
        run.line("out", GOES)
        assert "5 tails" in headline(run.page())
        run.line("err", ", in ")
        assert run.end()[0] == 0


def test_a_box_that_fails_its_proof_is_shown_and_said_to_fail(recipe: Path) -> None:
    with watch(recipe, "--set", "fit.flank_gap=-0.08") as run, events(run) as heard:
        heard.until(1)
        run.line("out", "The box fails its proof.")
        assert b"This box fails its proof. Do not cut it." in run.page()
        assert run.end()[0] == 0, "to watch is no failure"


def test_what_is_set_beside_the_recipe_may_make_it_a_box(recipe: Path) -> None:
    save(recipe, TRAY)
    with watch(recipe, "--set", "box.length=300", "--set", "box.width=200") as run, events(run) as heard:
        heard.until(1)
        assert headline(run.page()).startswith("Outside 300 mm")
        save(recipe, TRAY.replace("width = 96", "width = 120"))
        heard.until(2)
        assert "120 mm" in headline(run.page())


@pytest.mark.parametrize(("number", "code"), [(signal.SIGINT, 0), (signal.SIGTERM, 143)])
@pytest.mark.parametrize("when", ["at once", "after the first"])
def test_it_ends_when_it_is_told_to(recipe: Path, number: int, code: int, when: str) -> None:
    with watch(recipe) as run, events(run) as heard:
        if when == "after the first":
            heard.until(1)
        found, _, err = run.end(number)
        assert found == code
        assert "Stopped" not in err
        heard.rest()
