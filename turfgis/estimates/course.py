"""A course: its settings, its measured patches, and what every sheet says about both."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from difflib import get_close_matches
from functools import cached_property
from glob import glob, has_magic
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from turfgis.errors import LayerError, SettingsError
from turfgis.estimates.ground import Ground
from turfgis.layers.drawing import Drawing, LayerNote, StripNote, plain_drawing
from turfgis.layers.words import hole_text
from turfgis.measure.patches import SLOPE_COLUMNS, Measured, measure_course
from turfgis.surfaces import pile_order

if TYPE_CHECKING:  # reading the settings takes longer than measuring a single file, so that waits until it is needed
    import pandas as pd

    from turfgis.estimates.water import Water
    from turfgis.layers.findings import Finding
    from turfgis.measure.cans import Cans
    from turfgis.measure.heads import Heads
    from turfgis.measure.photo import Photo
    from turfgis.measure.places import Places
    from turfgis.measure.readings import Readings
    from turfgis.measure.relief import Relief
    from turfgis.measure.relief_map import ReliefPicture
    from turfgis.settings import CourseSettings
    from turfgis.settings.models import Job

SETTINGS_FILE = "course.toml"


@dataclass(frozen=True)
class Course:
    """
    A course as it was opened.

    Attributes
    ----------
    path
        The settings file, or the one vector file.
    drawing
        What is to be measured.
    settings
        The settings, or None for a single vector file.
    """

    path: Path
    drawing: Drawing
    settings: CourseSettings | None = None

    @cached_property
    def measured(self) -> Measured:
        """Its patches, measured when they are first asked for."""
        return measure_course(self.drawing)

    @cached_property
    def relief(self) -> Relief | None:
        """Slopes and true areas of its patches, or None where the settings name no heights."""
        said = self.settings.elevation if self.settings else None
        if said is None:
            return None
        from turfgis.measure.relief import measure_relief
        from turfgis.measure.relief_grid import Elevation

        elevation = Elevation(
            files=tuple(said.file),
            folder=self.drawing.folder,
            units=said.units,
            crs=said.crs,
            smoothing_m=said.smoothing,
            accuracy_m=said.accuracy,
        )
        return measure_relief(self.measured.patches, elevation)

    def relief_picture(self, least_step: float) -> ReliefPicture | None:
        """Contours, a step or more apart [m], and shaded relief; drawn once, though many maps show it."""
        if self.relief is None:
            return None
        if least_step not in self._relief_pictures:
            from turfgis.measure.relief_map import draw_relief

            self._relief_pictures[least_step] = draw_relief(self.measured.patches, self.relief, least_step)
        return self._relief_pictures[least_step]

    @cached_property
    def _relief_pictures(self) -> dict[float, ReliefPicture | None]:
        return {}

    @property
    def slopes(self) -> pd.DataFrame | None:
        """What the heights add to the table of patches; None where the settings name none."""
        return None if self.relief is None else self.relief.table.reindex(columns=list(SLOPE_COLUMNS))

    def with_slopes(self, patches: pd.DataFrame) -> pd.DataFrame:
        """A table of the patches with their slopes and true areas beside, where the settings name heights."""
        return patches if self.slopes is None else patches.assign(**{str(key): one for key, one in self.slopes.items()})

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What there is to say about the drawing and the heights."""
        return (*self.measured.findings, *(self.relief.findings if self.relief else ()))

    @cached_property
    def photo(self) -> Photo | None:
        """Its photo from the air, cut for the map, or None where the settings name none."""
        said = self.settings.photo if self.settings else None
        if said is None:
            return None
        from turfgis.measure.photo import PhotoFile, read_photo

        return read_photo(PhotoFile(said.file, self.drawing.folder, said.crs, said.most), self.measured.patches)

    @property
    def photo_findings(self) -> tuple[Finding, ...]:
        """What there is to say about the photo; apart, because only maps and checks take the time to look at it."""
        return self.photo.findings if self.photo else ()

    @cached_property
    def readings(self) -> tuple[Readings, ...]:
        """What was read on the ground, by patch."""
        if self.settings is None or not self.settings.reading:
            return ()
        from turfgis.measure.readings import ReadingFile, measure_readings

        files = [
            ReadingFile(
                name=said.name,
                file=said.file,
                folder=self.drawing.folder,
                column=said.column,
                low=said.low,
                crs=said.crs,
                linear=said.method == "linear",
                reach_m=said.reach,
                on=tuple(said.on or ()),
            )
            for said in self.settings.reading
        ]
        return tuple(measure_readings(self.measured.patches, file) for file in files)

    @property
    def reading_findings(self) -> tuple[Finding, ...]:
        """What there is to say about the readings."""
        return tuple(finding for one in self.readings for finding in one.findings)

    @cached_property
    def heads(self) -> Heads | None:
        """Its heads and where their water falls, or None where no layer holds any."""
        if not any(note.role == "heads" for note in self.drawing.layers):
            return None
        blank = {
            (Path(finding.file).name, finding.layer)
            for finding in self.measured.findings
            if finding.code == "layer_empty"
        }
        drawn = [note for note in self.drawing.layers if (Path(note.file).name, note.layer or "") not in blank]
        from turfgis.measure.heads import WATERED, measure_heads

        watered = self.settings.water.ranked if self.settings and self.settings.water else ()
        return measure_heads(replace(self.drawing, layers=tuple(drawn)), self.measured.patches, watered or WATERED)

    @cached_property
    def cans(self) -> Cans | None:
        """What cans caught on its patches, or None where the settings name no catch."""
        if self.settings is None or not self.settings.catch:
            return None
        from turfgis.measure.cans import CatchFile, measure_cans

        files = [
            CatchFile(
                file=said.file,
                folder=self.drawing.folder,
                column=said.column,
                unit=said.unit,
                mouth_m=said.mouth,
                ran_s=said.ran,
                on=tuple(said.on or ()),
                taken=said.taken.isoformat() if said.taken else None,
                crs=said.crs,
            )
            for said in self.settings.catch
        ]
        return measure_cans(self.measured.patches, files)

    @property
    def head_findings(self) -> tuple[Finding, ...]:
        """What there is to say about heads and cans; apart, because only water and checks take the time to look."""
        from turfgis.layers.findings import Finding

        try:
            heads = self.heads.findings if self.heads else ()
        except LayerError as error:  # what needs heads stops there; all else can still be said
            file, _, text = str(error).partition(": ")
            heads = (Finding("error", "heads_unusable", file, "", "", f"{text}."),)
        return (*heads, *(self.cans.findings if self.cans else ()))

    @cached_property
    def places(self) -> Places:
        """What needs watching, as its layers tell of it."""
        from turfgis.measure.places import measure_places

        return measure_places(self.drawing, self.measured)

    @property
    def has_places(self) -> bool:
        """Whether a layer holds places that need watching."""
        return any(note.role == "places" for note in self.drawing.layers)

    @cached_property
    def water(self) -> Water | None:
        """Its water up to the last day of the weather, and the week ahead; None where nothing is watered."""
        said = self.settings.water if self.settings else None
        watered = said is not None and (set(said.surface) & set(self.ground.surfaces) or (said.limit and said.meter))
        if not watered:
            return None
        from turfgis.estimates.water import estimate_water

        return estimate_water(self)

    @property
    def water_findings(self) -> tuple[Finding, ...]:
        """What there is to say about weather, meter and limits of water."""
        return self.water.all_findings if self.water else ()

    @cached_property
    def ground(self) -> Ground:
        """Its patches as arrays."""
        return Ground(self.measured.patches)

    def with_settings(self, settings: CourseSettings) -> Course:
        """
        The same ground under other settings, such as another price; nothing is measured again.

        The layers, strips and surfaces of the settings must be the same; where they may not be, see :meth:`altered`.
        """
        other = Course(self.path, self.drawing, settings)
        before, same = self.settings, []
        if before is not None:
            ranked = [one.water.ranked if one.water else [] for one in (before, settings)]
            same = [
                *(["relief"] if before.elevation == settings.elevation else []),
                *(["heads"] if ranked[0] == ranked[1] else []),
                *(["cans"] if before.catch == settings.catch else []),
            ]
        for kept in ("measured", "ground", "photo", "places", *same):
            if kept in self.__dict__:
                other.__dict__[kept] = self.__dict__[kept]
        return other

    def with_measured(self, measured: Measured) -> Course:
        """The same course with other ground under it, such as after a stroke that is not saved yet."""
        other = Course(self.path, self.drawing, self.settings)
        other.__dict__["measured"] = measured
        return other

    def altered(self, settings: CourseSettings) -> Course:
        """The course under altered settings; measured again where they draw it otherwise."""
        drawing = _drawing(settings, self.drawing.folder)
        if drawing != self.drawing:
            return Course(self.path, drawing, settings)
        self.ground  # noqa: B018  measured once, for both
        return self.with_settings(settings)

    @property
    def sources(self) -> tuple[Path, ...]:
        """Every file that it is read from, whether there is one of that name or not."""
        named: list[str | None] = [name for layer in self.drawing.layers for name in (layer.file, layer.visits)]
        said = self.settings
        if said is not None:
            named += [one.file for one in (said.photo, *said.reading, *said.catch) if one is not None]
            named += said.water.files if said.water else ()
            named += said.elevation.file if said.elevation else ()
        files = [self.drawing.folder / name for name in named if name is not None]
        tiles = [[Path(one) for one in sorted(glob(str(file)))] if has_magic(str(file)) else [file] for file in files]
        return (self.path, *(file for several in tiles for file in several))

    @property
    def name(self) -> str:
        """Title of the course."""
        return self.settings.name if self.settings else self.path.stem.replace("_", " ")

    @property
    def units(self) -> str:
        """How results are shown: ``metric`` or ``us``."""
        return self.settings.units if self.settings else "metric"

    def surveyed(self) -> str:
        """When it was surveyed, in words."""
        return survey_words(self.measured.patches["surveyed"].tolist())

    def accuracy_note(self) -> str:
        """One sentence on how far the areas may be out."""
        own = {self._accuracy(layer) for layer in self.drawing.layers if layer.role == "areas"}
        spans = f"{min(own) * 100:g} cm" if len(own) == 1 else f"{min(own) * 100:g} to {max(own) * 100:g} cm, by layer"
        return (
            f"Plus-minus is the half-width of the 95 % interval for an edge drawn in or out as a whole "
            f"(standard deviation {spans})."
        )

    def _accuracy(self, layer: LayerNote) -> float:
        if layer.vertex_accuracy_m is not None:
            return layer.vertex_accuracy_m
        return self.drawing.accuracy_m if layer.accuracy_m is None else layer.accuracy_m

    def needs_settings(self, what: str) -> CourseSettings:
        """The settings, or an error that says what needs them."""
        if self.settings is None:
            raise SettingsError(
                f"{self.path.name}: {what}. Write a {SETTINGS_FILE} with 'turfgis start FOLDER {self.path.name}' "
                "and give the folder instead"
            )
        return self.settings


