"""Drift between two surveys of many patches: ours, and ground gained and lost by geopandas.overlay and shapely."""

import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import geopandas as gpd
import numpy as np
import pandas as pd
import pyproj
import shapely

from turfgis.layers.drawing import Drawing, LayerNote
from turfgis.measure.drift import measure_drift
from turfgis.measure.frame import local_frame
from turfgis.measure.matching import group_shapes, match_patches
from turfgis.measure.patches import measure_course
from turfgis.measure.surveys import Survey, common_ground

FRAME = local_frame([(pyproj.CRS(4326), -10.37, 53.15)])
COUNT, APART_M, CORNERS = 1_000, 60.0, 120
KINDS = np.array(["green", "tee", "bunker"])


def _shapes(lost: float) -> np.ndarray:
    """Round patches with lobes, the same ones each time, their edge further in by some metres and a little uneven."""
    draws = np.random.default_rng(7)
    turn = np.linspace(0, 2 * np.pi, CORNERS, endpoint=False)
    reach, lobe, phase = draws.uniform(5, 15, COUNT), draws.uniform(0.05, 0.2, COUNT), draws.uniform(0, 6, COUNT)
    radius = reach[:, None] * (1 + lobe[:, None] * np.sin(3 * turn + phase[:, None])) - lost * (1 + 0.5 * np.cos(turn))
    east, north = np.divmod(np.arange(COUNT), 32) * np.array([[APART_M], [APART_M]])
    rings = np.stack([east[:, None] + radius * np.cos(turn), north[:, None] + radius * np.sin(turn)], axis=-1)
    return np.asarray(shapely.polygons(rings))


def _survey(folder: Path, name: str, shapes: np.ndarray) -> Survey:
    """The shapes as a survey, read and measured as any."""
    kinds = KINDS[np.arange(len(shapes)) % len(KINDS)]
    gpd.GeoDataFrame({"kind": kinds}, geometry=shapes, crs=FRAME).to_file(folder / name)
    drawing = Drawing(folder, (LayerNote(file=name, surface_from="kind", accuracy_m=0.05),))
    return Survey(name, drawing, measure_course(drawing))


def by_overlay(old: gpd.GeoDataFrame, new: gpd.GeoDataFrame) -> pd.DataFrame:
    """Lost, gained and net of each patch of the older survey, matched by the ground it shares most of."""
    common = gpd.overlay(old, new, how="intersection", keep_geom_type=True)
    common = common.assign(area=common.area).sort_values("area").drop_duplicates("patch_1", keep="last")
    pairs = common.set_index("patch_1")["patch_2"]
    was, now = old.set_index("patch").geometry.loc[pairs.index], new.set_index("patch").geometry.loc[pairs]
    now.index = was.index
    lost, gained = was.difference(now).area, now.difference(was).area
    return pd.DataFrame({"lost_m2": lost, "gained_m2": gained, "net_m2": now.area - was.area})


def areas_alone(before: gpd.GeoDataFrame, after: gpd.GeoDataFrame) -> np.ndarray:
    """Lost, gained and net by the steps of ours that do nothing else."""
    matched = match_patches(before, after)
    was = group_shapes(before.geometry.to_numpy(), matched.old, len(matched.kind))
    now = group_shapes(after.geometry.to_numpy(), matched.new, len(matched.kind))
    lost, gained = shapely.area(shapely.difference(was, now)), shapely.area(shapely.difference(now, was))
    return np.column_stack([lost, gained, shapely.area(now) - shapely.area(was)])


def rows() -> Iterator[tuple[str, Callable[[], object], Callable[[], object], float, str]]:
    """What is compared, our way, the other way, the ratio aimed at, and how well the two agree."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        old, new = (_survey(folder, f"{lost:g}.gpkg", _shapes(lost)) for lost in (0.0, 0.3))
        before, after, _ = common_ground(old, new)
        theirs, ours = by_overlay(before, after), measure_drift(old, new).changes
        figures = ["lost_m2", "gained_m2", "net_m2"]
        apart = np.abs((ours.set_index("old_patch")[figures] - theirs[figures]).to_numpy()).max()
        agree = f"areas agree to {apart:.0e} m2"

        def peer() -> object:
            return by_overlay(before, after)

        yield f"{COUNT:,} patches of {CORNERS} points", lambda: areas_alone(before, after), peer, 1.0, agree
        yield "the same with retreat, moved edges, strips", lambda: measure_drift(old, new), peer, 8.0, "areas only"
