"""The settings file ``course.toml`` as frozen models."""

from turfgis.settings.models import CourseSettings
from turfgis.settings.read import read_settings

__all__ = ["CourseSettings", "read_settings"]
