"""The model (GLB) by a reader of our own: names, metres, colours, animation, normals, volume; and planted faults."""

from __future__ import annotations

import copy
import json
import struct
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from OCP.RWGltf import RWGltf_CafWriter

from solids import __version__
from solids.base.errors import FaultError, ReadBackError
from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from solids.wood import WOODS
from solids.write.files.table import Job
from solids.write.formats.gltf import Model, glb_bytes, reread
from solids.write.formats.scene import GAPS
from tests.corners import CASES, case, job_of, titled
from tests.glb import Glb, opened, repacked

MORE: dict[str, tuple[str, ...]] = {
    "chamfered and hollow": (
        "drawer-front",
        *("entry_chamfer.width=0.8", "entry_chamfer.back=1.5", "undercut.depth=0.3", "undercut.land=1.5"),
    ),
    "a wood of one's own": (
        "tool-tray",
        'tail_board.wood={name = "pear", kind = "hardwood", density = 690}',
    ),
}
JOINTS = {**CASES, **MORE}
BOARDS = ("tail board", "pin board")


def model_of(job: Job, *, with_gaps: bool = False) -> Model:
    return Model(job.job.scene, (job.cut.tail_board, job.cut.pin_board), with_gaps)


@cache
def made(name: str, *, with_gaps: bool = False) -> bytes:
    return glb_bytes(model_of(job_of(*JOINTS[name]), with_gaps=with_gaps))


@pytest.fixture(params=JOINTS)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def job(name: str) -> Job:
    return job_of(*JOINTS[name])


@pytest.fixture
def glb(name: str) -> Glb:
    return opened(made(name))


@pytest.fixture
def gaps(name: str) -> Glb:
    return opened(made(name, with_gaps=True))


def linear(rgb: tuple[int, int, int]) -> list[float]:
    """sRGB to linear light: IEC 61966-2-1 (from memory), which glTF asks for in a base colour (3.9.2)."""
    return [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in (part / 255 for part in rgb)]


# --- what there is -------------------------------------------------------------------------------


def test_the_title_holds_both_boards_by_name_tail_board_first(glb: Glb, gaps: Glb, job: Job) -> None:
    for file in (glb, gaps):
        nodes = file.content["nodes"]
        (root,) = file.content["scenes"][file.content.get("scene", 0)]["nodes"]
        assert nodes[root]["name"] == job.layout.recipe.title
        assert [nodes[child]["name"] for child in nodes[root]["children"]] == list(BOARDS)
        assert [file.content["meshes"][nodes[child]["mesh"]]["name"] for child in nodes[root]["children"]] == list(
            BOARDS
        )
        assert len(nodes) == 3, "and nothing else"
        places = {"matrix", "translation", "rotation", "scale"}
        assert not any(places & set(node) for node in nodes), "the numbers are those of the joint, in place"


def test_it_is_in_metres_and_y_is_up(glb: Glb, gaps: Glb, job: Job) -> None:
    """(x, y, z) of the joint in mm is (x, z, -y)/1000 there: 3.4, right-handed, +Y up, metres."""
    layout, recipe, cut = job.layout, job.layout.recipe, job.layout.as_cut
    meant = {
        "tail board": ((0, 0, -cut.tail_end), (layout.width, cut.show_z, recipe.tail_board.length)),
        "pin board": ((0, -recipe.pin_board.length, -cut.show_y), (layout.width, cut.pin_end, 0)),
    }
    for file in (glb, gaps):
        for board, (low, high) in meant.items():
            points = file.corners(board).reshape(-1, 3)
            assert points.min(axis=0) == pytest.approx(np.array(low) / 1000, abs=1e-6)
            assert points.max(axis=0) == pytest.approx(np.array(high) / 1000, abs=1e-6)


def test_least_and_greatest_are_told_as_they_are(glb: Glb, gaps: Glb) -> None:
    """3.6.2.5: of positions and of an animation's times they must be there, and be true to single precision."""
    for file in (glb, gaps):
        accessors = file.content["accessors"]
        told = [number for number, accessor in enumerate(accessors) if "min" in accessor]
        positions = {p["attributes"]["POSITION"] for mesh in file.content["meshes"] for p in mesh["primitives"]}
        times = {sampler["input"] for sampler in file.content["animations"][0]["samplers"]}
        assert positions | times <= set(told)
        for number in told:
            rows = file.numbers(number)
            for key, found in (("min", rows.min(axis=0)), ("max", rows.max(axis=0))):
                assert np.float32(accessors[number][key]).tolist() == np.float32(found).tolist()


