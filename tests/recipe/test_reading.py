"""TOML in and out: every problem at once, the nearest key, overrides, files that are no recipes, and the way back."""

from __future__ import annotations

import os
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solids.base.errors import FileError, InputError, RecipeError, Told
from solids.layout import with_layout_problems
from solids.recipe import ask, check_recipe, parse_recipe, preset_names, preset_text, read_recipe, toml_of
from solids.recipe.tables.schema import Asked, known_keys
from solids.recipe.text.nearest_keys import MEANINGS, keys_meant, nearest_keys
from solids.recipe.text.texts import source_text
from solids.recipe.text.toml import apply_override, parse_toml
from tests.recipes import MINIMAL, WHOLE, keys_of, only_problem, problems, recipe, recipe_texts

# --- all problems at once --------------------------------------------------------------------------


def test_an_empty_recipe_names_all_three_tables() -> None:
    assert [str(problem) for problem in problems(text="")] == [
        f"{table}: is missing; add the table [{table}]" for table in ("joint", "tail_board", "pin_board")
    ]


def test_the_three_required_keys_are_named_with_an_example() -> None:
    assert [str(problem) for problem in problems(text="[joint]\n[tail_board]\n[pin_board]\n")] == [
        "joint.width: is missing; give it, as in width = 96",
        "tail_board.thickness: is missing; give it, as in thickness = 12",
        "pin_board.thickness: is missing; give it, as in thickness = 12",
    ]


def test_every_faulty_key_is_named_at_once() -> None:
    wrong = (
        "joint.tails=0",
        "joint.slope=1:1",
        "tail_board.wood=xyzzy",
        "fit.flank_gap=2",
        "kit.knife=wide",
        "titel=x",
    )
    assert sorted(keys_of(problems(*wrong))) == sorted(item.partition("=")[0] for item in wrong)


def test_problems_of_keys_of_their_agreement_and_of_the_layout_come_together() -> None:
    """An unknown key, two keys that disagree, one that has no effect and a half pin that is too thin."""
    wrong = ("joint.tials=4", "undercut.land=0.2", "joint.grading=0.2", "joint.half_pin=4")
    assert keys_of(problems(*wrong)) == ["joint.tials", "joint.grading", "undercut.land", "joint.half_pin"]


@pytest.mark.parametrize(
    "side",
    [
        *("title=a/b", "kit.knife=wide", "print.nozzle=0", "undercut.land=-1", "titel=x"),
        *("climate.shop=20", "climate.home=20 C, 140 %", "paper.size=A5", "kit.cutters=[0]"),
    ],
)
def test_a_faulty_side_key_does_not_hide_the_layouts_problems(side: str) -> None:
    assert keys_of(problems(side, "joint.half_pin=4"))[-1] == "joint.half_pin"


@pytest.mark.parametrize(
    "shaping", ["joint.tails=0", "tail_board.proud=-1", "pin_board.wood=3", "fit.flank_gap=2", "units=cm"]
)
def test_a_faulty_key_that_shapes_the_joint_leaves_nothing_to_lay_out(shaping: str) -> None:
    with pytest.raises(RecipeError) as caught:
        recipe(shaping)
    assert caught.value.usable is None
    assert with_layout_problems(caught.value) is caught.value


def test_a_faulty_and_an_unknown_key_of_one_side_table_are_both_named() -> None:
    assert sorted(keys_of(problems("kit.knife=wide", "kit.nife=0.8"))) == ["kit.knife", "kit.nife"]


@pytest.mark.parametrize(
    ("override", "message"),
    [
        ("joint=5", "joint: 5 is not a table; write a table, as in [joint] with its keys below"),
        ("kit=[5]", "kit: [5] is not a table; write a table, as in [kit] with its keys below"),
        ("kit.chisels=5", "kit.chisels: 5 is not a list; write a list, as in [3, 6, 10]"),
        ("print.bed=[1, 2, 3]", "print.bed: [1, 2, 3] has too many values; give at most 2"),
        ("print.magnet={diameter = 10}", "print.magnet.thickness: is missing; give it, as in thickness = 2"),
        ("units=cm", "units: 'cm' is not known here; accepted is \"mm\" or \"in\""),
        ("units=[3]", "units: [3] is not known here; accepted is \"mm\" or \"in\""),
        ("joint.width=2024-01-01", "joint.width: '2024-01-01' is not a length; give a number, or a text "
         'such as "19 mm", "3/4 in" or "1 1/8 in"'),
    ],
)  # fmt: skip
def test_a_value_of_the_wrong_kind_says_what_to_write(override: str, message: str) -> None:
    assert str(only_problem(override)) == message


