"""What a ``course.toml`` may say, as frozen models. Figures are in SI once they are read."""

import re
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator

from turfgis.errors import InputError
from turfgis.formulas.chance import Figure
from turfgis.settings.figures import amount, read_figure, spread
from turfgis.units import read_number, to_si


class Settings(BaseModel):
    """A part of the settings file. Nothing in it changes, and keys that mean nothing are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Layer(Settings):
    """``[[layer]]``: a file of drawn shapes, or one layer in it."""

    file: str
    layer: str | None = None
    role: Literal["areas", "hole_lines", "background"] = "areas"
    surface: str | None = None
    surface_from: str | None = None
    surfaces: dict[str, str] = Field(default_factory=dict)
    hole_from: str | None = None
    name_from: str | None = None
    label: str | None = None
    accuracy: amount("length", zero=True) | None = None
    edge_bias: amount("length", zero=True) | None = None
    vertex_accuracy: amount("length", zero=True) | None = None
    surveyed: date | None = None
    crs: str | None = None
    swap_axes: bool = False

    @model_validator(mode="after")
    def _meanings_of_a_column(self) -> "Layer":
        if self.surfaces and not self.surface_from:
            raise InputError("surfaces says what the values of a column mean; name the column with surface_from")
        return self


class Strip(Settings):
    """``[[strip]]``: ground along an edge that nobody drew."""

    surface: str
    around: str
    width: amount("length")


class SurfaceSetting(Settings):
    """``[surface.NAME]``: the height of cut, and for a surface of the club's own what it lies over."""

    cut: amount("length") | None = None
    over: list[str] | None = None


class Price(Settings):
    """``42 EUR/t`` or ``190 EUR/pack``."""

    amount: float
    currency: str
    per: str
    per_kg: float | None  # None where it is a price per pack


def _read_price(value: Any) -> Any:
    found = re.fullmatch(r"\s*([\d.,]+)\s*([A-Z]{3})\s*(?:/|per)\s*(.+?)\s*", value) if isinstance(value, str) else None
    if not found:
        raise InputError(f"'{value}' is not a price; write it like 42 EUR/t or 190 EUR/pack")
    number, currency, per = read_number(found.group(1)), found.group(2), found.group(3)
    per_kg = None if per == "pack" else number / to_si(f"1 {per}", "mass")
    return {"amount": number, "currency": currency, "per": per, "per_kg": per_kg}


PriceText = Annotated[Price, BeforeValidator(_read_price)]


class Sand(Settings):
    """``[material.NAME]`` with ``kind = "sand"``."""

    kind: Literal["sand"]
    bulk_density: spread("density")
    moisture: spread("share", zero=True) = Figure(0.0)
    storage_loss: spread("share", zero=True) = Figure(0.0)
    load: amount("mass") | None = None
    stock: amount("mass", zero=True) = 0.0
    price: PriceText | None = None


class Seed(Settings):
    """``[material.NAME]`` with ``kind = "seed"``."""

    kind: Literal["seed"]
    purity: amount("share") = 1.0
    germination: amount("share") = 1.0
    pack: amount("mass") | None = None
    stock: amount("mass", zero=True) = 0.0
    price: PriceText | None = None

    @model_validator(mode="after")
    def _shares(self) -> "Seed":
        for key, value in (("purity", self.purity), ("germination", self.germination)):
            if value > 1:
                raise InputError(f"{key} is a share and cannot be above 100 %")
        return self


class Fertiliser(Settings):
    """``[material.NAME]`` with ``kind = "fertiliser"``; the analysis by weight, P and K as the label gives them."""

    kind: Literal["fertiliser"]
    analysis: dict[
        Literal["N", "P2O5", "K2O", "P", "K", "MgO", "Mg", "CaO", "Ca", "SO3", "S", "Fe", "Mn"],
        amount("share", zero=True),
    ]
    pack: amount("mass") | None = None
    stock: amount("mass", zero=True) = 0.0
    price: PriceText | None = None

    @model_validator(mode="after")
    def _no_more_than_all(self) -> "Fertiliser":
        if sum(self.analysis.values()) > 1:
            raise InputError("the analysis adds up to more than 100 %; write each share with its % sign")
        return self


