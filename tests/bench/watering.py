"""Heads on the ground and nights of many stations, seeded."""

import time
from collections.abc import Iterator
from dataclasses import replace

import geopandas as gpd
import numpy as np
import shapely

from turfgis.estimates.night import plan_night
from turfgis.estimates.night_times import Carries, Run, Source
from turfgis.measure.heads import lay_heads

HEADS, PATCHES, HEADS_LIMIT = 600, 300, 3.0
STATIONS, NIGHT_LIMIT, NIGHT_GAP = 120, 20.0, 0.01
FRAME = "+proj=laea +lat_0=53.16 +lon_0=-10.37"


def ground() -> gpd.GeoDataFrame:
    """Squares of 58 m, 60 m apart, on 1,200 by 900 m."""
    west, south = (grid.ravel() * 60.0 for grid in np.meshgrid(np.arange(20), np.arange(15)))
    shapes = shapely.box(west, south, west + 58, south + 58)
    names = [f"fairway-{number:03}" for number in range(PATCHES)]
    return gpd.GeoDataFrame(
        {"patch": names, "surface": "fairway", "hole": "1", "net_m2": shapely.area(shapes)}, geometry=shapes, crs=FRAME
    )


def heads() -> gpd.GeoDataFrame:
    """Anywhere on it; a third of them part circles."""
    draw = np.random.default_rng(1)
    names = [str(number) for number in range(HEADS)]
    part = draw.random(HEADS) < 1 / 3
    return gpd.GeoDataFrame(
        {
            "head": names,
            "throw_m": draw.uniform(12, 24, HEADS),
            "arc_rad": np.where(part, np.pi, 2 * np.pi),
            "facing_rad": np.where(part, draw.uniform(0, 6, HEADS), np.nan),
            "flow_m3_s": draw.uniform(2, 6, HEADS) / 3600,
            "station": [str(number // 4) for number in range(HEADS)],
            **{"file": "heads", "layer": "", "controller": "", "serves": "", "level": 0.0},
        },
        geometry=shapely.points(draw.uniform([20, 20], [1180, 880], (HEADS, 2))),
        crs=FRAME,
    )


def lay() -> tuple[float, float]:
    """Seconds, and how far the water on the cells is from flow by time, as a share of it."""
    patches, some = ground(), heads()
    began = time.perf_counter()
    found = lay_heads(some, patches)
    taken = time.perf_counter() - began
    assert found.grid is not None
    return taken, float(np.nansum(found.grid.values) * found.grid.cell_m2 / some["flow_m3_s"].sum() - 1)


def night(seed: int) -> tuple[Source, list[Run]]:
    """Three controllers, stations of one to four heads, a third of them in two or three cycles; all of it fits."""
    draw = np.random.default_rng(seed)
    runs = []
    for number in range(STATIONS):
        rank = int(np.searchsorted([36, 60, 72], number, side="right"))
        count = 1 if rank == 1 else int(draw.integers(2, 5))
        cycles, minutes = int(draw.choice([1, 1, 1, 2, 3])), float(draw.uniform(12, 40))
        runs.append(
            Run(
                *(f"station {number}", "ABC"[number % 3], ("green", "tee", "approach", "fairway")[rank], rank, count),
                *(count * float(draw.uniform(3, 6)), cycles, int(np.ceil(minutes / cycles)), 12 if cycles > 1 else 0),
            )
        )
    controllers = {name: Carries(stations=6) for name in "ABC"}
    return Source(480, pump=90.0, heads=30, controllers=controllers), runs


def nights() -> Iterator[tuple[str, float, float, int]]:
    """What, seconds, gap to the bound, stations left out."""
    for seed in range(3):
        source, runs = night(seed)
        need = sum(run.m3 for run in runs)
        kinds = {
            "a pump, all fits": source,
            "a tank, all fits": replace(source, tank=400.0, floor=50.0, level=400.0, refill=(need - 350) / 7.5),
            "a tank, not all fits": replace(source, tank=300.0, floor=50.0, level=300.0, refill=30.0),
            "a short window": replace(source, window=330),
        }
        for name, one in kinds.items():
            began = time.perf_counter()
            found = plan_night(one, runs)
            yield f"{name}, seed {seed}", time.perf_counter() - began, found.gap, len(found.left)
