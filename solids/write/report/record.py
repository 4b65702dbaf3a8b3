"""What all records of a report are: strict, unchanging, and of numbers that are the same on every machine."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict

DIGITS = 9
"""Decimals kept: a femtometre is noise, and noise differs between machines."""

Number = Annotated[float, AfterValidator(lambda value: round(value, DIGITS) + 0.0)]


class Record(BaseModel):
    """Base of all records: no unknown keys, nothing changes after it is made, no NaN."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, defer_build=True)
