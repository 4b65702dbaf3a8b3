"""Settles the lip of a drawer's front, and the joints at the front that it hides. Lengths in mm.

The front is one board: its outer part is the lip, and the part behind it the box. The sockets end short of the lip, so
the joints at the front are half-blind, with a lap that is thicker than the lip. Common practice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.messages import Key, message
from solids.recipe.completing.box_keys import merged, of_joints
from solids.recipe.completing.choosing import Choosing, usual_lap
from solids.recipe.tables.accepted import no_more_than
from solids.recipe.tables.box_resolved import CornerName
from solids.recipe.tables.box_schema import LipTable
from solids.recipe.tables.lip_resolved import LIP_SIDES, NO_LIP, Lip
from solids.recipe.tables.resolved import Choice, thickest
from solids.recipe.tables.schema import Asked, BoxTable, CornerTable, JointsTable

WIDE, THICK_SHARE, SHORT = 9.5, 0.4, 1.5
"""How far a lip reaches past the box, its share of the front's thickness, and how far the sockets end short of it: 3/8,
5/16 and 1/16 in on a front of 3/4 in. Common practice."""

KEY = "box.front.lip"
AT_FRONT: tuple[CornerName, ...] = ("front left", "front right")


@dataclass(frozen=True)
class Lipped:
    """The recipe with what follows from the lip put in; the lip; and what was chosen."""

    asked: Asked
    lip: Lip = NO_LIP
    choices: tuple[Choice, ...] = ()


def with_lip(asked: Asked) -> Lipped:
    """The box with its lip, if it has one. RecipeError holds all that is wrong with the lip."""
    table = asked.box.front.lip if asked.box and asked.box.front else None
    if asked.box is None or table is None:
        return Lipped(asked)
    return _LipChoices(asked, asked.box, table).lipped()


class _LipChoices(Choosing):
    """Goes through the keys of the lip once. Each key by itself is sound."""

    def __init__(self, asked: Asked, box: BoxTable, table: LipTable) -> None:
        super().__init__(asked.units)
        self.asked, self.box, self.table = asked, box, table
        self.joints = {name: of_joints(box.joints, name) for name in AT_FRONT}

    def lipped(self) -> Lipped:
        wide = self._widths()
        if not any(wide.values()):
            return Lipped(self.asked)
        self._beside(wide)
        self._shown()
        self._stop_if_wrong()
        lip = Lip(self._thickness(), **wide)
        self._stop_if_wrong()
        front = {**self._kind(), **self._lap(lip)}
        joints = self.box.joints or JointsTable()
        found = (joints.front or CornerTable()).model_copy(update=front)
        made = merged(self.asked, {"box": {"joints": joints.model_copy(update={"front": found})}})
        return Lipped(made if front else self.asked, lip, tuple(self.choices))

    def _widths(self) -> dict[str, float]:
        given: dict[str, float] = {side: mm for side in LIP_SIDES if (mm := getattr(self.table, side)) is not None}
        if len(given) == len(LIP_SIDES):
            return given
        wide = self._length(self.table.width, f"{KEY}.width", WIDE, "as 3/8 in")
        return {side: given.get(side, wide) for side in LIP_SIDES}

    # --- what a lip cannot stand beside ----------------------------------------------------------

    def _beside(self, wide: Mapping[str, float]) -> None:
        """Refuses what makes no lip of the front, and what a lip is in the way of."""
        if self.box.tails_on == "ends":
            self._problem("box.tails_on", "a front with a lip carries the pins", 'take box.tails_on = "sides"')
        for part in ("lid", "feet"):
            if getattr(self.box, part):
                wrong = message(
                    "a drawer has no {}, and a lip of its front ({}) makes the box a drawer", part, Key(KEY)
                )
                self._problem(f"box.{part}", wrong, "leave one of them out")
        if self.asked.finish.planing:
            wrong = message("{} cannot be planed off beside a lip ({})", typed(self.asked.finish.planing), Key(KEY))
            self._problem("finish.planing", wrong, "take 0, and plane the boards before they are marked out")
        plane = self.asked.opening.plane if self.asked.opening else None
        if plane and wide["top"]:
            wrong = message("{} cannot be planed off behind a lip at the top ({})", typed(plane), Key(KEY))
            self._problem("opening.plane", wrong, message("take 0, or no lip there ({} = 0)", Key(f"{KEY}.top")))

    def _shown(self) -> None:
        """Refuses joints at the front that would show through the lip, or run into it."""
        shown: dict[str, list[str]] = {}
        for name in AT_FRONT:
            joint, written = self.joints[name]
            if (joint["joint"].get("kind") or self.asked.joint.kind) == "through":
                shown.setdefault(written.get("joint.kind", "joint.kind"), []).append(name)
        for key, names in shown.items():
            wrong = f"through dovetails would show in the lip of the front ({', '.join(names)})"
            self._problem(key, wrong, message('take {} = "half-blind"', Key("box.joints.front.kind")))
        for key in dict.fromkeys(self._mitres()):
            through = message("a mitred shoulder would run out through the lip of the front ({})", Key(KEY))
            self._problem(key, through, "leave one of them out")

    def _mitres(self) -> Iterator[str]:
        for name in AT_FRONT:
            joint, written = self.joints[name]
            mitre = joint["joint"].get("mitre") or self.asked.joint.mitre
            if mitre and (mitre.reference or mitre.other):
                yield written.get("joint.mitre", "joint.mitre")

    # --- the lip and the joints behind it --------------------------------------------------------

    def _thickness(self) -> float:
        """A lip that leaves wood for the box behind it, and that the sockets end short of."""
        given, thick, lap = self.table.thickness, self._thick(), self._least_lap()
        if given is None and thick is None:
            self._problem(f"{KEY}.thickness", "is missing", "give it, as in thickness = 8, or box.front.thickness")
            return WIDE
        if given is None:
            usual = self._rounded(THICK_SHARE * (thick or 0.0))
            if lap is not None and lap - tol.LEAST_FEATURE < usual:
                thin = lap - SHORT if lap > 2 * SHORT else lap / 2
                return self._or(None, f"{KEY}.thickness", thin, "so that the lap is thicker", self._told(thin))
            return self._length(None, f"{KEY}.thickness", usual, "two fifths of the front, as 5/16 in of 3/4 in")
        if thick is not None and given > thick - tol.LEAST_THICKNESS + tol.ROUNDING:
            wrong = "{} leaves nothing for the box behind it of a front that is {} thick"
            most = no_more_than(thick - tol.LEAST_THICKNESS)
            self._problem(f"{KEY}.thickness", message(wrong, typed(given), typed(thick)), *most)
        elif lap is not None and given > lap - tol.LEAST_FEATURE + tol.ROUNDING:
            wrong = "{} lets the sockets, which end {} short of the show face, reach into the lip"
            accepted, tries = no_more_than(lap - tol.LEAST_FEATURE)
            told = message("{}, or take a thicker lap ({})", accepted, Key(self._lap_key(lap)))
            self._problem(f"{KEY}.thickness", message(wrong, typed(given), typed(lap)), told, tries)
        return given

    def _thick(self) -> float | None:
        """The thickness of the front; None where it follows from sizes of the box."""
        own = self.box.front.thickness if self.box.front else None
        known = self.asked.pin_board.thickness if own is None else own
        return None if known is None else thickest(known)

    def _lap_at(self, name: CornerName) -> float | None:
        lap: float | None = self.joints[name][0]["joint"].get("lap", self.asked.joint.lap)
        return lap

    def _least_lap(self) -> float | None:
        return min((lap for lap in map(self._lap_at, AT_FRONT) if lap is not None), default=None)

    def _lap_key(self, lap: float) -> str:
        name = next(name for name in AT_FRONT if self._lap_at(name) == lap)
        return self.joints[name][1].get("joint.lap", "joint.lap")

    def _kind(self) -> dict[str, object]:
        given = [self.joints[name][0]["joint"].get("kind") or self.asked.joint.kind for name in AT_FRONT]
        if all(given):
            return {}
        return {"kind": self._or(None, "box.joints.front.kind", "half-blind", "behind the lip no tail shows")}

    def _lap(self, lip: Lip) -> dict[str, object]:
        """The lap where a lip is thicker than the usual one; any other comes from the rules of the corner."""
        if all(self._lap_at(name) is not None for name in AT_FRONT):
            return {}
        thick = self._thick()
        if thick is not None and lip.thickness + SHORT <= usual_lap(thick):
            return {}
        lap = self._rounded(lip.thickness + SHORT)
        if thick is not None and lap > thick - tol.LEAST_THICKNESS:
            lap = (lip.thickness + thick) / 2
        told = self._told(lap)
        return {"lap": self._or(None, "box.joints.front.lap", lap, "so that the sockets end short of the lip", told)}