def test_a_list_that_is_too_short_says_so_in_words_of_the_recipe() -> None:
    """`print.bed` takes two sides; with one given, no table [print.bed.1] must be asked for."""
    problem = only_problem("print.bed=[220]")
    assert problem.key.startswith("print.bed")
    assert "add the table" not in problem.remedy


# --- unknown keys ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "nearest"),
    [
        ("joint.tials", "joint.tails"),
        ("joint.halfpin", "joint.half_pin"),
        ("tail_board.thicknes", "tail_board.thickness"),
        ("titel", "title"),
        ("tails", "joint.tails"),
        ("joint.flank_gap", "fit.flank_gap"),
        ("fit.gap", "fit.flank_gap"),
        ("print.magnet.diametre", "print.magnet.diameter"),
        ("climate.house", "climate.home"),
        ("shop", "climate.shop"),
        ("kit.cutter", "kit.cutters"),
        ("print.size", "paper.size"),
        ("paper.relief", "paper.corner_relief"),
        ("joint.count", "joint.tails"),
        ("kerf", "kit.saw_kerf"),
        ("pin_board.species", "pin_board.wood"),
        ("joint.gap", "fit.flank_gap"),
        ("tailboard", "tail_board"),
    ],
)
def test_an_unknown_key_names_the_nearest_known_one(key: str, nearest: str) -> None:
    whole = ("print.magnet={diameter=10, thickness=2}",) if "magnet" in key else ()
    assert str(only_problem(*whole, f"{key}=1")) == (
        f"{key}: is not a key of a recipe; the nearest known key is {nearest}"
    )


@pytest.mark.parametrize(
    ("key", "near"),
    [
        ("joint.pins", ("joint.tails", "joint.pin")),
        ("groove", ("box.groove", "box.lid.groove")),
        ("joint.half_pins", ("joint.tails", "joint.half_pin")),
        ("box.joints.front.pins", ("box.joints.front.tails", "box.joints.front.pin")),
        ("species", ("tail_board.wood", "pin_board.wood")),
        ("box.front.species", ("box.front.wood",)),
        ("height", ("joint.width", "box.height")),
        ("box.depth", ("box.width",)),
        *((key, ()) for key in ("box.splay", "box.tray", "joint.typ", "climate.attic", "fork", "x", "joint.", "")),
    ],
)
def test_a_key_is_guessed_by_its_meaning_or_not_at_all(key: str, near: tuple[str, ...]) -> None:
    assert nearest_keys(key) == near


def test_a_key_without_a_like_is_told_with_what_its_table_takes() -> None:
    problem = only_problem("kit.fork=1")
    assert problem.remedy == "[kit] takes chisels, saw_kerf, knife, scale, cutters, bush"


def test_every_meaning_is_a_key() -> None:
    known = known_keys()
    assert all(key not in known for key in MEANINGS)
    assert {key for keys in MEANINGS.values() for key in keys} <= set(known)


@pytest.mark.parametrize(
    ("line", "mended"),
    [
        ("width = 5 1/2 in # wide", 'width = "5 1/2 in" # wide'),
        ("thickness = 3/4", 'thickness = "3/4"'),
        ("kind = half-blind", 'kind = "half-blind"'),
        ("wood = white pine", 'wood = "white pine"'),
        ("slope=1:7", 'slope="1:7"'),
        ("chisels = [1/4 in, 6]", 'chisels = ["1/4 in", 6]'),
        ('width = 5/8"', """width = '5/8"'"""),
    ],
)
def test_text_without_quotes_is_told_with_its_line_mended(line: str, mended: str) -> None:
    with pytest.raises(InputError) as caught:
        parse_toml(f"[joint]\n{line}\ntails = 3\n[fit]\nx = 2 mm\n", "tray.toml")
    assert str(caught.value) == (
        f'tray.toml is not TOML: text needs quotes; in line 2 write {mended}; in line 5 write x = "2 mm"'
    )
    assert tomllib.loads(mended)


