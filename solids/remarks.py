"""What a layout is worth a word about, though it can be cut: steep or flat slopes, thin laps and half pins, loose fits.

Pure arithmetic on a layout; every limit and its source stand in `tolerances.py`.
"""

from __future__ import annotations

from collections.abc import Iterable

from solids import tolerances as tol
from solids.findings import Finding
from solids.layout import Layout
from solids.lengths import format_both


def remarks(layout: Layout) -> tuple[Finding, ...]:
    """Warnings about a layout that is accepted as it stands."""
    return tuple(_remarks(layout))


def _remarks(layout: Layout) -> Iterable[Finding]:
    recipe, n = layout.recipe, layout.ratio

    def say(mm: float) -> str:
        return format_both(mm, recipe.units, 0.01)

    if not tol.USUAL_RATIO_STEEP <= n <= tol.USUAL_RATIO_FLAT:
        steep = n < tol.USUAL_RATIO_STEEP
        yield Finding(
            code="slope",
            severity="warning",
            sentence=f"A slope of 1:{n:.3g} is {'steeper' if steep else 'flatter'} than the usual 1:5 to 1:8"
            + (": the short grain at the corners of the tails may break." if steep else ": it holds little."),
            measured=n,
            limit=tol.USUAL_RATIO_STEEP if steep else tol.USUAL_RATIO_FLAT,
            remedy="Take joint.slope from 1:5 to 1:8.",
        )
    if recipe.half_pin < tol.HALF_PIN_LEAST or (len(layout.tails) > 1 and recipe.half_pin <= recipe.pin):
        yield Finding(
            code="half-pin",
            severity="warning",
            sentence=f"The half pins of {say(recipe.half_pin)} are thinner than the rule, as you asked: they may split "
            "when the joint is driven home.",
            measured=recipe.half_pin,
            limit=tol.HALF_PIN_LEAST,
            unit="mm",
            remedy="Clamp across the width while you assemble, or widen joint.half_pin.",
        )
    if layout.is_half_blind and recipe.lap < tol.LAP_THIN:
        yield Finding(
            code="lap",
            severity="warning",
            sentence=f"A lap of {say(recipe.lap)} is thin and may break out.",
            measured=recipe.lap,
            limit=tol.LAP_THIN,
            unit="mm",
            remedy=f"Take joint.lap of {say(tol.LAP_THIN)} or more.",
        )
    if recipe.flank_gap > tol.GLUE_GAP:
        yield Finding(
            code="loose",
            severity="warning",
            sentence=f"A flank gap of {say(recipe.flank_gap)} shows as a line and is more than glue likes.",
            measured=recipe.flank_gap,
            limit=tol.GLUE_GAP,
            unit="mm",
            remedy=f"Take fit.flank_gap of {say(tol.GLUE_GAP)} or less.",
        )
    widest = max(layout.tails, key=lambda tail: tail.width)
    if widest.width > tol.TAIL_WIDEST + tol.LEAST_FEATURE:
        yield Finding(
            code="wide-tail",
            severity="warning",
            sentence=f"Tail {widest.number} is {say(widest.width)} wide. Over 1 3/4 in, it holds less than it could.",
            place=f"tail {widest.number}",
            measured=widest.width,
            limit=tol.TAIL_WIDEST,
            unit="mm",
            remedy="Take one more tail.",
        )
