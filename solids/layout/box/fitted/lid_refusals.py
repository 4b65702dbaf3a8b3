"""Why a lid cannot be sawn off a box, with where the cut may go instead. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from solids.base import tolerances as tol
from solids.base.amounts import at_least, typed
from solids.base.errors import Problem
from solids.base.geometry import Span
from solids.base.messages import Key, Words, joined, message
from solids.layout.box.fitted.halves import half_pins_left, part_of_corner, tails_cut_by, tails_within
from solids.layout.box.model import BoxCorner, BoxLayout
from solids.layout.joint.irregular import lock_problems
from solids.layout.joint.shape.model import Layout
from solids.layout.joint.shape.placing import place
from solids.recipe.tables.accepted import Accepted, between, no_less_than, no_more_than
from solids.recipe.tables.box_resolved import CORNERS
from solids.recipe.tables.lid_resolved import Lid
from solids.recipe.tables.resolved import Recipe

AT = "box.lid.at"


def lid_problems(box: BoxLayout) -> Iterator[Problem]:
    """A cut that takes wood from a tail, leaves a box or lid without one, too thin a half pin, or corners that do not
    hold."""
    lid = box.recipe.lid
    if lid is None:
        return
    if cut := _cut_tails(box, lid):
        yield cut
    elif bare := _bare_half(box, lid):
        yield bare
    elif thin := _thin_half_pins(box, lid):
        yield thin
    else:
        yield from _weak_halves(box, lid)


def _cut_tails(box: BoxLayout, lid: Lid) -> Problem | None:
    found = {name: tails_cut_by(corner.layout.recipe, (lid.low, lid.high)) for name, corner in box.corners.items()}
    at = [name for name, tails in found.items() if tails]
    if not at:
        return None
    tails = f"tail {' and '.join(map(str, found[at[0]]))}"
    wrong = message(
        "{} puts the cut, from {} to {} with what is planed off, into {} at the {}",
        *(typed(lid.at), typed(lid.low), typed(lid.high), tails, _corner_words(at)),
    )
    return Problem(AT, wrong, *_nearest_place(box, lid))


def _bare_half(box: BoxLayout, lid: Lid) -> Problem | None:
    """A box or a lid without any tail at a corner, as where the cut runs between the tails and a mitred shoulder."""
    for what, span in _spans(box, lid).items():
        at = [name for name, corner in box.corners.items() if not tails_within(place(corner.layout.recipe), span)]
        if at:
            wrong = message("{} leaves the {} without a tail at the {}", typed(lid.at), what, _corner_words(at))
            return Problem(AT, wrong, *_nearest_place(box, lid))
    return None


def _spans(box: BoxLayout, lid: Lid) -> dict[str, Span]:
    """From where to where the box and its lid reach as they are glued up."""
    return {"box": (0.0, lid.low), "lid": (lid.high, box.recipe.height)}


def _corner_words(names: Sequence[str]) -> Words:
    return "corners" if len(names) == len(CORNERS) else joined(names, " and ")


def _thin_half_pins(box: BoxLayout, lid: Lid) -> Problem | None:
    """A half pin at the cut that is thinner than the least that holds at an edge, unless the maker insists. Where those
    at the edges are too thin as well, that is told of the joint."""
    for name, (below, above) in half_pins_left(box).items():
        corner = box.corners[name].layout.recipe
        least = min(_least(corner), corner.half_pin or _least(corner))
        thin, what = min((below, "box"), (above, "lid"))
        if thin < least - tol.ROUNDING:
            wrong = message(
                "{} leaves the {} a half pin of {} at the {}, and {} is the least that holds at an edge",
                *(typed(lid.at), what, typed(thin), name, at_least(least)),
            )
            return Problem(AT, wrong, *_nearest_place(box, lid))
    return None


def _least(corner: Recipe) -> float:
    return tol.LEAST_FEATURE if corner.allow_thin_half_pin else tol.HALF_PIN_LEAST


def _nearest_place(box: BoxLayout, lid: Lid) -> Accepted:
    """The nearest heights at which the cut lies within a pin at every corner."""
    free: list[Span] = [(0.0, box.recipe.height)]
    for corner in box.corners.values():
        pins = list(_places(corner, lid))
        shared = [(max(low, left), min(high, right)) for low, high in free for left, right in pins]
        free = [(low, high) for low, high in shared if high - low >= 0.0]
    if not free:
        least = min(_least(corner.layout.recipe) for corner in box.corners.values())
        wide = at_least(2 * least + lid.lost)
        keys = Key("joint.pin"), Key("joint.flanks")
        return message("leave a pin of {} or wider there ({} or {}), the same at all corners", wide, *keys), ()
    return between(*min(free, key=lambda span: max(span[0] - lid.at, lid.at - span[1])))


def _places(corner: BoxCorner, lid: Lid) -> Iterator[Span]:
    layout = corner.layout
    aside = lid.lost / 2 + _least(layout.recipe)
    for gap, (left, right) in zip(layout.gaps, layout.gap_spans(layout.depth), strict=True):
        if not gap.is_half and right - left >= 2 * aside:
            yield left + aside, right - aside


# --- each half by itself ------------------------------------------------------------------------------


def _weak_halves(box: BoxLayout, lid: Lid) -> Iterator[Problem]:
    """A box or a lid that is too low for its tails, or that would come apart once it is sawn free."""
    for what, span in _spans(box, lid).items():
        for name, corner in box.corners.items():
            half = place(part_of_corner(corner.layout.recipe, span))
            if problem := _closed_neck(half, what, name, lid) or _comes_apart(half, what, name, lid):
                yield problem
                break


def _closed_neck(half: Layout, what: str, name: str, lid: Lid) -> Problem | None:
    tail = min(half.tails, key=lambda tail: half.tail_width(tail, 0.0))
    neck = half.tail_width(tail, 0.0)
    if neck >= tol.LEAST_FEATURE - tol.ROUNDING:
        return None
    wrong = message(
        "{} makes the {} {} high, and a tail at the {} is {} wide there and closes before the baseline",
        *(typed(lid.at), what, typed(half.width), name, typed(tail.width)),
    )
    short = len(half.tails) * (tol.LEAST_FEATURE - neck)
    accepted, tries = no_less_than(lid.at + short) if what == "box" else no_more_than(lid.at - short)
    fewer: Words = message(", or take fewer tails there ({})", Key("joint.lid_tails"))
    return Problem(AT, wrong, message("{}{}", accepted, fewer), tries)


def _comes_apart(half: Layout, what: str, name: str, lid: Lid) -> Problem | None:
    free = next(iter(lock_problems(half)), None)
    if free is None:
        return None
    wrong = message("{} leaves a {} that comes apart at the {}: {}", typed(lid.at), what, name, free.wrong)
    return Problem(AT, wrong, message("give that half a tail that widens outward on both sides ({})", Key(free.key)))
