"""What the page shows of a piece: values with whose word they are, problems at their keys, figures, and how fast."""

from __future__ import annotations

import json
import subprocess
import sys
from typing import Any

import pytest

from solids.app.desk.piece.state import read, state_of
from solids.recipe import box_preset_names, preset_names, preset_text
from solids.recipe.completing.shop import NO_SHOP
from solids.recipe.tables.schema import known_keys
from solids.recipe.text.shop_file import shop_of
from tests.app.desk.piece.moves import EVEN, KINDS, page


def figures(state: dict[str, Any]) -> dict[str, str]:
    return {row["words"]: row["value"] for row in state["bench"]}


@pytest.mark.parametrize("text", [*KINDS.values(), *map(preset_text, (*preset_names(), *box_preset_names()))])
def test_every_piece_is_shown_as_plain_values(text: str) -> None:
    _, state = page(text)
    assert state["good"]
    assert state["problems"] == []
    assert json.loads(json.dumps(state)) == state
    assert state["keys"]["joint.tails"].keys() == {"value", "shown", "items", "by", "rule", "needed", "problem"}
    names = [handle["name"] for joint in state.get("joints", [state]) for handle in joint["handles"]]
    assert len(set(names)) == len(names)


def test_a_value_says_whose_word_it_is() -> None:
    shop = shop_of({"kit": {"chisels": [3, 6]}, "paper": {"size": "A3"}})
    state = state_of(read(EVEN.replace("half_pin = 6", 'half_pin = "6 mm"'), shop), None)
    keys = state["keys"]
    silent = {"items": [], "needed": False, "problem": None}
    assert keys["joint.half_pin"] == {"value": "6 mm", "shown": "6 mm", "by": "you", "rule": "", **silent}
    assert keys["joint.tails"]["value"] == "4"
    chosen = keys["pin_board.length"]
    assert (chosen["value"], chosen["shown"], chosen["by"]) == ("", "150 mm (5.906 in)", "rule")
    assert chosen["rule"] == "long enough to show the joint (common practice)"
    assert keys["kit.chisels"]["by"] == "shop"
    assert (keys["kit.chisels"]["shown"], keys["kit.chisels"]["items"]) == ("3 mm, 6 mm", ["3", "6"])
    assert keys["paper.size"] == {"value": "", "shown": "A3", "by": "shop", "rule": "from your shop", **silent}
    assert keys["entry_chamfer.width"]["shown"] == "0"
    assert keys["entry_chamfer.width"]["rule"] == "not asked for"
    assert set(keys) == {key for key in known_keys() if not key.startswith(("box.", "opening."))}
    listed = state_of(read(KINDS["pins"], NO_SHOP), None)["keys"]
    assert listed["joint.pin"]["value"] == "[3, 4, 5]"


def test_the_figures_by_hand() -> None:
    found = figures(page(EVEN)[1])
    assert found["Gauge, tail board"] == "12.5 mm"
    assert found["Gauge, pin board"] == "10.5 mm"
    assert found["Sliding bevel and marker"] == "1:7 (8.1 degrees)"
    assert found["Dividers, from a tail to the next"] == "21.75 mm"  # 18.75 + 3
    assert found["Saw the tail board to"] == "162.5 mm"  # 150 + 12 + 0.5
    # At the inside face a socket is 18.75 - 2 x 12/7 = 15.32 mm wide.
    assert found["Chisel, pin board, all sockets"] == "up to 15.32 mm"
    own = figures(page(EVEN + "[kit]\nchisels = [3, 12]\n")[1])
    assert own["Chisel, pin board, all sockets"] == "12 mm"
    assert own["Chisel, tail board, between tails"] == "3 mm"
    wide = figures(page(EVEN + "[kit]\nchisels = [20]\n")[1])
    assert wide["Chisel, pin board, all sockets"] == "none of yours fits; up to 15.32 mm"