Material = Annotated[Sand | Seed | Fertiliser, Field(discriminator="kind")]


class Machine(Settings):
    """``[machine.NAME]``: a mower. ``efficiency`` is field efficiency, the share of the theoretical work rate."""

    width: amount("length")
    overlap: amount("length", zero=True) = 0.0
    speed: amount("speed")
    efficiency: amount("share")
    on: list[str] = Field(min_length=1)

    @model_validator(mode="after")
    def _possible(self) -> "Machine":
        if self.overlap >= self.width:
            raise InputError("overlap must be less than width")
        if self.efficiency > 1:
            raise InputError("efficiency is a share and cannot be above 100 %")
        return self


class Overthrow(Settings):
    """How far past the edge material lands: a reach, or a share of what is spread."""

    reach: Figure | None = None
    share: Figure | None = None


def _read_overthrow(value: Any) -> Any:
    first = value.get("likely") if isinstance(value, dict) else value
    if isinstance(first, str) and "%" in first.split("±")[0]:
        figure = read_figure(value, "share")
        made = {"share": figure}
    else:
        figure = read_figure(value, "length")
        made = {"reach": figure}
    if figure.likely < 0 or (figure.low is not None and figure.low < 0):
        raise InputError(f"'{value}' is below zero")
    return made


OverthrowText = Annotated[Overthrow, BeforeValidator(_read_overthrow)]


class _Job(Settings):
    name: str
    group: str = ""
    on: list[str] = Field(min_length=1)
    holes: list[str] | None = None
    patches: list[str] | None = None
    times: Annotated[int, Field(ge=1)] = 1


def _pair(value: Any) -> Any:
    pair = value if isinstance(value, list) else [value, value]
    if len(pair) != 2:
        raise InputError("spacing needs two distances: along and across the direction of travel")
    return pair


class _Tines(_Job):
    tine: amount("length")
    spacing: Annotated[tuple[amount("length"), amount("length")], BeforeValidator(_pair)]
    depth: spread("depth")
    fill: spread("share", zero=True) = Figure(1.0)
    material: str | None = None
    overthrow: OverthrowText | None = None

    @model_validator(mode="after")
    def _fill_is_a_share(self) -> "_Tines":
        if max(self.fill.likely, self.fill.high or 0.0) > 1:
            raise InputError("fill is the share of the holes that is filled and cannot be above 100 %")
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
    depth: spread("depth")
    material: str
    overthrow: OverthrowText | None = None


class Overseed(_Job):
    """``work = "overseed"``: seed by weight; ``rate_of`` says whether live seed or seed as sold is meant."""

    work: Literal["overseed"]
    rate: spread("mass rate")
    rate_of: Literal["live seed", "seed as sold"] = "live seed"
    material: str
    overthrow: OverthrowText | None = None


class Fertilise(_Job):
    """``work = "fertilise"``: by weight of the product, or of one nutrient in it."""

    work: Literal["fertilise"]
    rate: spread("mass rate")
    nutrient: str | None = None
    material: str
    overthrow: OverthrowText | None = None


class Mow(_Job):
    """``work = "mow"``: one cut with a machine."""

    work: Literal["mow"]
    machine: str


Job = Annotated[HollowTine | SolidTine | Topdress | Overseed | Fertilise | Mow, Field(discriminator="work")]


class MapSetting(Settings):
    """``[map]``: an online background, only where the club asks for one."""

    tiles: str | None = None
    tiles_credit: str = ""


class CourseSettings(Settings):
    """A whole ``course.toml``."""

    name: str
    units: Literal["metric", "us"] = "metric"
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = "EUR"
    accuracy: amount("length", zero=True) = 0.3
    edge_bias: amount("length", zero=True) = 0.0
    risk: Annotated[float, BeforeValidator(lambda value: to_si(value, "share")), Field(gt=0, lt=1)] = 0.1
    layer: list[Layer] = Field(min_length=1)
    strip: list[Strip] = Field(default_factory=list)
    surface: dict[str, SurfaceSetting] = Field(default_factory=dict)
    material: dict[str, Material] = Field(default_factory=dict)
    machine: dict[str, Machine] = Field(default_factory=dict)
    job: list[Job] = Field(default_factory=list)
    map: MapSetting = Field(default_factory=MapSetting)
