"""The file shop.toml: where it is, why it cannot be read, and how it is changed without harm to what else is in it."""

from __future__ import annotations

import os
import tomllib
from pathlib import Path

import platformdirs
import pytest

from solids.base import tolerances as tol
from solids.base.errors import FileError, InputError, RecipeError
from solids.recipe.completing.shop import NO_SHOP
from solids.recipe.text.shop_edits import edited, settings_lines
from solids.recipe.text.shop_file import SETTINGS, read_shop, shop_file, shop_keys, shop_of

OLD = """\
# my bench, since spring
[kit]
chisels = [6, 12] # the good ones
saw_kerf = 0.6

# the printer in the cellar
[print]
magnet = { diameter = 8, thickness = 3 } # from the old loudspeaker
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(SETTINGS, str(tmp_path))
    return tmp_path


def test_no_test_reads_the_settings_of_whoever_runs_it() -> None:
    assert not shop_file().exists()
    assert read_shop() is NO_SHOP


def test_it_lies_where_the_system_keeps_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(SETTINGS, "")
    assert shop_file() == Path(platformdirs.user_config_dir("halfpin", appauthor=False)) / "shop.toml"
    monkeypatch.setenv("XDG_CONFIG_HOME", "/somewhere/else")
    if os.name == "posix" and os.uname().sysname == "Linux":
        assert shop_file() == Path("/somewhere/else/halfpin/shop.toml")


def test_it_is_read_whole(folder: Path) -> None:
    (folder / "shop.toml").write_bytes(b"\xef\xbb\xbf" + OLD.encode())
    shop = read_shop()
    assert shop.asked.kit.chisels == (6.0, 12.0)
    assert shop.tables == tomllib.loads(OLD)


# --- what cannot be read -------------------------------------------------------------------------


def why(folder: Path) -> str:
    with pytest.raises((FileError, InputError)) as caught:
        read_shop()
    told = str(caught.value)
    assert "\n" not in told
    assert str(folder / "shop.toml") in told
    return told


def test_a_folder_a_link_to_nothing_and_a_pipe(folder: Path) -> None:
    place = folder / "shop.toml"
    place.mkdir()
    assert "is a folder, not a shop file" in why(folder)
    assert "--no-shop" in why(folder)
    place.rmdir()
    place.symlink_to("nothing.toml")
    assert "is a link to a file that is not there; mend it; or leave it out with --no-shop" in why(folder)
    place.unlink()
    os.mkfifo(place)
    assert "is not an ordinary file" in why(folder)


def test_a_file_that_may_not_be_read(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Played, as root may read anything: the file, and then the folder that it lies in."""
    (folder / "shop.toml").write_text(OLD)

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr(Path, "open", refuse)
        assert "cannot be read: Permission denied; or leave it out with --no-shop" in why(folder)
    monkeypatch.setattr(os, "stat", refuse)
    assert "cannot be read: Permission denied" in why(folder)


def test_a_settings_folder_that_is_a_file(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (folder / "file").write_text("")
    monkeypatch.setenv(SETTINGS, str(folder / "file"))
    assert "cannot be read: Not a directory" in why(folder / "file")


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"[kit\n", "is not TOML: "),
        (b"[kit]\nknife = 1\n[kit]\n", "is not TOML: "),
        ("# k\u00fche\n".encode("latin-1"), "line 1: not UTF-8 text; save the shop file as UTF-8"),
        (b"#" * (tol.RECIPE_LARGEST_BYTES + 1), "far more than a shop file"),
        (b"a." * 50 + b"b = 1\n", "nested too deep"),
    ],
)
def test_bytes_that_are_no_settings(data: bytes, words: str, folder: Path) -> None:
    (folder / "shop.toml").write_bytes(data)
    assert words in why(folder)


# --- changes -------------------------------------------------------------------------------------


def changed(*values: str, unset: tuple[str, ...] = (), text: str = OLD) -> str:
    found, shop = edited(text, "shop.toml", values, unset)
    assert shop == shop_of(tomllib.loads(found)), "what is handed out is what is in the text"
    return found


def test_nothing_asked_is_nothing_changed() -> None:
    assert changed() == OLD


def test_a_value_is_changed_in_its_place_and_comments_stay() -> None:
    assert changed("kit.chisels=[3, 6]") == OLD.replace("[6, 12]", "[3, 6]")
    assert changed("print.magnet.thickness=2") == OLD.replace("thickness = 3", "thickness = 2")


def test_a_new_key_comes_below_those_of_its_table_and_a_new_table_at_the_end() -> None:
    assert changed("kit.knife=0.8") == OLD.replace("0.6\n", "0.6\nknife = 0.8\n")
    assert changed("paper.size=A3") == OLD + '\n[paper]\nsize = "A3"\n'
    assert tomllib.loads(changed("units=mm"))["units"] == "mm"


