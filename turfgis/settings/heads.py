"""Heads, the cans set out between them, controllers, and ground that takes water in slowly."""

from typing import Annotated, Literal

from pydantic import model_validator

from turfgis.errors import InputError
from turfgis.settings.figures import amount
from turfgis.settings.relief import Slope
from turfgis.settings.values import Day, Length, Names, Settings, Text, Time, number

HeadColumn = Literal["throw", "arc", "facing", "flow", "pressure", "station", "controller", "serves"]

Flow = Annotated[float, amount("flow")]
RainRate = Annotated[float, amount("rain rate")]
StandingDepth = Annotated[float, amount("depth", zero=True)]
Count = Annotated[int, number(1, 10_000)]


class Catch(Settings):
    """
    ``[[catch]]``: what cans caught on some patches, as a table of points.

    Attributes
    ----------
    file, column
        Where it is, and which column holds what each can caught.
    unit
        Of that column: a depth, or the volume in a can, and then ``mouth`` is needed.
    mouth
        Width of the mouth of a can. [m]
    ran
        How long the heads ran, which makes a rate of the depth. [s]
    on
        Surfaces that the cans stood on; all where none is named.
    taken
        The day.
    crs
        Reference system, where the file does not say it.
    """

    file: Text
    column: Text = "depth_mm"
    unit: Literal["mm", "in", "ml"] = "mm"
    mouth: Length | None = None
    ran: Time | None = None
    on: Names | None = None
    taken: Day | None = None
    crs: Text | None = None

    @model_validator(mode="after")
    def _depth_of_a_volume(self) -> "Catch":
        if (self.unit == "ml") != (self.mouth is not None):
            raise InputError('unit = "ml" and mouth go together: a volume becomes a depth over the mouth of the can')
        return self


class Controller(Settings):
    """``[controller.NAME]``: what one controller runs at a time: stations, heads, flow. [m3/s]"""

    stations: Count | None = None
    heads: Count | None = None
    flow: Flow | None = None


class Soak(Settings):
    """
    ``[[soak]]``: ground that takes water in slowly, so that stations run there in cycles.

    Attributes
    ----------
    on
        Surfaces.
    slope
        Only patches whose mean slope is this or steeper; needs heights. [rad]
    intake
        Rate at which the ground takes water in, measured there. [m/s]
    standing
        Depth that may stand there before it runs off. [m]
    """

    on: Names
    slope: Slope | None = None
    intake: RainRate
    standing: StandingDepth
