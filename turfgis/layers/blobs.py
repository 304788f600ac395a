"""Shapes as a GeoPackage stores them: a head, and well-known binary behind it (OGC 12-128r18, clause 2.1.3.1.1)."""

import struct
from typing import Any

import shapely

from turfgis.errors import LayerError

Bounds = tuple[float, float, float, float]  # smallest and largest x, smallest and largest y
ENVELOPES = (0, 32, 48, 48, 64)  # bytes behind the head of a shape, by the code in its flags


def wkb_of(blob: bytes) -> bytes:
    """
    The well-known binary within a stored shape.

    Raises
    ------
    LayerError
        It is not stored as the standard says.
    """
    if len(blob) < 8 or blob[:2] != b"GP" or (blob[3] >> 1 & 7) >= len(ENVELOPES):
        raise LayerError("a shape is not stored as the GeoPackage standard says")
    return bytes(blob[8 + ENVELOPES[blob[3] >> 1 & 7] :])


def bounds_of(blob: bytes) -> Bounds | None:
    """Smallest and largest x, smallest and largest y of a stored shape; None where it is empty or cannot be told."""
    if blob[3] >> 1 & 7:
        return struct.unpack_from(("<" if blob[3] & 1 else ">") + "4d", blob, 8)
    shape: Any = shapely.from_wkb(wkb_of(blob), on_invalid="ignore")
    if shape is None or shapely.is_empty(shape):
        return None
    low_x, low_y, high_x, high_y = shapely.bounds([shape])[0].tolist()
    return low_x, high_x, low_y, high_y


def blob_of(wkb: bytes, srs_id: int) -> bytes:
    """
    A shape as a GeoPackage stores it.

    Examples
    --------
    >>> blob = blob_of(shapely.to_wkb(shapely.box(1, 2, 3, 5), flavor="iso"), 4326)
    >>> blob[:2], bounds_of(blob), shapely.from_wkb(wkb_of(blob)).area
    (b'GP', (1.0, 3.0, 2.0, 5.0), 6.0)
    """
    shape: Any = shapely.from_wkb(wkb, on_invalid="ignore")
    empty = shape is not None and shape.is_empty
    boxed = not empty and shape is not None and shape.geom_type != "Point"
    head = struct.pack("<2sBBi", b"GP", 0, 1 | boxed << 1 | empty << 4, srs_id)
    if boxed and shape is not None:
        low_x, low_y, high_x, high_y = shape.bounds
        head += struct.pack("<4d", low_x, high_x, low_y, high_y)
    return head + wkb
