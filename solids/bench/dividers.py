"""How housings are marked and cut and dividers fitted, in steps that a maker ticks off. Common practice, with this
box's own numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from solids.base.lengths import CALIPER, format_both
from solids.base.messages import capital
from solids.base.tolerances import ROUNDING
from solids.layout.box.fitted.dividers import crossed_by, faces_at, name_of
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.kinds import and_so_on
from solids.layout.box.model import BoxLayout
from solids.recipe.tables.dividers import ENDS_IN, Divider, Runs, numbered

CUT_HOUSINGS = "Cut the housings"

Step = tuple[str, str]
"""A step's name, and how it is done."""


def housing_steps(box: BoxLayout) -> tuple[Step, ...]:
    """Before the box is put together: housings marked and cut, dividers sawn and halved. None without dividers."""
    if not box.recipe.dividers:
        return ()
    runs: tuple[Runs, ...] = ("across", "along")
    marked = [words for way in runs for words in _marked(box, way)]
    return (
        ("Mark the housings", " ".join(marked)),
        (CUT_HOUSINGS, " ".join(_cut(box))),
        *_dovetails(box),
        *_halved(box),
    )


def late_steps(box: BoxLayout) -> tuple[Step, ...]:
    """When the glue has set: what slides in then."""
    parts = {part.name: part for part in fitting_of(box).parts if part.late}
    # What runs along is notched from below, and goes in over what runs across.
    ordered = sorted(numbered(box.recipe.dividers), key=lambda item: item[1].runs == "along")
    dividers = [parts[name_of(number)] for number, _ in ordered if name_of(number) in parts]
    feet = [part for name, part in parts.items() if name.startswith("foot")]
    told = {"Fit the dividers": dividers, "Fit the feet": feet}
    return tuple(
        (name, " ".join(f"{part.step.format('')} {part.glue}".strip() for part in late))
        for name, late in told.items()
        if late
    )


def _marked(box: BoxLayout, runs: Runs) -> Iterator[str]:
    """Where the housings of dividers that run one way are, on both boards at once."""
    own = [(number, divider) for number, divider in numbered(box.recipe.dividers) if divider.runs == runs]
    if not own:
        return
    rule = partial(format_both, units=box.recipe.units, reading=box.recipe.corners["front left"].rule)
    first = "left" if runs == "across" else "front"
    places = and_so_on([f"{rule(divider.at)} (divider {number})" for number, divider in own])
    yield (
        f"Lay {and_so_on(ENDS_IN[runs])} edge to edge, inside faces up, reference edges outward, and align their "
        f"baselines. From the baselines at the {first}, square lines across both boards at {places}: there the near "
        "face stands. Set each divider on its line and knife along its other face."
    )


def _cut(box: BoxLayout) -> Iterator[str]:
    """How deep they are and from where to where they run, each in a sentence for all dividers that are alike."""
    say = partial(format_both, units=box.recipe.units, reading=CALIPER)
    alike: dict[tuple[float, float, float], list[int]] = {}
    for number, divider in numbered(box.recipe.dividers):
        key = (divider.depth, divider.up, divider.housing_top(box.recipe.height))
        alike.setdefault(key, []).append(number)
    for (deep, low, high), numbers in alike.items():
        top = "the upper edge" if high >= box.recipe.height - ROUNDING else f"{say(high)} above the reference edge"
        foot = "the reference edge" if low <= ROUNDING else f"{say(low)} above the reference edge"
        whose = f"divider{'s' if len(numbers) > 1 else ''} {and_so_on([*map(str, numbers)])}"
        yield f"For {whose}: {say(deep)} deep, from {top} down to {foot}."
    yield (
        "Chop a stop in each before sawing. Saw down both walls on the waste side of the knife lines, chop out the "
        "waste, and level the floor with a router plane. Hold the board with a stop or clamps and keep both hands "
        "behind the chisel's edge. Plane each divider until it slides in by hand."
    )


def _dovetails(box: BoxLayout) -> Iterator[Step]:
    say = partial(format_both, units=box.recipe.units, reading=CALIPER)
    words = []
    for number, divider in numbered(box.recipe.dividers):
        if not divider.is_dovetailed:
            continue
        top, foot = (_wide(divider, z, box.recipe.height) for z in (divider.housing_top(box.recipe.height), divider.up))
        words.append(
            f"Divider {number}: undercut both walls 1:{divider.ratio:.3g}. The near wall runs square across the board; "
            f"at its floor the housing is {say(top)} wide at the upper end and {say(foot)} at the lower, "
            f"{say(2 * divider.flank)} less at its mouth. Bevel the divider's ends to the same slope and the same "
            "taper, a shaving at a time, so that it draws tight only over the last few millimetres."
        )
    if words:
        yield "Undercut the sliding dovetails", " ".join(words)


def _wide(divider: Divider, z: float, height: float) -> float:
    """How wide its housings are at their floor, so high above the reference edge."""
    return divider.thickness - divider.narrower(z, height)


def _halved(box: BoxLayout) -> Iterator[Step]:
    """The notches where dividers cross."""
    say = partial(format_both, units=box.recipe.units, reading=CALIPER)
    alike: dict[tuple[str, str], list[int]] = {}
    for number, divider in numbered(box.recipe.dividers):
        notches = [(other, one, sum(shared) / 2) for other, one, shared in crossed_by(box, divider)]
        if not notches:
            continue
        high = divider.runs == "across"
        end = "front" if high else "left"
        places = [
            f"{say(faces_at(box, one)[0] - box.inside[one.axis][0] + divider.depth)} from its {end} end for "
            f"{name_of(other)}, {say(divider.top - middle if high else middle - divider.up)} deep"
            for other, one, middle in notches
        ]
        alike.setdefault(("upper" if high else "lower", and_so_on(places)), []).append(number)
    words = [f"{_each_of(numbers)} from its {edge} edge: {places}." for (edge, places), numbers in alike.items()]
    if words:
        how = "Each notch is as wide as the divider that crosses there is thick: knife it from that one."
        yield "Halve the crossings", f"{how} {' '.join(words)}"


def _each_of(numbers: Sequence[int]) -> str:
    """ "Divider 2,", "Dividers 2 and 3, each"."""
    if len(numbers) == 1:
        return f"{capital(name_of(numbers[0]))},"
    return f"Dividers {and_so_on([str(number) for number in numbers])}, each"
