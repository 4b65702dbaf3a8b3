"""The last chapter: the order of work, how the piece is glued up, what to watch, and every caution."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from reportlab.platypus import Flowable, Paragraph, Spacer

from solids.base.cautions import BY_HAND
from solids.base.messages import capital, said
from solids.bench.box_procedure import box_stages
from solids.bench.facts import wood_facts
from solids.bench.procedure import Stage, WorkStep, corner_stages
from solids.bench.worktime import corners_of, time_words
from solids.layout.box.bottom import bottom_words
from solids.layout.box.kinds import and_so_on
from solids.layout.box.lid_words import lid_words, top_words
from solids.proof.verdict import Verdict
from solids.write.paper.booklet.heads import put_head
from solids.write.paper.box_sheet import ticked, watched
from solids.write.paper.typesetting.columns import put_text
from solids.write.paper.typesetting.flow import head, safe, style, to_tick
from solids.write.paper.typesetting.pdf import Pages

SIZES = (11.5, 11.0, 10.5, 10.0, 9.5, 9.0)

INDENT = 6.0
"""Of a step that is part of the one before it, in mm."""


def put_work(file: Pages, proof: Verdict, larger: float) -> None:
    """The chapter, on as few pages as it takes."""
    file.chapter("Order of work")
    top = put_head(file, "Order of work")
    put_text(file, partial(_text, proof, _stages(proof)), top, [size * larger for size in SIZES])
    file.next_page()


def _stages(proof: Verdict) -> tuple[Stage, ...]:
    layouts = [joint.layout for joint in proof.joints]
    if proof.assembly.box is None:
        return corner_stages(layouts[0])
    return box_stages(proof.box, layouts, proof.steps, proof.parts)


def _text(proof: Verdict, stages: Sequence[Stage], size: float) -> list[Flowable]:
    flow: list[Flowable] = [Paragraph(safe(time_words(corners_of(proof.assembly))), style(size, after=size * 0.3))]
    for stage in stages:
        flow += [Spacer(1, size * 0.6), head(stage.title, size), *(_step(step, size) for step in stage.steps)]
    texts = {"Bottom": _bottom(proof), "Lid": _lid(proof), "The wood": _wood(proof)}
    if grave := watched(proof, size):
        flow += [Spacer(1, size * 0.6), head("Watch", size), *grave]
    for title, words in texts.items():
        body = style(size, after=size * 0.2)
        flow += [Spacer(1, size * 0.6), head(title, size), *(Paragraph(safe(w), body) for w in words)] if words else []
    return [*flow, Spacer(1, size * 0.6), head("Cautions", size), *_cautions(size)]


def _step(step: WorkStep, size: float) -> Flowable:
    if step.what:
        return ticked(step, size)
    return to_tick(Paragraph(safe(step.how), style(size)), size, indent=INDENT)


def _bottom(proof: Verdict) -> list[str]:
    words = bottom_words(proof.box) if proof.assembly.box else ""
    return [said(words, proof.assembly.recipe.units)] if words else []


def _lid(proof: Verdict) -> list[str]:
    words = [lid_words(proof.box), top_words(proof.box)] if proof.assembly.box else []
    return [said(each, proof.assembly.recipe.units) for each in words if each]


def _wood(proof: Verdict) -> list[str]:
    """What is known of the woods of all joints, each sentence once, with the corners that it holds for where it does
    not for all."""
    told: dict[str, list[str]] = {}
    for joint in proof.joints:
        for fact in wood_facts(joint.layout):
            told.setdefault(fact.words, []).append(joint.kind.title)
    every = len(proof.joints)
    return [words if len(at) == every else f"{capital(and_so_on(at))}: {words}" for words, at in told.items()]


def _cautions(size: float) -> list[Flowable]:
    """All of them, one by one; none is ever left out."""
    body = style(max(0.92 * size, 5.5), after=size * 0.2)
    return [Paragraph(f"<b>{safe(caution.topic)}.</b> {safe(caution.text)}", body) for caution in BY_HAND]
