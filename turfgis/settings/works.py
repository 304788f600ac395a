"""``[[job]]``: repairs, bunkers, edges, and what is bought as it is."""

from typing import Annotated, ClassVar, Literal

from pydantic import Field, model_validator

from turfgis.errors import InputError
from turfgis.formulas.chance import Figure
from turfgis.settings.jobs import JobSetting
from turfgis.settings.money import ContractPrice, MoneyText
from turfgis.settings.values import (
    Depth,
    DepthOrZero,
    Length,
    Speed,
    SpotRateText,
    SpreadArea,
    SpreadLength,
    SpreadShare,
    SpreadVolume,
    Text,
    number,
)


class DivotMix(JobSetting):
    """
    ``work = "divot_mix"``: sand, and seed by weight of the sand, for divots.

    By worn ground (``worn``, the share of the area filled each time, to ``depth``), or by ``mix_per_round`` and the
    rounds played a month, which the club enters.
    """

    materials: ClassVar[dict[str, str]] = {"sand": "sand", "seed": "seed"}
    work: Literal["divot_mix"]
    sand: Text
    seed: Text | None = None
    seed_share: SpreadShare = Figure(0.0)
    worn: SpreadShare | None = None
    depth: Depth | None = None
    mix_per_round: SpreadVolume | None = None

    @model_validator(mode="after")
    def _one_measure(self) -> "DivotMix":
        if (self.worn is None) == (self.mix_per_round is None):
            raise InputError("needs worn and depth, or mix_per_round; one of the two")
        if (self.worn is None) != (self.depth is None):
            raise InputError("worn and depth go together")
        if (self.seed is None) != (self.seed_share.likely == 0):
            raise InputError("seed and seed_share go together")
        if self.mix_per_round is not None and {"dates", "every", "times"} & self.model_fields_set:
            raise InputError("mix_per_round goes by the rounds of each month; give months, or leave the time out")
        return self


class RepairTurf(JobSetting):
    """``work = "repair_turf"``: turf for a share of the area, for so much in all, or for a strip along the edges."""

    materials: ClassVar[dict[str, str]] = {"material": "turf"}
    work: Literal["repair_turf"]
    material: Text
    share: SpreadShare | None = None
    area: SpreadArea | None = None
    strip: SpreadLength | None = None
    trim: SpreadShare = Figure(0.0)

    @model_validator(mode="after")
    def _one_measure(self) -> "RepairTurf":
        given = [name for name in ("share", "area", "strip") if getattr(self, name) is not None]
        if len(given) != 1:
            raise InputError("needs one of: share of the area, area in all, or strip along the edges")
        return self


class SpotTreatment(JobSetting):
    """
    ``work = "spot_treatment"``: work on so much ground in all, wherever on the patches it lies.

    ``area`` takes ``rate`` of a material: a depth of sand, a volume of a liquid, a weight of seed or fertiliser over an
    area; turf needs no rate. Without a material it is work by hand.
    """

    materials: ClassVar[dict[str, str]] = {"material": "any"}
    work: Literal["spot_treatment"]
    on: list[Text] = Field(default_factory=list)  # type: ignore[assignment]
    material: Text | None = None
    area: SpreadArea | None = None
    rate: SpotRateText | None = None

    @model_validator(mode="after")
    def _together(self) -> "SpotTreatment":
        if (self.material is None) != (self.area is None):
            raise InputError("material and area go together: what is used, and on how much ground in all")
        if self.rate is not None and self.material is None:
            raise InputError("rate is of a material; name it, or leave rate out")
        return self

    def rate_problem(self, kind: str) -> str | None:
        """Why a material of a kind cannot be taken at the rate; None where it can."""
        weight, depth = (self.rate.weight, self.rate.depth) if self.rate else (None, None)
        if kind == "turf":
            return "turf is laid once over the area; leave rate out" if self.rate else None
        if kind in ("sand", "liquid"):
            how = "a depth, such as 4 mm" if kind == "sand" else "a volume over an area, such as 4 l/ha"
            return None if depth else f"{kind} needs rate as {how}"
        return None if weight else f"{kind} needs rate as a weight over an area, such as 30 g/m2"


class Watering(JobSetting):
    """
    ``work = "water"``: water as ``[water]`` describes its surfaces.

    With ``depth`` at the roots and days or months it is planned by hand; without, it follows from the weather.
    """

    work: Literal["water"]
    depth: Depth | None = None

    @model_validator(mode="after")
    def _one_way(self) -> "Watering":
        timed = [name for name in ("dates", "months", "every") if getattr(self, name) is not None]
        if self.depth is not None and not timed and "times" not in self.model_fields_set:
            raise InputError("depth is that of one watering; say when as well, such as months = { 6 = 8, 7 = 10 }")
        if self.depth is None and (timed or "times" in self.model_fields_set):
            raise InputError('says when, but not how much; add depth = "5 mm", or leave both to the weather')
        if self.depth is None and (self.machine or self.crew_hours or self.crew_rate):
            raise InputError(
                "left to the weather it has no days for people or machines; give depth and months for them"
            )
        return self


class BunkerSand(JobSetting):
    """``work = "bunker_sand"``: sand by depth on the floor and on the faces, which are a share of the plan area."""

    materials: ClassVar[dict[str, str]] = {"material": "sand"}
    work: Literal["bunker_sand"]
    material: Text
    floor_depth: Depth
    face_depth: DepthOrZero = Figure(0.0)
    face_share: SpreadShare = Figure(0.0)
    settling: SpreadShare = Figure(0.0)

    @model_validator(mode="after")
    def _faces(self) -> "BunkerSand":
        if (self.face_share.likely > 0) and "face_depth" not in self.model_fields_set:
            raise InputError("face_share needs face_depth")
        return self


class Edge(JobSetting):
    """``work = "edge"``: edges or lines followed by people; along the edges of the patches, or ``length`` in all."""

    work: Literal["edge"]
    speed: Speed
    length: Length | None = None


class Purchase(JobSetting):
    """``work = "purchase"``: something bought as it is; ``on`` may be left out."""

    work: Literal["purchase"]
    on: list[Text] = Field(default_factory=list)  # type: ignore[assignment]
    amount: MoneyText
    count: Annotated[int, number(1, 100_000)] = 1


class Contractor(JobSetting):
    """``work = "contractor"``: days of somebody else, or a price by area; ``on`` may be left out for days."""

    work: Literal["contractor"]
    on: list[Text] = Field(default_factory=list)  # type: ignore[assignment]
    days: Annotated[float, number(0.1, 366, whole=False)] | None = None
    price: ContractPrice

    @model_validator(mode="after")
    def _days_or_area(self) -> "Contractor":
        if self.price.kind == "day" and self.days is None:
            raise InputError("the price is for a day: add days = 2 or so")
        if self.price.kind == "area":
            if self.days is not None:
                raise InputError("the price is by area: leave days out, or give a price for a day")
            if not self.on:
                raise InputError('the price is by area: say where with on = ["green"] or so')
        return self
