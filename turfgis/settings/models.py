"""What a ``course.toml`` may say, as frozen models. Figures are in SI once they are read."""

from typing import Annotated, Literal, get_args

from pydantic import Field, StrictBool, model_validator

from turfgis.errors import InputError
from turfgis.layers.place_words import FIELDS
from turfgis.layers.records import near
from turfgis.settings.heads import Catch, Controller, HeadColumn, Soak
from turfgis.settings.jobs import (
    Brush,
    DrillSeed,
    Fertilise,
    HollowTine,
    JobSetting,
    Mow,
    Overseed,
    Roll,
    Scarify,
    SolidTine,
    Spray,
    Topdress,
)
from turfgis.settings.materials import MATERIALS, Fertiliser, Liquid, Material, Sand, Seed, Turf
from turfgis.settings.money import HourPrice, Money, Price
from turfgis.settings.people import Noise, OddJob, Person, Play, Vibration, Workday
from turfgis.settings.photo import PhotoSetting, ReadingSetting
from turfgis.settings.places import PlaceKind
from turfgis.settings.planning import BudgetSetting, Charge, Fuel, Labour, Limit, Yard
from turfgis.settings.relief import ElevationSetting, Slope
from turfgis.settings.spraying import SprayGear
from turfgis.settings.suppliers import Supplier
from turfgis.settings.values import (
    CoverRate,
    Day,
    Direction,
    FuelRate,
    Length,
    LengthOrZero,
    Names,
    Overthrow,
    Power,
    Risk,
    Settings,
    Share,
    ShareOrZero,
    Speed,
    Text,
    Tiles,
    Time,
    TimeOrZero,
    Volume,
    WaitingShare,
    number,
)
from turfgis.settings.water import WaterSetting
from turfgis.settings.when import Interval, MonthFigures, Season
from turfgis.settings.works import BunkerSand, Contractor, DivotMix, Edge, Purchase, RepairTurf, SpotTreatment, Watering

WAY_SPEED = 12 / 3.6  # of people between patches [m/s]; common practice, no source
JOBS = (
    *(HollowTine, SolidTine, Scarify, Topdress, Overseed, DrillSeed, Fertilise, Spray, Mow, Roll, Brush),
    *(DivotMix, RepairTurf, SpotTreatment, BunkerSand, Watering, Edge, Purchase, Contractor),
)
Job = Annotated[
    HollowTine
    | SolidTine
    | Scarify
    | Topdress
    | Overseed
    | DrillSeed
    | Fertilise
    | Spray
    | Mow
    | Roll
    | Brush
    | DivotMix
    | RepairTurf
    | SpotTreatment
    | Watering
    | BunkerSand
    | Edge
    | Purchase
    | Contractor,
    Field(discriminator="work"),
]


