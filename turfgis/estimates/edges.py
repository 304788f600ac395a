"""What overthrow of sand builds up beside the edges: the lip round a green that nobody ordered."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from turfgis.estimates.ledgers import SAND, Doses, doses_of, highest, year_counts
from turfgis.estimates.takeoff import Takeoff
from turfgis.formulas.ledger import edge_build_up, mass_beyond
from turfgis.settings.models import Sand


@dataclass(frozen=True)
class EdgeEntry:
    """
    What overthrow of sand builds up beside a surface in a year.

    Attributes
    ----------
    surface, when
        The surface that was dressed, and the year.
    mass
        Dry sand that lands past its edges. [kg]
    strip_m2
        Ground within the widest reach.
    near
        Depth close to the edge, where the strips of all jobs lie on one another, as a mean of the patches. [m]
    mean
        Depth if it all lay evenly within the widest reach. [m]
    patch, patch_near
        The patch with the most beside it, and how much close to its edge. [m]
    collar
        Depth as a mean of all collars, for greens where there are collars: if all lands on them, or, where they are
        smaller than the strip, their share of it. [m]
    """

    surface: str
    when: str | None
    mass: float
    strip_m2: float
    near: float
    mean: float
    patch: str
    patch_near: float
    collar: float | None


def estimate_edges(takeoff: Takeoff) -> tuple[EdgeEntry, ...]:
    """
    What jobs that throw sand past an edge leave there: on the surface, for there are no holes.

    Parameters
    ----------
    takeoff
        The take-off of the year.

    Returns
    -------
    One entry for each surface and calendar year in which sand lands beside it.
    """
    return tuple(_edges(takeoff, doses_of(takeoff, SAND)))


def _edges(takeoff: Takeoff, doses: Doses) -> Iterator[EdgeEntry]:
    ground = takeoff.ground
    strip = np.array([takeoff.needs[at].beyond_m2 for at in doses.needs]).reshape(doses.mass.shape)
    beyond, depth = np.zeros(strip.shape), np.zeros(strip.shape)
    density = np.array([_density(takeoff, at) for at in doses.needs])
    for row in range(len(strip)):
        past = (strip[row] > 0) & (doses.mass[row] > 0)
        net = ground.net_m2[past]
        beyond[row, past] = mass_beyond(doses.mass[row, past], net, net + strip[row, past])
        depth[row, past] = edge_build_up(beyond[row, past], strip[row, past], density[row])
    collar_m2 = ground.net_m2[ground.surface == "collar"].sum()
    for surface in ground.surfaces:
        on = ground.surface == surface
        for when, counts in year_counts(takeoff).items():
            times = counts[doses.needs]
            mass, near = times @ beyond[:, on], times @ depth[:, on]
            if not mass.any():
                continue
            widest = strip[times > 0][:, on].max(axis=0)
            volume = float((times / density) @ beyond[:, on].sum(axis=1))
            most = highest(near)
            collar = volume / max(collar_m2, widest.sum()) if surface == "green" and collar_m2 > 0 else None
            yield EdgeEntry(
                surface=surface,
                when=when,
                mass=float(mass.sum()),
                strip_m2=float(widest.sum()),
                near=float(near @ widest / widest.sum()),
                mean=volume / float(widest.sum()),
                patch=ground.patch[on][most],
                patch_near=float(near[most]),
                collar=collar,
            )


def _density(takeoff: Takeoff, at: int) -> float:
    material = takeoff.settings.material[takeoff.needs[at].key]
    return material.bulk_density.mean if isinstance(material, Sand) else float("nan")