def test_the_volume_of_the_triangles_is_the_closed_form(glb: Glb, gaps: Glb, job: Job) -> None:
    layout, state = job.layout, job.layout.as_cut
    meant = dict(zip(BOARDS, (tail_board_volume(layout, state), pin_board_volume(layout, state)), strict=True))
    for file in (glb, gaps):
        for board, volume in meant.items():
            corners = file.corners(board) * 1000
            assert np.linalg.det(corners).sum() / 6 == pytest.approx(volume, rel=2e-6)


def test_normals_are_of_unit_length_and_point_outward(glb: Glb, gaps: Glb) -> None:
    """Outward: with the counter-clockwise side of each triangle, whose volume above is positive."""
    for file in (glb, gaps):
        for part in (part for board in BOARDS for part in file.parts(board)):
            assert np.linalg.norm(part.normals, axis=2) == pytest.approx(1, abs=1e-6)
            a, b, c = (part.corners * 1000).transpose(1, 0, 2)
            turned = np.cross(b - a, c - a)
            length = np.linalg.norm(turned, axis=1)
            assert length.min() > 1e-4
            for corner in range(3):
                cosine = np.einsum("ij,ij->i", part.normals[:, corner], turned) / length
                assert cosine.min() > 1 - 1e-5


def test_each_board_is_closed(glb: Glb, gaps: Glb) -> None:
    """Every edge is used once in each direction, points that are alike to the bit taken as one."""
    for file in (glb, gaps):
        for board in BOARDS:
            rows = [[point.tobytes() for point in triangle] for triangle in file.corners(board) + 0.0]
            edges = [(row[i - 1], row[i]) for row in rows for i in range(3)]
            assert len(set(edges)) == len(edges)
            assert {(b, a) for a, b in edges} == set(edges)


def test_the_triangles_are_those_of_the_scene(glb: Glb, gaps: Glb, job: Job) -> None:
    for file in (glb, gaps):
        for board in job.job.scene.cut:
            x, y, z = (board.points[board.triangles] / 1000).transpose(2, 0, 1)
            meant = np.stack([x, z, -y], axis=2).mean(axis=1)
            found = file.corners(board.name).mean(axis=1)
            assert len(found) == len(meant)
            for rows in (found, meant):
                rows[:] = rows[np.lexsort(np.round(rows, 5).T)]
            assert found == pytest.approx(meant, abs=1e-6)


# --- materials -----------------------------------------------------------------------------------


def test_each_board_has_one_material_the_colour_of_its_wood(glb: Glb, job: Job) -> None:
    woods = (job.layout.recipe.tail_board.wood, job.layout.recipe.pin_board.wood)
    assert len(glb.content["materials"]) == 2
    for board, wood in zip(BOARDS, woods, strict=True):
        (part,) = glb.parts(board)
        assert part.material["name"] == f"{board}: {wood.name}"
        surface = part.material["pbrMetallicRoughness"]
        assert surface["baseColorFactor"] == pytest.approx([*linear(wood.rgb), 1.0], abs=2e-6)
        assert (surface["metallicFactor"], surface["roughnessFactor"]) == (0.0, 0.75)
        assert set(part.material) == {"name", "pbrMetallicRoughness"}, "opaque, seen from outside, and no light"


def test_boards_of_one_wood_are_still_two_materials() -> None:
    """The tea box is all walnut."""
    names = [material["name"] for material in opened(made("inches")).content["materials"]]
    assert names == ["tail board: walnut", "pin board: walnut"]


def test_the_gaps_file_has_a_material_for_each_gap_over_just_those_faces(gaps: Glb, job: Job) -> None:
    for board in job.job.scene.cut:
        a, b, c = board.points[board.triangles].transpose(1, 0, 2)
        areas = np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2
        names = np.array(board.gaps)[board.faces]
        meant = {
            f"{board.name}: {words}": float(areas[names == name].sum())
            for name, words in (*((gap.name, gap.words) for gap in GAPS), ("", board.wood.name))
            if (names == name).any()
        }
        found: dict[str, float] = {}
        for part in gaps.parts(board.name):
            a, b, c = (part.corners * 1000).transpose(1, 0, 2)
            area = float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)
            found[part.material["name"]] = found.get(part.material["name"], 0.0) + area
        assert found == pytest.approx(meant, rel=1e-5)


def test_the_gaps_are_painted_in_the_colours_of_the_legend(gaps: Glb, job: Job) -> None:
    woods = dict(zip(BOARDS, (job.layout.recipe.tail_board.wood, job.layout.recipe.pin_board.wood), strict=True))
    legend = {gap.words: gap.rgb for gap in GAPS}
    for board in BOARDS:
        for part in gaps.parts(board):
            words = part.material["name"].removeprefix(f"{board}: ")
            rgb = legend.get(words, woods[board].rgb)
            surface = part.material["pbrMetallicRoughness"]
            assert surface["baseColorFactor"] == pytest.approx([*linear(rgb), 1.0], abs=2e-6)
            assert surface["roughnessFactor"] == 0.75


