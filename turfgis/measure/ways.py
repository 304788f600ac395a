"""
How far it is to drive between patches and the yard: along drawn paths, or straight where that is shorter and clear.

A leg runs from edge to edge: what is crossed inside a patch belongs to the work on it. Straight legs keep off water,
bunkers and greens; paths are taken as drawn, so a bridge carries over the water that was cut out of them. A path drawn
as an area is driven along the middles of the triangles it falls into, which lie half-way between its sides.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations
from threading import Lock

import networkx as nx
import numpy as np
import pyproj
import shapely
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import dijkstra

from turfgis.errors import SettingsError
from turfgis.measure.frame import project
from turfgis.measure.patches import Measured
from turfgis.measure.trees import built_tree

FORBIDDEN = ("water", "bunker", "green")
STEP_M = 4.0  # between corners along the side of a path, so that its middle line has no long gaps
TOUCH_M = 0.1  # a leg may run so far into forbidden ground: along its edge, or out of it
BESIDE_M = 30.0  # legs reach the paths at their nearest point, and at others that are so much farther off
COARSE_M = 0.3  # how far the outline of a patch may be simplified before distances are taken
DEGREES = "EPSG:4326"
NEAR_M = 20_000.0  # a yard farther from the course than this is a slip


@dataclass(frozen=True)
class Ways:
    """
    Where can be driven on a course, in metres of its frame.

    Attributes
    ----------
    places
        Shapes of all patches in the order of their table, and of the yard last where there is one.
    yard
        Place of the yard among them, or None.
    yard_said
        What the yard was taken to be, in words.
    forbidden
        Ground that straight legs keep off.
    network
        Middle lines of paths: nodes ``(x, y)``, edges with ``length``.
    """

    places: np.ndarray
    yard: int | None
    yard_said: str
    forbidden: shapely.Geometry
    network: nx.Graph
    _one_at_a_time: Lock = field(default_factory=Lock, init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Made before several threads ask it."""
        self._tree  # noqa: B018

    @cached_property
    def _nodes(self) -> np.ndarray:
        return np.array(list(self.network.nodes), dtype=float).reshape(-1, 2)

    @cached_property
    def _steps(self) -> csr_array:
        if not self.network.number_of_edges():
            return csr_array((len(self._nodes), len(self._nodes)))
        return csr_array(nx.to_scipy_sparse_array(self.network, weight="length"))

    @cached_property
    def _tree(self) -> shapely.STRtree:
        return built_tree(np.asarray(shapely.points(self._nodes)))

    def clear(self, lines: np.ndarray) -> np.ndarray:
        """Which straight lines keep off forbidden ground. Shape as given."""
        with self._one_at_a_time:  # a prepared shape keeps what it is in the midst of
            return ~shapely.intersects(self.forbidden, lines)

    def metres(self, rows: list[int]) -> tuple[np.ndarray, np.ndarray]:
        """
        Driving lengths between some places.

        Parameters
        ----------
        rows
            Their rows among the places. (k of them)

        Returns
        -------
        lengths, crossing
            Length of the shortest way from each to each [m]; and where none was found that keeps off forbidden ground,
            so that the straight line over it was taken. Shape (k, k), both symmetric.
        """
        shapes = self.places[rows]
        along = self._along_paths(shapes)
        straight, clear = self._straight(shapes)
        lengths = np.where(clear, np.minimum(straight, along), along)
        crossing = np.isinf(lengths)
        lengths = np.where(crossing, straight, lengths)
        np.fill_diagonal(lengths, 0.0)
        np.fill_diagonal(crossing, False)
        return lengths, crossing

    def _straight(self, shapes: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        size = len(shapes)
        lengths, clear = np.zeros((size, size)), np.ones((size, size), dtype=bool)
        one, other = np.triu_indices(size, 1)
        lines = shapely.shortest_line(shapes[one], shapes[other])
        lengths[one, other] = lengths[other, one] = shapely.length(lines)
        clear[one, other] = clear[other, one] = self.clear(lines)
        return lengths, clear

    def _along_paths(self, shapes: np.ndarray) -> np.ndarray:
        """Lengths by the paths, infinite where they do not lead there. Shape (k, k)."""
        size, paths = len(shapes), len(self._nodes)
        if not paths:
            return np.full((size, size), np.inf)
        place, node, leg = self._legs(shapes)
        # Each place twice, to leave from and to arrive at: otherwise ways would run through patches free of charge.
        steps = self._steps.tocoo()
        tail = np.concatenate([steps.coords[0], paths + place, node])
        head = np.concatenate([steps.coords[1], node, paths + size + place])
        # no leg is nothing: a stored zero would be no way at all
        length = np.maximum(np.concatenate([steps.data, leg, leg]), 1e-9)
        whole = coo_array((length, (tail, head)), shape=(paths + 2 * size, paths + 2 * size)).tocsr()
        found = dijkstra(whole, indices=np.arange(paths, paths + size))[:, paths + size :]
        return np.minimum(found, found.T)

    def _legs(self, shapes: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Legs that keep off forbidden ground: place, node of the paths, length."""
        nearest = np.zeros(len(shapes))
        (at, _), nearest_m = self._tree.query_nearest(shapes, return_distance=True, all_matches=False)
        nearest[at] = nearest_m
        place, node = self._tree.query(shapes, predicate="dwithin", distance=nearest + BESIDE_M)
        lines = shapely.shortest_line(shapes[place], shapely.points(self._nodes[node]))
        clear = self.clear(lines)
        return place[clear], node[clear], shapely.length(lines)[clear]


def measure_ways(measured: Measured, yard: tuple[float, float] | None = None) -> Ways:
    """
    Where can be driven on a measured course.

    Parameters
    ----------
    measured
        The course.
    yard
        Longitude and latitude of the yard; None to look for a surface or a name that says "yard". [degrees]

    Returns
    -------
    Its ways.

    Raises
    ------
    SettingsError
        The yard lies far off the course.
    """
    patches, drawn = measured.patches, measured.drawn
    shapes = shapely.simplify(patches.geometry.to_numpy(), COARSE_M)
    home, said = _yard(measured, yard)
    taken = np.isin(patches["surface"].to_numpy(), FORBIDDEN)
    forbidden = shapely.buffer(shapely.union_all(patches.geometry.to_numpy()[taken]), -TOUCH_M)
    shapely.prepare(forbidden)
    paths = drawn.geometry.to_numpy()[(drawn["surface"] == "path").to_numpy()]
    network = path_network(paths, measured.path_lines.geometry.to_numpy())
    _join_pieces(network, forbidden)
    if home is None:
        return Ways(shapes, None, said, forbidden, network)
    return Ways(np.array([*shapes, home]), len(shapes), said, forbidden, network)


def _yard(measured: Measured, yard: tuple[float, float] | None) -> tuple[shapely.Geometry | None, str]:
    patches = measured.patches
    if yard is not None:
        (point,) = project(np.array([shapely.Point(*yard)]), pyproj.CRS(DEGREES), measured.frame)
        west, south, east, north = patches.total_bounds.tolist()
        off = shapely.distance(point, shapely.box(west, south, east, north))
        if not off < NEAR_M:
            raise SettingsError(
                f"[yard] at = [{yard[0]:g}, {yard[1]:g}] lies {off / 1000:,.0f} km from the course; "
                "longitude comes first, then latitude, in degrees"
            )
        return point, "the yard of the settings"
    surface, name = (patches[key].astype(str).str.casefold() for key in ("surface", "name"))
    found = np.flatnonzero((surface == "yard") | name.str.contains(r"\byard\b", regex=True))
    if not len(found):
        return None, ""
    row = patches.iloc[int(found[0])]
    return shapely.simplify(row["geometry"], COARSE_M), f"{row['patch']} ({row['name'] or row['surface']})"


def path_network(areas: np.ndarray, lines: np.ndarray) -> nx.Graph:
    """
    Middle lines of paths.

    Parameters
    ----------
    areas, lines
        Paths drawn as areas and as lines. [m]

    Returns
    -------
    Nodes ``(x, y)`` to the millimetre, edges with ``length`` [m]. Lines are joined where they share a point or cross.

    Examples
    --------
    The middle of a path of 2 m by 20 m; it ends in the corners:

    >>> network = path_network(np.array([shapely.box(0, 0, 20, 2)]), np.array([]))
    >>> round(nx.shortest_path_length(network, (0.0, 0.0), (20.0, 2.0), weight="length"), 1)
    20.5
    """
    network = nx.Graph()
    ends = [_middle_steps(areas), _line_steps(lines)]
    for start, end in (np.round(pair, 3) for pair in np.concatenate(ends)):
        if tuple(start) != tuple(end):
            length = float(np.hypot(*(end - start)))
            network.add_edge(tuple(start.tolist()), tuple(end.tolist()), length=length)
    return network


def _middle_steps(areas: np.ndarray) -> np.ndarray:
    """From side to side of the triangles that paths fall into, by way of their middles. Shape (steps, 2, 2)."""
    whole = shapely.segmentize(shapely.union_all(areas), STEP_M)
    triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(whole))
    if not len(triangles):
        return np.empty((0, 2, 2))
    corners = shapely.get_coordinates(triangles).reshape(-1, 4, 2)[:, :3]
    _, number = np.unique(np.round(corners.reshape(-1, 2), 6), axis=0, return_inverse=True)
    number = number.reshape(-1, 3)
    sides = np.sort(np.stack([number, np.roll(number, -1, axis=1)], axis=-1), axis=-1)
    _, side, times = np.unique(sides.reshape(-1, 2), axis=0, return_inverse=True, return_counts=True)
    inner = times[side.reshape(-1, 3)] == 2
    middles = (corners + np.roll(corners, -1, axis=1)) / 2
    steps = [
        np.stack([middles[both, one], middles[both, other]], axis=1)
        for one, other in combinations(range(3), 2)
        for both in [inner[:, one] & inner[:, other]]
    ]
    for one in range(3):  # the last triangle of a path: on to its tip
        tip = inner[:, one] & (inner.sum(axis=1) == 1)
        steps.append(np.stack([middles[tip, one], corners[tip, (one + 2) % 3]], axis=1))
    return np.concatenate(steps)


def _line_steps(lines: np.ndarray) -> np.ndarray:
    """Parts of lines between their corners, cut where they cross. Shape (steps, 2, 2)."""
    if not len(lines):
        return np.empty((0, 2, 2))
    parts = shapely.get_parts(shapely.segmentize(shapely.node(shapely.union_all(lines)), STEP_M))
    points, line = shapely.get_coordinates(parts, return_index=True)
    same = line[1:] == line[:-1]
    return np.stack([points[:-1][same], points[1:][same]], axis=1)


def _join_pieces(network: nx.Graph, forbidden: shapely.Geometry) -> None:
    """Straight joins between pieces of the network, the shortest first, where they keep off forbidden ground."""
    pieces = [np.array(list(piece)) for piece in nx.connected_components(network)]
    clouds = [shapely.multipoints(piece) for piece in pieces]
    joins = [shapely.shortest_line(clouds[one], clouds[two]) for one, two in combinations(range(len(pieces)), 2)]
    for join in sorted(joins, key=lambda line: float(shapely.length(line))):
        start, end = (tuple(point) for point in np.round(shapely.get_coordinates(join), 3).tolist())
        if not nx.has_path(network, start, end) and not shapely.intersects(forbidden, join):
            network.add_edge(start, end, length=float(shapely.length(join)))
