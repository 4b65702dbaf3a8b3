"""report.json follows its own schema, names its units, holds no NaN, and its hashes are those of the files."""

from __future__ import annotations

import hashlib
import json
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from solids.base.errors import ReadBackError
from solids.base.findings import Finding
from solids.bench.hand_error import hand_work
from solids.bench.worktime import piece_minutes
from solids.layout.joint.volumes import tail_board_volume
from solids.write import report
from solids.write.report.records import layout as records
from tests.corners import CASES, PRESETS, case, job_of, layout_of

FILES = {"corner.step": b"a solid", "tail-board.stl": b"triangles"}
HASHES = {name: hashlib.sha256(data).hexdigest() for name, data in FILES.items()}

LENGTHS_AND_THE_LIKE = ("_share", "_mm", "_mm2", "_mm3", "_deg", "_kg_m3")
WOOD_AND_AIR = ("_percent", "_per_percent", "_c", "_mpa", "_n")
"""Moisture and humidity in %, change as a share for 1 % of moisture, degrees Celsius, strengths in MPa, forces in N."""

UNIT_ENDINGS = (*LENGTHS_AND_THE_LIKE, *WOOD_AND_AIR, "_n_m", "_minutes", "_g_m2")
WITHOUT_UNIT = {
    *("slope_ratio", "slope_ratios", "number", "tails", "seed", "bytes", "measured", "limit", "joints_tried"),
    "minutes",
}
"""Counts and ratios; a finding's two figures, whose unit stands beside them; and a key that is the unit itself."""


def whole(name: str) -> report.Report:
    job = case(name)
    records = [report.file_record(file, "holds", data) for file, data in FILES.items()]
    return report.make_report(job.layout, job.proof, records)


def plain(made: report.Report) -> dict[str, Any]:
    return json.loads(report.report_bytes(made))


def leaves(value: Any, key: str = "") -> Iterator[tuple[str, Any]]:
    """Every value that is neither table nor list, with the key it stands under."""
    if isinstance(value, dict):
        for inner, item in value.items():
            yield from leaves(item, inner)
    elif isinstance(value, list):
        for item in value:
            yield from leaves(item, key)
    else:
        yield key, value


@pytest.fixture(scope="module")
def validator() -> jsonschema.Draft202012Validator:
    schema = report.report_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


@pytest.mark.parametrize("name", CASES)
def test_every_report_follows_the_schema_that_the_tool_prints(
    validator: jsonschema.Draft202012Validator, name: str
) -> None:
    assert list(validator.iter_errors(plain(whole(name)))) == []


@pytest.mark.parametrize("preset", PRESETS)
def test_a_report_of_the_arithmetic_alone_follows_the_schema_too(
    validator: jsonschema.Draft202012Validator, preset: str
) -> None:
    made = plain(report.make_report(layout_of(preset)))
    assert list(validator.iter_errors(made)) == []
    assert made["proof"] is None
    assert made["files"] == []


@pytest.mark.parametrize(
    "spoil",
    [
        lambda r: r.pop("title"),
        lambda r: r.update(colour="red"),
        lambda r: r["layout"].update(depth_mm="12 mm"),
        lambda r: r["files"][0].update(sha256="ABC"),
        lambda r: r["recipe"].update(kind="mitred"),
        lambda r: r.update(schema="urn:halfpin:report:2"),
    ],
)
def test_the_schema_refuses_what_is_no_report(validator: jsonschema.Draft202012Validator, spoil: Any) -> None:
    made = plain(whole("through"))
    spoil(made)
    assert list(validator.iter_errors(made))


@pytest.mark.parametrize("name", CASES)
def test_every_key_that_holds_a_number_carries_its_unit(name: str) -> None:
    numbers = [key for key, value in leaves(plain(whole(name))) if type(value) in (int, float)]
    assert len(numbers) > 50
    assert [key for key in numbers if not key.endswith(UNIT_ENDINGS) and key not in WITHOUT_UNIT] == []
    assert [ending for ending in WOOD_AND_AIR if not any(key.endswith(ending) for key in numbers)] == []


@pytest.mark.parametrize("name", CASES)
def test_a_finding_that_measures_a_length_or_volume_names_the_unit(name: str) -> None:
    findings = plain(whole(name))["proof"]["findings"]
    units = {finding["code"]: finding["unit"] for finding in findings if finding["measured"] is not None}
    assert units["solid"] == units["opinions"] == "mm3"
    assert units["strength"] == "N"
    assert set(units.values()) <= {"mm", "mm3", "%", "N", ""}
    assert {code for code, unit in units.items() if not unit} <= {"slope", "wrong-faces"}


