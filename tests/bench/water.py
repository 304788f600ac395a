"""Ten years of the root zone of 300 patches, day by day, beside the same in a plain loop over patches and days."""

from collections.abc import Callable, Iterator

import numpy as np

from turfgis.formulas.water_balance import water_balance

DAYS, PATCHES = 3652, 300
Row = tuple[str, Callable[[], object], Callable[[], object], float, str]


def ten_years() -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Use and rain of each day and patch [m]; available and ready water of each patch [m]."""
    rng = np.random.default_rng(4)
    season = 1 - np.cos(2 * np.pi * np.arange(DAYS) / 365.25)
    use = np.outer(season * rng.uniform(0.0, 0.0025, DAYS), rng.uniform(0.6, 1.0, PATCHES))
    rain = np.outer(rng.exponential(0.005, DAYS) * (rng.random(DAYS) < 0.4), rng.uniform(0.6, 1.0, PATCHES))
    total = rng.uniform(0.010, 0.040, PATCHES)
    return use, rain, total, total * 0.5


def by_loop(use: np.ndarray, rain: np.ndarray, total: np.ndarray, ready: np.ndarray) -> float:
    """Water given in all. [m]"""
    given = 0.0
    for own_use, own_rain, whole, held in zip(
        use.T.tolist(), rain.T.tolist(), total.tolist(), ready.tolist(), strict=True
    ):
        deficit = 0.0
        for drawn, fell in zip(own_use, own_rain, strict=True):
            deficit = max(deficit - fell, 0.0)
            deficit += min(drawn * min((whole - deficit) / (whole - held), 1.0), whole - deficit)
            if deficit >= held - 1e-12:
                given += deficit
                deficit = 0.0
    return given


def rows() -> Iterator[Row]:
    """What is raced: name, ours, the other way, the ratio wanted, and how far both agree."""
    figures = ten_years()
    apart = abs(water_balance(*figures).applied.sum() / by_loop(*figures) - 1)
    yield (
        f"daily balance, {PATCHES} patches, ten years",
        lambda: water_balance(*figures),
        lambda: by_loop(*figures),
        0.5,
        f"wanted under 1,000 ms; water given agrees to {apart:.0e}",
    )
