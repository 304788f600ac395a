"""What the trade calls its surfaces, and which of two keeps the ground where both are drawn."""

from dataclasses import dataclass


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


def pile_order(own: dict[str, list[str]] | None = None) -> list[str]:
    """
    Names of all surfaces, the one that keeps the ground first.

    Parameters
    ----------
    own
        Surfaces of the club's own and known ones to be moved: name -> the surfaces it lies over.

    Returns
    -------
    Names from top to bottom. A surface with an ``over`` list goes directly above the topmost one it lists; one of the
    club's own with an empty list goes above ``other``, at the bottom.

    Examples
    --------
    >>> pile_order({"heather": ["rough"]})[-4:]
    ['semi-rough', 'heather', 'rough', 'other']
    """
    order = list(SURFACES)
    for name, over in (own or {}).items():
        below = [other for other in over if other in order and other != name]
        if name in order:
            if not below:
                continue
            order.remove(name)
        order.insert(min(order.index(other) for other in below or ["other"]), name)
    return order
