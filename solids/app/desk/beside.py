"""Two states of a piece side by side: as it is now, or as it was kept, each with its drawings and its figures. And what
is done with kept states from the page."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from solids.base.errors import InputError
from solids.base.messages import capital
from solids.bench.assumed import over_common_woods
from solids.bench.comparing import AVERAGES, Candidate, as_it_is, compare_words, row_in
from solids.bench.movement import no_wood_named
from solids.layout import tails_in_words
from solids.layout.assembly import assembly_of
from solids.layout.joint.shape.slopes import all_slopes

if TYPE_CHECKING:
    from solids.app.desk.hands import Plan, State
    from solids.app.desk.shelf.folder import Shelf
    from solids.app.desk.shelf.kept import Kept, KeptState
    from solids.app.desk.sitting import Sitting
    from solids.base.messages import Units

NOW = "now"
"""Stands for the piece as it is, where a kept state has its number."""

NOW_WORDS = "As it is now"

SHOWN = ("title", "units", "piece", "good", "problems", "keys", "drawings", "joints", "can_undo")
"""What of a state of the piece's page is shown here too."""


def kept_states(sitting: Sitting, name: str) -> State:
    """What is kept of a piece, the newest first, and what was dropped. `same` is what the piece as it is now is called,
    where that is kept already."""
    kept, text = sitting.shelf.kept(name), sitting.text_of(name)
    same = kept.same(text)
    return {
        "title": sitting.title(name),
        "suggested": _suggested(sitting, kept, text),
        "same": same.words if same else "",
        "kept": [_record(state) for state in reversed(kept.states())],
        "dropped": [_record(state) for state in reversed(kept.dropped())],
    }


def _record(state: KeptState) -> dict[str, str]:
    return {"number": str(state.number), "words": state.words, "when": state.when, "why": state.why}


# --- what is done with kept states; each tells all pages -------------------------------------------------


def keep(sitting: Sitting, name: str, words: str) -> dict[str, str]:
    """Keeps a piece as it is now, under a name of its own or one that tells it apart."""
    return _done(sitting, name, lambda kept: _kept(sitting, kept, sitting.text_of(name), words))


def call(sitting: Sitting, name: str, number: str, words: str) -> dict[str, str]:
    """Gives a kept state another name."""
    return _done(sitting, name, lambda kept: kept.call(number, words))


def drop(sitting: Sitting, name: str, number: str) -> dict[str, str]:
    """Drops a kept state."""
    return _done(sitting, name, lambda kept: kept.drop(number))


def bring_back(sitting: Sitting, name: str, number: str) -> dict[str, str]:
    """Brings a state back that was dropped."""
    return _done(sitting, name, lambda kept: kept.bring_back(number))


def take(sitting: Sitting, name: str, number: str) -> dict[str, str]:
    """Makes a kept state the piece, as one step of undo. What the piece was is kept: the record of that is given."""
    left: list[KeptState] = []

    def taken(text: str) -> str:
        kept = sitting.shelf.kept(name)
        state = _readable(kept.one(number))
        left.append(kept.same(text) or _kept(sitting, kept, text, ""))
        return state.text

    sitting.replace(name, taken)
    sitting.events.tell({"event": "shelf"})
    return _record(left[0])


def _done(sitting: Sitting, name: str, work: Callable[[Kept], KeptState]) -> dict[str, str]:
    found: list[KeptState] = []

    def on_shelf(shelf: Shelf) -> str:
        found.append(work(shelf.kept(name)))
        return name

    sitting.put_on_shelf(on_shelf)
    return _record(found[0])


def _kept(sitting: Sitting, kept: Kept, text: str, words: str) -> KeptState:
    if same := kept.same(text):
        raise InputError(f"this very state is kept already; it is called: {same.words}")
    return kept.keep(text, words.strip() or _suggested(sitting, kept, text))