def open_course(path: str | Path, *, crs: str | None = None, swap_axes: bool = False) -> Course:
    """
    Open a course folder, its settings file, or one vector file.

    Parameters
    ----------
    path
        Folder with a ``course.toml``, the ``course.toml``, or a vector file.
    crs, swap_axes
        For a vector file that does not say its reference system, or gives y before x.

    Returns
    -------
    The course; nothing is measured yet.

    Raises
    ------
    LayerError, SettingsError
        There is no such file, or its settings cannot be used.
    """
    path = Path(path)
    if path.is_dir() and (path / SETTINGS_FILE).exists():
        path = path / SETTINGS_FILE
    if path.suffix.lower() == ".toml":
        if crs is not None or swap_axes:
            raise SettingsError(
                f"{path.name}: a reference system and the order of coordinates belong to a layer of the settings here; "
                'write crs = "EPSG:..." or swap_axes = true below its [[layer]]'
            )
        return _with_settings(path)
    if path.is_dir() and not any(path.glob("*.shp")):
        raise SettingsError(f"{path}: no {SETTINGS_FILE} in this folder; write one with 'turfgis start {path} FILE...'")
    if not path.exists():
        raise LayerError(f"{path}: no such file or folder")
    return Course(path, plain_drawing(path, crs, swap_axes))


