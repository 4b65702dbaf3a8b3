"""The proof of a box: each of its corners as a corner is proved, each board with both its ends, the ring they close,
the bottom in its groove, and that the whole can be put together."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from solids.base import tolerances as tol
from solids.base.findings import REPORT, Finding, fails, said_truly
from solids.base.lengths import format_both
from solids.base.messages import message
from solids.layout import Layout
from solids.layout.box import BoxLayout, kind_title, kinds_of_corner, shown_layout
from solids.layout.box_bottom import bottom_words
from solids.layout.cut_list import glue_up_words
from solids.model import manifold
from solids.model.box import BOTTOM, BoxPart, box_parts, loose_slabs, plug_slabs, plug_volumes
from solids.model.corner import Corner, make_corner
from solids.model.kernel import Mesh, common, faces_of, is_valid, topology, volume_of
from solids.proof.box_contacts import joint_findings
from solids.proof.corner import Proof, prove
from solids.proof.order import Order, order_of, taken_off
from solids.recipe.box_resolved import MOVES_UNKNOWN, SIDES, CornerName, Side

RING: dict[Side, tuple[float, float]] = {
    "front": (1.0, 0.0),
    "right": (0.0, 1.0),
    "back": (-1.0, 0.0),
    "left": (0.0, -1.0),
}
"""The boards as they follow each other from the front left corner, seen from above, and which way each runs."""


@dataclass(frozen=True)
class ProvedCorner:
    """One kind of corner: the names of all that are alike, its solids and its proof."""

    names: tuple[CornerName, ...]
    layout: Layout
    cut: Corner
    finished: Corner
    proof: Proof

    @property
    def title(self) -> str:
        """ "front left and front right", "all four corners"."""
        return kind_title(self.names)

    @property
    def heading(self) -> str:
        """The title as a sentence begins."""
        return f"{self.title[0].upper()}{self.title[1:]}"

    @property
    def slug(self) -> str:
        """What its own files are named by."""
        if len(self.names) == 4:
            return "corner"
        end = self.names[0].split()[0]
        whole = len(self.names) == 2 and all(name.startswith(end) for name in self.names)
        return f"{end}-corner" if whole else f"{self.names[0].replace(' ', '-')}-corner"


@dataclass(frozen=True)
class BoxProof:
    """All that is known of a box: its parts in both states, its corners, the order, and every finding."""

    box: BoxLayout
    cut: tuple[BoxPart, ...]
    finished: tuple[BoxPart, ...]
    corners: tuple[ProvedCorner, ...]
    order: Order
    findings: tuple[Finding, ...]

    @property
    def passes(self) -> bool:
        """Whether the box goes together."""
        return not fails(self.findings)


def prove_box(box: BoxLayout) -> BoxProof:
    """Makes and proves a box."""
    corners = tuple(_corners(box))
    states = {state: box_parts(box, finished=state) for state in (False, True)}
    meshes = {state: {part.name: _triangles(part) for part in parts} for state, parts in states.items()}
    cut, finished = states[False], states[True]
    ways = {pair: still + way for pair, (still, way) in asked_overlaps(box, finished=False).items()}
    order = order_of(meshes[False], ways, taken_off(tails_on_sides=box.recipe.tails_on_sides))
    findings = [
        *(finding for corner in corners for finding in _corner_findings(corner)),
        *_board_findings(box, cut, meshes[False], finished=False),
        *_board_findings(box, finished, meshes[True], finished=True),
        *_ring_findings(box),
        *joint_findings(box, cut),
        *_place_findings(box, meshes[True]),
        *_overlap_findings(box, cut, meshes[False], finished=False),
        *_overlap_findings(box, finished, meshes[True], finished=True),
        *_bottom_findings(box),
        *_groove_findings(box),
        _order_finding(order),
    ]
    return BoxProof(box, cut, finished, corners, order, said_truly(findings))


def _triangles(part: BoxPart) -> Mesh:
    """A part in its place for Manifold, which takes its triangles from nobody else."""
    return Mesh(*manifold.triangles_of(faces_of(part.in_place)))


# --- corners -------------------------------------------------------------------------------------


def _corners(box: BoxLayout) -> Iterator[ProvedCorner]:
    """Each kind of corner once."""
    for names in kinds_of_corner(box):
        layout = shown_layout(box, names)
        cut, finished = make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished)
        yield ProvedCorner(names, layout, cut, finished, prove(cut, finished))


def _corner_findings(corner: ProvedCorner) -> Iterator[Finding]:
    """What fails or warns at a corner, and one line where nothing does."""
    grave = [finding for finding in corner.proof.findings if finding.severity in ("fail", "warning")]
    for finding in grave:
        sentence = message("{}: {}", corner.heading, finding.sentence)
        yield replace(finding, sentence=sentence, place=corner.title)
    passed = sum(finding.severity == "pass" for finding in corner.proof.findings)
    if corner.proof.passes:
        words = f"{corner.heading}: {passed} checks passed, the joint goes together."
        yield Finding("corner", "pass", words, corner.title, float(passed))


# --- boards and ring -----------------------------------------------------------------------------


def _board_findings(
    box: BoxLayout, parts: Sequence[BoxPart], meshes: Mapping[str, Mesh], *, finished: bool
) -> Iterator[Finding]:
    state = _words(finished)
    good = 0
    for part in parts:
        found = meshes[part.name]
        second = manifold.examine(found.points, found.triangles)
        volume, meant = volume_of(part.solid), _meant_volume(box, part, finished=finished)
        counts = topology(part.solid)
        apart = max(abs(volume - meant), abs(second.volume - meant)) / meant
        sound = is_valid(part.solid) and counts.closed and counts.solids == second.bodies == 1
        if sound and apart < tol.VOLUME_RELATIVE:
            good += 1
            continue
        yield Finding(
            "box-board",
            "fail",
            f"The {part.name} {state} is not the solid that it should be: {volume:.10g} mm3, or "
            f"{second.volume:.10g} by a second program, instead of {meant:.10g}.",
            part.name,
            volume,
            meant,
            "mm3",
            REPORT,
        )
    if good == len(parts):
        yield Finding("box-board", "pass", f"{good} parts {state}, each one closed, valid solid with the right volume.")


def _words(finished: bool) -> str:
    return "as finished" if finished else "as cut"


def _meant_volume(box: BoxLayout, part: BoxPart, *, finished: bool) -> float:
    if part.name in SIDES:
        return box.board_volume(part.name, finished=finished)
    if part.name == BOTTOM and box.panel:
        return box.panel.volume
    return plug_volumes(box)[part.name]


def _ring_findings(box: BoxLayout) -> Iterator[Finding]:
    gap = ring_gap(box)
    good = gap <= tol.RING_CLOSED
    words = "The four boards close the ring." if good else f"The ring of boards stays open by {gap:g} mm."
    yield Finding("ring", "pass" if good else "fail", words, "", gap, tol.RING_CLOSED, "mm", "" if good else REPORT)
    first, second = diagonals(box)
    apart = abs(first - second)
    good = apart <= tol.RING_CLOSED
    both = format_both(first, box.recipe.units, 0.01)
    words = f"It is square: both diagonals inside measure {both}." if good else f"Its diagonals differ by {apart:g} mm."
    yield Finding("square", "pass" if good else "fail", words, "", apart, tol.RING_CLOSED, "mm", "" if good else REPORT)


def ring_gap(box: BoxLayout) -> float:
    """How far the ring is from closing: from corner to corner along each board by its own length, all the way round."""
    start = corner = box.corners["front left"]
    x, y = corner.rows[0][3], corner.rows[1][3]
    farthest = 0.0
    for side, (along_x, along_y) in RING.items():
        board = box.boards[side]
        x, y = x + along_x * board.length, y + along_y * board.length
        corner = board.down if corner is board.up else board.up
        farthest = max(farthest, math.dist((x, y), (corner.rows[0][3], corner.rows[1][3])))
    return farthest if corner is start else math.inf


def diagonals(box: BoxLayout) -> tuple[float, float]:
    """Both diagonals between the corners' inside edges."""
    at = {name: (corner.rows[0][3], corner.rows[1][3]) for name, corner in box.corners.items()}
    return math.dist(at["front left"], at["back right"]), math.dist(at["front right"], at["back left"])


