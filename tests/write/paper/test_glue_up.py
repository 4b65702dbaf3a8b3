"""The glue-up page: what stands on it, in the maker's units, and that it is one page."""

from __future__ import annotations

from functools import cache

import pypdfium2
import pytest

from solids.base.cautions import CAUTIONS
from solids.base.lengths import CALIPER, format_length, own_area
from solids.base.masses import told_grams
from solids.bench.gluing.goes import gluing_of
from solids.bench.gluing.words import told_seconds, where_words
from solids.proof.assembly import PieceProof
from solids.proof.box import diagonals
from solids.write.paper.glue_up import glue_up_bytes, put_glue_up
from solids.write.paper.typesetting.pdf import Pages
from tests.boxes import box_case
from tests.corners import piece_of
from tests.write.paper.reading import tight, words_of

PIECES = ("tool-tray", "tea-box", "carcase", "keepsake", "drawer")


@cache
def proof_of(name: str) -> PieceProof:
    return (box_case(name) if name in ("keepsake", "drawer") else piece_of(name)).proof


@cache
def page(name: str) -> str:
    return tight(words_of(glue_up_bytes(proof_of(name))))


@pytest.mark.parametrize("name", PIECES)
def test_it_is_one_page_with_its_amounts_its_clamps_and_every_caution(name: str) -> None:
    proof, words = proof_of(name), page(name)
    gluing = gluing_of(proof.assembly, proof.parts)
    document = pypdfium2.PdfDocument(glue_up_bytes(proof))
    assert len(document) == 1
    document.close()
    assert tight(told_grams(gluing.pour, gluing.units)) in words
    assert tight(f"{told_seconds(gluing.longest_open)} of 5 min") in words
    assert tight(where_words(gluing.clamping, gluing.units)) in words
    for caution in CAUTIONS:
        assert tight(f"{caution.topic}. {caution.text}") in words


@pytest.mark.parametrize("name", ["keepsake", "drawer"])
def test_the_order_is_the_proved_one_and_the_diagonals_are_those_of_the_proof(name: str) -> None:
    proof, words = proof_of(name), page(name)
    places = [words.index(tight(step)) for step in proof.steps]
    assert places == sorted(places)
    assert words.index(tight("Dry run.")) < places[0]
    first, second = diagonals(proof.box)
    assert first == pytest.approx(second)
    assert tight(format_length(first, proof.box.recipe.units, CALIPER)) in words


def test_what_stays_dry_is_said_of_each_bottom() -> None:
    assert tight("Only a dab in the middle of each of its end-grain edges.") in page("keepsake")
    assert tight("Before it is quite home, brush a little glue on its front edge alone") in page("drawer")
    assert tight("The bottom") not in page("tool-tray")


def test_a_half_blind_drawer_names_both_kinds_of_corner() -> None:
    words = page("drawer")
    assert tight("Front left and front right") in words
    assert tight("To print instead, all four corners: caul-tails") in words


def test_a_page_in_inches_has_no_millimetres_before_the_cautions() -> None:
    words = page("tea-box")
    assert tight("0.2 oz (5 g)") in words
    assert tight("sq in") in words
    assert "mm2" not in words


@pytest.mark.parametrize("name", ["keepsake", "drawer"])
@pytest.mark.parametrize("larger", [1.0, 1.4])
def test_no_amount_of_a_box_is_parted_from_its_unit(name: str, larger: float) -> None:
    proof = proof_of(name)
    gluing, file = gluing_of(proof.assembly, proof.parts), Pages("narrow", "columns", 210.0, 297.0)
    put_glue_up(file, proof, "Glue-up", lambda _: [], larger)
    file.next_page()
    words = words_of(file.bytes())
    sums = (sum(each.long_grain for each in gluing.glued), sum(each.end_grain for each in gluing.corners))
    for told in (*(own_area(mm2, gluing.units) for mm2 in sums), "faces", "brushing"):
        assert told in words
