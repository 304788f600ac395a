"""What ``[[layer]]`` may say of places that need watching."""

from typing import Annotated, Any

from pydantic import BeforeValidator

from turfgis.errors import InputError
from turfgis.layers.place_words import KINDS, read_kind
from turfgis.layers.records import near


def _kind(value: Any) -> Any:
    kind = read_kind(value) if isinstance(value, str) else None
    if kind is None:
        raise InputError(f"'{value}' is no kind of place{near(str(value), KINDS)} (known: {', '.join(KINDS)})")
    return kind


PlaceKind = Annotated[str, BeforeValidator(_kind)]
