"""What a change is made of: features to be added to a layer, to be altered, to be taken out."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Created:
    """A feature to be added to a layer: its shape, in the reference system of the layer, and values of its columns."""

    layer: str
    shape: Any
    values: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Altered:
    """
    A feature to be changed.

    Attributes
    ----------
    layer, feature
        Which, by its number.
    fingerprint
        Of the feature as it was seen, from `Store.shapes`.
    shape
        Its new shape, in the reference system of the layer; None leaves it as it is.
    values
        Columns -> new values, None for empty; the others stay.
    """

    layer: str
    feature: int | str
    fingerprint: str
    shape: Any = None
    values: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Deleted:
    """A feature to be taken out of a layer, with the fingerprint of what was seen."""

    layer: str
    feature: int | str
    fingerprint: str


Edit = Created | Altered | Deleted