def _with_settings(path: Path) -> Course:
    from turfgis.settings import read_settings

    settings = read_settings(path)
    return Course(path, _drawing(settings, path.parent), settings)


def _drawing(settings: CourseSettings, folder: Path) -> Drawing:
    """What the settings say of what was drawn."""
    layers = tuple(
        LayerNote(
            file=layer.file,
            layer=layer.layer,
            role=layer.role,
            surface=layer.surface,
            surface_from=layer.surface_from,
            surfaces=layer.surfaces,
            hole_from=layer.hole_from,
            name_from=layer.name_from,
            label=layer.label,
            distance_m=layer.distance or 0.0,
            accuracy_m=layer.accuracy,
            edge_bias_m=layer.edge_bias,
            vertex_accuracy_m=layer.vertex_accuracy,
            surveyed=layer.surveyed.isoformat() if layer.surveyed else None,
            crs=layer.crs,
            swap_axes=layer.swap_axes,
            columns=layer.columns,
            column_units={str(name): unit for name, unit in layer.column_units.items()},
            level=layer.level,
            kind=layer.kind,
            kinds=layer.kinds,
            visits=layer.visits,
            visits_layer=layer.visits_layer,
        )
        for layer in settings.layer
    )
    return Drawing(
        folder=folder,
        layers=layers,
        strips=tuple(StripNote(strip.surface, strip.around, strip.width) for strip in settings.strip),
        accuracy_m=settings.accuracy,
        edge_bias_m=settings.edge_bias,
        order=tuple(pile_order({name: one.over or [] for name, one in settings.surface.items()})),
        cut_mm={name: one.cut * 1000 for name, one in settings.surface.items() if one.cut is not None},
    )


