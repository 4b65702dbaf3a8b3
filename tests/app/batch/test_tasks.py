"""What a run has to do: folders, tables, grids, and what is wrong with them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from solids.app.batch.tasks import Task, groups_of, tables_of, tasks_from
from solids.base.errors import InputError
from solids.recipe import check_recipe, preset_text

HEAD = "title,joint.width,joint.tails,tail_board.thickness\n"


def table(folder: Path, text: str | bytes, name: str = "joints.csv") -> str:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return str(path)


def tasks(source: str, *grids: str, overrides: tuple[str, ...] = ()) -> list[Task]:
    return tasks_from(source, "tool-tray", overrides, grids, ("corner",))


def test_each_row_is_the_base_recipe_with_its_cells(tmp_path: Path) -> None:
    made = tasks(table(tmp_path, HEAD + "a,96,4,10\nb,3 1/2 in,-,3/8 in\n"))
    assert [task.origin for task in made] == ["joints.csv, row 2", "joints.csv, row 3"]
    first, second = (check_recipe(tables_of(task)) for task in made)
    assert (first.title, first.width, len(first.tail_shares), first.tail_board.thickness) == ("a", 96, 4, 10)
    assert (second.width, len(second.tail_shares), second.tail_board.thickness) == (88.9, 4, 9.525)
    assert second.tail_board.wood.name == "cherry", "what the row leaves out is the base recipe's"


def test_rows_without_a_title_are_numbered(tmp_path: Path) -> None:
    made = tasks(table(tmp_path, "joint.width\n90\n\n96\n"))
    assert [task.title for task in made] == ["tool tray 1", "tool tray 2"]


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_a_byte_order_mark_and_quotes_and_other_line_ends_are_accepted(tmp_path: Path, mark: bytes) -> None:
    made = tasks(table(tmp_path, mark + b'title,joint.width\r\n"a, b",96\r\n'))
    assert [task.title for task in made] == ["a, b"]


def test_a_grid_multiplies_and_names_what_it_makes(tmp_path: Path) -> None:
    made = tasks(table(tmp_path, HEAD + "a,96,4,10\n"), "joint.tails=3,4", "joint.slope=1:6,1:8")
    assert [task.title for task in made] == [
        "a, tails 3, slope 1:6",
        "a, tails 3, slope 1:8",
        "a, tails 4, slope 1:6",
        "a, tails 4, slope 1:8",
    ]
    assert len({task.slug for task in made}) == 4
    assert [check_recipe(tables_of(task)).slope_ratio for task in made] == [6, 8, 6, 8]


def test_a_folder_gives_a_task_for_each_recipe_and_overrides_reach_all(tmp_path: Path) -> None:
    (tmp_path / "b.toml").write_text(preset_text("drawer-front"))
    (tmp_path / "a.toml").write_text(preset_text("tool-tray"))
    (tmp_path / "broken.toml").write_text("[joint")
    (tmp_path / "note.txt").write_text("no recipe")
    made = tasks(str(tmp_path), overrides=("joint.width=99",))
    assert [(task.origin, bool(task.wrong)) for task in made] == [
        ("a.toml", False),
        ("b.toml", False),
        ("broken.toml", True),
    ]
    assert [tables_of(task)["joint"]["width"] for task in made[:2]] == [99, 99]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is empty"),
        ("\n\n", "is empty"),
        (HEAD, "has no rows"),
        (
            "title,joint.witdh\na,96\n",
            "column 2: 'joint.witdh' is not a key of a recipe; the nearest known key is joint.width",
        ),
        ("title,title\na,b\n", "the column title appears twice"),
        ("title;joint.width\na;96\n", "semicolons"),
        (b"title,joint.width\n\xff,96\n", "not UTF-8"),
        ('title,joint.width\n"a,96\n', "not CSV"),
    ],
)
def test_a_table_that_is_none_is_told_before_anything_is_done(tmp_path: Path, text: str | bytes, words: str) -> None:
    with pytest.raises(InputError) as caught:
        tasks(table(tmp_path, text))
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("a,96,4", "it has 3 cells under 4 heads, tail_board.thickness is missing"),
        ("a,96,4,10,9", "it has 5 cells under 4 heads"),
        ("a,96,,10", "column joint.tails: is empty"),
        ('a,96,4,"10,5"', "has a decimal comma; write a point"),
        ('a,"3,5 in",4,10', "has a decimal comma"),
    ],
)
def test_a_row_that_cannot_be_read_is_refused_by_row_and_column_and_the_others_stay(
    tmp_path: Path, row: str, words: str
) -> None:
    bad, good = tasks(table(tmp_path, f"{HEAD}{row}\nb,96,4,10\n"))
    assert words in bad.wrong
    assert bad.origin == "joints.csv, row 2"
    assert good.wrong == ""


def test_two_rows_of_one_title_are_told_apart_by_refusing_the_second(tmp_path: Path) -> None:
    first, second, third = tasks(table(tmp_path, HEAD + "a b,96,4,10\nA-B,90,4,10\nc,96,4,10\n"))
    assert first.wrong == third.wrong == ""
    assert "the same folder as joints.csv, row 2" in second.wrong


def test_a_title_that_a_grid_makes_too_long_is_refused(tmp_path: Path) -> None:
    (task,) = tasks(table(tmp_path, f"{HEAD}{'a' * 75},96,4,10\n"), "joint.tails=3")
    assert "characters long" in task.wrong


@pytest.mark.parametrize(
    ("grid", "words"),
    [
        ("joint.tails", "is not KEY=VALUE"),
        ("joint.tails=", "is not KEY=VALUE"),
        ("joint.tials=3,4", "the nearest known key is joint.tails"),
        ("title=a,b", "is not a key that a grid can vary"),
    ],
)
def test_a_grid_that_is_none_is_told(tmp_path: Path, grid: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        tasks(table(tmp_path, HEAD + "a,96,4,10\n"), grid)
    assert words in str(caught.value)


def test_more_joints_than_a_run_takes_are_told_before_they_are_made(tmp_path: Path) -> None:
    many = ",".join(str(number) for number in range(1, 1101))
    with pytest.raises(InputError, match="a run takes at most"):
        tasks(table(tmp_path, HEAD + "a,96,4,10\n"), f"joint.width={many}", f"joint.pin={many}")


@pytest.mark.whole
def test_a_hundred_thousand_rows_are_read(tmp_path: Path) -> None:
    text = "title,joint.width\n" + "".join(f"joint {number},96\n" for number in range(100_000))
    assert len(tasks(table(tmp_path, text))) == 100_000


@pytest.mark.parametrize("source", ["nowhere", "nowhere.csv"])
def test_what_is_neither_folder_nor_table_is_told(source: str) -> None:
    with pytest.raises(InputError, match="neither a folder of recipes nor a table"):
        tasks(source)


def test_a_folder_without_recipes_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="holds no recipe"):
        tasks(str(tmp_path))


def test_a_key_changes_with_recipe_and_files_and_not_with_place(tmp_path: Path) -> None:
    first, second = tasks(table(tmp_path, HEAD + "a,96,4,10\nb,96,4,10\n"))
    again = tasks(table(tmp_path, HEAD + "x,80,3,10\na,96,4,10\n"))[1]
    assert first.key == again.key != second.key
    other = tasks_from(str(tmp_path / "joints.csv"), "tool-tray", (), (), ("corner.step",))[1]
    assert other.key != again.key


def test_files_are_asked_for_by_group_or_by_name() -> None:
    assert groups_of(("corner.step", "tail-board.stl", "paper")) == ("corner", "paper")
    with pytest.raises(InputError, match=r"'corner\.stp' is not known; the nearest is corner\.step"):
        groups_of(("corner.stp",))


def test_the_tables_of_a_task_are_plain_json(tmp_path: Path) -> None:
    (task,) = tasks(table(tmp_path, HEAD + "a,96,4,10\n"))
    assert json.loads(task.tables)["joint"]["width"] == 96
