"""What all tables of a recipe have in common."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict


class Table(BaseModel):
    """Base of all tables: unknown keys are errors, and nothing changes after it is read."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True, defer_build=True)

    def given(self) -> dict[str, Any]:
        """What the maker wrote in this table, in the order of its keys."""
        written = ((name, getattr(self, name)) for name in type(self).model_fields if name in self.model_fields_set)
        return {name: value for name, value in written if value is not None}