@pytest.mark.parametrize(
    "line", ["a = True", "width = 10,5", "width =", "[joint", 'width = "3', "a = {b = c}", "a b = 3", "= 3 in"]
)
def test_what_quotes_would_not_mend_is_told_as_before(line: str) -> None:
    with pytest.raises(InputError, match=r"^tray is not TOML: .*\(at (line|end)"):
        parse_toml(f"{line}\n", "tray")


@pytest.mark.parametrize("key", ["climate.attic", "paper.margin", "stocks", "boxes"])
def test_keys_that_are_reserved_for_later_are_unknown_now(key: str) -> None:
    problem = only_problem(f"{key}=1")
    assert (problem.key, problem.wrong) == (key, "is not a key of a recipe")


def test_every_known_key_is_known_by_its_whole_path() -> None:
    known = known_keys()
    assert {"title", "units", "joint.width", "tail_board.sawn", "print.magnet.diameter"} <= set(known)
    assert {"climate.shop", "climate.home", "paper.size", "paper.corner_relief", "kit.cutters"} <= set(known)
    assert all(example is not None for example in known.values())


@given(st.text(min_size=1, max_size=200).filter(lambda key: key not in Asked.model_fields))
def test_any_other_key_is_refused_with_some_known_key(key: str) -> None:
    with pytest.raises(RecipeError) as caught:
        check_recipe(parse_toml(MINIMAL, "x") | {key: 1})
    (problem,) = caught.value.told
    assert problem.key == key[:80]
    near = nearest_keys(key)
    assert set(near) <= {known[: len(name)] for known in known_keys() for name in near}, "keys, or tables of keys"
    assert problem.remedy == keys_meant(key)


# --- overrides ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("item", "value"),
    [
        ("a=5", 5),
        ("a=5.5", 5.5),
        ("a = 5 ", 5),
        ("a=true", True),
        ('a="5"', "5"),
        ("a=[1, 2]", [1, 2]),
        ("a={b = 1}", {"b": 1}),
        ("a=1:7", "1:7"),
        ("a=19 mm", "19 mm"),
        ("a=3/4 in", "3/4 in"),
        ("a=x=y", "x=y"),
        ("a=", ""),
        ("a=1\nb=2", "1\nb=2"),
        ("a=" + "[" * 5000, "[" * 5000),
    ],
)
def test_the_value_of_an_override_is_read_as_toml_else_as_text(item: str, value: object) -> None:
    raw: dict[str, object] = {}
    assert apply_override(raw, item) is None
    assert raw == {"a": value}


def test_an_override_replaces_or_adds_a_key_at_its_path() -> None:
    raw: dict[str, object] = {"joint": {"width": 1, "tails": 2}}
    assert apply_override(raw, "joint.width=3") is None
    assert apply_override(raw, "print.magnet.diameter=4") is None
    assert raw == {"joint": {"width": 3, "tails": 2}, "print": {"magnet": {"diameter": 4}}}


def test_the_last_of_several_overrides_of_a_key_wins() -> None:
    assert recipe("joint.width=50", "joint.width=60").width == 60


@pytest.mark.parametrize("item", ["joint.tails", "=3", ".=3", "joint.=3", ".tails=3", "joint..tails=3", "", " =3"])
def test_what_is_not_key_and_value_is_refused(item: str) -> None:
    assert str(only_problem(item)) == f"--set {item!r}: is not KEY=VALUE; write it as in --set joint.tails=5"


def test_an_override_cannot_go_into_a_value() -> None:
    assert str(only_problem("joint.width.x=3")) == (
        "joint.width.x: width is a value, not a table; name a key of a table, as in joint.tails"
    )


