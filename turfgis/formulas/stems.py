"""Stems of trees."""

import numpy as np

from turfgis.formulas.arguments import positive


def stem_diameter(girth):
    r"""
    Diameter of a stem from its girth.

    .. math:: g / \pi

    Parameters
    ----------
    girth
        Girth, as a tape around the stem reads. [m]

    Returns
    -------
    Diameter of a round stem of that girth. [m]

    Raises
    ------
    InputError
        The girth is not greater than zero.

    Notes
    -----
    A stem is measured at breast height, which is 1.3 m in much of Europe, 1.5 m in British practice with trees near
    buildings and 4.5 ft in North America (from memory); note which, and keep to it.

    Examples
    --------
    >>> print(f"{stem_diameter(1.57):.3f}")
    0.500
    """
    return positive("girth", girth, "m") / np.pi