# --- between the parts ---------------------------------------------------------------------------


def asked_overlaps(box: BoxLayout, *, finished: bool) -> dict[frozenset[str], tuple[float, float]]:
    """By pair of boards: the wood (mm3) that the recipe asks them to share where flanks are tight, and what they meet
    more on the way in."""
    return {
        frozenset(name.split()): (
            corner.layout.overlap_volume(corner.layout.state(finished=finished)),
            corner.layout.entry_overlap(),
        )
        for name, corner in box.corners.items()
    }


def _place_findings(box: BoxLayout, meshes: Mapping[str, Mesh]) -> Iterator[Finding]:
    """What no joint holds lies where the layout has it: the bottom, and plugs."""
    slabs = {name: slab for name, slab in loose_slabs(box).items() if name in meshes}
    wrong = False
    for name, slab in slabs.items():
        points = meshes[name].points
        reach = zip((slab.x, slab.y, slab.z), points.min(axis=0), points.max(axis=0), strict=True)
        off = max(max(abs(low - span[0]), abs(high - span[1])) for span, low, high in reach)
        if off > tol.FACE_DEPARTS:
            wrong = True
            yield Finding(
                "box-place", "fail", f"The {name} lies {off:.4g} mm off its place.", name, off, 0.0, "mm", REPORT
            )
    if slabs and not wrong:
        yield Finding("box-place", "pass", f"In its place: {', '.join(slabs)}.")


