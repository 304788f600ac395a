"""Any file of drawn shapes becomes a clean table of areas, named by surface and mended, with findings on the way."""

from turfgis.layers.findings import CODES, Finding, errors_first
from turfgis.layers.mend import mend_areas
from turfgis.layers.naming import name_surfaces
from turfgis.layers.read import DrawnLayer, read_layers
from turfgis.layers.words import hole_text

__all__ = ["CODES", "DrawnLayer", "Finding", "errors_first", "hole_text", "mend_areas", "name_surfaces", "read_layers"]