def survey_words(days: list) -> str:
    """
    Days of survey as a reader says them.

    Examples
    --------
    >>> survey_words(["2026-03-14", "2026-03-14"])
    '14 March 2026'
    >>> survey_words(["2026-03-14", None])
    '14 March 2026; for some areas not given'
    """
    given = sorted({str(day) for day in days if isinstance(day, str)})
    if not given:
        return "not given"
    first, last = (f"{day.day} {day:%B %Y}" for day in (date.fromisoformat(given[0]), date.fromisoformat(given[-1])))
    words = first if first == last else f"{first} to {last}"
    return words + ("" if all(isinstance(day, str) for day in days) else "; for some areas not given")


def members(course: Course, job: Job) -> np.ndarray:
    """
    Which patches a job is done on.

    Parameters
    ----------
    course, job
        The course, and one of the jobs of its settings.

    Returns
    -------
    Array of bool, one for each patch.

    Raises
    ------
    SettingsError
        The job names a hole or a patch that the course does not have.
    """
    place = tuple(tuple(one) if one is not None else None for one in (job.on, job.holes, job.patches))
    return course.ground.once(("members", place), lambda: _members(course, job))


def _members(course: Course, job: Job) -> np.ndarray:
    ground = course.ground
    chosen = ground.among(ground.surface, job.on)
    if job.holes is not None:
        holes = [hole_text(hole) for hole in job.holes]
        _all_there(course, job, "hole", holes, ground.hole.tolist())
        chosen &= ground.among(ground.hole, holes)
    if job.patches is not None:
        _all_there(course, job, "patch", job.patches, ground.patch.tolist())
        chosen &= ground.among(ground.patch, job.patches)
    return chosen


def _all_there(course: Course, job: Job, kind: str, named: list, column: list) -> None:
    there = list(dict.fromkeys(name for name in column if name is not None))
    for name in named:
        if name not in there:
            near = get_close_matches(str(name), there, n=1)
            listed = ", ".join(there) if len(there) <= 30 else "see 'turfgis areas --by " + kind + "'"
            raise SettingsError(
                f"{course.path.name}: job '{job.name}': no {kind} '{name}'"
                + (f"; did you mean '{near[0]}'?" if near else "")
                + f" (there are: {listed or 'none'})"
            )