def test_the_dry_season_and_the_bottom_are_told() -> None:
    dry = figures(page(EVEN + '[climate]\nshop = "20 C, 60 %"\nhome = "20 C, 30 %"\n')[1])
    assert dry["Dry season, ends of the pins"].endswith("mm proud")
    # The layout's own movement: wood that has dried lies below its neighbour's end grain.
    box = figures(page(preset_text("keepsake-box"))[1])
    assert box["Room for the bottom to grow"].endswith("mm")
    assert box["Saw the front to"] == "241 mm"


def test_a_mitre_and_a_rebate_have_their_figures() -> None:
    found = figures(page(KINDS["mitred"])[1])
    # Boards of 10 and 12, a rebate of 2: atan(12 / 8) at the pin board, atan(8 / 12) at the tail board.
    assert found["Mitre, pin board"] == "56.3 degrees to its faces"
    assert found["Mitre, tail board"] == "33.7 degrees to its faces"
    assert found["Rebate across the tail board, deep"] == "2 mm"


def test_what_cannot_be_keeps_the_last_good_joint_in_view() -> None:
    good, before = page(EVEN)
    reading = read(EVEN.replace("tails = 4", "tails = 40"), NO_SHOP)
    state = state_of(reading, good.plan)
    assert not state["good"]
    assert state["drawings"] == before["drawings"]
    assert state["bench"] == before["bench"]
    assert state["keys"]["joint.tails"]["value"] == "40", "what the maker wrote stays"
    found = [problem["key"] for problem in state["problems"]]
    assert found
    assert state["keys"][found[0]]["problem"]["accepted"]
    alone = state_of(reading, None)
    assert alone["drawings"] == {"face": None, "end": None}
    assert alone["handles"] == []
    assert not alone["good"]


def test_a_problem_stands_at_its_control_with_values_to_try() -> None:
    _, state = page(EVEN.replace("half_pin = 6", "half_pin = 2"))
    problem = state["keys"]["joint.half_pin"]["problem"]
    assert problem["wrong"] == "2 mm is under 5 mm, the least that holds at an edge"
    assert problem["tries"] == ["5 mm"]
    assert state["keys"]["joint.pin"]["problem"] is None


@pytest.mark.parametrize("text", ["[joint", "joint = 3\n", "box = 3\n", "a.b = [" + "[" * 300 + "]" * 300 + "]\n", ""])
def test_a_text_that_is_no_recipe_is_told_in_words(text: str) -> None:
    good, _ = page(EVEN)
    state = state_of(read(text, NO_SHOP), good.plan)
    assert not state["good"]
    assert state["problems"][0]["wrong"]
    assert state["problems"][0]["accepted"]
    assert state["text"] == text
    assert state["drawings"]["face"] is not None


def test_a_moving_handle_tries_no_remedies(monkeypatch: pytest.MonkeyPatch) -> None:
    bad = EVEN.replace("half_pin = 6", "half_pin = 2")
    monkeypatch.setattr("solids.app.desk.piece.state.plan_of", lambda *_: pytest.fail("remedies were tried"))
    assert not read(bad, NO_SHOP, live=True).plan
    assert read(EVEN, NO_SHOP, live=True).plan


def test_a_shop_in_inches_is_read_in_inches() -> None:
    shop = shop_of({"units": "in"})
    text = KINDS["inches"].replace('units = "in"', "")
    assert state_of(read(text, shop), None)["units"] == "in"
    assert read(text.replace("width = 4", "width = 0"), shop).units == "in"


def test_the_page_loads_no_kernel() -> None:
    code = (
        "import sys\nimport solids.app.desk.piece.state, solids.app.desk.work.making, solids.app.desk.work.proving\n"
        "heavy = ('OCP', 'numpy', 'reportlab', 'ezdxf', 'jinja2', 'manifold3d')\n"
        "assert not [name for name in heavy if name in sys.modules]"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
