"""What an order is: lines by patch, amounts, whole loads or packs, and how likely each is to run short."""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Step:
    """
    One line of the working, so that a reader with a pencil can repeat it.

    Attributes
    ----------
    what
        What is worked out, in words.
    formula
        The rule, in words and signs.
    numbers
        The same with this order's figures and their units.
    result
        The figure with its unit.
    source
        Where the rule comes from.
    """

    what: str
    formula: str
    numbers: str
    result: str
    source: str = ""


@dataclass(frozen=True)
class OrderLine:
    """What one patch needs. Weights in tonnes of 1,000 kg for sand, kilograms for seed and fertiliser."""

    patch: str
    surface: str
    hole: str | None
    net_m2: float
    treated_m2: float
    dry_kg: float
    delivered_kg: float
    volume_m3: float = 0.0  # placed, as dry sand; 0 for what is not ordered by volume


@dataclass(frozen=True)
class LoadChoice:
    """A whole number of loads and the chance that it does not reach."""

    loads: int
    tonnes: float
    chance_short: float


@dataclass(frozen=True)
class Driver:
    """A cause of uncertainty, its share of the whole variance, and the standard deviation it alone gives the amount."""

    name: str
    share: float
    sd_kg: float = 0.0


@dataclass(frozen=True)
class Nutrient:
    """One nutrient brought by an order: ``N``, ``P2O5``, ``K2O``, ``P``, ``K`` ..."""

    name: str
    kg: float
    net_kg_ha: float  # over the net area
    treated_kg_ha: float  # over what the spreader really covers


@dataclass(frozen=True)
class Order:
    """
    Everything that is known about one material in one group of jobs.

    Amounts named ``_kg`` are in kilograms where the material goes by weight; of a liquid they are in m3 and of turf in
    m2, see :attr:`unit`.

    Attributes
    ----------
    group, material, kind
        Group of jobs ("" for all), key of the material in the settings, and ``sand``, ``seed``, ``fertiliser``,
        ``liquid`` or ``turf``.
    jobs
        Names of the jobs it is for.
    dry_kg, delivered_kg, u_kg
        Sum of the lines dry, and as it leaves the lorry; standard uncertainty of the latter. [kg]
    stock_kg
        Lying in the yard, as it lies. [kg]
    to_order_kg
        ``delivered_kg`` less ``stock_kg``, not below zero. [kg]
    unit_kg
        Weight of one load or pack. [kg]
    units
        Advised whole loads, or packs rounded up.
    loads
        Choices of whole loads around the advised one (sand only).
    risk
        The chance of running short that the user accepts.
    cores_m3
        Volume of cores to cart away, as they come out of the ground. [m3]
    cost
        Price of ``units``, or None where no price was given.
    """

    group: str
    material: str
    kind: str
    jobs: tuple[str, ...]
    lines: tuple[OrderLine, ...]
    dry_kg: float
    delivered_kg: float
    u_kg: float
    stock_kg: float
    to_order_kg: float
    unit_kg: float | None
    units: int | None
    loads: tuple[LoadChoice, ...] = ()
    risk: float = 0.1
    drivers: tuple[Driver, ...] = ()
    method: str = ""  # how the chance was worked out, in words
    nutrients: tuple[Nutrient, ...] = ()
    cores_m3: float = 0.0
    cost: float | None = None
    currency: str = ""
    moisture: str = ""  # as written in the settings, with what it is a share of
    surveyed: str = ""  # "14 March 2026", "different dates, oldest ..." or "not given"
    remarks: tuple[str, ...] = field(default=())  # inputs outside published ranges, spreads not given
    cautions: tuple[str, ...] = ()
    working: tuple[Step, ...] = ()

    @property
    def unit(self) -> str:
        """What amounts are in: ``kg``, ``m3`` or ``m2``."""
        return {"liquid": "m3", "turf": "m2"}.get(self.kind, "kg")