class Layer(Settings):
    """
    ``[[layer]]``: a file of drawn shapes, or one layer in it.

    Of heads, ``columns`` says which column holds what, ``column_units`` in which unit where the name of the column does
    not end with it, and ``level`` over which share of the throw the water falls at a level rate.

    Of places, ``columns`` says which column holds which field, ``kind`` what those are that do not say it, ``kinds``
    what their words for kinds mean, and ``visits`` and ``visits_layer`` where later looks at them are.
    """

    file: Text
    layer: Text | None = None
    role: Literal["areas", "hole_lines", "paths", "heads", "background", "keep_off", "earlier", "places"] = "areas"
    surface: Text | None = None
    surface_from: Text | None = None
    surfaces: dict[str, Text] = Field(default_factory=dict)
    hole_from: Text | None = None
    name_from: Text | None = None
    label: str | None = None
    distance: LengthOrZero | None = None
    accuracy: LengthOrZero | None = None
    edge_bias: LengthOrZero | None = None
    vertex_accuracy: LengthOrZero | None = None
    surveyed: Day | None = None
    crs: Text | None = None
    swap_axes: StrictBool = False
    columns: dict[Text, Text] = Field(default_factory=dict)
    column_units: dict[HeadColumn, Text] = Field(default_factory=dict)
    level: ShareOrZero = 0.0
    kind: PlaceKind | None = None
    kinds: dict[str, PlaceKind] = Field(default_factory=dict)
    visits: Text | None = None
    visits_layer: Text | None = None

    @model_validator(mode="after")
    def _fits_together(self) -> "Layer":
        if self.role != "heads" and (self.column_units or self.level):
            raise InputError('column_units and level are of heads; add role = "heads" or leave them out')
        self._columns_known()
        if self.surfaces and not self.surface_from:
            raise InputError("surfaces says what the values of a column mean; name the column with surface_from")
        if self.role == "earlier" and self.surveyed is None:
            raise InputError("an earlier survey needs its day; add surveyed = 2019-03-14")
        if self.distance is not None and self.role != "keep_off":
            raise InputError('distance says how far to stay away from what is drawn; it goes with role = "keep_off"')
        if self.role == "keep_off" and not self.label:
            raise InputError('says what to keep off; name it with label = "ditch" or so')
        if self.role not in ("areas", "earlier") and (self.surface or self.surface_from):
            raise InputError(f"a layer with role '{self.role}' holds no areas; leave out surface and surface_from")
        for key in ("kind", "kinds", "visits", "visits_layer"):
            if self.role != "places" and getattr(self, key):
                raise InputError(f'{key} belongs to places; add role = "places", or leave it out')
        return self

    def _columns_known(self) -> None:
        """Columns are named for what only some roles know."""
        known = {"heads": get_args(HeadColumn), "places": tuple(FIELDS)}.get(self.role, ())
        if not known and self.columns:
            raise InputError('columns are of heads and places; add role = "heads" or "places", or leave them out')
        for name in self.columns:
            if name not in known:
                raise InputError(
                    f"columns: {self.role} have no '{name}'{near(name, known)} (known: {', '.join(known)})"
                )


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
    """
    ``[surface.NAME]``: the height of cut, and for a surface of the club's own what it lies over.

    ``clippings`` is the volume that one cut takes off a square metre, as it lies in the box. [m3/m2]
    """

    cut: Length | None = None
    clippings: CoverRate | None = None
    over: list[Text] | None = None


