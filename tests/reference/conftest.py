"""What the checks against printed figures share."""

from decimal import Decimal

import pytest


@pytest.fixture(scope="session")
def as_printed():
    """Turn a figure, typed as it was printed, into what equals it to half of its last digit ("5e4" is a round one)."""

    def expected(text):
        figure = Decimal(text)
        half = 0.5 * 10.0 ** int(figure.as_tuple().exponent)
        return pytest.approx(float(figure), abs=half * (1 + 1e-9), rel=0)

    return expected
