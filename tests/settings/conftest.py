"""What the checks of the settings share."""

import pytest

from turfgis.settings import read_settings


@pytest.fixture
def read(tmp_path):
    """Write a settings file and read it."""

    def reading(text):
        file = tmp_path / "course.toml"
        file.write_bytes(text.encode("utf-8") if isinstance(text, str) else text)
        return read_settings(file)

    return reading