def test_a_wrong_override_comes_with_the_other_problems() -> None:
    assert keys_of(problems("nothing", "joint.tails=0")) == ["--set 'nothing'", "joint.tails"]
    with pytest.raises(RecipeError) as caught:
        recipe("nothing")
    assert caught.value.usable == recipe()


# --- texts that are not TOML ---------------------------------------------------------------------------


def test_broken_toml_names_line_and_column() -> None:
    with pytest.raises(InputError, match=r"^tray\.toml is not TOML: .*\(at line 2, column 9\)$"):
        parse_recipe("[joint]\nwidth = ?\n", "tray.toml")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a = " + "[" * 100_000, "recipe: tables or brackets nested too deep for a recipe"),
        ("a = 1\na = 2\nb = 3", "recipe is not TOML: .*line 2"),
        ("a = " + "9" * 5000, "recipe is not TOML: "),
    ],
)
def test_texts_that_break_a_parser_are_refused_in_one_line(text: str, message: str) -> None:
    with pytest.raises(InputError, match=message) as caught:
        parse_recipe(text)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("key", ["joint.tails", "title", "joint.slope", "tail_board.wood", "kit", "units"])
def test_a_whole_number_too_long_to_print_is_refused_like_any_other(key: str) -> None:
    """Python prints no more than 4300 digits; TOML's hexadecimal numbers have no such limit."""
    assert key in keys_of(problems(f"{key}=0x{'F' * 5000}"))


def test_a_decimal_number_too_long_to_read_is_told_to_a_maker() -> None:
    with pytest.raises(InputError, match="a number in it has more digits than any length"):
        parse_recipe(f"[joint]\nwidth = {'9' * 5000}\n")


def test_tables_nested_too_deep_are_refused() -> None:
    with pytest.raises(InputError):
        parse_recipe(f"foo{'.a' * 600} = 1\n{MINIMAL}")


@given(st.text(max_size=200))
def test_any_text_is_a_recipe_or_an_input_error(text: str) -> None:
    with pytest.raises(InputError):
        parse_recipe(text)


# --- files ---------------------------------------------------------------------------------------------


def test_a_file_is_read_by_path_and_by_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "tray.toml").write_text(WHOLE)
    (tmp_path / "tray").write_text(WHOLE)
    monkeypatch.chdir(tmp_path)
    for source in (tmp_path / "tray.toml", str(tmp_path / "tray.toml"), "tray.toml", "tray", Path("tray")):
        assert read_recipe(source).title == "small tray"
    assert read_recipe("tray", ["joint.tails=3"]).tail_shares == (1.0, 1.0, 1.0)


def test_a_byte_order_mark_and_windows_line_ends_are_read(tmp_path: Path) -> None:
    path = tmp_path / "tray.toml"
    path.write_bytes(b"\xef\xbb\xbf" + WHOLE.replace("\n", "\r\n").encode())
    assert read_recipe(path) == parse_recipe(WHOLE)


def test_a_missing_file_names_the_presets(tmp_path: Path) -> None:
    for source in (tmp_path / "no.toml", tmp_path / "no", str(tmp_path / "no")):
        with pytest.raises(FileError, match=r"does not exist; give a recipe file, or a preset: .*tool-tray"):
            read_recipe(source)


def test_a_folder_is_no_recipe(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="is a folder, not a recipe; give the TOML file in it"):
        read_recipe(tmp_path)


def test_a_fifo_is_no_recipe_and_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.toml")
    with pytest.raises(FileError, match="is not an ordinary file; give a TOML file"):
        read_recipe(tmp_path / "pipe.toml")


def test_a_file_may_have_a_quarter_of_a_megabyte_and_no_byte_more(tmp_path: Path) -> None:
    path = tmp_path / "big.toml"
    path.write_bytes(WHOLE.encode() + b"#" * (262_144 - len(WHOLE.encode())))
    assert read_recipe(path).title == "small tray"
    with path.open("ab") as file:
        file.write(b"#")
    with pytest.raises(FileError, match=r"is over 256 KiB, far more than a recipe; is it the right file\?"):
        read_recipe(path)


