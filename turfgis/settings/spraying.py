"""Liquids in a tank: what a label says, as the user copies it, what a sprayer holds, and what is to be kept off."""

from typing import Annotated

from pydantic import Field, model_validator

from turfgis.errors import InputError
from turfgis.settings.figures import amount
from turfgis.settings.values import Length, Settings, Text, TimeOrZero, Volume, VolumeOrZero, number
from turfgis.settings.when import IntervalText

SprayVolume = Annotated[float, amount("volume rate")]
LabelRate = Annotated[float, amount("volume rate", zero=True)]
# a surface, or the label of a layer with role "keep_off" -> how far to stay away from it [m]
KeepOff = dict[Text, Length]


class Label(Settings):
    """
    ``label`` of a liquid: copied from the product by the user, who answers for it. Nothing of it is shipped.

    Attributes
    ----------
    most, most_a_year
        The most on a square metre each time, and in a calendar year; 0 where it may not be used. [m3/m2]
    times_a_year
        How often at most.
    interval
        The least time between two.
    keep_off
        How far to stay away from what. [m]
    source
        Where that was read, such as the number and date of the label.
    """

    most: LabelRate | None = None
    most_a_year: LabelRate | None = None
    times_a_year: Annotated[int, number(0, 366)] | None = None
    interval: IntervalText | None = None
    keep_off: KeepOff = Field(default_factory=dict)
    source: str = ""

    @property
    def forbids(self) -> bool:
        """Whether a maximum of zero rules out any use."""
        return 0 in (self.most, self.most_a_year, self.times_a_year)


class SprayGear(Settings):
    """
    ``[machine.NAME.spray]``: the tank and the boom of a sprayer.

    Attributes
    ----------
    tank
        What it holds when full. [m3]
    dead_volume
        What stays in sump, pump and hoses when no more comes out. [m3]
    volume
        Spray as mixed, product and water together, to the unit area, as calibrated. [m3/m2]
    nozzles, nozzle_spacing
        How many, and how far apart. [m]
    filling
        Time to fill and mix a tank at the yard. [s]
    """

    tank: Volume
    dead_volume: VolumeOrZero = 0.0
    volume: SprayVolume | None = None
    nozzles: Annotated[int, number(1, 500)] | None = None
    nozzle_spacing: Length | None = None
    filling: TimeOrZero = 0.0

    @model_validator(mode="after")
    def _some_comes_out(self) -> "SprayGear":
        if self.dead_volume >= self.tank:
            raise InputError("dead_volume is what never comes out; it must be less than the tank holds")
        return self
