"""What lands where: a spreader or boom covers more than the ground it is meant for."""

from turfgis.errors import InputError
from turfgis.formulas.arguments import not_negative, positive


def true_rate(nominal_rate, net_area, treated_area):
    r"""
    Rate that really lands when material weighed out for the net area goes over the treated area.

    .. math:: r \, A_{net} / A_{treated}

    Parameters
    ----------
    nominal_rate
        Rate the material was weighed out for. [kg/m2]
    net_area
        Area the rate was meant for. [m2]
    treated_area
        Area really covered, overthrow included. [m2]

    Returns
    -------
    Rate on the ground covered. [kg/m2]

    Raises
    ------
    InputError
        The rate is below zero, an area is not greater than zero, or less is treated than is meant to be.

    Notes
    -----
    The mass is the same on both areas. An even spread is assumed; near the edge a spinner throws less.

    Examples
    --------
    11.5 kg of nitrogen meant for 1.0 ha but spread over 1.2 ha, in grams to the square metre:

    >>> print(f"{1000 * true_rate(0.00115, 10_000, 12_000):.2f}")
    0.96
    """
    rate = not_negative("nominal rate", nominal_rate, "kg/m2")
    net, treated = positive("net area", net_area, "m2"), positive("treated area", treated_area, "m2")
    # A strip clipped to nothing leaves both areas equal but for the last digits.
    if (treated < net * (1 - 1e-9)).any():
        raise InputError(
            "treated area is smaller than net area; give the area covered with its overthrow, and check that the two "
            "are in the same unit and order"
        )
    return rate * net / treated
