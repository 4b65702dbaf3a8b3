"""My shop on the page: what is written into shop.toml and what is not, what comes in from elsewhere, and which pieces
are shown and proved anew."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from solids.app.desk.keys import FIRST_IN_SHOP, shop_controls
from solids.app.desk.shop.own_shop import HELD, LEFT_OUT, OwnShop
from solids.app.desk.shop.settings import SAMPLE, sample_for
from solids.app.desk.sitting import Sitting
from solids.base.errors import FileError, InputError, RecipeError
from solids.layout import Layout
from solids.layout.plan import laid_out
from solids.recipe.completing.shop import NO_SHOP
from solids.recipe.text.frozen import added
from solids.recipe.text.shop_file import shop_keys, shop_of
from solids.recipe.text.toml import parse_toml
from tests.app.desk.stand_ins import TRAY, Proving, hands_of, page, sitting_in, tray, waited

MINE = """\
# what I have
author = "Ann Joiner"

[kit]
chisels = [3, 6]  # the good ones
saw_kerf = 0.6
"""


def shop_in(folder: Path, text: str | None = MINE, **more: Any) -> tuple[Path, OwnShop]:
    file = folder / "settings" / "shop.toml"
    if text is not None:
        file.parent.mkdir()
        file.write_text(text)
    return file, OwnShop(file, **more)


def written(state: dict[str, Any]) -> dict[str, str]:
    return {key: one["value"] for key, one in state["keys"].items() if one["value"]}


def wrong(state: dict[str, Any]) -> dict[str, str]:
    return {key: one["problem"]["wrong"] for key, one in state["keys"].items() if one["problem"]}


# --- controls ----------------------------------------------------------------------------------------


def test_every_setting_has_a_control_in_words(tmp_path: Path) -> None:
    controls = {one["key"]: one for one in shop_controls(NO_SHOP)}
    assert [*controls, "woods"] == list(shop_keys())
    assert set(controls) >= FIRST_IN_SHOP
    assert {key for key, one in controls.items() if not one["rare"]} == FIRST_IN_SHOP
    assert all(one["about"] and all(one["examples"].values()) for one in controls.values())
    assert controls["author"]["about"].startswith("Your name")
    assert controls["climate.home.dry"]["about"] == "The air at the driest time of the year."
    assert [key for key, one in controls.items() if one["kind"] == "sizes"] == ["kit.chisels", "kit.cutters"]
    _, shop = shop_in(tmp_path, None)
    assert set(shop.state()["keys"]) == set(controls)


def test_what_the_rules_say_is_told_where_nothing_is_set(tmp_path: Path) -> None:
    _, shop = shop_in(tmp_path)
    keys = shop.state()["keys"]
    assert (keys["kit.chisels"]["by"], keys["kit.chisels"]["items"]) == ("you", ["3", "6"])
    assert (keys["paper.size"]["by"], keys["paper.size"]["shown"]) == ("rule", "A4")
    assert "common practice" in keys["paper.size"]["rule"]
    assert shop.set({"units": "in"})["keys"]["paper.size"]["shown"] == "Letter"
    assert shop.set({"aids.marker.thickest": "4 mm"})["keys"]["paper.size"]["shown"] == "Letter"


def test_the_rules_say_the_same_of_any_other_piece() -> None:
    sizes = {"joint": {"width": 310}, "tail_board": {"thickness": 30}, "pin_board": {"thickness": 7}}
    other = laid_out(sizes, (), NO_SHOP)
    assert isinstance(other, Layout)
    one, two = ({each.key: each for each in added(recipe)} for recipe in (sample_for(NO_SHOP), other.recipe))
    there = [key for key in shop_keys() if key in one or key in two]
    assert len(there) > 8
    assert [one.get(key) for key in there] == [two.get(key) for key in there]
    assert set(SAMPLE) == {"joint", "tail_board", "pin_board"}


# --- the file ----------------------------------------------------------------------------------------


def test_the_file_is_made_with_the_first_change_and_not_before(tmp_path: Path) -> None:
    file, shop = shop_in(tmp_path, None)
    state = shop.state()
    shop.tick()
    assert not file.parent.exists()
    assert (state["is_there"], state["file"], state["good"]) == (False, str(file), True)
    state = shop.set({"kit.chisels": [6, "3/4 in"]})
    assert file.read_text() == '[kit]\nchisels = [6, "3/4 in"]\n'
    assert (state["is_there"], state["changed"], state["can_undo"]) == (True, ["kit.chisels"], True)
    assert shop.shop.asked.kit.chisels == pytest.approx((6.0, 19.05))


def test_comments_stay_and_every_step_can_be_undone_and_made_again(tmp_path: Path) -> None:
    file, shop = shop_in(tmp_path)
    shop.set({"kit.chisels": [3, 6, 10]})
    shop.set({"author": " Bob "})
    now = MINE.replace("[3, 6]", "[3, 6, 10]").replace("Ann Joiner", "Bob")
    assert file.read_text() == now
    shop.undo()
    assert shop.undo()["changed"] == ["kit.chisels"]
    assert file.read_text() == MINE
    shop.redo()
    shop.redo()
    assert file.read_text() == now
    state = shop.set({"kit.saw_kerf": None})
    assert "saw_kerf" not in file.read_text()
    assert (state["keys"]["kit.saw_kerf"]["by"], state["keys"]["kit.saw_kerf"]["shown"]) == ("rule", "")


def test_what_cannot_be_is_held_with_its_reason_and_the_file_stays_readable(tmp_path: Path) -> None:
    file, shop = shop_in(tmp_path)
    state = shop.set({"kit.saw_kerf": "400", "kit.knife": "0.8"})
    assert wrong(state) == {"kit.saw_kerf": "400 mm is over the most"}
    assert (written(state)["kit.saw_kerf"], state["unsaved"]) == ("400", HELD)
    assert "saw_kerf = 0.6" in file.read_text()
    assert "knife = 0.8" in file.read_text()
    assert shop.shop.asked.kit.saw_kerf == 0.6
    assert wrong(shop.state()) == wrong(state), "it stays until it is mended"
    state = shop.set({"kit.saw_kerf": "0.4"})
    assert (wrong(state), state["unsaved"], "saw_kerf = 0.4" in file.read_text()) == ({}, "", True)
    state = shop.set({"kit.chisels": [3, 999]})
    assert wrong(state) == {"kit.chisels": "999 mm is over the most"}, "one of a list is told at the list"
    state = shop.set({"kit.chisels": None})
    assert (wrong(state), state["unsaved"], "chisels" in file.read_text()) == ({}, "", False)


def test_what_is_held_is_kept_while_others_are_saved_and_told_at_the_end(tmp_path: Path) -> None:
    file, shop = shop_in(tmp_path)
    shop.set({"kit.saw_kerf": "400"})
    state = shop.set({"kit.knife": "0.8"})
    assert wrong(state) == {"kit.saw_kerf": "400 mm is over the most"}
    assert (written(state)["kit.saw_kerf"], "knife = 0.8" in file.read_text()) == ("400", True)
    assert shop.unsaved() == ["kit.saw_kerf in My shop: 400 mm is over the most"]
    shop.set({"kit.saw_kerf": "0.4"})
    assert shop.unsaved() == []


def test_undo_lets_go_of_what_is_held(tmp_path: Path) -> None:
    file, shop = shop_in(tmp_path)
    shop.set({"kit.knife": "0.8"})
    shop.set({"kit.saw_kerf": "400"})
    state = shop.undo()
    assert (wrong(state), state["unsaved"], file.read_text()) == ({}, "", MINE)


def test_two_settings_that_go_together_are_written_together(tmp_path: Path) -> None:
    file, shop = shop_in(tmp_path)
    state = shop.set({"print.magnet.diameter": "10"})
    assert wrong(state) == {"print.magnet.thickness": "is missing"}
    assert file.read_text() == MINE
    state = shop.set({"print.magnet.thickness": "2"})
    assert (wrong(state), state["unsaved"]) == ({}, "")
    assert parse_toml(file.read_text(), "")["print"]["magnet"] == {"diameter": 10, "thickness": 2}


def test_other_units_leave_the_sizes_as_they_were(tmp_path: Path) -> None:
    file, shop = shop_in(tmp_path, f"{MINE}cutters = [3]\n[print]\nbed = [220, 220]\n[woods]\nplum = {PLUM}\n")
    before = shop.shop.asked
    state = shop.set({"units": "in"})
    assert "inches now" in state["told"]
    after = shop.shop.asked
    assert (after.kit, after.print, after.woods) == (before.kit, before.print, before.woods)
    assert 'chisels = ["3 mm", "6 mm"]  # the good ones' in file.read_text()
    assert shop.set({"units": "in"})["told"] == ""
    shop.undo()
    assert shop.shop.asked == before
    assert "chisels = [3, 6]" in file.read_text()


PLUM = '{ kind = "hardwood", density = 750 }'


@pytest.mark.parametrize("text", [f"[woods]\nplum = {PLUM}\n", '[woods.plum]\nkind = "hardwood"\ndensity = 750\n', ""])
def test_woods_of_ones_own(tmp_path: Path, text: str) -> None:
    file, shop = shop_in(tmp_path, text)
    if not text:
        assert shop.set({"woods.plum": {"kind": "hardwood", "density": "750"}})["woods"] == ["plum"]
    state = shop.set({"woods.plum.density": "800", "woods.wild pear": {"kind": "hardwood", "density": 690}})
    assert state["woods"] == ["plum", "wild pear"]
    assert state["keys"]["woods.plum.density"]["value"] == "800"
    assert sorted(wood.name for wood in shop.shop.woods) == ["plum", "wild pear"]
    state = shop.set({"woods.plum.radial": "0.0015"})
    assert "radial and tangential" in wrong(state)["woods.plum"]
    assert "radial" not in file.read_text()
    state = shop.set({"woods.plum.tangential": "0.003"})
    assert (wrong(state), parse_toml(file.read_text(), "")["woods"]["plum"]["tangential"]) == ({}, 0.003)
    state = shop.set({"woods.plum": None})
    assert state["woods"] == ["wild pear"]
    state = shop.set({"woods.fir": {"kind": "hardwood", "density": "heavy"}})
    assert "heavy" in wrong(state)["woods.fir"]
    assert "fir" not in file.read_text()


@pytest.mark.parametrize(
    "key", ["joint.tails", "kit", "", "woods", "woods.", "woods.a.b.c", "woods.a=b", "woods.x.age"]
)
def test_what_is_no_setting_is_refused_in_words(tmp_path: Path, key: str) -> None:
    file, shop = shop_in(tmp_path)
    with pytest.raises(RecipeError):
        shop.set({key: "1"})
    assert file.read_text() == MINE


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    file = tmp_path / "kept elsewhere.toml"
    file.write_text(MINE)
    link = tmp_path / "shop.toml"
    try:
        link.symlink_to(file)
    except OSError:
        pytest.skip("this system lets nobody make links")
    OwnShop(link).set({"kit.knife": "0.8"})
    assert link.is_symlink()
    assert "knife" in file.read_text()


# --- what comes from elsewhere -----------------------------------------------------------------------


def test_an_edit_from_elsewhere_comes_in_and_can_be_undone(tmp_path: Path) -> None:
    file, shop = shop_in(tmp_path)
    file.write_text(MINE.replace("0.6", "0.5"))
    state = shop.set({"kit.knife": "0.8"})
    assert (written(state)["kit.saw_kerf"], written(state)["kit.knife"]) == ("0.5", "0.8")
    shop.undo()
    shop.undo()
    assert file.read_text() == MINE
    file.unlink()
    assert written(shop.state()) == {}
    assert shop.shop.tables == {}
    shop.undo()
    assert file.read_text() == MINE


def unreadable(file: Path) -> None:
    file.write_text("[kit\n")


def out_of_range(file: Path) -> None:
    file.write_text("[kit]\nsaw_kerf = 400\n")


def a_folder(file: Path) -> None:
    file.unlink(missing_ok=True)
    file.mkdir()


def not_text(file: Path) -> None:
    file.write_bytes(b"author = '\xff'\n")


@pytest.mark.parametrize("spoil", [unreadable, out_of_range, a_folder, not_text])
def test_a_file_that_is_spoilt_is_told_and_the_last_good_shop_stays(
    tmp_path: Path, spoil: Callable[[Path], None]
) -> None:
    file, shop = shop_in(tmp_path)
    sitting = Sitting(tmp_path, shop.shop, hands_of)
    shop.begin(sitting)
    (news,) = sitting.events.first()
    assert news["words"] == ""
    spoil(file)
    state = shop.state()
    assert not state["good"]
    assert wrong(state) or state["problems"] or state["unsaved"]
    assert shop.shop.asked.kit.saw_kerf == 0.6
    (news,) = sitting.events.first()
    assert "as it was last" in news["words"]
    if file.is_dir():
        file.rmdir()
    file.write_text(MINE.replace("0.6", "0.5"))
    assert shop.state()["good"]
    assert shop.shop.asked.kit.saw_kerf == 0.5
    (news,) = sitting.events.first()
    assert news["words"] == ""
    sitting.close()


@pytest.mark.parametrize("spoil", [unreadable, out_of_range, a_folder, not_text])
def test_a_file_that_is_spoilt_at_the_start_is_told_too(tmp_path: Path, spoil: Callable[[Path], None]) -> None:
    file = tmp_path / "shop.toml"
    spoil(file)
    shop = OwnShop(file)
    sitting = Sitting(tmp_path, shop.shop, hands_of)
    shop.begin(sitting)
    (news,) = sitting.events.first()
    assert "go without it" in news["words"]
    assert shop.shop == NO_SHOP
    assert not shop.state()["good"]
    if spoil is out_of_range:
        assert wrong(shop.state()) == {"kit.saw_kerf": "400 mm is over the most"}
        shop.set({"kit.knife": "0.8"})
        assert "knife = 0.8" in file.read_text(), "what was wrong before keeps nobody from other changes"
    else:
        with pytest.raises((FileError, InputError)):
            shop.set({"kit.knife": "0.8"})
    if file.is_dir():
        file.rmdir()
    file.write_text(MINE)
    assert shop.state()["good"]
    assert shop.shop.asked.kit.saw_kerf == 0.6
    sitting.close()


def test_a_file_that_may_not_be_written_is_left_alone_and_told(tmp_path: Path) -> None:
    file, shop = shop_in(tmp_path)
    file.chmod(0o444)
    if os.access(file, os.W_OK) or sys.platform == "win32":
        pytest.skip("this user may write everything")
    state = shop.set({"kit.knife": "0.8"})
    assert "read-only" in state["unsaved"]
    assert shop.unsaved() == [state["unsaved"]]
    file.chmod(0o644)
    assert shop.state()["unsaved"] == ""
    assert "knife" in file.read_text()


# --- pieces ------------------------------------------------------------------------------------------

OWN = TRAY.replace("[joint]", "[kit]\nchisels = [12]\n\n[joint]")


def sitting_with(folder: Path, **more: Any) -> tuple[Path, OwnShop, Sitting]:
    file, shop = shop_in(folder, **more)
    sitting = Sitting(folder, shop.shop if shop.is_used else NO_SHOP, hands_of)
    shop.begin(sitting)
    return file, shop, sitting


def asked(sitting: Sitting) -> list[tuple[str, int]]:
    assert isinstance(sitting.hands.proving, Proving)
    return sitting.hands.proving.asked


def test_a_changed_shop_shows_and_proves_the_pieces_anew_that_it_changes(tmp_path: Path) -> None:
    tray(tmp_path)
    tray(tmp_path, "own", OWN)
    _, shop, sitting = sitting_with(tmp_path)
    sitting.state("tool-tray")
    sitting.state("own")
    assert asked(sitting) == [("tool-tray", 1), ("own", 1)]
    told: list[dict[str, Any]] = []
    sitting.events.tell = told.append  # type: ignore[method-assign]
    shop.set({"kit.chisels": [3, 6, 10]})
    state = sitting.state("tool-tray")
    assert (state["version"], state["changed"], state["can_undo"]) == (2, ["kit.chisels"], False)
    assert state["proof"]["version"] == 2
    assert sitting.state("own")["version"] == 1, "it has chisels of its own"
    assert asked(sitting)[2:] == [("tool-tray", 2)]
    states = [one for one in told if one["event"] == "state"]
    assert [(one["name"], one["version"]) for one in states] == [("tool-tray", 2)]
    assert "My shop" in states[0]["words"]
    assert "Undo" not in states[0]["then"]
    assert {"event": "shelf"} in told
    shop.undo()
    assert sitting.state("tool-tray")["version"] == 3
    assert sitting.shelf.shop.asked.kit.chisels == (3.0, 6.0)
    sitting.close()


def test_a_shop_that_was_left_out_stays_out(tmp_path: Path) -> None:
    tray(tmp_path)
    _, shop, sitting = sitting_with(tmp_path, is_used=False)
    sitting.state("tool-tray")
    assert shop.state()["note"] == LEFT_OUT
    shop.set({"kit.chisels": [3, 6, 10]})
    assert sitting.state("tool-tray")["version"] == 1
    assert sitting.shelf.shop == NO_SHOP
    sitting.close()


def test_over_the_wire_and_by_itself(tmp_path: Path) -> None:
    folder = tmp_path / "recipes"
    folder.mkdir()
    tray(folder)
    file, shop = shop_in(tmp_path)
    sitting = Sitting(folder, shop.shop, hands_of)
    shop.begin(sitting)
    with page(folder, sitting) as client:
        assert [one["key"] for one in client.get("api/shop/controls").json()["wood"]][:2] == ["kind", "density"]
        state = client.post("api/shop/set", json={"changes": {"kit.knife": "0.8"}}).json()
        assert state["changed"] == ["kit.knife"]
        assert client.post("api/shop/undo").json()["can_redo"]
        assert client.post("api/shop/redo").json()["version"] == 4
        client.get("api/piece/tool-tray")
        file.write_text(MINE)
        waited(lambda: client.get("api/piece/tool-tray").json()["version"] == 2)
        assert client.post("api/shop/set", json={"changes": {"joint.tails": "1"}}).status_code == 400
        assert client.post("api/shop/set", json={}).status_code == 400


def test_a_sitting_without_a_shop_says_so(tmp_path: Path) -> None:
    with page(tmp_path, sitting_in(tmp_path)) as client:
        assert client.get("api/shop").json() == {"trouble": "this bench has no shop"}


def test_the_shop_of_the_page_is_that_of_the_commands(tmp_path: Path) -> None:
    file, shop = shop_in(tmp_path)
    shop.set({"kit.chisels": [3, "1/4 in"], "climate.home.dry": "20 C, 40 %", "paper.size": "A3"})
    assert shop_of(parse_toml(file.read_text(), "")) == shop.shop


@pytest.mark.parametrize("text", ["[woods.plum]\n{}\n[woods]\n{}", "[woods]\n{1}\n[woods.plum]\n{0}"])
def test_a_wood_with_a_head_of_its_own_beside_others_is_taken_away(tmp_path: Path, text: str) -> None:
    file, shop = shop_in(tmp_path, text.format('kind = "hardwood"\ndensity = 750\n', f"pear = {PLUM}\n"))
    assert shop.set({"woods.plum": None})["woods"] == ["pear"]
    assert parse_toml(file.read_text(), "") == {"woods": {"pear": {"kind": "hardwood", "density": 750}}}
