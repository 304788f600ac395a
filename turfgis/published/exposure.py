"""Values for the exposure of a day at which European law asks an employer to act, and those not to be gone past."""

from dataclasses import dataclass


@dataclass(frozen=True)
class DayValues:
    """
    Exposure values for eight hours.

    Attributes
    ----------
    what
        What reaches the person.
    unit
        Of the values.
    action
        From these on the employer must act, the lowest first.
    limit
        Not to be exceeded.
    source
        Key in :data:`turfgis.sources.SOURCES`.
    """

    what: str
    unit: str
    action: tuple[float, ...]
    limit: float
    source: str


DAY_VALUES = {
    # article 3(1): hand-arm vibration
    "hand_arm": DayValues("vibration of hands and arms, A(8)", "m/s2", (2.5,), 5.0, "eu-2002-44"),
    # article 3(1): upper and lower action values, limit value; the limit counts hearing protection, the others do not
    "noise": DayValues("noise, LEX,8h", "dB(A)", (80.0, 85.0), 87.0, "eu-2003-10"),
}


def standing(kind: str, value: float) -> str:
    """
    Where a day's exposure stands among the values, in words.

    Examples
    --------
    >>> standing("hand_arm", 2.6), standing("noise", 79.0)
    ('at or above the action value of 2.5 m/s2', 'below the lower action value of 80 dB(A)')
    """
    values = DAY_VALUES[kind]
    if value > values.limit:
        return f"above the limit value of {values.limit:g} {values.unit}"
    lowest, highest = min(values.action), max(values.action)
    lower, upper = ("lower ", "upper ") if highest > lowest else ("", "")
    if value >= highest:
        return f"at or above the {upper}action value of {highest:g} {values.unit}"
    if value >= lowest:
        return f"at or above the {lower}action value of {lowest:g} {values.unit}"
    return f"below the {lower}action value of {lowest:g} {values.unit}"
