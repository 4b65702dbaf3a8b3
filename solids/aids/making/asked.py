"""Which shop aids are asked for. Loads no kernel, so that an unknown name or slope is reported at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pydantic_core import PydanticCustomError

from solids.aids.making.names import KIND_NAMES
from solids.base.errors import InputError
from solids.base.likeness import hint_of
from solids.base.parsing import parts_of
from solids.bench.comparing import slopes_in
from solids.recipe.tables.fields import Slope


@dataclass(frozen=True)
class AidsAsked:
    """Which kinds are wanted, all where none is named, and further slopes (N of 1:N) for marking templates."""

    only: tuple[str, ...] = ()
    slopes: tuple[float, ...] = ()


def asked_for(only: Iterable[str], slopes: str) -> AidsAsked:
    """What a command asks for: kinds by name, and slopes as in "1:6,1:8". InputError names what is not known."""
    kinds = tuple(dict.fromkeys(part for text in only for part in parts_of("--only", text, ",".join(KIND_NAMES[:2]))))
    wanted_kinds(kinds)
    return AidsAsked(kinds, tuple(_ratio(part) for part in slopes_in(slopes)))


def wanted_kinds(only: Iterable[str]) -> set[str]:
    """The names of the kinds to make. InputError names the nearest kind where one is not known."""
    names = list(KIND_NAMES)
    asked = set(only) or set(names)
    for name in sorted(asked - set(names)):
        raise InputError(f"{name[:40]!r} is no shop aid; {hint_of(name, names)}")
    return asked


def _ratio(text: str) -> float:
    try:
        return Slope().read(text, "mm")
    except PydanticCustomError as err:
        context = err.context or {}
        raise InputError(f"--slope: {context['wrong']}; {context['remedy']}") from None
