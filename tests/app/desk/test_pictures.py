"""The small picture of a recipe on the shelf."""

from __future__ import annotations

import xml.etree.ElementTree as ET

from solids.app.desk.shelf.pictures import PINS, TAILS, picture_of


def shape(kind: str, words: str, *points: tuple[float, float]) -> dict[str, object]:
    return {"kind": kind, "words": words, "points": [list(point) for point in points], "closed": kind == "wood"}


def test_a_drawing_is_turned_the_right_way_up_in_true_proportion() -> None:
    """By hand: a sheet of 100 x 50 keeps 4 % of 100 free all round, and what is at the top there has y = 0 here."""
    shapes = [
        shape("wood", "pin board", (0, 50), (100, 50), (100, 0)),
        shape("wood", "tail board", (10, 0), (20, 0), (20, 10)),
        shape("hidden", "", (0, 25), (100, 25)),
        shape("number", "1", (15, 5)),
        shape("dimension", "100 mm", (0, 5), (100, 5)),
    ]
    state = {"title": "a <b> & c", "drawings": {"face": {"width": 100.0, "height": 50.0, "shapes": shapes}}}
    root = ET.fromstring(picture_of(state))
    title, pins, tails, hidden = root
    assert root.get("viewBox") == "-4.000 -4.000 108.000 58.000"
    assert title.text == "a <b> & c"
    assert pins.get("points") == "0.000,0.000 100.000,0.000 100.000,50.000"
    assert (pins.get("fill"), tails.get("fill"), hidden.get("fill")) == (PINS, TAILS, "none")
    assert hidden.get("stroke-dasharray")


def test_where_nothing_can_be_drawn_the_sheet_is_empty() -> None:
    for state in ({}, {"drawings": {"face": None}}):
        assert b"viewBox" in picture_of(state)
