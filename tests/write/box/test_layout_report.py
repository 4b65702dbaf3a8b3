"""The report of a box that is laid out and not proved: as valid as that of a proved box, and the same
but for the proof."""

from __future__ import annotations

import json
from typing import Any

import jsonschema
import pytest

from solids.write.box.records import box_report_schema
from solids.write.box.report import make_box_report, make_layout_report
from solids.write.report import report_bytes
from tests.boxes import CASES, box_case, box_of

OF_THE_PROOF = {"order": [], "passes": None, "findings": []}


def plain(name: str) -> dict[str, Any]:
    return dict(json.loads(report_bytes(make_layout_report(box_of(*CASES[name])))))


@pytest.mark.parametrize("name", CASES)
def test_it_is_valid_and_says_that_nothing_is_proved(name: str) -> None:
    whole = plain(name)
    jsonschema.validate(whole, box_report_schema())
    assert {key: whole[key] for key in OF_THE_PROOF} == OF_THE_PROOF
    assert whole["files"] == []
    assert [corner["report"]["proof"] for corner in whole["corners"]] == [None] * len(whole["corners"])


@pytest.mark.parametrize("name", ["keepsake", "drawer", "odd", "odd, tails on the ends", "no bottom"])
def test_all_but_the_proof_is_as_in_the_report_of_the_proved_box(name: str) -> None:
    proved = json.loads(report_bytes(make_box_report(box_case(name).proof)))
    assert all(corner["report"].pop("proof") for corner in proved["corners"])
    laid_out = plain(name)
    for corner in laid_out["corners"]:
        del corner["report"]["proof"]
    assert laid_out == {**proved, **OF_THE_PROOF}


@pytest.mark.parametrize("name", ["keepsake", "drawer", "odd", "tight", "drawer, planed"])
def test_pieces_and_places_are_those_of_the_solids(name: str) -> None:
    """The report works them out from the layout; the solids are made by other lines."""
    parts = {part.name: part for part in box_case(name).proof.cut}
    for board in make_layout_report(box_of(*CASES[name])).boards:
        part = parts[board.name]
        assert board.piece == part.shape
        assert [number for row in board.place for number in row] == pytest.approx(
            [number for row in part.rows for number in row], abs=1e-9
        )
