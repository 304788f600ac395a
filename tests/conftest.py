"""What several tests share."""

from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]


@pytest.fixture(scope="session")
def open_data() -> Path:
    """Folder of real open data beside the checkout; each part of it carries its own licence."""
    folder = ROOT.parent / "shared" / "data"
    if not folder.is_dir():
        pytest.skip("no folder shared/data with open data beside this checkout")
    return folder