def test_the_numbers_are_the_layouts() -> None:
    layout, made = layout_of("tool-tray"), plain(whole("through"))
    w, n = (96 - 2 * 6 - 3 * 3) / 4, 7
    assert made["layout"]["depth_mm"] == 12
    assert [tail["width_mm"] for tail in made["layout"]["tails"]] == pytest.approx([w] * 4, abs=1e-9)
    assert [tail["neck_width_mm"] for tail in made["layout"]["tails"]] == pytest.approx([w - 2 * 12 / n] * 4, abs=1e-9)
    assert made["layout"]["raw_end_gaps_mm"] == pytest.approx(
        [6 - 0.5 / n, *[3 - 2 * 0.5 / n] * 3, 6 - 0.5 / n], abs=1e-9
    )
    assert made["recipe"]["slope_deg"] == pytest.approx(math.degrees(math.atan(1 / 7)), abs=1e-9)
    assert [state["name"] for state in made["layout"]["states"]] == ["as cut", "finished"]
    assert made["layout"]["states"][0]["tail_board_mm3"] == pytest.approx(tail_board_volume(layout, layout.as_cut))


def test_the_air_of_both_rooms_and_the_makers_cutters_and_paper_are_kept() -> None:
    """68 F are 20 C, by (68 - 32) / 1.8. At 20 C and 50 % wood comes to 9.2 or 9.3 % moisture: Wood Handbook,
    FPL-GTR-190 (2010), Table 4-2, 70 F and 50 %, prints 9.2 (from memory)."""
    own = ('climate.shop="68 F, 50 %"', 'climate.home="20 C, 30 %"', "kit.cutters=[3, 6.35]", "paper.size=A3")
    made = plain(report.make_report(layout_of("tool-tray", *own)))["recipe"]
    shop, home = made["climate_shop"], made["climate_home_dry"]
    assert (shop["temperature_c"], shop["humidity_percent"]) == (pytest.approx(20, abs=1e-9), 50)
    assert shop["moisture_percent"] == pytest.approx(9.2, abs=0.15)
    assert (home["temperature_c"], home["humidity_percent"]) == (20, 30)
    assert home["moisture_percent"] < shop["moisture_percent"] < made["climate_home_damp"]["moisture_percent"]
    assert (made["kit_cutters_mm"], made["paper_size"], made["paper_corner_relief"]) == ([3, 6.35], "A3", False)


def test_a_wood_of_ones_own_is_kept_with_what_is_known_of_it_and_null_for_what_is_not() -> None:
    pear = '{name = "pear", kind = "hardwood", density = 690, radial = 0.0016, tangential = 0.0031}'
    plum = '{name = "plum", kind = "hardwood", density = 750, shear = 14, bending = 98}'
    made = plain(report.make_report(layout_of("tool-tray", f"tail_board.wood={pear}", f"pin_board.wood={plum}")))
    tails, pins = made["recipe"]["tail_board"]["wood"], made["recipe"]["pin_board"]["wood"]
    assert tails["movement"] == {
        "radial_per_percent": 0.0016,
        "tangential_per_percent": 0.0031,
        "source": "given in the recipe",
    }
    assert tails["strength"] is None
    assert pins["movement"] is None
    assert (pins["strength"]["shear_mpa"], pins["strength"]["bending_mpa"]) == (14, 98)
    assert pins["strength"]["compression_mpa"] is None
    for season in ("dry", "damp"):
        assert made["movement"][season]["pin_board"] == {"width_mm": None, "thickness_mm": None}
        assert made["movement"][season]["mismatch_mm"] is None
    assert made["strength"]["glued"] == made["strength"]["dry"] == []
    assert made["strength"]["half_pin_push_n"] is None


def test_every_file_is_fresh_unless_it_says_otherwise() -> None:
    made = whole("through")
    assert [record.stale for record in made.files] == [False] * len(FILES)
    stale = made.files[0].model_copy(update={"stale": True})
    data = json.loads(report.report_bytes(made.model_copy(update={"files": (stale,)})))
    assert data["files"][0]["stale"] is True


def test_every_value_that_was_chosen_is_listed_with_its_rule() -> None:
    made = plain(report.make_report(layout_of("drawer-front")))
    assert {choice["key"] for choice in made["choices"]} >= {"joint.tails", "joint.half_pin", "tail_board.length"}
    assert all(choice["rule"] and choice["value"] for choice in made["choices"])