def _suggested(sitting: Sitting, kept: Kept, text: str) -> str:
    """What tells a text apart: "4 tails, 1:7", with the time where another is called that."""
    at = f"at {datetime.now():%H:%M}"
    plan = sitting.hands.read(text, True).plan
    if plan is None:
        words = f"as it was {at}"
    else:
        joints = (kind.layout for kind in assembly_of(plan).kinds)
        told = dict.fromkeys(f"{tails_in_words(len(one.tails))}, {all_slopes(one)}" for one in joints)
        words = "; ".join(list(told)[:2])
    taken = {state.words for state in kept.states()}
    tried = (words, f"{words}, {at}", *(f"{words}, {at}, {number}" for number in range(2, len(taken) + 3)))
    return next(one for one in tried if one not in taken)


def _readable(state: KeptState) -> KeptState:
    if state.why:
        raise InputError(state.why)
    return state


# --- side by side ------------------------------------------------------------------------------------------


def beside(sitting: Sitting, name: str, left: str, right: str) -> State:
    """Two states with their drawings, their proofs where these are known, and the figures of each corner in pairs."""
    sides = [_side(sitting, name, *which) for which in (("left", left), ("right", right))]
    plans = [plan for _, plan in sides]
    units: Units = next((plan.recipe.units for plan in plans if plan), "mm")
    found = [list(as_it_is(assembly_of(plan))) if plan else [] for plan in plans]
    return {
        "sides": [side for side, _ in sides],
        "tables": list(_tables(found[0], found[1], units)),
        "notes": list(dict.fromkeys(_notes([one for some in found for one in some]))),
    }


def _side(sitting: Sitting, name: str, place: str, which: str) -> tuple[State, Plan | None]:
    """One state as the page shows it, and its layout. Its proof comes by an event of the name `proof_of`."""
    if which == NOW:
        shown = sitting.state(name)
        about = {"which": NOW, "words": NOW_WORDS, "when": "", "proof_of": name}
        return {**_of(shown), **about, "version": shown["version"], "proof": shown["proof"]}, sitting.plan(name)
    state = sitting.shelf.kept(name).one(which)
    about = {"which": which, "words": state.words, "when": state.when, "proof_of": f"{name}/{place}"}
    told: State = {"version": state.number, "proof": None}
    if state.why:
        problem = {"key": "", "wrong": state.why, "accepted": ""}
        return {"good": False, "problems": [problem], **about, **told}, None
    reading = sitting.hands.read(state.text, False)
    if reading.plan is not None:
        told["proof"] = sitting.proved.of_kept(about["proof_of"], state.number, state.text)
    return {**_of(sitting.hands.state_of(reading, None)), **about, **told}, reading.plan


def _of(state: State) -> State:
    return {key: state[key] for key in SHOWN if key in state}


def _tables(left: Sequence[Candidate], right: Sequence[Candidate], units: Units) -> Iterator[dict[str, Any]]:
    """For each kind of corner its name, "" for a joint alone, and rows of words and both values. Kinds whose rows are
    alike share them; where one side has no such corner, its values are empty."""
    empty = ("",) * len(compare_words(units))
    rows = [{one.corner: row_in(one, units) for one in side} for side in (left, right)]
    shared: dict[tuple[tuple[str, ...], ...], list[str]] = {}
    for corner in {**rows[0], **rows[1]}:
        shared.setdefault(tuple(side.get(corner, empty) for side in rows), []).append(corner)
    for (one, other), corners in shared.items():
        yield {
            "corner": capital(" and ".join(corners)),
            "rows": [
                {"words": words, "values": values}
                for words, *values in zip(compare_words(units), one, other, strict=True)
            ],
        }


def _notes(candidates: Sequence[Candidate]) -> Iterator[str]:
    """What the figures mean, and what no hand can cut."""
    if not candidates:
        return
    yield f"Pulls and racking are {AVERAGES}"
    yield "How many come out right goes by the error of the hand in the recipe."
    for one in candidates:
        if one.layout and one.layout.recipe.assumed_wood:
            told = f"loads and shares are told {over_common_woods()}"
            yield f"{no_wood_named(one.layout)}: {told}; the time is for {one.layout.recipe.assumed_wood.name}."
        if one.figures:
            yield from one.figures.failures
