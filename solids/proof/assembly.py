"""The proof of a piece: each kind of its joints, each part, how the placed parts meet, and that the whole can be put
together. A piece that is one joint alone is proved with that."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import cast

from solids.base import tolerances as tol
from solids.base.amounts import gap, volume
from solids.base.findings import REPORT, Finding, in_units, without_contradicted
from solids.base.messages import message
from solids.bench.assembling import Order, disassembly_order, steps_of
from solids.layout import Layout
from solids.layout.assembly import Assembly, JointKind, assembly_of
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.fitted.halves import halves_of, lid_name
from solids.layout.box.kinds import and_so_on
from solids.layout.box.model import BoxLayout
from solids.layout.joint.volumes import entry_overlap, joint_overlap
from solids.model import manifold
from solids.model.box import box_parts
from solids.model.corner import Corner, corner_parts, make_corner
from solids.model.kernel import Mesh, common, faces_of, is_valid, topology, volume_of
from solids.model.parts import Part
from solids.proof.bottom import bottom_proof
from solids.proof.box import bottom_findings, glue_up_findings, groove_findings, ring_findings
from solids.proof.dividers import divider_findings
from solids.proof.joint.corner import Proof, prove
from solids.proof.lid import lid_findings
from solids.proof.lid_board import lid_board_findings
from solids.proof.lining import lining_findings
from solids.proof.opening import opening_findings
from solids.proof.order import find_order
from solids.proof.placed_contacts import placed_findings
from solids.proof.verdict import JointVerdict, Verdict, late_in, of_open_box
from solids.recipe.tables.box_resolved import CornerName, Side


@dataclass(frozen=True)
class ProvedJoint(JointVerdict):
    """One kind of joint: its solids in both states, and its proof."""

    cut: Corner
    finished: Corner
    proof: Proof

    def __post_init__(self) -> None:
        assert self.passes == self.proof.passes, "papers tell what the note tells"


@dataclass(frozen=True)
class PieceProof(Verdict):
    """All that is known of a piece: what its proof has found, and its parts in both states."""

    joints: tuple[ProvedJoint, ...]
    cut: tuple[Part, ...]
    finished: tuple[Part, ...]


def prove_piece(plan: Layout | BoxLayout) -> PieceProof:
    """Makes and proves the piece that a layout describes."""
    assembly = assembly_of(plan)
    joints = tuple(_proved(kind) for kind in assembly.kinds)
    if assembly.box is None:
        (joint,) = joints
        cut, finished = corner_parts(joint.cut), corner_parts(joint.finished)
        return PieceProof(assembly, joints, Order((), ()), joint.proof.findings, cut, finished)
    return _placed(assembly, assembly.box, joints)


def _proved(kind: JointKind) -> ProvedJoint:
    layout = kind.layout
    cut, finished = make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished)
    proof = prove(cut, finished)
    return ProvedJoint(kind, proof.passes, cut, finished, proof)


def _placed(assembly: Assembly, box: BoxLayout, joints: tuple[ProvedJoint, ...]) -> PieceProof:
    """A piece of several joints: what is proved of each kind, and of all parts together."""
    states = {state: box_parts(box, finished=state) for state in (False, True)}
    meshes = {state: {part.name: _triangles(part) for part in parts} for state, parts in states.items()}
    cut, finished = states[False], states[True]
    every = fitting_of(box).parts
    fitted = [part for part in every if not part.of_carcase]
    carcase = {part.name for part in every if part.of_carcase}
    # The carcase is met by a drawer that is planed and fitted, see `opening.py`.
    own = {state: {n: mesh for n, mesh in found.items() if n not in carcase} for state, found in meshes.items()}
    closed = {n: mesh for n, mesh in own[False].items() if n not in of_open_box(box)}
    ways = {pair: still + way for pair, (still, way) in expected_overlaps(assembly, finished=False).items()}
    last_first = (
        *(part.name for part in reversed(fitted)),
        *disassembly_order(tails_on_sides=box.recipe.tails_on_sides),
    )
    comes = {part.name: part.comes for part in fitted if part.comes}
    order = find_order(closed, ways, last_first, comes)
    findings = [
        *(finding for joint in joints for finding in _joint_findings(joint)),
        *_board_findings(assembly, cut, meshes[False], finished=False),
        *_board_findings(assembly, finished, meshes[True], finished=True),
        *ring_findings(box),
        *placed_findings(assembly, cut),
        *_place_findings(assembly, meshes[True]),
        *_overlap_findings(assembly, cut, own[False], finished=False),
        *_overlap_findings(assembly, finished, own[True], finished=True),
        *bottom_findings(box),
        *glue_up_findings(box),
        *bottom_proof(box, meshes[True]),
        *groove_findings(box),
        *lid_board_findings(box, meshes[True]),
        *lid_findings(box, finished, meshes[True]),
        *lining_findings(box, meshes[True]),
        *opening_findings(box, meshes[True]),
        *divider_findings(box, cut, meshes[False], order),
        _order_finding(order, {part.name: part.step for part in fitted}, late_in(box)),
    ]
    told = in_units(without_contradicted(findings), box.recipe.units)
    return PieceProof(assembly, joints, order, told, cut, finished)


def _triangles(part: Part) -> Mesh:
    """A part in its place for Manifold, which takes its triangles from nobody else."""
    return Mesh(*manifold.triangles_of(faces_of(part.in_place)))


# --- each by itself --------------------------------------------------------------------------------


def _joint_findings(joint: ProvedJoint) -> Iterator[Finding]:
    """What fails or warns at a kind of joint, and one line where nothing does."""
    grave = [finding for finding in joint.proof.findings if finding.severity in ("fail", "warning")]
    for finding in grave:
        sentence = message("{}: {}", joint.kind.heading, finding.sentence)
        yield replace(finding, sentence=sentence, place=joint.kind.title)
    passed = sum(finding.severity == "pass" for finding in joint.proof.findings)
    if joint.proof.passes:
        words = f"{joint.kind.heading}: {passed} checks passed, the joint goes together."
        yield Finding("corner", "pass", words, joint.kind.title, float(passed))


def _board_findings(
    assembly: Assembly, parts: Sequence[Part], meshes: Mapping[str, Mesh], *, finished: bool
) -> Iterator[Finding]:
    state = _words(finished)
    good = 0
    for part in parts:
        found = meshes[part.name]
        second = manifold.examine(found.points, found.triangles)
        mm3, meant = volume_of(part.solid), assembly.volume(part.name, finished=finished)
        counts = topology(part.solid)
        apart = max(abs(mm3 - meant), abs(second.volume - meant))
        sound = is_valid(part.solid) and counts.closed and counts.solids == second.bodies == 1
        if sound and apart < tol.VOLUME_RELATIVE * meant:
            good += 1
            continue
        sentence = message(
            "The {}, {}, is not the solid that it should be: {}, or {} by a second program, instead of {}; {} apart.",
            *(part.name, state, volume(mm3), volume(second.volume), volume(meant), volume(apart)),
        )
        yield Finding("box-board", "fail", sentence, part.name, mm3, meant, "mm3", REPORT)
    if good == len(parts):
        yield Finding(
            "box-board", "pass", f"{good} parts, {state}, are each one closed, valid solid with the right volume."
        )


def _words(finished: bool) -> str:
    return "finished" if finished else "as cut"


# --- between the parts ---------------------------------------------------------------------------


def expected_overlaps(assembly: Assembly, *, finished: bool) -> dict[frozenset[str], tuple[float, float]]:
    """For each pair of boards, the overlap (mm3) that the recipe asks for where flanks are tight, and how much more
    they meet on the way in. Of a lid that is sawn off, finished boards meet as those of the box or as those of it."""
    placed = [(joint.boards, joint.layout) for joint in assembly.joints]
    if finished and assembly.box and (halves := halves_of(assembly.box)):
        placed = [
            (
                frozenset(name(cast("Side", board)) for board in joint.boards),
                half.corners[cast("CornerName", joint.name)].turned,
            )
            for half, name in ((halves.box, str), (halves.lid, lid_name))
            for joint in assembly.joints
        ]
    return {
        boards: (joint_overlap(layout, layout.state(finished=finished)), entry_overlap(layout))
        for boards, layout in placed
    }


def _place_findings(assembly: Assembly, meshes: Mapping[str, Mesh]) -> Iterator[Finding]:
    """Whether the parts that no joint holds, the bottom and plugs, lie where the layout has them."""
    slabs = {name: slab for name, slab in assembly.loose.items() if name in meshes}
    wrong = False
    for name, slab in slabs.items():
        points = meshes[name].points
        reach = zip((slab.x, slab.y, slab.z), points.min(axis=0), points.max(axis=0), strict=True)
        off = max(max(abs(low - span[0]), abs(high - span[1])) for span, low, high in reach)
        if off > tol.FACE_DEPARTS:
            wrong = True
            sentence = message("The {} is {} out of place.", name, gap(off))
            yield Finding("box-place", "fail", sentence, name, off, 0.0, "mm", REPORT)
    if slabs and not wrong:
        yield Finding("box-place", "pass", _in_place([*slabs]))


def _in_place(names: Sequence[str]) -> str:
    """ "The bottom lies in its place." """
    places = "lies in its place" if len(names) == 1 else "lie in their places"
    return f"The {and_so_on(names)} {places}."


def _overlap_findings(
    assembly: Assembly, parts: Sequence[Part], meshes: Mapping[str, Mesh], *, finished: bool
) -> Iterator[Finding]:
    asked, state = expected_overlaps(assembly, finished=finished), _words(finished)
    bodies = {name: manifold.body_of(found.points, found.triangles) for name, found in meshes.items()}
    solids = {part.name: part.in_place for part in parts}
    wrong = False
    for first, second in combinations(bodies, 2):
        meant, _ = asked.get(frozenset((first, second)), (0.0, 0.0))
        found = [manifold.overlap_volume(bodies[first], bodies[second])]
        if {first, second} & set(assembly.loose) and not finished:
            # Two boards of one joint are tried by the kernel in the proof of that joint.
            found.append(sum(volume_of(solid) for solid in common(solids[first], solids[second])))
        limit = max(tol.OVERLAP_ABSOLUTE, tol.OVERLAP_RELATIVE * meant)
        if all(abs(mm3 - meant) <= limit for mm3 in found):
            continue
        wrong = True
        sentence = message(
            "The {} and the {}, {}, overlap by {}; the recipe has {}.",
            *(first, second, state, volume(max(found)), volume(meant)),
        )
        yield Finding("box-overlap", "fail", sentence, f"{first}, {second}", max(found), meant, "mm3", REPORT)
    if not wrong:
        words = f"No two of {len(bodies)} parts, {state}, overlap more than the recipe asks for."
        yield Finding("box-overlap", "pass", words)


def _order_finding(order: Order, fitted: Mapping[str, str], late: Collection[str]) -> Finding:
    if order.stuck:
        words = f"No straight way leads to these parts once the others stand: {', '.join(order.stuck)}."
        return Finding("order", "fail", words, remedy="Change the joints or the groove so that one part can come last.")
    return Finding("order", "pass", f"It goes together in this order. {' '.join(steps_of(order, fitted, late))}")