@pytest.mark.parametrize(("name", "words"), [("tight", "tight: "), ("through", "right: ")])
def test_the_flanks_of_a_gaps_file_say_how_they_meet(name: str, words: str) -> None:
    materials = {part.material["name"] for board in BOARDS for part in opened(made(name, with_gaps=True)).parts(board)}
    assert {f"{board}: {gap.words}" for board in BOARDS for gap in GAPS if gap.words.startswith(words)} <= materials
    if name == "through":
        assert not any("tight" in material or "loose" in material for material in materials)


def test_no_wood_has_the_colour_of_a_gap() -> None:
    """A material is told by its colour."""
    assert not {wood.rgb for wood in WOODS} & {gap.rgb for gap in GAPS}


# --- the way in ----------------------------------------------------------------------------------


def test_the_animation_begins_with_the_tail_board_lifted_and_ends_seated(glb: Glb, gaps: Glb, job: Job) -> None:
    for file in (glb, gaps):
        (animation,) = file.content["animations"]
        (channel,) = animation["channels"]
        target = channel["target"]
        assert target["path"] == "translation"
        assert file.content["nodes"][target["node"]] is file.nodes["tail board"]
        sampler = animation["samplers"][channel["sampler"]]
        assert sampler.get("interpolation", "LINEAR") == "LINEAR"
        times, places = file.numbers(sampler["input"])[:, 0], file.numbers(sampler["output"])
        assert len(times) == len(places)
        assert times[0] == 0
        assert np.all(np.diff(times) > 0)
        assert 1 < times[-1] < 10
        # Straight up, clear of the pins at first; home at last, and a while there.
        assert places[0] == pytest.approx([0, job.job.scene.apart / 1000, 0], abs=1e-7)
        assert places[0][1] * 1000 > job.layout.as_cut.pin_end
        assert not places[1:].any()
        assert times[-1] - times[1] >= 0.5


# --- the same each time --------------------------------------------------------------------------


@pytest.mark.parametrize("with_gaps", [False, True])
def test_the_same_joint_gives_the_same_bytes_whatever_was_made_before(with_gaps: bool) -> None:
    first = made("half-blind", with_gaps=with_gaps)
    glb_bytes(model_of(case("inches"), with_gaps=not with_gaps))
    assert glb_bytes(model_of(case("half-blind"), with_gaps=with_gaps)) == first


def test_making_it_leaves_the_solids_as_they_were() -> None:
    job = case("through")
    before = [board.points.tobytes() for board in job.job.scene.cut]
    glb_bytes(model_of(job, with_gaps=True))
    assert [board.points.tobytes() for board in job.job.scene.cut] == before
    assert all(solid.Location().IsIdentity() for _, solid in job.cut.boards)


def test_it_says_which_tool_made_it_and_when_is_not_said(glb: Glb) -> None:
    assert glb.content["asset"] == {"version": "2.0", "generator": f"halfpin {__version__}"}
    assert "copyright" not in json.dumps(glb.content)


@pytest.mark.parametrize("title", ["Kästchen für Öl", "木工の引き出し", "O'Brien's <b> & \"x\"", "дом"])
def test_a_title_in_any_script_is_the_name_of_the_whole(title: str, tmp_path: Path) -> None:
    model = model_of(titled(title))
    data = glb_bytes(model)
    assert opened(data).content["nodes"][0]["name"] == title
    (tmp_path / "corner.glb").write_bytes(data)
    reread(tmp_path / "corner.glb", model)


def test_it_is_small() -> None:
    assert len(made("through")) < 15_000
    assert len(made("through", with_gaps=True)) < 20_000


# --- reading back, and planted faults ------------------------------------------------------------


def refused(folder: Path, data: bytes, model: Model) -> str:
    path = folder / "corner.glb"
    path.write_bytes(data)
    with pytest.raises(ReadBackError) as caught:
        reread(path, model)
    assert "corner.glb" in str(caught.value)
    return str(caught.value)


def changed(data: bytes, change: Callable[[dict[str, Any]], None]) -> bytes:
    """The file with its JSON changed."""
    glb = opened(data)
    content = copy.deepcopy(glb.content)
    change(content)
    return repacked(content, glb.binary)


@pytest.mark.parametrize("with_gaps", [False, True])
def test_a_good_file_reads_back(name: str, with_gaps: bool, tmp_path: Path) -> None:
    path = tmp_path / "corner.glb"
    path.write_bytes(made(name, with_gaps=with_gaps))
    reread(path, model_of(job_of(*JOINTS[name]), with_gaps=with_gaps))


