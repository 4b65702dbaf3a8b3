"""The kinds of value that a key can hold. Each reads what a maker writes, or says what it would accept.

Every rule is a frozen record, used as `Annotated` metadata for pydantic. It turns a text or number into its inside form
(mm, ratio, Wood), or raises a `recipe` error that holds what is wrong and what would be accepted.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, cast

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from solids.base import tolerances as tol
from solids.base.amounts import limits, too_little, too_much
from solids.base.errors import InputError, LengthError
from solids.base.messages import Units, Words, message
from solids.base.parsing import ACCEPTED, parse_length, shown
from solids.wood import DEFAULT, OWN_SOURCE, Movement, Strength, Wood, find_wood, own_wood, wood_names

JsonSchema = dict[str, Any]

LENGTH_SCHEMA: JsonSchema = {
    "anyOf": [
        {"type": "number"},
        {"type": "string", "pattern": r"^\s*[-+]?\s*[0-9.].*$", "examples": ["19 mm", "3/4 in", "1 1/8 in"]},
    ]
}


def refuse(wrong: Words, remedy: Words) -> PydanticCustomError:
    """The error that a rule raises: what is wrong, and what would be accepted."""
    return PydanticCustomError("recipe", "refused", {"wrong": wrong, "remedy": remedy})


def units_of(info: core_schema.ValidationInfo) -> Units:
    """The unit of plain numbers in the recipe being read."""
    context = cast(Mapping[str, Units], info.context or {})
    return context.get("units", "mm")


class Rule:
    """A kind of value. `read` turns a value of the recipe into its inside form, or refuses it; `schema` is the JSON
    Schema of what it reads."""

    def read(self, value: object, units: Units) -> object:
        raise NotImplementedError

    def schema(self) -> JsonSchema:
        raise NotImplementedError

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(lambda value, info: self.read(value, units_of(info)))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchema:
        return self.schema()


@dataclass(frozen=True)
class Length(Rule):
    """A length in mm from `least` to `most`. With `zero`, 0 is accepted too and switches the feature off. `advice` is
    added to what is accepted."""

    least: float
    most: float = tol.LARGEST_LENGTH
    zero: bool = False
    signed: bool = False
    advice: str = ""

    def read(self, value: object, units: Units) -> float:
        try:
            mm = parse_length(value, units)
        except LengthError as err:
            raise refuse(str(err), f"give {ACCEPTED}") from None
        if self.zero and mm == 0:
            return 0.0
        size = abs(mm) if self.signed else mm
        if size < self.least:
            raise refuse(message("{} is under the least", too_little(mm)), self._remedy())
        if size > self.most:
            raise refuse(message("{} is over the most", too_much(mm)), self._remedy())
        return mm

    def _remedy(self) -> Words:
        least, most = limits(self.least, self.most)
        return message(
            "it takes {}from {} to {}{}{}",
            "0, or " if self.zero else "",
            least,
            most,
            ", either sign" if self.signed else "",
            f"; {self.advice}" if self.advice else "",
        )

    def schema(self) -> JsonSchema:
        return LENGTH_SCHEMA


@dataclass(frozen=True)
class Slope(Rule):
    """A slope as the ratio N of 1:N, from "1:7" or "8 deg"."""

    def read(self, value: object, units: Units) -> float:
        if not isinstance(value, str):
            raise refuse(f"{shown(value)} is not a slope", 'give a text such as "1:7" or "8 deg"')
        ratio = re.fullmatch(r"\s*1\s*(?::|in)\s*(\d{1,6}(?:\.\d{0,20})?)\s*", value)
        angle = re.fullmatch(r"\s*(\d{1,3}(?:\.\d{0,20})?)\s*(?:deg|degrees?|°)\s*", value)
        if ratio:
            n = float(ratio[1])
        elif angle and 0 < float(angle[1]) < 90:
            n = 1.0 / math.tan(math.radians(float(angle[1])))
        else:
            raise refuse(f"{shown(value)} is not a slope", 'give a text such as "1:7" or "8 deg"')
        if not tol.STEEPEST_RATIO <= n <= tol.FLATTEST_RATIO:
            raise refuse(
                f"1:{n:.4g} is outside what wood holds",
                f"accepted is from 1:{tol.STEEPEST_RATIO:g} (26.5 degrees) to 1:{tol.FLATTEST_RATIO:g} (2 degrees)",
            )
        return n

    def schema(self) -> JsonSchema:
        return {"type": "string", "pattern": r"^\s*(1\s*(:|in)\s*[0-9.]+|[0-9.]+\s*(deg|degrees?|°))\s*$"}


@dataclass(frozen=True)
class Whole(Rule):
    """A whole number from `least` to `most`."""

    least: int
    most: int

    def read(self, value: object, units: Units) -> int:
        accepted = f"accepted is a whole number from {self.least} to {self.most}"
        if isinstance(value, bool) or not isinstance(value, int):
            raise refuse(f"{shown(value)} is not a whole number", accepted)
        if not self.least <= value <= self.most:
            raise refuse(f"{shown(value)} is {'under' if value < self.least else 'over'} the limit", accepted)
        return value

    def schema(self) -> JsonSchema:
        return {"type": "integer", "minimum": self.least, "maximum": self.most}


@dataclass(frozen=True)
class Number(Rule):
    """A number from `least` to `most`, which a recipe writes without a unit. `counts` is what it counts: "minutes"."""

    least: float
    most: float
    counts: str = ""

    def read(self, value: object, units: Units) -> float:
        of = f" of {self.counts}" if self.counts else ""
        accepted = f"accepted is a number{of} from {self.least:g} to {self.most:g}"
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise refuse(f"{shown(value)} is not a number", accepted)
        if not self.least <= value <= self.most:  # also false for NaN
            raise refuse(f"{shown(value)} is outside the limits", accepted)
        return float(value)

    def schema(self) -> JsonSchema:
        return {"type": "number", "minimum": self.least, "maximum": self.most}


@dataclass(frozen=True)
class YesNo(Rule):
    """true or false."""

    def read(self, value: object, units: Units) -> bool:
        if not isinstance(value, bool):
            raise refuse(f"{shown(value)} is neither yes nor no", "write true or false, without quotes")
        return value

    def schema(self) -> JsonSchema:
        return {"type": "boolean"}


@dataclass(frozen=True)
class OneOf(Rule):
    """One of a few words."""

    words: tuple[str, ...]

    def read(self, value: object, units: Units) -> str:
        if not isinstance(value, str) or value not in self.words:
            accepted = " or ".join(f'"{word}"' for word in self.words)
            raise refuse(f"{shown(value)} is not known here", f"accepted is {accepted}")
        return value

    def schema(self) -> JsonSchema:
        return {"enum": list(self.words)}


SPACINGS = ("even", "graduated", "by eye")


@dataclass(frozen=True)
class Spacing(Rule):
    """A word for how wide the tails are, or their widths from the reference edge."""

    def read(self, value: object, units: Units) -> str | tuple[float, ...]:
        if isinstance(value, str) and value in SPACINGS:
            return value
        if not isinstance(value, list | tuple) or not value:
            words = ", ".join(f'"{word}"' for word in SPACINGS)
            raise refuse(f"{shown(value)} is not a spacing", f"accepted is {words} or a list of tail widths")
        if len(value) > tol.MOST_TAILS:
            raise refuse(f"the list has {len(value)} tails", f"accepted are at most {tol.MOST_TAILS}")
        width = Length(tol.LEAST_FEATURE)
        return tuple(width.read(item, units) for item in value)

    def schema(self) -> JsonSchema:
        widths = {"type": "array", "items": LENGTH_SCHEMA, "minItems": 1, "maxItems": tol.MOST_TAILS}
        return {"anyOf": [{"enum": list(SPACINGS)}, widths]}


@dataclass(frozen=True)
class Title(Rule):
    """A name for the files, or for a wood. Control characters and pictures are refused. Slashes and the like are
    taken: the name of a folder is made from a title by `slug`, which keeps letters and digits alone."""

    what: str = "the title"

    def read(self, value: object, units: Units) -> str:
        accepted = f"accepted are up to {tol.TITLE_LONGEST} letters, digits, spaces and signs"
        if not isinstance(value, str):
            raise refuse(f"{shown(value)} is not a text", accepted)
        title = unicodedata.normalize("NFC", value).strip()
        if not title:
            raise refuse(f"{self.what} is empty", accepted)
        if len(title) > tol.TITLE_LONGEST:
            raise refuse(f"{self.what} has {len(title)} characters", accepted)
        for ch in title:
            category = unicodedata.category(ch)
            if category in ("So", "Me", "Zl", "Zp") or category[0] == "C":
                raise refuse(f"{self.what} has the character {ch!a}", accepted + ", no line ends and no pictures")
        return title

    def schema(self) -> JsonSchema:
        return {"type": "string", "minLength": 1, "maxLength": tol.TITLE_LONGEST}


OWN_WOOD_LIMITS: dict[str, tuple[float, float, str]] = {
    "density": (50.0, 1500.0, "kg/m3 at 12 % moisture"),
    "radial": (0.0001, 0.02, "change along the rays for 1 % of moisture, as a share"),
    "tangential": (0.0001, 0.02, "change along the rings for 1 % of moisture, as a share"),
    "shear": (0.5, 60.0, "shear along the grain, MPa"),
    "bending": (5.0, 400.0, "bending strength, MPa"),
    "compression": (0.2, 60.0, "compression across the grain, MPa"),
}
"""What the maker may say about a wood of their own, with its limits: from the lightest to beyond the heaviest wood on
record."""

OWN_WOOD = (
    'a table { name = "plum", kind = "hardwood", density = 750 }, and where you know them radial and tangential '
    "(change for 1 % of moisture), shear and bending, compression (MPa)"
)

ASSUMED_WOOD = (
    "A wood that a rule chose, as nobody named one; what hangs on it is told with its range over common woods."
)


@dataclass(frozen=True)
class WoodField(Rule):
    """A wood by name, or a table with the maker's own name, kind and density, and whatever else they know about it. A
    table of `assumed` alone names a wood that a rule chose, as freezing writes it where the maker named none."""

    def read(self, value: object, units: Units) -> Wood:
        if isinstance(value, str):
            try:
                return find_wood(value)
            except InputError as err:
                raise refuse(str(err), f"accepted is a name from the list, or {OWN_WOOD}") from None
        if not isinstance(value, dict):
            raise refuse(f"{shown(value)} is not a wood", f"accepted is a name from the list of woods, or {OWN_WOOD}")
        return self._assumed(value, units) if "assumed" in value else self._own(value)

    def _own(self, value: Mapping[str, object]) -> Wood:
        unknown = ", ".join(sorted(set(value) - {"name", "kind", *OWN_WOOD_LIMITS}))
        if unknown:
            raise refuse(f"{shown(unknown)} is not a property of a wood", f"accepted is {OWN_WOOD}")
        name, kind = value.get("name", "own wood"), value.get("kind")
        if not isinstance(name, str) or kind not in ("hardwood", "softwood"):
            raise refuse(f"{shown(value)} names no kind of wood", f"accepted is {OWN_WOOD}")
        figures = {key: self._figure(key, value[key]) for key in OWN_WOOD_LIMITS if key in value}
        if "density" not in figures:
            raise refuse(f"{shown(value)} names no density of wood", f"accepted is {OWN_WOOD}")
        for first, second in (("radial", "tangential"), ("shear", "bending")):
            if (first in figures) != (second in figures):
                raise refuse(f"{shown(value)} gives only one of {first} and {second}", "give both, or neither")
        if "compression" in figures and "shear" not in figures:
            raise refuse(f"{shown(value)} gives compression alone", "give shear and bending too, or leave it out")
        title = Title("the name of the wood").read(name, "mm")
        movement = Movement(figures["radial"], figures["tangential"], OWN_SOURCE) if "radial" in figures else None
        strength = (
            Strength(figures["shear"], figures["bending"], figures.get("compression"), OWN_SOURCE)
            if "shear" in figures
            else None
        )
        return own_wood(title, kind, figures["density"], movement, strength)

    def _assumed(self, value: Mapping[str, object], units: Units) -> Wood:
        if len(value) > 1 or not isinstance(value["assumed"], str):
            wrong = f"{shown(value)} should hold the name of one wood and nothing more"
            example = f'{{ assumed = "{DEFAULT.name}" }}'
            raise refuse(wrong, f'accepted is {example}; write a wood that you chose by itself, as "{DEFAULT.name}"')
        return replace(self.read(value["assumed"], units), is_assumed=True)

    def _figure(self, key: str, value: object) -> float:
        least, most, what = OWN_WOOD_LIMITS[key]
        if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
            raise refuse(f"{shown(value)} is not a valid {key} of wood", f"accepted is {least:g} to {most:g} ({what})")
        return float(value)

    def schema(self) -> JsonSchema:
        figures = {
            key: {"type": "number", "minimum": least, "maximum": most, "description": f"{key.capitalize()}: {what}."}
            for key, (least, most, what) in OWN_WOOD_LIMITS.items()
        }
        own = {
            "type": "object",
            "properties": {
                "name": {"type": "string", "description": "What you call the wood."},
                "kind": {"enum": ["hardwood", "softwood"], "description": "Hardwood or softwood, by the tree."},
                **figures,
            },
            "required": ["kind", "density"],
            "additionalProperties": False,
        }
        assumed = {
            "type": "object",
            "properties": {"assumed": {"type": "string", "description": ASSUMED_WOOD}},
            "required": ["assumed"],
            "additionalProperties": False,
        }
        return {"anyOf": [{"enum": list(wood_names())}, {"type": "string"}, own, assumed]}