class Machine(Settings):
    """
    ``[machine.NAME]``: a machine that covers ground, a mower unless ``mows`` says otherwise.

    Attributes
    ----------
    width, overlap, speed
        Of one pass. [m], [m], [m/s]
    turn, turn_radius
        Time of one turn [s], or the circle in which it turns [m]; either lays passes in the shape.
    efficiency
        Field efficiency, the share of the theoretical work rate: the handbook's way, where no turn is given.
    on, mows
        Where it works, and whether it cuts.
    clean_up
        Rounds along the edge before the passes.
    direction
        ``best`` (fewest turns), ``turned`` (mean of all directions), or degrees clockwise from north.
    box, emptying
        Volume of clippings that its boxes hold [m3], and the time to empty them once [s].
    empty_at
        Whether they are emptied beside the patch, or at the yard and driven there.
    waiting
        Share of the time on a patch that is lost waiting for players.
    transport, set_up
        Speed between patches [m/s], see `way_speed`; time a round to fetch, check and wash [s].
    count, operators
        How many there are, and how many people drive one.
    power, fuel
        Rated power [W]; fuel for an hour, where the club knows it [m3/s].
    load, burns
        Share of its power in use, where fuel is to be reckoned; and which fuel.
    tank, refuel
        Volume of its tank [m3], and the time to fill it at the yard [s].
    spray
        Tank and boom, where it sprays.
    cost
        Of an hour, without the people who drive.
    slope_limit, slope_limit_from
        The steepest ground it may work on [rad], and who says so: its plate, its manual or the club.
    broken
        Out of order, or the day since which it is.
    certificate
        What whoever drives it must hold.
    vibration, noise
        What reaches whoever drives it, where the club knows it. [m/s2], [dB(A)]
    """

    width: Length
    overlap: LengthOrZero = 0.0
    speed: Speed
    efficiency: Share | None = None
    turn: TimeOrZero | None = None
    turn_radius: Length | None = None
    on: Names
    mows: StrictBool = True
    clean_up: Annotated[int, number(0, 20)] = 1
    direction: Direction = "best"
    box: Volume | None = None
    emptying: Time | None = None
    empty_at: Literal["patch", "yard"] = "patch"
    waiting: WaitingShare = 0.0
    transport: Speed | None = None
    set_up: TimeOrZero = 0.0
    count: Annotated[int, number(1, 1000)] = 1
    operators: Annotated[float, number(0, 100, whole=False)] = 1
    power: Power | None = None
    fuel: FuelRate | None = None
    load: Share | None = None
    burns: Text = "diesel"
    tank: Volume | None = None
    refuel: TimeOrZero = 600.0  # common practice, no source
    cost: HourPrice | None = None
    slope_limit: Slope | None = None
    slope_limit_from: Text | None = None
    spray: SprayGear | None = None
    broken: StrictBool | Day = False
    certificate: Text | None = None
    vibration: Vibration | None = None
    noise: Noise | None = None

    @model_validator(mode="after")
    def _possible(self) -> "Machine":
        if self.overlap >= self.width:
            raise InputError("overlap must be less than width")
        if self.turn is not None and self.turn_radius is not None:
            raise InputError("gives both turn and turn_radius; keep one of them")
        if self.turn is None and self.turn_radius is None and self.efficiency is None:
            raise InputError(
                'needs turn = "12 s" (time of one turn) or turn_radius = "1.5 m", and time then comes from the shapes; '
                'or efficiency = "70 %" for the handbook\'s way'
            )
        if (self.box is None) != (self.emptying is None):
            raise InputError("box and emptying go together: what the boxes hold, and the time to empty them once")
        if self.slope_limit_from is not None and self.slope_limit is None:
            raise InputError("slope_limit_from says where slope_limit comes from; give slope_limit as well")
        if self.spray is not None and self.mows:
            raise InputError("has a spray tank and mows; add mows = false")
        return self

    @property
    def way_speed(self) -> float:
        """Speed between patches; where none is given as fast as it works, and no slower than people go. [m/s]"""
        return self.transport or max(self.speed, WAY_SPEED)


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
    supplier: dict[Text, Supplier] = Field(default_factory=dict)
    machine: dict[Text, Machine] = Field(default_factory=dict)
    job: list[Job] = Field(default_factory=list)
    map: MapSetting = Field(default_factory=MapSetting)
    year: Annotated[int, number(1900, 2200)] | None = None
    rounds: MonthFigures = Field(default_factory=dict)
    season: dict[Text, Season] = Field(default_factory=dict)
    labour: Labour | None = None
    budget: BudgetSetting = Field(default_factory=BudgetSetting)
    limit: dict[Text, Limit] = Field(default_factory=dict)
    elevation: ElevationSetting | None = None
    yard: Yard | None = None
    fuel: dict[Text, Fuel] = Field(default_factory=dict)
    photo: PhotoSetting | None = None
    reading: list[ReadingSetting] = Field(default_factory=list)
    catch: list[Catch] = Field(default_factory=list)
    controller: dict[Text, Controller] = Field(default_factory=dict)
    soak: list[Soak] = Field(default_factory=list)
    workday: Workday = Field(default_factory=Workday)
    person: dict[Text, Person] = Field(default_factory=dict)
    play: Play | None = None
    odd_job: list[OddJob] = Field(default_factory=list)
    water: WaterSetting | None = None


__all__ = [
    "JOBS",
    "MATERIALS",
    "Brush",
    "BudgetSetting",
    "BunkerSand",
    "Catch",
    "Charge",
    "Contractor",
    "Controller",
    "CourseSettings",
    "DivotMix",
    "DrillSeed",
    "Edge",
    "ElevationSetting",
    "Fertilise",
    "Fertiliser",
    "Fuel",
    "HollowTine",
    "Interval",
    "Job",
    "JobSetting",
    "Labour",
    "Layer",
    "Limit",
    "Liquid",
    "Machine",
    "MapSetting",
    "Material",
    "Money",
    "Mow",
    "OddJob",
    "Overseed",
    "Overthrow",
    "Person",
    "PhotoSetting",
    "Play",
    "Price",
    "Purchase",
    "ReadingSetting",
    "RepairTurf",
    "Roll",
    "Sand",
    "Scarify",
    "Season",
    "Seed",
    "Settings",
    "Soak",
    "SolidTine",
    "SpotTreatment",
    "Spray",
    "Strip",
    "Supplier",
    "SurfaceSetting",
    "Topdress",
    "Turf",
    "WaterSetting",
    "Watering",
    "Workday",
    "Yard",
]