def _overlap_findings(
    box: BoxLayout, parts: Sequence[BoxPart], meshes: Mapping[str, Mesh], *, finished: bool
) -> Iterator[Finding]:
    asked, state = asked_overlaps(box, finished=finished), _words(finished)
    bodies = {name: manifold.body_of(found.points, found.triangles) for name, found in meshes.items()}
    solids = {part.name: part.in_place for part in parts}
    wrong = False
    for first, second in combinations(bodies, 2):
        meant, _ = asked.get(frozenset((first, second)), (0.0, 0.0))
        found = [manifold.overlap_volume(bodies[first], bodies[second])]
        if BOTTOM in (first, second) and not finished:
            # Two boards of one corner are tried by the kernel in the proof of that corner.
            found.append(sum(volume_of(solid) for solid in common(solids[first], solids[second])))
        limit = max(tol.OVERLAP_ABSOLUTE, tol.OVERLAP_RELATIVE * meant)
        if all(abs(volume - meant) <= limit for volume in found):
            continue
        wrong = True
        words = f"The {first} and the {second}, {state}, overlap by {max(found):.6g} mm3; the recipe has {meant:.6g}."
        yield Finding("box-overlap", "fail", words, f"{first}, {second}", max(found), meant, "mm3", REPORT)
    if not wrong:
        words = f"No two of {len(bodies)} parts, {state}, overlap more than the recipe asks for."
        yield Finding("box-overlap", "pass", words)


def _bottom_findings(box: BoxLayout) -> Iterator[Finding]:
    if box.panel is None:
        return
    yield Finding("bottom", "pass", bottom_words(box), BOTTOM, box.panel_hold, tol.PANEL_HELD, "mm")
    panel = box.recipe.panel
    if panel.wood.movement is None:
        words = (
            f"How {panel.wood.name} moves is not known; it is taken to move as much as hard maple, "
            f"{MOVES_UNKNOWN:g} of its width for 1 % of moisture (common practice)."
        )
        yield Finding("bottom-movement", "note", words, BOTTOM)
    if words := glue_up_words(box):
        yield Finding("bottom-glue-up", "note", words, BOTTOM)


def _groove_findings(box: BoxLayout) -> Iterator[Finding]:
    if not box.recipe.groove.width:
        return
    shown = [name for name, corner in box.corners.items() if box.shows(corner)]
    if shown:
        yield Finding(
            "groove-shows",
            "warning",
            f"The groove shows as a notch in the end of a tail at {', '.join(shown)}.",
            ", ".join(shown),
            remedy='Stop it in the tail boards (box.groove.ends = "stopped"), plug it ("plugged"), or shift it and let '
            "it run out in a socket of the pin boards alone.",
        )
        return
    ends = {
        "stopped": "stops in the tail boards and runs out in the sockets of the pin boards",
        "plugged": "is plugged where it would show" if plug_slabs(box) else "is hidden by the laps",
        "through": "is hidden by the laps",
    }[box.recipe.groove.ends]
    back = " At the back it runs out below the back board." if box.recipe.back_above_bottom else ""
    yield Finding("groove-shows", "pass", f"The groove does not show outside: it {ends}.{back}")


def _order_finding(order: Order) -> Finding:
    if order.stuck:
        words = f"No straight way leads to these parts once the others stand: {', '.join(order.stuck)}."
        return Finding("order", "fail", words, remedy="Change the joints or the groove so that one part can come last.")
    steps = [f"the {order.moves[0].part} lies flat", *(f"the {move.part} {move.direction}" for move in order.moves[1:])]
    return Finding("order", "pass", f"It goes together in this order: {', then '.join(steps)}.")
