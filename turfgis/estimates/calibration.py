"""A sprayer or spreader calibrated from a catch: what comes out, what is wanted, and what would mend the difference."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from turfgis.errors import InputError
from turfgis.formulas.calibration import (
    application_volume,
    caught_rate,
    flow_for_volume,
    reached_share,
    speed_for_volume,
)

UNEVEN = 0.10  # a nozzle further than this from the mean of all wants a look; common practice, no source


@dataclass(frozen=True)
class Calibration:
    """
    What a catch says. What cannot be known is None.

    Attributes
    ----------
    by_weight
        Whether the product goes by weight; rates are then in kg/m2, else in m3/m2.
    flows, mean_flow
        Of each nozzle that was caught, and their mean. [m3/s]
    uneven
        Nozzles further from the mean than :data:`UNEVEN`, counted from 1.
    speed
        As driven. [m/s]
    rate, wanted
        What comes out to the unit area, and what should.
    error
        By how much more comes out than is wanted, as a share; below zero where it is less.
    flow_wanted
        What each nozzle must put out at that speed. [m3/s]
    speed_wanted
        The speed at which the nozzles as they are give what is wanted. [m/s]
    """

    by_weight: bool = False
    flows: tuple[float, ...] = ()
    mean_flow: float | None = None
    uneven: tuple[int, ...] = ()
    speed: float | None = None
    rate: float | None = None
    wanted: float | None = None
    error: float | None = None
    flow_wanted: float | None = None
    speed_wanted: float | None = None

    @property
    def reached(self) -> float | None:
        """Share of the ground that a tank or hopper meant for all of it reaches; None where that is not known."""
        return None if self.error is None or self.error <= 0 else float(reached_share(self.error))


def calibrate_nozzles(
    caught: Sequence[float],
    during: float | None,
    speed: float | None,
    spacing: float | None,
    wanted: float | None,
) -> Calibration:
    """
    A boom, from what its nozzles put out in a time; or what they must put out, where nothing was caught yet.

    Parameters
    ----------
    caught, during
        From each nozzle [m3] in so long a time [s]; none, and None, where nothing was caught.
    speed
        Travel speed. [m/s]
    spacing
        Distance between nozzles. [m]
    wanted
        Spray volume. [m3/m2]

    Returns
    -------
    What follows from what is given.

    Raises
    ------
    InputError
        Too little is given for any of it.

    Examples
    --------
    Three nozzles half a metre apart caught for half a minute at 6 km/h, in L/ha:

    >>> found = calibrate_nozzles([0.74e-3, 0.75e-3, 0.76e-3], 30.0, 6 / 3.6, 0.5, 320e-7)
    >>> print(f"{1e7 * found.rate:.0f} {found.error:+.1%}")
    300 -6.2%
    """
    if bool(len(caught)) != (during is not None):
        raise InputError("a catch and the time that it took go together: give both, or neither")
    if not len(caught) and wanted is None:
        raise InputError("nothing was caught and nothing is wanted; give a catch and its time, or what is wanted")
    if spacing is None or (speed is None and not (len(caught) and wanted is not None)):
        raise InputError("needs the distance between nozzles, and the speed, or both a catch and what is wanted")
    if not len(caught):
        return Calibration(speed=speed, wanted=wanted, flow_wanted=float(flow_for_volume(wanted, speed, spacing)))
    flows = np.asarray(caught, dtype=float) / during
    mean = float(flows.mean())
    if not mean > 0:
        raise InputError("nothing came out of the nozzles")
    uneven = np.flatnonzero(np.abs(flows / mean - 1) > UNEVEN + 1e-9) + 1
    rate = None if speed is None else float(application_volume(mean, speed, spacing))
    return Calibration(
        flows=tuple(flows.tolist()),
        mean_flow=mean,
        uneven=tuple(uneven.tolist()),
        speed=speed,
        rate=rate,
        wanted=wanted,
        error=None if rate is None or wanted is None else rate / wanted - 1,
        flow_wanted=None if speed is None or wanted is None else float(flow_for_volume(wanted, speed, spacing)),
        speed_wanted=None if wanted is None else float(speed_for_volume(wanted, mean, spacing)),
    )


def calibrate_strip(
    caught: float, length: float, width: float, wanted: float | None, *, by_weight: bool, speed: float | None = None
) -> Calibration:
    """
    A sprayer or spreader, from what a strip of ground took or a tray caught.

    Parameters
    ----------
    caught
        Used on the strip, or caught. [kg or m3]
    length, width
        Of the strip or the tray. [m]
    wanted
        Rate that is wanted. [kg/m2 or m3/m2]
    by_weight
        Whether both are by weight.
    speed
        Travel speed, where a speed is sought: the rate is taken to go down as the speed goes up. [m/s]

    Examples
    --------
    25 lb should cover 5,000 ft2, and half a pound was caught on 100 ft2: as it should be.

    >>> pound, foot = 0.45359237, 0.3048
    >>> found = calibrate_strip(0.5 * pound, 50 * foot, 2 * foot, 25 * pound / (5000 * foot**2), by_weight=True)
    >>> print(f"{abs(found.error):.6f}")
    0.000000
    """
    rate = float(caught_rate(caught, length, width))
    if wanted is not None and not wanted > 0:
        raise InputError("what is wanted must be above zero")
    return Calibration(
        by_weight=by_weight,
        speed=speed,
        rate=rate,
        wanted=wanted,
        error=None if wanted is None else rate / wanted - 1,
        speed_wanted=None if wanted is None or speed is None else speed * rate / wanted,
    )
