"""What the trade calls its surfaces, and which of two keeps the ground where both are drawn."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from turfgis.errors import InputError


@dataclass(frozen=True)
class Surface:
    """
    A kind of ground on a golf course.

    Attributes
    ----------
    name
        As written in the settings, in tables and in patch names.
    plural
        As shown to people.
    mown
        Whether it is turf that is cut.
    cut_mm
        Usual height of cut, lowest and highest. [mm] Common practice, no source; the club's own setting goes first.
    """

    name: str
    plural: str
    mown: bool
    cut_mm: tuple[float, float] | None = None


# From the top of the pile down: a green has the ground where a fairway was drawn beneath it.
SURFACES: dict[str, Surface] = {
    surface.name: surface
    for surface in (
        Surface("green", "greens", True, (3.5, 5.0)),
        Surface("tee", "tees", True, (10.0, 12.0)),
        Surface("bunker", "bunkers", False),
        Surface("water", "water", False),
        Surface("path", "paths", False),
        Surface("collar", "collars", True, (12.0, 12.0)),
        Surface("approach", "approaches", True, (12.0, 12.0)),
        Surface("fairway", "fairways", True),
        Surface("surround", "surrounds", True, (25.0, 25.0)),
        Surface("semi-rough", "semi-rough", True),
        Surface("rough", "rough", True),
        Surface("other", "other", False),
    )
}


def pile_order(own: Mapping[str, Sequence[str]] | None = None) -> list[str]:
    """
    Names of all surfaces, the one that keeps the ground first.

    Parameters
    ----------
    own
        Surfaces of the club's own and known ones to be moved: name -> the surfaces it lies over. In which order they
        are named does not matter.

    Returns
    -------
    Names from top to bottom. A surface goes directly above the topmost one it lists; a known one that lies above them
    already stays where it is. One of the club's own with an empty list goes above ``other``, at the bottom.

    Raises
    ------
    InputError
        Surfaces lie over each other in a circle.

    Examples
    --------
    >>> pile_order({"heather": ["rough"]})[-4:]
    ['semi-rough', 'heather', 'rough', 'other']
    """
    own = own or {}
    order = list(SURFACES)
    for name in _lowest_first(own):
        below = [order.index(other) for other in own[name] if other in order]
        if name not in order:
            order.insert(min(below, default=order.index("other")), name)
        elif below and order.index(name) > min(below):
            order.remove(name)
            order.insert(min(below), name)
    return order


def _lowest_first(own: Mapping[str, Sequence[str]]) -> list[str]:
    """Each name behind all those it lies over, so that none of them moves up once it has its place."""
    try:
        placed = TopologicalSorter({name: list(over) for name, over in own.items()}).static_order()
        return [name for name in placed if name in own]
    except CycleError as error:
        circle = " over ".join(reversed(error.args[1]))
        raise InputError(
            f"surfaces lie over each other in a circle: {circle}; take one of them out of 'over'"
        ) from None