# --- NaN -------------------------------------------------------------------------------------------


def test_a_second_opinion_that_gave_no_answer_becomes_null_and_nan_never_appears() -> None:
    job = case("through")
    nothing = Finding("opinions", "fail", "No answer.", measured=math.nan, limit=math.nan, unit="mm3")
    proof = replace(
        job.proof, overlap=replace(job.proof.overlap, manifold=math.nan), findings=(*job.proof.findings, nothing)
    )
    data = report.report_bytes(report.make_report(job.layout, proof))
    assert not re.search(rb"NaN|Infinity", data)
    proved = json.loads(data)["proof"]
    assert proved["overlap"]["manifold_mm3"] is None
    assert (proved["findings"][-1]["measured"], proved["findings"][-1]["limit"]) == (None, None)


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_a_record_refuses_what_json_cannot_hold(value: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        records.PinRecord(number=1, half=True, narrow_mm=value, wide_mm=1.0)


def test_minus_zero_is_written_as_zero_because_it_differs_from_machine_to_machine() -> None:
    record = records.PinRecord(number=1, half=True, narrow_mm=-0.0, wide_mm=-1e-12)
    assert record.model_dump_json() == '{"number":1,"half":true,"narrow_mm":0.0,"wide_mm":0.0}'


# --- files and reading back ------------------------------------------------------------------------


def test_sizes_and_hashes_are_those_of_the_bytes() -> None:
    listed = plain(whole("through"))["files"]
    assert [(f["name"], f["bytes"], f["sha256"]) for f in listed] == [
        (name, len(data), hashlib.sha256(data).hexdigest()) for name, data in FILES.items()
    ]


def test_sha256_is_that_of_fips_180() -> None:
    # FIPS 180-2 appendix B.1: the digest of "abc" (from memory).
    assert report.sha256(b"abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


@pytest.fixture
def on_disk(tmp_path: Path) -> Path:
    path = tmp_path / report.NAME
    path.write_bytes(report.report_bytes(whole("through")))
    return path


def test_a_good_report_reads_back(on_disk: Path) -> None:
    report.reread(on_disk, HASHES)


@pytest.mark.parametrize(
    "hashes",
    [
        {**HASHES, "corner.step": hashlib.sha256(b"a solid.").hexdigest()},
        {"corner.step": HASHES["corner.step"]},
        {},
        {**HASHES, "one-more.stl": hashlib.sha256(b"").hexdigest()},
        {"Corner.step": HASHES["corner.step"], "tail-board.stl": HASHES["tail-board.stl"]},
        {"corner.step": HASHES["tail-board.stl"], "tail-board.stl": HASHES["corner.step"]},
    ],
)
def test_reading_back_finds_a_changed_missing_or_added_file(on_disk: Path, hashes: dict[str, str]) -> None:
    with pytest.raises(ReadBackError, match="does not list the files beside it"):
        report.reread(on_disk, hashes)


@pytest.mark.parametrize("broken", [b"", b"{}", b"[]", b'{"schema": "urn:halfpin:report:1"}', b"\xff"])
def test_reading_back_finds_what_is_no_report(on_disk: Path, broken: bytes) -> None:
    on_disk.write_bytes(broken)
    with pytest.raises(ReadBackError, match="does not follow its own schema"):
        report.reread(on_disk, HASHES)


def test_a_title_in_any_script_is_kept_as_it_is() -> None:
    made = report.make_report(job_of("tool-tray", 'title="Kästchen 木箱"').layout)
    assert json.loads(report.report_bytes(made).decode("utf-8"))["title"] == "Kästchen 木箱"


def test_the_report_holds_what_the_bench_is_told_of_hand_and_time() -> None:
    layout = layout_of("tool-tray")
    made = plain(report.make_report(layout))
    hand, found = made["layout"]["hand_work"], hand_work(layout)
    assert hand["right_share"] == pytest.approx(found.right)
    assert (hand["pared_share"], hand["fat_pared_share"]) == pytest.approx((found.pared, found.fat_pared))
    assert (hand["fat_mm"], hand["best_flank_gap_mm"]) == pytest.approx((found.fat, found.best_gap))
    bench, time = made["bench"], piece_minutes([layout])
    assert (bench["least_minutes"], bench["most_minutes"]) == pytest.approx((time.least, time.most))
    assert bench["minutes"] == pytest.approx((time.least + time.most) / 2)
