"""What contacts, way in and hold mean for a maker, as findings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from solids.base import tolerances as tol
from solids.base.amounts import fine
from solids.base.findings import DO_NOT_CUT, Finding
from solids.base.messages import Key, capital, message
from solids.layout import Layout
from solids.layout.expected_contacts import place_of
from solids.proof.contacts import Contact, gap_words, untrue
from solids.proof.way_in import Entry, Hold, unheld

NAMES = {
    "flank": ("flank", "flanks"),
    "shoulder": ("shoulder", "shoulders"),
    "floor": ("socket floor", "socket floors"),
    "lap": ("tail end at the lap", "tail ends at the lap"),
    "edge": ("edge beside the wood that runs on", "edges beside the wood that runs on"),
}


def contact_findings(measured: Sequence[Contact]) -> Iterable[Finding]:
    """One line for each face that is not where it should be; else one line for each kind of contact."""
    wrong = untrue(measured)
    for contact in wrong:
        meant = gap_words(contact.meeting.gap, contact.meeting.gap)
        yield Finding(
            code="contact",
            severity="fail",
            sentence=f"{capital(contact.meeting.name)}: {contact.what}; the recipe has: {meant}.",
            place=contact.meeting.name,
            measured=contact.tightest,
            limit=contact.meeting.gap,
            unit="mm",
            remedy=DO_NOT_CUT,
        )
    if wrong:
        return
    for kind, (one, many) in NAMES.items():
        group = [contact for contact in measured if contact.meeting.kind == kind]
        if group:
            tightest, widest = min(c.tightest for c in group), max(c.widest for c in group)
            area = sum(contact.area for contact in group)
            yield Finding(
                code=f"contact-{kind}",
                severity="pass",
                sentence=f"{len(group)} {one if len(group) == 1 else many}: {gap_words(tightest, widest)}, over "
                f"{area:.0f} mm2 ({area / 645.16:.2f} sq in) in all.",
                measured=tightest,
                unit="mm",
            )


def entry_finding(layout: Layout, way_in: Entry) -> Finding:
    """Whether the tail board can be brought into its seat."""
    if way_in.is_free:
        tight = way_in.asked > 0
        return Finding(
            code="entry",
            severity="pass",
            sentence="The tail board goes in from above"
            + (", against no more than the tight flanks that you ask for." if tight else " without meeting any wood."),
            measured=way_in.overlap,
            limit=way_in.asked,
            unit="mm3",
        )
    places = [place_of(layout, piece.low, piece.high) for piece in way_in.pieces[:4]]
    return Finding(
        code="entry",
        severity="fail",
        sentence=f"The tail board cannot be brought in from above: {way_in.overlap:.4g} mm3 of wood stand in its way "
        f"({', '.join(places)}).",
        place=places[0] if places else "",
        measured=way_in.overlap,
        limit=way_in.asked,
        unit="mm3",
        remedy=DO_NOT_CUT,
    )


def hold_findings(layout: Layout, held: Sequence[Hold]) -> Iterable[Finding]:
    """Whether the joint locks in every direction but the one it came from, and how far it plays before it does."""
    if layout.lets_go:
        yield _lets_go(layout)
        return
    wrong = unheld(held)
    for hold in wrong:
        sentence = f"Nothing holds the tail board {hold.direction}."
        if hold.play is not None:
            sentence = f"The boards, moved {hold.direction}, do not bear out what their faces say."
        yield Finding("hold", "fail", sentence, place=hold.direction, measured=hold.play, unit="mm", remedy=DO_NOT_CUT)
    if wrong:
        return
    for hold in held:
        play = hold.play or 0.0
        after = message("after {} of play", fine(play)) if play > 0.0005 else "at once"
        yield Finding(
            code="hold",
            severity="pass",
            sentence=message("Pushed {}, it is held {} by {}.", hold.direction, after, hold.by),
            place=hold.direction,
            measured=play,
            unit="mm",
            units=layout.recipe.units,
        )


def _lets_go(layout: Layout) -> Finding:
    """A gap so wide that the tails are out of their sockets before any flank meets its mate."""
    recipe, play = layout.recipe, layout.free_play()
    return Finding(
        code="lets-go",
        severity="fail",
        sentence=message(
            "A gap of {} at each flank lets go: the tails could slide {} before they lock, and they are only {} deep.",
            *map(fine, (recipe.flank_gap, play, layout.depth)),
        ),
        place="all flanks",
        measured=play,
        limit=tol.LETS_GO_SHARE * layout.depth,
        unit="mm",
        remedy=message("Take {} of 0, or a steeper slope and a smaller gap.", Key("fit.flank_gap")),
        units=recipe.units,
    )
