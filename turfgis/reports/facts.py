"""What every sheet says about the course it is for, and the few words that several sheets share."""

from dataclasses import dataclass

TON_NOTES = {
    "metric": "t is the tonne of 1,000 kg; it is neither the US ton nor the long ton.",
    "us": "US ton is the short ton of 2,000 lb (907.2 kg); it is neither the tonne (t) nor the long ton.",
}

# Nearest plain fraction for chances that "1 in n" does not say well. From 0.28 up; below, "1 in n" reads best.
_PLAIN = (
    (0.30, "3 in 10"),
    (0.33, "1 in 3"),
    (0.40, "2 in 5"),
    (0.50, "1 in 2"),
    (0.60, "3 in 5"),
    (0.67, "2 in 3"),
    (0.75, "3 in 4"),
    (0.80, "4 in 5"),
    (0.90, "9 in 10"),
    (0.95, "19 in 20"),
)


@dataclass(frozen=True)
class Facts:
    """
    The course, as the heads and feet of all sheets name it.

    Attributes
    ----------
    name
        Title of the course.
    units
        ``metric`` or ``us``.
    currency
        Three-letter code, or "".
    surveyed
        "14 March 2026", "different dates, oldest ..." or "not given".
    accuracy_note
        One sentence on how far the areas may be out.
    attribution
        What the owner of the data wants to be said, or "".
    cautions
        What belongs on every sheet of this course.
    """

    name: str
    units: str = "metric"
    currency: str = ""
    surveyed: str = "not given"
    accuracy_note: str = ""
    attribution: str = ""
    cautions: tuple[str, ...] = ()


def odds(chance: float) -> str:
    """
    A chance in words.

    Examples
    --------
    >>> odds(0.11), odds(0.026), odds(0.69)
    ('about 1 in 9', 'about 1 in 38', 'about 2 in 3')
    >>> odds(0.0002), odds(0.999)
    ('less than 1 in 1,000', 'almost certain')
    """
    if chance < 0.001:
        return "less than 1 in 1,000"
    if chance > 0.98:
        return "almost certain"
    if chance >= 0.28:
        return "about " + min(_PLAIN, key=lambda plain: abs(plain[0] - chance))[1]
    # Two figures are as much as such a chance is known to.
    return f"about 1 in {float(f'{round(1 / chance):.2g}'):,.0f}"


def percent(share: float) -> str:
    """
    A share in per cent, with a decimal only where it tells something.

    Examples
    --------
    >>> percent(0.104), percent(0.62), percent(0.00004)
    ('10.4 %', '62 %', '< 0.1 %')
    """
    if share < 0.001:
        return "< 0.1 %"
    return f"{share:.1%}".replace("%", " %") if share < 0.2 else f"{share:.0%}".replace("%", " %")


def whole_percent(share: float) -> str:
    """
    A part of a whole in per cent.

    Examples
    --------
    >>> whole_percent(0.244), whole_percent(0.002)
    ('24 %', '< 1 %')
    """
    return "< 1 %" if share < 0.005 else f"{100 * share:.0f} %"


def plain_words(key: str) -> str:
    """
    The key of a material or job as people write it.

    Examples
    --------
    >>> plain_words("dressing_sand")
    'dressing sand'
    """
    return key.replace("_", " ").strip()