def test_an_empty_file_begins_with_what_is_set() -> None:
    assert changed("kit.chisels=[6, 12]", text="") == "[kit]\nchisels = [6, 12]\n"


def test_a_key_that_is_shown_and_set_is_changed_where_it_is_set() -> None:
    text = "[kit]\n# knife = 0.8\n# thin\nknife = 0.5\nbush = 16\n"
    assert changed("kit.knife=0.6", text=text) == text.replace("0.5", "0.6")
    assert changed("kit.saw_kerf=0.6", text="[kit]\n# saw_kerf = 1\nbush = 16\n").splitlines()[2] == "saw_kerf = 0.6"


def test_keys_are_taken_out_and_comments_stay() -> None:
    assert changed(unset=("kit.saw_kerf",)) == OLD.replace("saw_kerf = 0.6\n", "")
    assert changed("kit.saw_kerf=0.5", unset=("kit.saw_kerf",)) == OLD.replace("0.6", "0.5")
    assert tomllib.loads(changed(unset=("print.magnet", "kit"))) == {"print": {}}


def test_a_wood_with_a_space_in_its_name() -> None:
    with_one = changed("woods.bog oak={kind='hardwood', density=810}")
    assert tomllib.loads(with_one)["woods"] == {"bog oak": {"kind": "hardwood", "density": 810}}
    assert 'woods."bog oak" = {kind = "hardwood", density = 810}' in settings_lines(shop_of(tomllib.loads(with_one)))
    assert tomllib.loads(changed("woods.bog oak.density=820", text=with_one))["woods"]["bog oak"]["density"] == 820
    assert "bog oak" not in changed(unset=("woods.bog oak",), text=with_one)


def test_the_ends_of_lines_stay_as_they_were() -> None:
    windows = OLD.replace("\n", "\r\n")
    text, _ = edited(windows, "shop.toml", ["kit.knife=0.8"], ["kit.saw_kerf"])
    assert text.count("\n") == text.count("\r\n") == OLD.count("\n")


@pytest.mark.parametrize("text", ["kit.chisels = [6]\nprint.nozzle = 0.3\n", "kit = { chisels = [6] }\n"])
def test_other_ways_to_write_a_table(text: str) -> None:
    assert tomllib.loads(changed("kit.knife=0.8", text=text))["kit"] == {"chisels": [6], "knife": 0.8}
    assert "chisels" not in tomllib.loads(changed(unset=("kit.chisels",), text=text)).get("kit", {})


@pytest.mark.parametrize(
    ("values", "unset", "words"),
    [
        (["kit.chisels=6"], [], "shop.toml, kit.chisels: 6 is not a list; write a list, as in [3, 6, 10]"),
        (["kit.chisels"], [], "--set 'kit.chisels': is not KEY=VALUE; write it as in --set kit.saw_kerf=0.6"),
        (["=3"], [], "is not KEY=VALUE"),
        (["kit.chisels.first=3"], [], "chisels is a value, not a table; name a key of a table, as in kit.saw_kerf"),
        (
            ["kit.chissels=[3]"],
            [],
            "shop.toml, kit.chissels: is not a key of a shop; the nearest known key is kit.chisels",
        ),
        (["kit=3"], [], "shop.toml, kit: 3 is not a table"),
        ([], ["kit.knife"], "shop.toml, kit.knife: is not set; what is set is kit.chisels, kit.saw_kerf, print.magnet"),
        ([], [""], "is not set"),
        ([], ["kit.chisels.0"], "is not set"),
    ],
)
def test_what_cannot_be_changed_is_refused(values: list[str], unset: list[str], words: str) -> None:
    with pytest.raises(RecipeError) as caught:
        edited(OLD, "shop.toml", values, unset)
    assert words in str(caught.value)


def test_a_bad_key_can_be_taken_out() -> None:
    bad = OLD.replace("saw_kerf", "saw_curve")
    with pytest.raises(RecipeError, match=r"kit\.saw_curve: is not a key"):
        edited(bad, "shop.toml", ["kit.knife=0.8"], [])
    assert changed(unset=("kit.saw_curve",), text=bad) == OLD.replace("saw_kerf = 0.6\n", "")


def test_every_key_is_shown_set_or_with_an_example_that_can_be_set() -> None:
    lines = list(settings_lines(shop_of(tomllib.loads(OLD))))
    assert lines[:2] == ["kit.chisels = [6, 12]", "kit.saw_kerf = 0.6"]
    assert not any(line.startswith("# kit.saw_kerf") for line in lines)
    for units in ("mm", "in"):
        shown = list(settings_lines(shop_of({"units": units})))
        tables = tomllib.loads("\n".join(line.removeprefix("# ") for line in shown))
        assert shop_of(tables)
        assert {key.partition(".")[0] for key in shop_keys()} == set(tables)
        assert tables["print"]["magnet"]