def test_a_file_that_is_not_utf_8_names_the_line(tmp_path: Path) -> None:
    path = tmp_path / "latin.toml"
    path.write_bytes("[joint]\nwidth = 96\n# k\u00fche\n".encode("latin-1"))
    with pytest.raises(FileError, match=r"latin\.toml, line 3: not UTF-8 text; save the recipe as UTF-8"):
        read_recipe(path)


@pytest.mark.parametrize("source", ["x" * 300, "x" * 300 + ".toml", Path("a\0b"), "a\0b.toml"])
def test_a_name_that_no_disk_takes_is_an_error_of_ours(source: str | Path) -> None:
    with pytest.raises((FileError, InputError)):
        read_recipe(source)


# --- presets, features of later versions, notices ---------------------------------------------------------


def test_a_preset_is_read_by_name_and_a_misspelt_one_names_the_nearest() -> None:
    assert source_text("tool-tray") == preset_text("tool-tray")
    assert read_recipe("tool-tray", ["title=mine"]).title == "mine"
    with pytest.raises(
        InputError, match=r"'tool-try' is neither a recipe file nor a preset; did you mean 'tool-tray'\?"
    ):
        read_recipe("tool-try")
    with pytest.raises(InputError, match=r"presets are: blanket-chest, .*, tool-tray"):
        read_recipe("xyzzy")


def test_a_presets_name_is_the_preset_though_a_folder_of_its_files_stands_beside(tmp_path, monkeypatch) -> None:
    """Files go to <out>/<slug>, so that who works in `exports/` has folders named like presets."""
    (tmp_path / "tool-tray").mkdir()
    monkeypatch.chdir(tmp_path)
    assert read_recipe("tool-tray").title == "tool tray"
    with pytest.raises(FileError, match="is a folder"):
        read_recipe(Path("tool-tray"))


@pytest.mark.parametrize("name", preset_names())
def test_every_preset_is_accepted_without_notice(name: str) -> None:
    assert read_recipe(name).notices == ()


def test_every_key_is_used_and_none_brings_a_notice() -> None:
    used = (
        "kit.chisels=[3, 6]",
        "kit.cutters=[3]",
        "kit.bush=16",
        "climate.shop=20 C, 50 %",
        "paper.size=A3",
        "paper.corner_relief=true",
        "print.nozzle=0.6",
        "print.magnet={diameter = 8, thickness = 3}",
    )
    assert recipe().notices == recipe(*used).notices == ()
    assert recipe(*used).printing.nozzle == 0.6
    assert recipe(*used).printing.magnet.thickness == 3


# --- out -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", preset_names())
def test_a_preset_written_out_reads_back_the_same(name: str) -> None:
    asked = ask(preset_text(name))
    assert ask(toml_of(asked)) == asked
    assert parse_recipe(toml_of(asked)) == read_recipe(name)


def test_what_was_left_out_is_not_written() -> None:
    assert parse_toml(toml_of(ask(MINIMAL)), "written") == {
        "joint": {"width": "96.0 mm"},
        "tail_board": {"thickness": "10.0 mm"},
        "pin_board": {"thickness": "12.0 mm"},
    }


def test_all_kinds_of_value_are_written_so_that_they_read_back() -> None:
    text = 'title = "a \\"b\\""\nunits = "in"\n' + MINIMAL.replace(
        "96", '"3 1/2"\nspacing = [1, "3/4"]\nslope = "8 deg"'
    )
    text += '[kit]\nchisels = ["1/4", 1]\n[print]\nbed = [8, "200 mm"]\nmagnet = {diameter = 0.4, thickness = "2 mm"}\n'
    text += '[finish]\nends = "flush"\n[fit]\nflank_gap = "-0.01 mm"\n[undercut]\n'
    text = text.replace("[tail_board]", 'allow_thin_half_pin = true\ngrading = 0.1\n[tail_board]\nwood = "Red Oak"')
    text = text.replace("[pin_board]", '[pin_board]\nwood = {name = "pear", kind = "hardwood", density = 690}')
    asked = ask(text)
    assert ask(toml_of(asked)) == asked
    assert asked.kit.chisels == (6.35, 25.4)
    assert asked.fit.flank_gap == -0.01


