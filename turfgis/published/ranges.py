"""
Published ranges of the figures a course types in, to remark on what lies outside.

Nothing here is a default and nothing is refused: what is legal but outside a published range may be right for a
course, or may be a slip of the unit. Prices, wages, label rates and licences are not published ranges and are not here.
"""

from dataclasses import dataclass
from types import MappingProxyType

from turfgis.errors import InputError
from turfgis.sources import cite

INCH = 0.0254
POUND_PER_CUBIC_FOOT = 0.45359237 / 0.3048**3
POUND_PER_SHORT_THOUSAND = 0.45359237 / (1000 * 0.3048**2)  # lb/1,000 ft2 in kg/m2
OUNCE_PER_SHORT_THOUSAND = POUND_PER_SHORT_THOUSAND / 16
SHORT_TON_PER_CUBIC_YARD = 2000 * 0.45359237 / 0.9144**3
KG_PER_HECTARE = 1e-4
SHORT_TON_PER_ACRE = 2000 * 0.45359237 / (43_560 * 0.3048**2)
USGA_FAIRWAY_SAND = 2000 * 0.45359237 / (0.72 * 0.9144**3)  # 0.72 yd3 to the US ton, as the same article reckons
CUBIC_FOOT_PER_SHORT_THOUSAND = 0.3048 / 1000
US_GALLON_PER_SHORT_THOUSAND = 3.785411784e-3 / (1000 * 0.3048**2)

# How a reader sees a unit: the SI figures of this trade are full of zeros.
SHOWN = MappingProxyType(
    {
        "-": ("%", 100),
        "m": ("mm", 1000),
        "kg/m2": ("g/m2", 1000),
        "kg/m3": ("kg/m3", 1),
        "m3/m2": ("l/ha", 1e7),
    }
)


@dataclass(frozen=True)
class Range:
    """What published sources give for a figure, from the lowest to the highest, in an SI unit."""

    what: str
    low: float
    high: float
    unit: str
    sources: tuple[str, ...]


def _seed(what, low, high, source, unit=POUND_PER_SHORT_THOUSAND):
    return Range(f"seed rate of {what}", low * unit, high * unit, "kg/m2", (source,))


RANGES = MappingProxyType(
    {
        # 80 lb/ft3 dry and loose; 1.45 US ton/yd3 in a table of sand to fill core holes
        "sand_bulk_density": Range(
            "bulk density of dry sand",
            80 * POUND_PER_CUBIC_FOOT,
            1.45 * SHORT_TON_PER_CUBIC_YARD,
            "kg/m3",
            ("reference-sand", "minner-2011"),
        ),
        "root_zone_bulk_density": Range("bulk density of root-zone mix", 1200, 1600, "kg/m3", ("gma-bulk-density",)),
        # kiln-dried sand has none; 8 % is the upper end of usual surface water
        "sand_moisture": Range("moisture of sand, of its dry mass", 0, 0.08, "-", ("moist-sand",)),
        "light_topdressing_depth": Range(
            "depth of one light topdressing", 0.005 * INCH, 0.020 * INCH, "m", ("usga-2014-granted",)
        ),
        # up to three eighths of an inch where holes are filled as well
        "topdressing_depth": Range(
            "depth of one topdressing",
            0.005 * INCH,
            3 / 8 * INCH,
            "m",
            ("usga-2014-granted", "grounds-maintenance-topdressers"),
        ),
        "yearly_sand_depth_greens": Range(
            "depth of sand on greens in a year",
            20.3 * CUBIC_FOOT_PER_SHORT_THOUSAND,
            50 * CUBIC_FOOT_PER_SHORT_THOUSAND,
            "m",
            ("usga-2025", "virginia-2010"),
        ),
        "yearly_sand_depth_fairways": Range(
            "depth of sand on dressed fairways in a year",
            40 * SHORT_TON_PER_ACRE / USGA_FAIRWAY_SAND,
            180 * SHORT_TON_PER_ACRE / USGA_FAIRWAY_SAND,
            "m",
            ("usga-2008",),
        ),
        "yearly_hole_area_share": Range(
            "share of greens opened in a year", 0.10, 0.20, "-", ("quarter-inch-2012", "organic-matter-management")
        ),
        "bunker_sand_depth": Range("depth of bunker sand", 2 * INCH, 6 * INCH, "m", ("usga-2014-bunkers",)),
        "bunker_floor_sand_depth": Range(
            "depth of sand on a bunker's floor", 4 * INCH, 6 * INCH, "m", ("usga-2014-bunkers",)
        ),
        "bunker_face_sand_depth": Range(
            "depth of sand on a bunker's face", 2 * INCH, 3 * INCH, "m", ("usga-2014-bunkers",)
        ),
        "turf_trim_loss": Range(
            "turf ordered for trimming, as a share of the area", 0.03, 0.10, "-", ("maryland-turf", "half-acre-turf")
        ),
        # water, not product: what a label says of either comes first
        "spray_volume": Range(
            "volume of spray on golf turf",
            40e-6,
            2 * US_GALLON_PER_SHORT_THOUSAND,
            "m3/m2",
            ("woods-metric", "fidanza-couch"),
        ),
        "root_zone_depth": Range("depth of a root-zone layer", 11 * INCH, 13 * INCH, "m", ("usga-2017-tolerance",)),
        "seed_rate_kentucky_bluegrass": _seed("Kentucky bluegrass (smooth meadow-grass)", 1, 3, "cornell-seed"),
        "seed_rate_perennial_ryegrass": _seed("perennial ryegrass", 4, 6, "cornell-seed"),
        "seed_rate_tall_fescue": _seed("tall fescue", 6, 8, "cornell-seed"),
        "seed_rate_bermudagrass": _seed("bermudagrass, pure live seed", 0.75, 1, "lsu-pls"),
        "overseed_rate_perennial_ryegrass": _seed(
            "perennial ryegrass, overseeding, pure live seed", 3.5, 10, "lsu-pls"
        ),
        "overseed_rate_annual_ryegrass": _seed("annual ryegrass, overseeding, pure live seed", 5, 10, "lsu-pls"),
        "seed_rate_zoysiagrass": _seed("zoysiagrass, pure live seed", 1, 2, "lsu-pls"),
        "seed_rate_creeping_bentgrass": _seed(
            "creeping bentgrass greens", 7.9, 16.0, "gcm-bentgrass", OUNCE_PER_SHORT_THOUSAND
        ),
        "overseed_rate_fescue_bent": _seed("fescue and bent, overseeding of fine turf", 10, 25, "pitchcare-seed", 1e-3),
        # from bentgrass on a new green to ryegrass over another turf: outside of it no turf grass is sown
        "seed_rate_any": Range(
            "seed rate of turf grasses",
            7.9 * OUNCE_PER_SHORT_THOUSAND,
            10 * POUND_PER_SHORT_THOUSAND,
            "kg/m2",
            ("gcm-bentgrass", "lsu-pls"),
        ),
        # farm tables: a plain field, so small and crooked turf may well fall below
        "field_efficiency_mower": Range("field efficiency of mowers", 0.65, 0.90, "-", ("msu-fuel", "asae-d497")),
        "field_efficiency_spreader": Range("field efficiency of spreaders", 0.60, 0.80, "-", ("asae-d497",)),
        "field_efficiency_sprayer": Range("field efficiency of boom sprayers", 0.50, 0.80, "-", ("asae-d497",)),
        "cutting_share_of_engine_hours": Range(
            "share of a mower's engine hours spent cutting", 0.10, 0.40, "-", ("haines-2020",)
        ),
        "mower_overlap_share": Range(
            "overlap of passes, as a share of the mower's width", 0.005, 0.16, "-", ("digman-overlap",)
        ),
        # one fairway dressing in November; local rules may cap far lower
        "nitrogen_per_application": Range(
            "nitrogen in one application", 0, 1.5 * POUND_PER_SHORT_THOUSAND, "kg/m2", ("purdue-ay43",)
        ),
        "nitrogen_per_year_greens": Range(
            "nitrogen on bent greens in a year",
            25 * KG_PER_HECTARE,
            244 * KG_PER_HECTARE,
            "kg/m2",
            ("watson-guelph", "schlossberg-2007"),
        ),
        # fescues at the low end, meadow-grass and ryegrass at the high end
        "nitrogen_per_year_cool_season": Range(
            "nitrogen on cool-season turf other than greens in a year",
            2 * POUND_PER_SHORT_THOUSAND,
            4 * POUND_PER_SHORT_THOUSAND,
            "kg/m2",
            ("landschoot-feast",),
        ),
    }
)


