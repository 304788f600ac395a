"""The course that lies on the desk: opened once, and anew when one of its files has changed."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from turfgis.errors import LayerError, TurfgisError

if TYPE_CHECKING:
    from turfgis.desk.paper import Paper
    from turfgis.estimates.budget import Budget
    from turfgis.estimates.course import Course
    from turfgis.estimates.takeoff import Takeoff

Made = TypeVar("Made")
SETTINGS_FILE = "course.toml"
FIRST_PAGE_S = 3.0  # how long the year waits for a page for drawing that is being opened


class Desk:
    """
    What all pages are about.

    Parameters
    ----------
    folder
        The course folder; files are read from it and written to it, and to nothing outside.
    who
        Who changes areas, as the dated versions tell.

    Attributes
    ----------
    lock
        Held while the course is opened, and by whoever changes one of its files.
    paper
        The drawing in hand, once it was asked for; see `turfgis.desk.paper`.
    drawing_told
        Set when the page for drawing was first told what is on it.
    """

    def __init__(self, folder: Path, who: str = "") -> None:
        self.folder, self.who = folder.resolve(), who
        self.lock = threading.RLock()
        self.paper: Paper | None = None
        self.drawing_told = threading.Event()
        self._course: Course | None = None
        self._seen: tuple[Any, ...] = ()
        self._kept: dict[Any, Any] = {}
        self._making: dict[Any, threading.Lock] = {}
        self._making_of = ThreadPoolExecutor(2, "desk")

    @property
    def is_empty(self) -> bool:
        """Whether there is no course in the folder yet."""
        return not (self.folder / SETTINGS_FILE).exists()

    @property
    def course(self) -> Course:
        """
        The course as its files are now.

        Raises
        ------
        LayerError, SettingsError
            The files cannot be used as they are now.
        """
        from turfgis.estimates.course import open_course

        with self.lock:
            if self.is_empty:
                raise LayerError(f"there is no {SETTINGS_FILE} in the folder yet; begin with the files of the drawing")
            if self._course is None or self._files() != self._seen:
                self._course, self._kept = None, {}
                self._course = open_course(self.folder)
                with suppress(TurfgisError, OSError):  # whoever asks for the areas is told what is wrong with them
                    self._course.measured  # noqa: B018  by one thread, while all others wait for it
                self._seen = self._files()
            return self._course

    @property
    def stamp(self) -> tuple[Any, ...]:
        """Another one whenever a file of the course was written."""
        with self.lock:
            return self._files()

    def kept(self, name: Any, make: Callable[[Course], Made]) -> Made:
        """Something that follows from the course, made once for as long as its files stay as they are."""
        with self.lock:
            course, kept = self.course, self._kept
            making = self._making.setdefault(name, threading.Lock())
        with making:  # two who ask for one thing wait for each other; all others go on
            if name not in kept:
                begun = kept.get(("soon", name))
                kept[name] = begun.result() if begun is not None else make(course)
            return kept[name]

    def soon(self, name: Any, make: Callable[[Course], Made], wait_s: float = 1.5) -> Made | None:
        """
        As :meth:`kept`, for what takes long: None while it is still being made, so that a page can say so.

        Raises
        ------
        TurfgisError
            It cannot be made.
        """
        with self.lock:
            course, kept = self.course, self._kept
            if name not in kept and ("soon", name) not in kept:
                kept["soon", name] = self._making_of.submit(make, course)
        if name in kept:
            return kept[name]
        with suppress(TimeoutError):
            kept[name] = kept["soon", name].result(wait_s)
        return kept.get(name)

    @property
    def year(self) -> Takeoff | None:
        """The take-off of the year; None where the settings have no jobs."""
        from turfgis.estimates.takeoff import takeoff_of

        return self.kept("year", takeoff_of)

    @property
    def budget(self) -> Budget | None:
        """What the year costs; None where the settings have no jobs."""
        from turfgis.estimates.budget import estimate_budget

        return self.kept("budget", lambda _course: estimate_budget(self.year) if self.year else None)

    def warm(self) -> None:
        """
        Measure the course ahead of the first page, and estimate its year after it, so that it need not wait.

        Raises
        ------
        TurfgisError
            The course cannot be measured as its files are now.
        """
        if self.is_empty:
            return
        with suppress(OSError):
            self.course.measured  # noqa: B018
        with suppress(TurfgisError, OSError):  # what is wrong, a page will tell
            self.drawing_told.wait(FIRST_PAGE_S)
            self.course.relief  # noqa: B018
            self.budget  # noqa: B018

    def _files(self) -> tuple[Any, ...]:
        """When each file of the course was last written, and its size."""
        named = {self.folder / SETTINGS_FILE}
        if self._course is not None:  # a shapefile, or a picture with a world file, has parts beside it
            named |= {part for file in self._course.sources for part in (file, *file.parent.glob(f"{file.stem}.*"))}
        return tuple(sorted((str(file), *_stamp(file)) for file in named))


def _stamp(file: Path) -> tuple[int, int]:
    try:
        found = os.stat(file)
    except OSError:
        return (0, -1)
    return (found.st_mtime_ns, found.st_size)
