"""Which shop aids are asked for. Loads no kernel, so that an unknown name or slope is reported at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pydantic_core import PydanticCustomError

from solids.aids.making.names import KIND_NAMES, SAMPLE
from solids.base.errors import InputError
from solids.base.likeness import hint_of
from solids.base.parsing import parts_of
from solids.bench.comparing import slopes_in
from solids.recipe.tables.fields import Slope


@dataclass(frozen=True)
class AidsAsked:
    """Which kinds are wanted, further slopes (N of 1:N) for marking templates, and whether short boards to try are.
    Where no kind is named and no short boards are wanted, that is every kind of tool."""

    only: tuple[str, ...] = ()
    slopes: tuple[float, ...] = ()
    sample: bool = False

    @property
    def named(self) -> tuple[str, ...]:
        """The kinds that were asked for by name; empty where all tools are wanted."""
        return (*self.only, SAMPLE) if self.sample else self.only

    @property
    def kinds(self) -> set[str]:
        """The names of the kinds to make. InputError names the nearest kind where one is not known."""
        tools = wanted_kinds(self.only) if self.only or not self.sample else set()
        return tools | ({SAMPLE} if self.sample else set())


def asked_for(only: Iterable[str], slopes: str, *, sample: bool = False) -> AidsAsked:
    """What a command asks for: kinds by name, slopes as in "1:6,1:8", and short boards to try. InputError names what is
    not known."""
    kinds = tuple(dict.fromkeys(part for text in only for part in parts_of("--only", text, ",".join(KIND_NAMES[:2]))))
    wanted_kinds(kinds)
    return AidsAsked(kinds, tuple(_ratio(part) for part in slopes_in(slopes)), sample)


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