# Species -> its ranges for new turf and for overseeding, where they are kept.
SEEDED = MappingProxyType(
    {
        "Kentucky bluegrass": ("seed_rate_kentucky_bluegrass", None),
        "perennial ryegrass": ("seed_rate_perennial_ryegrass", "overseed_rate_perennial_ryegrass"),
        "annual ryegrass": (None, "overseed_rate_annual_ryegrass"),
        "tall fescue": ("seed_rate_tall_fescue", None),
        "bermudagrass": ("seed_rate_bermudagrass", None),
        "zoysiagrass": ("seed_rate_zoysiagrass", None),
        "creeping bentgrass": ("seed_rate_creeping_bentgrass", None),
        "fescue and bent": (None, "overseed_rate_fescue_bent"),
    }
)


def remark(name, value):
    """
    Say in words that a figure lies outside its published range.

    Parameters
    ----------
    name
        Name of a range in `RANGES`.
    value
        The figure, in the SI unit of that range.

    Returns
    -------
    One or two sentences with the range and its source; empty where the figure lies inside.

    Raises
    ------
    InputError
        No range has the name.

    Notes
    -----
    The ends are widened by a millionth, so that a figure typed in another unit as printed counts as inside.

    Examples
    --------
    >>> remark("root_zone_bulk_density", 1450)
    ''
    >>> print(remark("root_zone_bulk_density", 1.45))
    1.45 kg/m3 lies below the published range of the bulk density of root-zone mix, 1,200 to 1,600 kg/m3; check the
    figure and its unit. Source: Grounds Management Association, What is Bulk Density?,
    https://thegma.org.uk/learning/resources/bulk-density
    """
    if name not in RANGES:
        raise InputError(f"no published range is kept for {name!r}; known: {', '.join(sorted(RANGES))}")
    known = RANGES[name]
    if known.low * (1 - 1e-6) <= value <= known.high * (1 + 1e-6):
        return ""
    unit, scale = SHOWN[known.unit]
    side = "below" if value < known.low else "above"
    sources = "; ".join(cite(key) for key in known.sources)
    return (
        f"{_plain(value * scale)} {unit} lies {side} the published range of the {known.what}, "
        f"{_plain(known.low * scale)} to {_plain(known.high * scale)} {unit}; "
        f"check the figure and its unit. Source: {sources}"
    )


def _plain(number):
    """Four digits, and never a power of ten."""
    return f"{number:,.0f}" if abs(number) >= 1000 else f"{number:.4g}"
