"""
Areas that somebody else published: London boroughs with their official hectares.

Contains National Statistics and Ordnance Survey data © Crown copyright and database right, under the Open Government
Licence. HECTARES is the official total, NONLD_AREA the water to take off. The official figures are planar, in the
national grid; areas on the ellipsoid lie 0.020 to 0.046 % above them across London (data README, measured there with
pyproj). On the grid's scale: 0.99960127 on its central meridian, growing to both sides (IOGP Geomatics Guidance Note 7
part 2, method 9807).
"""

import geopandas as gpd
import pandas as pd
import pyproj
import pytest

from turfgis.layers.drawing import Drawing, LayerNote
from turfgis.measure.patches import measure_course

OFF = "Richmond upon Thames"
# data README, printed to a thousandth of a percent
LEAST, MOST = 1.000195, 1.000465


@pytest.fixture(scope="module")
def boroughs(open_data):
    """Official square metres, and the shape in the national grid, by name."""
    table = gpd.read_file(open_data / "known_area" / "london_boroughs_half.geojson").set_index("NAME")
    return table.assign(official_m2=(table["HECTARES"] - table["NONLD_AREA"]) * 10_000).to_crs(27700)


@pytest.fixture(scope="module")
def patches(open_data):
    """The boroughs measured as if they were all one surface."""
    note = LayerNote(file="london_boroughs_half.geojson", surface="other", name_from="NAME")
    return measure_course(Drawing(open_data / "known_area", (note,))).patches.set_index("name")


def test_all_boroughs_are_measured_whole(boroughs, patches):
    """17 neighbours that share their borders: none takes ground from another."""
    assert sorted(patches.index) == sorted(boroughs.index)
    assert len(patches) == 17
    assert patches["net_m2"].to_numpy() == pytest.approx(patches["drawn_m2"].to_numpy(), rel=1e-9)


def test_areas_lie_where_the_ellipsoid_puts_them(boroughs, patches):
    ratio = (patches["net_m2"] / boroughs["official_m2"]).drop(OFF)
    assert len(ratio) == 16
    assert ratio.min() >= LEAST
    assert ratio.max() <= MOST


def test_areas_drawn_in_the_grid_are_the_official_ones(boroughs, tmp_path):
    """
    Drawn in the national grid, measured on its own datum, and taken to the plane by PROJ's areal scale.

    Within 2e-5: the official figures agree with the shapes to 1.5e-5, and the scale changes across a borough. (On WGS
    84 all are 5.5e-5 smaller: its scale is less by 20.5 millionths, and its ellipsoid lies some 46 m lower there.)
    """
    boroughs.reset_index()[["NAME", "geometry"]].to_file(tmp_path / "boroughs.gpkg")
    note = LayerNote(file="boroughs.gpkg", surface="other", name_from="NAME")
    measured = measure_course(Drawing(tmp_path, (note,)))
    assert measured.frame.geodetic_crs.name == "OSGB36"
    net = measured.patches.set_index("name")["net_m2"]
    grid, middles = pyproj.Proj(27700), boroughs.geometry.centroid.to_crs(4277)
    scale = pd.Series([grid.get_factors(point.x, point.y).areal_scale for point in middles], index=boroughs.index)
    planar = (net * scale / boroughs["official_m2"]).drop(OFF)
    assert planar.to_numpy() == pytest.approx(1.0, abs=2e-5)


def test_richmond_disagrees_with_its_own_figure(boroughs, patches):
    """
    A real disagreement, reported and not hidden: 5.34 ha, 0.09 %, short of the official figure.

    The attribute of water to take off does not match the shape, so even in the national grid the two differ.
    """
    shape_m2, official_m2 = boroughs.loc[OFF, "geometry"].area, boroughs.loc[OFF, "official_m2"]
    assert (official_m2 - shape_m2) / 10_000 == pytest.approx(5.34, abs=0.005)
    assert not LEAST <= patches.loc[OFF, "net_m2"] / official_m2 <= MOST
    assert LEAST <= patches.loc[OFF, "net_m2"] / shape_m2 <= MOST
