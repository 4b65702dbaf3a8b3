"""How housings are marked and cut and dividers fitted, in steps that a maker ticks off. Common practice, with this
box's own numbers."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

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

Sizes = TypeVar("Sizes", bound=Hashable)


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
    """When the glue has set: the dividers that slide in then."""
    parts = {part.name: part for part in fitting_of(box).parts if part.late}
    # What runs along is notched from below, and goes in over what runs across.
    ordered = sorted(numbered(box.recipe.dividers), key=lambda item: item[1].runs == "along")
    dividers = [parts[name_of(number)] for number, _ in ordered if name_of(number) in parts]
    if not dividers:
        return ()
    told = [*(part.step.format("") for part in dividers), *dict.fromkeys(part.glue for part in dividers)]
    return (("Fit the dividers", " ".join(told)),)


def _marked(box: BoxLayout, runs: Runs) -> Iterator[str]:
    """Where the housings of dividers that run one way are, on both boards at once."""
    own = [(number, divider) for number, divider in numbered(box.recipe.dividers) if divider.runs == runs]
    if not own:
        return
    yield (
        f"Lay {and_so_on(ENDS_IN[runs])} edge to edge, inside faces up, reference edges outward, and align their "
        "baselines."
    )
    say = partial(format_both, units=box.recipe.units, reading=CALIPER)
    rule = partial(format_both, units=box.recipe.units, reading=box.recipe.corners["front left"].rule)
    squared = f"From the baselines at the {'left' if runs == 'across' else 'front'}, square lines across both boards at"
    if plain := [f"{rule(one.opens_at)} (divider {number})" for number, one in own if not one.is_dovetailed]:
        yield (
            f"{squared} {and_so_on(plain)}: there the near face stands. Set each divider on its line and knife along "
            "its other face."
        )
    dovetailed = [(number, one) for number, one in own if one.is_dovetailed]
    if dovetailed:
        mouths = [f"{rule(one.opens_at)} (divider {number})" for number, one in dovetailed]
        yield f"{squared} {and_so_on(mouths)}: there the dovetailed housing opens, narrower than its divider."
    for numbers, wide in _alike((number, _widths(one, box)) for number, one in dovetailed):
        top, foot = (say(each) for each in wide.mouth)
        yield (
            f"For {_divider(numbers)}, measure {top} from that line at the upper end and {foot} at the lower end, and "
            "knife the other side of the mouth from one to the other."
        )


def _cut(box: BoxLayout) -> Iterator[str]:
    """How deep they are and from where to where they run, each in a sentence for all dividers that are alike."""
    say = partial(format_both, units=box.recipe.units, reading=CALIPER)
    height, dividers = box.recipe.height, numbered(box.recipe.dividers)
    for numbers, (deep, low, high) in _alike((n, (one.depth, one.up, one.housing_top(height))) for n, one in dividers):
        top = "the upper edge" if high >= height - ROUNDING else f"{say(high)} above the reference edge"
        foot = "the reference edge" if low <= ROUNDING else f"{say(low)} above the reference edge"
        yield f"For {_divider(numbers)}: {say(deep)} deep, from {top} down to {foot}."
    yield (
        "Chop a stop in each before sawing. Saw down both walls on the waste side of the knife lines, chop out the "
        "waste, and level the floor with a router plane. Hold the board with a stop or clamps and keep both hands "
        "behind the chisel's edge."
    )
    if plain := [number for number, divider in dividers if not divider.is_dovetailed]:
        yield f"Plane {_divider(plain)} until {'each' if len(plain) > 1 else 'it'} slides in by hand."


@dataclass(frozen=True)
class _Widths:
    """How wide a dovetailed housing is at its mouth and at its floor, each at the upper end and at the lower."""

    ratio: float
    mouth: tuple[float, float]
    floor: tuple[float, float]


def _widths(divider: Divider, box: BoxLayout) -> _Widths:
    height = box.recipe.height
    top, foot = (divider.thickness - divider.narrower(z, height) for z in (divider.housing_top(height), divider.up))
    return _Widths(divider.ratio, (top - 2 * divider.flank, foot - 2 * divider.flank), (top, foot))


def _dovetails(box: BoxLayout) -> Iterator[Step]:
    say = partial(format_both, units=box.recipe.units, reading=CALIPER)
    words = []
    dovetailed = [(number, one) for number, one in numbered(box.recipe.dividers) if one.is_dovetailed]
    for numbers, wide in _alike((number, _widths(one, box)) for number, one in dovetailed):
        top, foot = (say(each) for each in wide.floor)
        words.append(
            f"For {_divider(numbers)}: undercut both walls 1:{wide.ratio:.3g} from the knife lines, so that the floor "
            f"is {top} wide at the upper end and {foot} at the lower."
        )
    if words:
        fitted = (
            f"Bevel the ends of {_divider([number for number, _ in dovetailed])} to the same slope and the same taper, "
            "a shaving at a time, until they stop a finger's width short under the hand: they draw tight over the rest."
        )
        yield "Undercut the sliding dovetails", " ".join([*words, fitted])


def _alike(each: Iterable[tuple[int, Sizes]]) -> list[tuple[list[int], Sizes]]:
    """The numbers of dividers together that have the same sizes."""
    found: dict[Sizes, list[int]] = {}
    for number, sizes in each:
        found.setdefault(sizes, []).append(number)
    return [(numbers, sizes) for sizes, numbers in found.items()]


def _divider(numbers: Sequence[int]) -> str:
    """ "divider 2", "dividers 2 and 3"."""
    return f"divider{'s' if len(numbers) > 1 else ''} {and_so_on([*map(str, numbers)])}"


def _halved(box: BoxLayout) -> Iterator[Step]:
    """The notches where dividers cross."""
    say = partial(format_both, units=box.recipe.units, reading=CALIPER)
    found: list[tuple[int, tuple[str, str]]] = []
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
        found.append((number, ("upper" if high else "lower", and_so_on(places))))
    words = [
        f"{capital(_divider(numbers))}, {'each ' if len(numbers) > 1 else ''}from its {edge} edge: {places}."
        for numbers, (edge, places) in _alike(found)
    ]
    if words:
        how = "Each notch is as wide as the divider that crosses there is thick: knife it from that one."
        yield "Halve the crossings", f"{how} {' '.join(words)}"