def test_repacking_alone_breaks_nothing(tmp_path: Path) -> None:
    (tmp_path / "corner.glb").write_bytes(changed(made("through"), lambda _: None))
    reread(tmp_path / "corner.glb", model_of(case("through")))


@pytest.mark.parametrize("cut", [0, 4, 11, 12, 19, 20, 400, -60, -1])
def test_reading_back_refuses_a_file_cut_short(cut: int, tmp_path: Path) -> None:
    refused(tmp_path, made("through")[:cut], model_of(case("through")))


def test_reading_back_refuses_a_file_with_something_behind_it(tmp_path: Path) -> None:
    refused(tmp_path, made("through") + b"\0\0\0\0", model_of(case("through")))


def test_reading_back_refuses_another_magic_or_version(tmp_path: Path) -> None:
    data, model = made("through"), model_of(case("through"))
    refused(tmp_path, b"glTP" + data[4:], model)
    refused(tmp_path, data[:4] + struct.pack("<I", 1) + data[8:], model)


def rename(content: dict[str, Any]) -> None:
    content["nodes"][1]["name"] = "left side"


def rename_the_other(content: dict[str, Any]) -> None:
    content["nodes"][2]["name"] = "end"


def swap(content: dict[str, Any]) -> None:
    first, second = content["nodes"][1], content["nodes"][2]
    first["name"], second["name"] = second["name"], first["name"]


def exchange(content: dict[str, Any]) -> None:
    content["nodes"][1]["mesh"], content["nodes"][2]["mesh"] = content["nodes"][2]["mesh"], content["nodes"][1]["mesh"]


def still(content: dict[str, Any]) -> None:
    del content["animations"]


def other(content: dict[str, Any]) -> None:
    content["animations"][0]["channels"][0]["target"]["node"] = 2


def turned(content: dict[str, Any]) -> None:
    content["animations"][0]["channels"][0]["target"]["path"] = "rotation"


def fewer(content: dict[str, Any]) -> None:
    content["accessors"][content["meshes"][0]["primitives"][0]["indices"]]["count"] -= 3


def one_board(content: dict[str, Any]) -> None:
    del content["nodes"][2]["mesh"]


def no_normals_but_positions_elsewhere(content: dict[str, Any]) -> None:
    content["meshes"][0]["primitives"][0]["attributes"]["POSITION"] = 9999


@pytest.mark.parametrize(
    "change",
    [
        rename,
        rename_the_other,
        swap,
        exchange,
        still,
        other,
        turned,
        fewer,
        one_board,
        no_normals_but_positions_elsewhere,
    ],
    ids=lambda change: change.__name__,
)
def test_reading_back_refuses_what_was_not_meant(change: Callable[[dict[str, Any]], None], tmp_path: Path) -> None:
    refused(tmp_path, changed(made("half-blind"), change), model_of(case("half-blind")))


@pytest.mark.parametrize(
    "content",
    ["[]", "null", '{"nodes": null}', '{"nodes": [1]}'],
)
def test_reading_back_refuses_json_of_another_shape(content: str, tmp_path: Path) -> None:
    data = repacked(json.loads(content), opened(made("through")).binary)
    refused(tmp_path, data, model_of(case("through")))


@pytest.mark.parametrize("factor", [1000.0, 25.4, 1 + 1e-4, -1.0])
def test_reading_back_refuses_another_scale(factor: float, tmp_path: Path) -> None:
    glb = opened(made("through"))
    binary = bytearray(glb.binary)
    for mesh in glb.content["meshes"]:
        for primitive in mesh["primitives"]:
            accessor = glb.content["accessors"][primitive["attributes"]["POSITION"]]
            view = glb.content["bufferViews"][accessor["bufferView"]]
            begin = view.get("byteOffset", 0) + accessor.get("byteOffset", 0)
            count = 3 * accessor["count"]
            numbers = np.frombuffer(glb.binary, "<f4", count, begin) * np.float32(factor)
            binary[begin : begin + 4 * count] = numbers.astype("<f4").tobytes()
    said = refused(tmp_path, repacked(glb.content, bytes(binary)), model_of(case("through")))
    assert "reaches to" in said


def test_reading_back_refuses_the_file_of_another_joint(tmp_path: Path) -> None:
    refused(tmp_path, made("half-blind"), model_of(case("through")))
    refused(tmp_path, made("through"), model_of(job_of("tool-tray", "tail_board.length=120.01")))


def test_a_kernel_that_does_not_write_it_is_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(RWGltf_CafWriter, "Perform", lambda *_: False)
    with pytest.raises(FaultError, match="did not write it"):
        glb_bytes(model_of(case("through")))