@pytest.mark.parametrize(
    "air",
    ["20 C, 50 %", "21.3 C, 47.5 %", "-1 C, 5 %", "0 C, 95 %", "48.123456789 C, 50 %", "68 F, 50 %", "70 F, 50 %",
     "71.5 F, 33 %", "32.00001 F, 50 %", "120 F, 62.25 %"],
)  # fmt: skip
@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_air_of_a_room_is_written_so_that_it_reads_back(air: str, units: str) -> None:
    text = f'units = "{units}"\n' + re.sub(r"= (\d+)", r'= "\1 mm"', MINIMAL)
    asked = ask(f'{text}[climate]\nshop = "{air}"\n')
    back = ask(toml_of(asked))
    assert back.climate.shop is not None
    assert asked.climate.shop is not None
    assert back.climate.shop.humidity == asked.climate.shop.humidity
    assert back.climate.shop.temperature_c == pytest.approx(asked.climate.shop.temperature_c, abs=1e-8)
    assert back.climate.home is None


@pytest.mark.parametrize(
    "more",
    [
        "",
        "radial = 0.0016, tangential = 0.0031",
        "shear = 14, bending = 98.5",
        "shear = 14, bending = 98.5, compression = 8.25",
        "radial = 0.0001, tangential = 0.02, shear = 14, bending = 98.5, compression = 8.25",
    ],
)
def test_a_wood_of_ones_own_is_written_with_all_that_is_known_of_it_and_no_more(more: str) -> None:
    table = f'{{name = "pear", kind = "hardwood", density = 690{more and ", "}{more}}}'
    asked = ask(MINIMAL.replace("[pin_board]", f"wood = {table}\n[pin_board]"))
    assert ask(toml_of(asked)) == asked
    written = parse_toml(toml_of(asked), "written")["tail_board"]["wood"]
    assert written == parse_toml(f"wood = {table}", "own")["wood"]


def test_paper_and_cutters_are_written_so_that_they_read_back() -> None:
    asked = ask(MINIMAL + '[kit]\ncutters = ["1/8 in", 6]\n[paper]\nsize = "A3"\ncorner_relief = true\n')
    assert ask(toml_of(asked)) == asked
    assert asked.kit.cutters == (3.175, 6.0)
    assert parse_toml(toml_of(asked), "written")["paper"] == {"size": "A3", "corner_relief": True}


@settings(max_examples=60, deadline=None)
@given(recipe_texts())
def test_any_recipe_written_out_reads_back_the_same(text: str) -> None:
    asked = ask(text)
    assert ask(toml_of(asked)) == asked


def test_asking_refuses_with_every_problem() -> None:
    with pytest.raises(RecipeError) as caught:
        ask(MINIMAL + "[kit]\nknife = 0\nfork = 1\n")
    assert all(isinstance(problem, Told) for problem in caught.value.told)
    assert len(caught.value.told) == 2
    assert re.search(r"kit.fork: .*; \[kit\] takes chisels, saw_kerf, ", str(caught.value))


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("[1/4, 3/8]", ["1/4", "3/8"]),
        ("[ 1 1/8 in,6 ]", ["1 1/8 in", 6]),
        ('["1/4", 8]', ["1/4", 8]),
        ("[6, 8]", [6, 8]),
        ("[1/4; 3/8]", ["1/4", "3/8"]),
        ("[1/4,3/8]", ["1/4", "3/8"]),
        ("[1,5; 2,5]", ["1,5", "2,5"]),  # told to be no numbers, and not taken as four
        ("['1/4', 3/8 in]", ["1/4", "3/8 in"]),
        ('[1/4", 3/8"]', ['1/4"', '3/8"']),
        ("[[1/4, 3]]", "[[1/4, 3]]"),
        ("[1/4", "[1/4"),
        ("1/4, 3/8", "1/4, 3/8"),
    ],
)
def test_a_list_on_the_command_line_needs_no_quotes_round_its_lengths(typed: str, read: object) -> None:
    raw: dict[str, Any] = {}
    assert apply_override(raw, f"joint.half_pin={typed}") is None
    assert raw == {"joint": {"half_pin": read}}
