"""The report of a box that is laid out and not proved: as valid as that of a proved box, and the same
but for the proof."""

from __future__ import annotations

import json
from typing import Any

import jsonschema
import pytest

from solids.layout.assembly import assembly_of
from solids.write.report import BoxReport, piece_report, report_bytes, report_schema
from tests.boxes import CASES, box_case, box_of

OF_THE_PROOF = {"glue_up": None, "order": [], "passes": None, "findings": []}


def laid_out(name: str) -> BoxReport:
    report = piece_report(assembly_of(box_of(*CASES[name])))
    assert isinstance(report, BoxReport)
    return report


def plain(name: str) -> dict[str, Any]:
    return dict(json.loads(report_bytes(laid_out(name))))


@pytest.mark.parametrize("name", CASES)
def test_it_is_valid_and_says_that_nothing_is_proved(name: str) -> None:
    whole = plain(name)
    jsonschema.validate(whole, report_schema(BoxReport))
    assert {key: whole[key] for key in OF_THE_PROOF} == OF_THE_PROOF
    assert whole["files"] == []
    assert [corner["report"]["proof"] for corner in whole["corners"]] == [None] * len(whole["corners"])


@pytest.mark.parametrize("name", ["keepsake", "drawer", "odd", "odd, tails on the ends", "no bottom"])
def test_all_but_the_proof_is_as_in_the_report_of_the_proved_box(name: str) -> None:
    proof = box_case(name).proof
    proved = json.loads(report_bytes(piece_report(proof.assembly, proof)))
    assert all(corner["report"].pop("proof") for corner in proved["corners"])
    found = plain(name)
    for corner in found["corners"]:
        del corner["report"]["proof"]
    assert found == {**proved, **OF_THE_PROOF}


@pytest.mark.parametrize("name", ["keepsake", "drawer", "odd", "tight", "drawer, planed"])
def test_pieces_and_places_are_those_of_the_solids(name: str) -> None:
    """The report works them out from the layout; the solids are made by other lines."""
    parts = {part.name: part for part in box_case(name).proof.cut}
    for board in laid_out(name).boards:
        part = parts[board.name]
        assert board.piece == part.shape
        assert [number for row in board.place for number in row] == pytest.approx(
            [number for row in part.rows for number in row], abs=1e-9
        )
