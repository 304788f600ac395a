"""What a ``course.toml`` may say, as frozen models. Figures are in SI once they are read."""

from typing import Annotated, Literal

from pydantic import Field, StrictBool, StrictInt, model_validator

from turfgis.errors import InputError
from turfgis.formulas.chance import Figure
from turfgis.settings.values import (
    Analysis,
    Day,
    Density,
    Depth,
    Holes,
    Length,
    LengthOrZero,
    Mass,
    MassOrZero,
    Names,
    OverthrowText,
    PriceText,
    Rate,
    Risk,
    Settings,
    Share,
    Spacing,
    Speed,
    SpreadShare,
    Text,
    Tiles,
)


class Layer(Settings):
    """``[[layer]]``: a file of drawn shapes, or one layer in it."""

    file: Text
    layer: Text | None = None
    role: Literal["areas", "hole_lines", "background"] = "areas"
    surface: Text | None = None
    surface_from: Text | None = None
    surfaces: dict[str, Text] = Field(default_factory=dict)
    hole_from: Text | None = None
    name_from: Text | None = None
    label: str | None = None
    accuracy: LengthOrZero | None = None
    edge_bias: LengthOrZero | None = None
    vertex_accuracy: LengthOrZero | None = None
    surveyed: Day | None = None
    crs: Text | None = None
    swap_axes: StrictBool = False

    @model_validator(mode="after")
    def _fits_together(self) -> "Layer":
        if self.surfaces and not self.surface_from:
            raise InputError("surfaces says what the values of a column mean; name the column with surface_from")
        if self.role != "areas" and (self.surface or self.surface_from):
            raise InputError(f"a layer with role '{self.role}' holds no areas; leave out surface and surface_from")
        return self


class Strip(Settings):
    """``[[strip]]``: ground along an edge that nobody drew."""

    surface: Text
    around: Text
    width: Length

    @model_validator(mode="after")
    def _two_surfaces(self) -> "Strip":
        if self.surface == self.around:
            raise InputError(f"a strip of {self.surface} cannot go around {self.around}; name another surface")
        return self


class SurfaceSetting(Settings):
    """``[surface.NAME]``: the height of cut, and for a surface of the club's own what it lies over."""

    cut: Length | None = None
    over: list[Text] | None = None


class Sand(Settings):
    """``[material.NAME]`` with ``kind = "sand"``."""

    kind: Literal["sand"]
    bulk_density: Density
    moisture: SpreadShare = Figure(0.0)
    storage_loss: SpreadShare = Figure(0.0)
    load: Mass | None = None
    stock: MassOrZero = 0.0
    price: PriceText | None = None


class Seed(Settings):
    """``[material.NAME]`` with ``kind = "seed"``."""

    kind: Literal["seed"]
    purity: Share = 1.0
    germination: Share = 1.0
    pack: Mass | None = None
    stock: MassOrZero = 0.0
    price: PriceText | None = None


class Fertiliser(Settings):
    """``[material.NAME]`` with ``kind = "fertiliser"``; the analysis by weight, P and K as the label gives them."""

    kind: Literal["fertiliser"]
    analysis: Analysis
    pack: Mass | None = None
    stock: MassOrZero = 0.0
    price: PriceText | None = None


Material = Annotated[Sand | Seed | Fertiliser, Field(discriminator="kind")]


class Machine(Settings):
    """``[machine.NAME]``: a mower. ``efficiency`` is field efficiency, the share of the theoretical work rate."""

    width: Length
    overlap: LengthOrZero = 0.0
    speed: Speed
    efficiency: Share
    on: Names

    @model_validator(mode="after")
    def _possible(self) -> "Machine":
        if self.overlap >= self.width:
            raise InputError("overlap must be less than width")
        return self


class _Job(Settings):
    name: Text
    group: str = ""
    on: Names
    holes: Holes = None
    patches: Names | None = None
    times: Annotated[StrictInt, Field(ge=1, le=366)] = 1


class _Tines(_Job):
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


class Topdress(_Job):
    """``work = "topdress"``: a layer of sand, by its depth as placed."""

    work: Literal["topdress"]
    depth: Depth
    material: Text
    overthrow: OverthrowText | None = None


class Overseed(_Job):
    """``work = "overseed"``: seed by weight; ``rate_of`` says whether live seed or seed as sold is meant."""

    work: Literal["overseed"]
    rate: Rate
    rate_of: Literal["live seed", "seed as sold"] = "live seed"
    material: Text
    overthrow: OverthrowText | None = None


class Fertilise(_Job):
    """``work = "fertilise"``: by weight of the product, or of one nutrient in it."""

    work: Literal["fertilise"]
    rate: Rate
    nutrient: Text | None = None
    material: Text
    overthrow: OverthrowText | None = None


class Mow(_Job):
    """``work = "mow"``: one cut with a machine."""

    work: Literal["mow"]
    machine: Text


Job = Annotated[HollowTine | SolidTine | Topdress | Overseed | Fertilise | Mow, Field(discriminator="work")]


class MapSetting(Settings):
    """``[map]``: an online background, only where the club asks for one."""

    tiles: Tiles | None = None
    tiles_credit: str = ""


class CourseSettings(Settings):
    """A whole ``course.toml``."""

    name: Text
    units: Literal["metric", "us"] = "metric"
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = "EUR"
    accuracy: LengthOrZero = 0.3
    edge_bias: LengthOrZero = 0.0
    risk: Risk = 0.1
    layer: list[Layer] = Field(min_length=1)
    strip: list[Strip] = Field(default_factory=list)
    surface: dict[Text, SurfaceSetting] = Field(default_factory=dict)
    material: dict[Text, Material] = Field(default_factory=dict)
    machine: dict[Text, Machine] = Field(default_factory=dict)
    job: list[Job] = Field(default_factory=list)
    map: MapSetting = Field(default_factory=MapSetting)
