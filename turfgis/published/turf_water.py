"""Published coefficients of turf: what turf uses of the reference evapotranspiration. Used only where named."""

from dataclasses import dataclass
from types import MappingProxyType

from turfgis.errors import InputError


@dataclass(frozen=True)
class TurfCoefficient:
    """
    What well-watered turf uses, as a share of the reference evapotranspiration.

    Attributes
    ----------
    what
        The turf, in words.
    share
        The coefficient. [-]
    source
        Key in :data:`turfgis.sources.SOURCES`.
    """

    what: str
    share: float
    source: str


# Name to be written in the settings -> what was published. They differ by up to a quarter for the same turf.
TURF_COEFFICIENTS = MappingProxyType(
    {
        "FAO-56 cool-season": TurfCoefficient("cool-season turf, middle of the season", 0.95, "fao56-table-12"),
        "FAO-56 warm-season": TurfCoefficient("warm-season turf, middle of the season", 0.85, "fao56-table-12"),
        "New Mexico cool-season": TurfCoefficient(
            "cool-season turf, measured over the season", 0.85, "new-mexico-2005"
        ),
        "New Mexico warm-season": TurfCoefficient(
            "warm-season turf, measured over the season", 0.70, "new-mexico-2005"
        ),
        "Texas cool-season": TurfCoefficient("established cool-season lawn", 0.8, "texas-turf-coefficients"),
        "Texas warm-season": TurfCoefficient("established warm-season lawn", 0.6, "texas-turf-coefficients"),
    }
)
# From the lowest to the highest of them: outside, a figure is worth a second look.
LOWEST = min(one.share for one in TURF_COEFFICIENTS.values())
HIGHEST = max(one.share for one in TURF_COEFFICIENTS.values())


def turf_coefficient(name):
    """
    A published coefficient by its name.

    Raises
    ------
    InputError
        None has the name.

    Examples
    --------
    >>> turf_coefficient("FAO-56 cool-season").share
    0.95
    """
    if name not in TURF_COEFFICIENTS:
        raise InputError(f"no published coefficient '{name}' (there are: {', '.join(TURF_COEFFICIENTS)})")
    return TURF_COEFFICIENTS[name]
