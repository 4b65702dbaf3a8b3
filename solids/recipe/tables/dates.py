"""The kind of value that is a date, with or without a time of day: ISO 8601, as TOML writes it too."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass

from solids.base.messages import Units
from solids.base.parsing import shown
from solids.recipe.tables.fields import JsonSchema, Rule, refuse

PATTERN = r"^\s*[0-9]{4}-[0-9]{2}-[0-9]{2}([T ][0-9]{2}:[0-9]{2}(:[0-9]{2})?)?\s*$"
ACCEPTED = 'accepted is a day as "2026-11-29", or with a time as "2026-11-29 14:30", without a time zone'


@dataclass(frozen=True)
class Date(Rule):
    """A day, or a day and a time of day, as ISO 8601 writes it: "2026-11-29", "2026-11-29T14:30:00"."""

    def read(self, value: object, units: Units) -> str:
        """The date in the one form that headers take; seconds are added where they are left out."""
        if not isinstance(value, str) or not re.match(PATTERN, value):
            raise refuse(f"{shown(value)} is not a date", ACCEPTED)
        text = value.strip()
        try:
            moment = datetime.datetime.fromisoformat(text)
        except ValueError:
            raise refuse(f"{shown(value)} is on no calendar or clock", ACCEPTED) from None
        return text if len(text) == len("2026-11-29") else moment.isoformat(timespec="seconds")

    def schema(self) -> JsonSchema:
        """Its form; whether there is such a day is for `read` to say."""
        return {"type": "string", "pattern": PATTERN}
