"""The note of the shop aids: for each what it is for, how to print and use it, its own figures, what was checked, and
the cautions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from solids import __version__
from solids.aids.making.measuring import ANGLE_WITHIN
from solids.aids.making.print_way import DENSITY
from solids.base.amounts import clearance, in_mm
from solids.base.cautions import BY_HAND
from solids.base.findings import REPORT
from solids.base.lengths import format_both
from solids.base.messages import Series, Words, capital, counted, message, said
from solids.bench.place_words import place_words
from solids.layout import Layout
from solids.layout.box.kinds import and_so_on
from solids.write.named import AIDS_FOLDER, AIDS_NOTE, name_at
from solids.write.report.records.aids import CHECKS
from solids.write.templates import template

if TYPE_CHECKING:
    from solids.aids.catalogue import Proved, Workshop
    from solids.layout.assembly import JointKind
    from solids.write.files.job import JointJob

END = "A printed aid shows where to cut. It will not stop a blade."
RATES = f"Times are for a plain printer; fast ones need a third. Grams are of PLA, {DENSITY:g} g/cm3 (common practice)."


def note_bytes(
    layout: Layout,
    workshop: Workshop,
    own: tuple[Proved, ...] | None = None,
    others: Sequence[str] = (),
    checks: str = CHECKS,
) -> bytes:
    """The note as UTF-8, on all aids of a workshop, or on its `own` where others are made for another joint; `others`
    say where those are, in paragraphs. `checks` names the file with every check."""
    recipe = layout.recipe
    text = template(__package__, "aids-note.md.jinja").render(
        title=recipe.title,
        say=partial(said, units=recipe.units),
        version=__version__,
        bed=" x ".join(format_both(side, recipe.units) for side in recipe.printing.bed),
        place=place_words(layout),
        edge=edge_words(layout),
        first=workshop.first_words if own in (None, workshop.good) else "",
        rates=RATES,
        good=workshop.good if own is None else own,
        others=others,
        checked=checked_words,
        checks=checks,
        failed=workshop.failed,
        refused=workshop.refused,
        report=REPORT,
        cautions=BY_HAND,
        end=END,
    )
    return text.encode("utf-8")


def edge_words(layout: Layout) -> str:
    """Where the aids register at corners whose reference edge is on the right; "" where there are none."""
    if not layout.standing.mirrored:
        return ""
    corners = and_so_on(layout.standing.mirrored)
    return (
        f"The aids register on the left edge. At the {corners} that is the upper edge: there it stands for the "
        "reference edge in all that follows."
    )


def checked_words(proved: Proved) -> Words:
    """What was checked, in one line."""
    codes = [finding.code for finding in proved.findings]
    thinnest = min((finding.measured or 0.0 for finding in proved.findings if finding.code == "walls"), default=0.0)
    clears = [least for use in proved.aid.uses for _, _, least in use.clears]
    spare = proved.aid.clearance
    fits: Words = (
        message("fits the joint with {} to spare", clearance(spare)) if spare else f"fits the {proved.aid.meets}"
    )
    parts: list[tuple[str, Words]] = [
        ("sound", "watertight"),
        ("overhang", "overhangs nowhere"),
        ("walls", message("no wall under {}", in_mm(thinnest))),
        ("bed", "finds room on your bed"),
        ("angle", message("all angles within {} degrees", f"{ANGLE_WITHIN:g}")),
        ("meets", fits),
        ("bears", f"bears on the {proved.aid.meets} at {counted(codes.count('bears'), 'place')}"),
        ("works", "works in the plane that the joint wants"),
    ]
    if clears and not spare:
        parts.append(("clears", message("stays {} clear of what it must not touch", clearance(min(clears)))))
    return message("Checked: {}.", Series(tuple(words for code, words in parts if code in codes), ", ", ", and "))


# --- aids that another joint has ---------------------------------------------------------------------


def elsewhere_words(joint: JointJob) -> list[str]:
    """Where the aids are that this joint shares with others of its piece, a paragraph for each of these."""
    names = joint.kind.names
    if not names:
        return []
    also = names[1:]
    found = [f"{_corners(capital(and_so_on(also)), also)}: as {names[0]}. One set serves them all."] if also else []
    by_slug: dict[str, list[str]] = {}
    kinds = {kind.slug: kind for kind in joint.elsewhere.values()}
    for name, kind in joint.elsewhere.items():
        by_slug.setdefault(kind.slug, []).append(name)
    for slug, shared in by_slug.items():
        as_there = f"as {kinds[slug].title}, see [its note]({_way_to(joint, kinds[slug])})"
        corners = _corners(joint.kind.heading, names)
        found.append(f"{corners}: {as_there}, for {and_so_on(shared)}. They are not made twice.")
    return [*found, *_served(joint)]


def _served(joint: JointJob) -> Iterable[str]:
    """Other kinds of joint that need no aids but these."""
    for other in joint.job.joints:
        if other.has_no_aids_of_its_own and joint.kind in other.elsewhere.values():
            place = " ".join((*place_words(other.layout), edge_words(other.layout)))
            corners = _corners(other.kind.heading, other.kind.names)
            yield f"{corners}: as {joint.kind.title}, with the aids of this note. {place}".strip()


def _corners(told: str, names: Sequence[str]) -> str:
    return f"{told} corner{'s' if len(names) > 1 else ''}"


def _way_to(joint: JointJob, other: JointKind) -> str:
    """From the note of one kind of joint to the folder of another's aids, as a relative link."""
    return f"../{name_at(other.slug, AIDS_FOLDER)}{joint.some_aids}{AIDS_NOTE}"
