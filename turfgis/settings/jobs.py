"""``[[job]]``: works on measured ground that take a material, and mowing."""

from typing import ClassVar, Literal

from pydantic import Field, StrictBool, model_validator

from turfgis.errors import InputError
from turfgis.formulas.chance import Figure
from turfgis.settings.spraying import KeepOff, SprayVolume
from turfgis.settings.values import (
    Depth,
    Holes,
    Length,
    Names,
    OverthrowText,
    Rate,
    Spacing,
    SpreadShare,
    Text,
    Time,
    VolumeRate,
    WorkRate,
)
from turfgis.settings.when import Timed


class JobSetting(Timed):
    """
    What all jobs may say.

    Attributes
    ----------
    materials
        Keys that name a material -> the kind it must be.
    on, holes, patches
        Where: surfaces, and of them only these holes or patches.
    machine
        A machine that covers the ground once each time.
    crew_hours, crew_rate
        Hours of people each time, besides those who drive: in all [s], or by area [s/m2].
    cost_code
        Where its labour and machines are booked.
    true_area
        Whether its material, or a price by area, goes by the area along the slope.
    """

    materials: ClassVar[dict[str, str]] = {}
    name: Text
    group: str = ""
    on: Names
    holes: Holes = None
    patches: Names | None = None
    machine: Text | None = None
    crew_hours: Time | None = None
    crew_rate: WorkRate | None = None
    cost_code: str = ""
    true_area: StrictBool = False

    @property
    def uses(self) -> dict[str, str]:
        """Materials that it takes: key of the job -> key of the material."""
        named = {role: getattr(self, role, None) for role in self.materials}
        return {role: key for role, key in named.items() if key is not None}

    @model_validator(mode="after")
    def _hours_once(self) -> "JobSetting":
        if self.crew_hours is not None and self.crew_rate is not None:
            raise InputError("gives both crew_hours and crew_rate; keep one of them")
        return self


class _Tines(JobSetting):
    materials: ClassVar[dict[str, str]] = {"material": "sand"}
    tine: Length
    spacing: Spacing
    depth: Depth
    fill: SpreadShare = Figure(1.0)
    material: Text | None = None
    overthrow: OverthrowText | None = None

    @model_validator(mode="after")
    def _apart(self) -> "_Tines":
        if self.tine > min(self.spacing):
            raise InputError(
                f"holes overlap: tine {self.tine * 1000:g} mm is wider than the closest spacing "
                f"{min(self.spacing) * 1000:g} mm; check that both are in the same unit"
            )
        return self


class HollowTine(_Tines):
    """``work = "hollow_tine"``: cores come out, sand may go in. ``tine`` is the diameter of the hole."""

    work: Literal["hollow_tine"]


class SolidTine(_Tines):
    """``work = "solid_tine"``: holes without cores; sand may go in."""

    work: Literal["solid_tine"]


class Scarify(JobSetting):
    """``work = "scarify"``: slits of upright blades, in one direction; sand may go in."""

    materials: ClassVar[dict[str, str]] = {"material": "sand"}
    work: Literal["scarify"]
    blade: Length
    spacing: Length
    depth: Depth
    fill: SpreadShare = Figure(1.0)
    material: Text | None = None
    overthrow: OverthrowText | None = None

    @model_validator(mode="after")
    def _slits_apart(self) -> "Scarify":
        if self.blade > self.spacing:
            raise InputError(
                f"slits overlap: blade {self.blade * 1000:g} mm is wider than the spacing {self.spacing * 1000:g} mm; "
                "check that both are in the same unit"
            )
        return self


class Topdress(JobSetting):
    """``work = "topdress"``: a layer of sand, by its depth as placed."""

    materials: ClassVar[dict[str, str]] = {"material": "sand"}
    work: Literal["topdress"]
    depth: Depth
    material: Text
    overthrow: OverthrowText | None = None


class _Sown(JobSetting):
    materials: ClassVar[dict[str, str]] = {"material": "seed"}
    rate: Rate
    rate_of: Literal["live seed", "seed as sold"] = "live seed"
    material: Text
    overthrow: OverthrowText | None = None


class Overseed(_Sown):
    """``work = "overseed"``: seed by weight; ``rate_of`` says whether live seed or seed as sold is meant."""

    work: Literal["overseed"]


class DrillSeed(_Sown):
    """``work = "drill_seed"``: seed put into the ground in rows; by weight over the whole area, as for overseeding."""

    work: Literal["drill_seed"]


class Fertilise(JobSetting):
    """``work = "fertilise"``: by weight of the product, or of one nutrient in it."""

    materials: ClassVar[dict[str, str]] = {"material": "fertiliser"}
    work: Literal["fertilise"]
    rate: Rate
    nutrient: Text | None = None
    material: Text
    overthrow: OverthrowText | None = None


class Spray(JobSetting):
    """
    ``work = "spray"``: liquids by their own volume, without the water they are mixed into.

    Attributes
    ----------
    material, rate
        The product, and how much of it.
    mixed_with
        More products in the same tank -> how much of each.
    spray_volume
        Spray as mixed, products and water together; that of the machine where it is left out. [m3/m2]
    keep_off
        How far to stay away from what, besides what labels say. [m]
    order
        In which order patches are sprayed: by ``holes``, or along the shortest ``route`` from the yard.
    """

    materials: ClassVar[dict[str, str]] = {"material": "liquid", "mixed_with": "liquid"}
    work: Literal["spray"]
    rate: VolumeRate
    material: Text
    mixed_with: dict[Text, VolumeRate] = Field(default_factory=dict)
    spray_volume: SprayVolume | None = None
    keep_off: KeepOff = Field(default_factory=dict)
    order: Literal["holes", "route"] = "holes"
    overthrow: OverthrowText | None = None

    @property
    def uses(self) -> dict[str, str]:
        """Key of the job, for each product in the tank -> key of the material."""
        return {"material": self.material, **{f"mixed_with.{key}": key for key in self.mixed_with}}

    @property
    def rates(self) -> dict[str, Figure]:
        """Key of each material in the tank -> how much of it. [m3/m2]"""
        return {self.material: self.rate, **self.mixed_with}

    @model_validator(mode="after")
    def _fits_the_tank(self) -> "Spray":
        if self.material in self.mixed_with:
            raise InputError(f"'{self.material}' is mixed with itself; give it once")
        products = sum(rate.mean for rate in self.rates.values())
        if self.spray_volume is not None and products > self.spray_volume * (1 + 1e-9):
            raise InputError("spray_volume is product and water together; the products alone are more than that")
        return self


class Mow(JobSetting):
    """``work = "mow"``: cuts with a machine."""

    work: Literal["mow"]
    machine: Text  # type: ignore[assignment]


class Roll(JobSetting):
    """``work = "roll"``: rolls with a machine."""

    work: Literal["roll"]
    machine: Text  # type: ignore[assignment]


class Brush(JobSetting):
    """``work = "brush"``: brushes or drags with a machine."""

    work: Literal["brush"]
    machine: Text  # type: ignore[assignment]
