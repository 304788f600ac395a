"""What a reader should know about the shapes that were drawn: set aside, mended, or only worth a look."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

LEVELS = ("error", "warning", "note")

CODES: dict[str, str] = {
    # Reading
    "no_shape": "a feature carries attributes but no shape",
    "broken_coordinates": "a feature has coordinates that are not numbers",
    "unreadable_shape": "a feature's shape is of a kind that cannot be used",
    "ring_closed": "an outline whose last point was missing has been closed",
    "point_not_area": "a point lies where an area belongs",
    "line_not_area": "an open line lies where an area belongs",
    "line_taken_as_area": "a closed line was read as the outline of an area",
    "walk_closed": "a walked edge was closed from its last point to its first",
    "walk_too_open": "a walked edge ends too far from where it began to be closed",
    "shape_in_collection": "an area was taken out of a mixed collection of shapes",
    "lines_and_points_kept": "lines and points that are not areas were kept for hole numbers and the like",
    "path_is_a_line": "a path that runs back to its start is a line, not an area",
    "height_dropped": "heights or measures of the points were left out",
    "curve_straightened": "curved edges were turned into short straight pieces",
    "layer_left_out": "a layer of the file has no areas and was not read",
    "reader_remark": "the reader of the file format had something to say",
    "text_encoding": "the text of the file is not in the encoding it claims",
    "web_mercator": "the layer is drawn in a web map's projection",
    "survey_feet": "the layer is drawn in feet",
    "crs_replaced": "the settings name another coordinate reference system than the file",
    "mixed_crs": "layers of one file are drawn in different coordinate reference systems",
    "looks_like_degrees": "coordinates look like degrees under a coordinate reference system in metres or feet",
    # Naming
    "surface_unknown": "a value that should name a surface names none that is known",
    "surface_missing": "a feature does not say which surface it is",
    "not_turf": "a feature is not a surface that is looked after",
    "range_as_other": "a driving range is counted under other",
    "surface_from_values": "the column that names surfaces was found by its values",
    "surface_from_name": "the surface was taken from the name of the layer or file",
    "value_unused": "the settings explain a value that does not occur",
    "layer_unnamed": "nothing says which surface a layer is",
    # Mending
    "mended": "an outline that was not valid has been mended",
    "nothing_left": "an outline that was not valid encloses nothing",
    "repeated": "the same shape is drawn twice for the same surface",
    "two_surfaces": "the same shape is drawn for two surfaces",
    "sliver": "a shape too small or too thin to be looked after was set aside",
    "far_away": "a shape lies far away from all the others",
    "wide_spread": "the shapes lie further apart than one course reaches",
    # Measuring
    "datum_shift": "layers on different datums were moved to fit",
    "hole_by_position": "hole numbers were carried over from the hole lines",
    "drawn_twice": "ground was drawn for two surfaces, and the one on top kept it",
    "strip_nowhere": "a strip is to go around a surface that nobody drew",
    "covered": "a shape lies under others and keeps next to nothing",
    # Planning
    "outside_published": "a figure of the settings lies outside its published range",
    "job_cannot_be_done": "a job names ground that the course does not have",
    # Heights
    "elevation_no_crs": "the raster of heights does not say its reference system",
    "elevation_unit_unknown": "nothing says in what unit the heights are",
    "elevation_unit_replaced": "the settings name another unit of height than the raster",
    "elevation_tiles": "the tiles of the heights do not lie on one grid",
    "elevation_rotated": "the grid of the heights is turned",
    "elevation_unreadable": "the raster of heights is broken off or cannot be read",
    "elevation_outside": "the raster of heights lies outside the course",
    "elevation_empty": "the raster holds no heights on the course",
    "elevation_flat": "all heights are the same",
    "elevation_undeclared_gap": "heights that can be none stand for gaps, and the raster does not say so",
    "elevation_part": "the raster of heights covers a patch only in part",
    "elevation_coarse": "a patch is too small for the cells of the heights",
    "elevation_implausible": "the slopes are too steep to be true",
    # Heads
    "layer_empty": "a layer of heads or places in which nothing is drawn yet",
    "heads_unusable": "a layer of heads cannot be read",
    "head_no_flow": "a head has no flow",
    "head_no_throw": "a head has no throw",
    "head_wrong_arc": "the arc of a head is no angle up to a full circle",
    "head_no_facing": "a head waters a part of a circle, and nothing says which way",
    "head_repeated": "a head is drawn twice",
    "head_off_course": "a head reaches no ground of the course",
    "head_implausible": "flow or throw of a head is that of no head, as if the unit were another",
    "head_no_station": "nothing says to which station a head belongs",
    "catch_unusable": "the readings of cans cannot be used",
    "catch_few": "there are too few cans on a patch to say how evenly water falls",
    "catch_outside": "a can stood on no ground of the course",
    # Photo
    "photo_unusable": "the photo cannot be read, or does not say where it lies",
    "photo_elsewhere": "the photo shows another place",
    "photo_empty": "there is nothing on the photo where the course lies",
    "photo_part": "the photo shows only a part of the course",
    # Readings
    "reading_unusable": "readings cannot be read, or do not say where they lie",
    "reading_elsewhere": "readings were taken at another place",
    "reading_empty": "there is no value among the readings where the course lies",
    "reading_undeclared_gap": "figures among the readings stand for gaps though nothing says so",
    "reading_part": "readings cover a patch only in part",
    # Places
    "place_kind": "a word that should name a kind of place names none that is known",
    "place_day": "a day of a place, or how often to look at it, cannot be read",
    "place_figure": "a figure of a place cannot be used",
    "place_look": "a place is to be looked at again before it was seen",
    "place_repeated": "two rows are the same look at one place",
    "place_visit": "a visit names a place that there is not",
    "place_off_course": "a place lies far from anything that was drawn",
    "place_photo": "the photo of a place is not in the course folder",
    "place_work": "the work on a place cannot be planned as it is written",
    # Spray
    "label_not_kept": "a spray job does not keep what was typed in from a label, and is not planned",
    "kept_off_whole": "what is kept off leaves nothing of a patch to spray",
    # Water
    "weather_unusable": "the weather cannot be read, or not a day of it can be reckoned with",
    "weather_heading": "a heading of the weather is not used, said twice, or says no unit",
    "weather_unreadable": "cells of the weather hold no number or no day",
    "weather_order": "days of the weather were not in order",
    "weather_repeat": "days of the weather have more than one row",
    "weather_gap": "days of the weather are missing",
    "weather_unit": "a column of the weather looks like another unit than it says",
    "weather_implausible": "values of the weather cannot be right",
    "water_unusable": "readings of the water meter, or the log of watering, cannot be read",
    "meter_backwards": "a reading of the water meter is lower than the one before",
    "meter_new": "the water meter began again, as a new one does",
    "meter_repeat": "the water meter was read more than once on a day",
    "log_unknown": "the log of watering names ground that is not watered",
    "uniformity_unknown": "nothing tells how evenly a surface is watered",
    "water_limit": "a limit of water is passed, or will be at this rate",
}
"""What each code means, in one line."""


@dataclass(frozen=True)
class Finding:
    """
    One thing that a reader should know about the drawn shapes.

    Attributes
    ----------
    level
        ``error``, ``warning`` or ``note``.
    code
        Short name out of `CODES`.
    file, layer
        Where it was found; ``layer`` is empty when it is about the whole file.
    feature
        Which feature; empty when it is about the whole layer.
    text
        One or two plain sentences: what was found, what was done, the square metres gained or lost.
    """

    level: str
    code: str
    file: str
    layer: str
    feature: str
    text: str


def errors_first(findings: Iterable[Finding]) -> list[Finding]:
    """
    Sort findings by level, keeping the order within each.

    Examples
    --------
    >>> note = Finding("note", "height_dropped", "areas.gpkg", "greens", "", "Heights are left out.")
    >>> error = Finding("error", "no_shape", "areas.gpkg", "greens", "7", "There is no shape.")
    >>> [finding.level for finding in errors_first([note, error])]
    ['error', 'note']
    """
    return sorted(findings, key=lambda finding: LEVELS.index(finding.level))


def listed(names: Sequence[object], most: int = 5) -> str:
    """
    Names in a row, the tail of a long list only counted.

    Examples
    --------
    >>> listed(["a", "b", "c"])
    'a, b, c'
    >>> listed(range(9), most=3)
    '0, 1, 2 and 6 more'
    """
    shown = ", ".join(str(name) for name in names[:most])
    return shown if len(names) <= most else f"{shown} and {len(names) - most} more"


def counted(number: int, one: str, many: str | None = None) -> str:
    """
    A number with its noun.

    Examples
    --------
    >>> counted(1, "green"), counted(2, "green"), counted(3, "has", "have")
    ('1 green', '2 greens', '3 have')
    """
    return f"{number:,} {one if number == 1 else many or one + 's'}"
