"""Completes a lid that is a board of its own: one that lifts off, or one that is hinged. Rules without a source are
common practice. Lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Literal

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.messages import message
from solids.recipe.completing.choosing import round_down
from solids.recipe.completing.lid.sawn import LidChoices, kind_of
from solids.recipe.tables.accepted import no_less_than, no_more_than
from solids.recipe.tables.box_resolved import Side
from solids.recipe.tables.lid_resolved import LidBoard
from solids.recipe.tables.lid_schema import HingeTable, LidPanelTable
from solids.recipe.tables.resolved import Board
from solids.wood import Climate, Seasons

DROP_SHARE = 1 / 2
"""How far a lid drops between the boards, as a share of its thickness. Common practice."""

OVERHANG = 3.0
"""How far it stands out past them. Common practice."""


class LidBoardChoices(LidChoices):
    """Goes through the keys of such a lid, in the order in which they depend on each other."""

    def board(
        self, boards: Mapping[Side, Board], inside: tuple[float, float], planing: float, air: tuple[Climate, Seasons]
    ) -> LidBoard:
        """The lid of a box of these boards, their inside faces so far apart in X and in Y."""
        self.refuse_idle_keys()
        kind: Literal["lift off", "hinged"] = "lift off" if kind_of(self.table) == "lift off" else "hinged"
        front, asked = boards["front"], self.table.panel or LidPanelTable()
        panel = self._panel((front.wood, "as the front"), inside, air)
        usual = front.thinnest - planing
        thickness = self._length(asked.thickness, "box.lid.panel.thickness", usual, "as the front")
        panel = replace(panel, thickness=thickness, tongue=thickness)
        rule = "so that fingers find it, and its movement does not catch the eye"
        overhang = self._length(self.table.overhang, "box.lid.overhang", OVERHANG, rule)
        if kind == "hinged":
            if panel.kind == "solid" and panel.grain == "width":
                wrong = "a solid board whose grain runs from front to back moves along the back, and its hinges hold it"
                self._problem("box.lid.panel.grain", wrong, 'take "length", or plywood', ("length",))
            return LidBoard(kind, panel, 0.0, overhang, self._hinge(self.table.hinge or HingeTable()))
        most = thickness - tol.LEAST_THICKNESS
        usual_drop = min(self._rounded(thickness * DROP_SHARE), round_down(most, self.units))
        drop = self._length(self.table.drop, "box.lid.drop", usual_drop, "half of its thickness")
        if drop <= 0.0:
            wrong_board = message("{} leaves too little for a rebate and the wood over the boards", typed(thickness))
            self._problem("box.lid.panel.thickness", wrong_board, *no_less_than(2 * tol.LEAST_THICKNESS))
        elif drop > most + tol.ROUNDING:
            told = "{} leaves {} over the boards of a lid that is {} thick"
            wrong_drop = message(told, *map(typed, (drop, max(thickness - drop, 0.0), thickness)))
            self._problem("box.lid.drop", wrong_drop, *no_more_than(most))
        return LidBoard(kind, panel, drop, overhang)

    def check_back(self, down: float) -> None:
        """Refuses a back that ends lower than the sides."""
        if down:
            wrong = message("{} leaves the back lower than the sides, which a lid lies on", typed(down))
            self._problem("box.back.down", wrong, "take 0, or leave out [box.lid]", ("0",))

    def _usual_grain(self, longer: Literal["length", "width"]) -> tuple[Literal["length", "width"], str]:
        if kind_of(self.table) == "hinged":
            return "length", "along the hinges, so that it moves at the front"
        return super()._usual_grain(longer)

    def _clearance(self, asked: LidPanelTable) -> float:
        return 0.0 if kind_of(self.table) == "hinged" else super()._clearance(asked)
