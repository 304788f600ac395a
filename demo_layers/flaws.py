"""The mistakes that real drawings carry, put in on purpose where a check can find them."""

import numpy as np
from curves import blob, put
from holes import Drawing, Row, biggest, stream
from shapely import LineString, Polygon

NO_HOLE_NUMBER = ("4", "11", "17")  # greens
BOW_TIE = ("11", "middle")  # a tee
DRAWN_TWICE = "5"  # its first bunker
LEFT_OPEN = "13"  # its first bunker
SLIVER = "8"  # between its surround and its fairway
SLIVER_WIDTH = 0.04  # [m]
NO_SURFACE = "DUNE"  # a value of the column "kind"


def find(drawing: Drawing, layer: str, **columns: str) -> Row:
    """The first row of a layer with these values."""
    return next(row for row in drawing.rows[layer] if all(row[key] == value for key, value in columns.items()))


def put_in_flaws(drawing: Drawing) -> None:
    for number in NO_HOLE_NUMBER:
        find(drawing, "greens", hole=number).update(hole=None, name=None)

    tee = find(drawing, "tees", hole=BOW_TIE[0], name=BOW_TIE[1])
    a, b, c, d = np.array(tee["geometry"].minimum_rotated_rectangle.exterior.coords)[:4]
    tee["geometry"] = Polygon([a, b, d, c])  # the last two corners taken in the wrong order

    drawing.rows["bunkers"].append(dict(find(drawing, "bunkers", hole=DRAWN_TWICE)))

    sand = find(drawing, "bunkers", hole=LEFT_OPEN)
    sand["geometry"] = LineString(sand["geometry"].exterior.coords[:-3])

    surround = find(drawing, "surrounds", hole=SLIVER)
    fairway = find(drawing, "fairways", hole=SLIVER)["geometry"]
    sliver = biggest(surround["geometry"].intersection(fairway.buffer(SLIVER_WIDTH)))
    surround["geometry"] = biggest(surround["geometry"].difference(sliver))
    drawing.add("surrounds", sliver, hole=SLIVER)

    dune = put(blob(stream(21, 1), 1600, form="kidney", step=4), np.array([327, 282]), 0.9)
    drawing.add("rough", dune, hole=None, kind=NO_SURFACE, name="Marram bank")
