"""Measured areas, orders, mowing time and an area map from the drawn layers of a golf course."""

__version__ = "0.1.0"
