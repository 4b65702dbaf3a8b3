"""The moisture that wood comes to in a room, and what it does to a size. Moisture content is in % of the dry weight.

Equilibrium: the Hailwood-Horrobin two-hydrate equation with the coefficients of W. Simpson (Forest Products Laboratory
FPL-RN-0268, 1998, for degrees Celsius), which gives Table 4-2 of the Wood Handbook, FPL-GTR-190 (2010).

Change: dD = D C (M2 - M1), Wood Handbook chapter 13, with the coefficients of its Table 13-5. They hold from 6 to 14 %
moisture content.
"""

from __future__ import annotations

from dataclasses import dataclass

from solids.base.messages import Amount, Units

MOISTURE_LEAST, MOISTURE_MOST = 6.0, 14.0
"""Where the coefficients of change are published for, in %."""

HUMIDITY_LEAST, HUMIDITY_MOST = 5.0, 95.0
TEMPERATURE_LEAST, TEMPERATURE_MOST = -1.2, 48.9
"""The range of the published table: 5 to 95 % relative humidity, 30 to 120 F, in degrees Celsius (a hair wider, so that
30 F itself is in it)."""


@dataclass(frozen=True)
class Climate:
    """The air of a room: temperature in degrees Celsius, relative humidity in %."""

    temperature_c: float
    humidity: float

    @property
    def moisture(self) -> float:
        """The moisture content that wood comes to here, in %."""
        return equilibrium_moisture(self.temperature_c, self.humidity)

    def words(self, units: Units) -> str:
        """As a recipe writes it: "20 C, 50 %", or in an inch recipe "68 F, 50 %"."""
        if units == "in":
            return f"{self.temperature_c * 1.8 + 32:.4g} F, {self.humidity:g} %"
        return f"{self.temperature_c:.4g} C, {self.humidity:g} %"

    @property
    def amount(self) -> Amount:
        """The same in a message, in the reader's degrees."""
        return Amount(_words, (self.temperature_c, self.humidity))


def _words(temperature_c: float, humidity: float, units: Units) -> str:
    return Climate(temperature_c, humidity).words(units)


@dataclass(frozen=True)
class Seasons:
    """The air of a home at its driest and at its dampest."""

    dry: Climate
    damp: Climate


def equilibrium_moisture(temperature_c: float, humidity: float) -> float:
    """Moisture content in % that wood comes to at a temperature (degrees Celsius) and a relative humidity (%).

    M = (1800/W) [Kh/(1 - Kh) + (K1 K h + 2 K1 K2 K^2 h^2)/(1 + K1 K h + K1 K2 K^2 h^2)], h = humidity / 100.
    """
    t = temperature_c
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * humidity / 100
    return 1800 / w * (kh / (1 - kh) + (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2))


def change(size: float, coefficient: float, moisture_from: float, moisture_to: float) -> float:
    """How much a size (mm) grows between two moisture contents (%); negative where it shrinks."""
    return size * coefficient * (moisture_to - moisture_from)


def in_published_range(moisture: float) -> bool:
    """Whether the coefficients of change are published for this moisture content (%)."""
    return MOISTURE_LEAST <= moisture <= MOISTURE_MOST
