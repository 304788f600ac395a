"""
How each surface looks on the map and in its legend: one table for both.

Every surface has a tint and a pattern of its own, so that a reader who does not see red and green apart, or who has
only a black-and-white print, still tells neighbours apart. The darkest tint is kept for the green, the surface people
look for first; rough, which covers most of the ground, is nearly paper. The patterns are drawn in screen pixels, so
they look the same at every zoom.
"""

from dataclasses import dataclass

# The page lies below every tint.
PAPER = "#f4f1e8"


@dataclass(frozen=True)
class Fill:
    """
    How one surface is filled.

    Attributes
    ----------
    tint
        Colour of the ground.
    ink
        Colour of the pattern's marks and of the outline.
    pattern
        A key of :data:`PATTERNS`, or ``solid``.
    edge
        Width of the outline. [px]
    """

    tint: str
    ink: str
    pattern: str
    edge: float = 0.8


# Marks of one tile of a pattern: side of the tile [px] and what is drawn in it, stroked (or filled) with the ink.
PATTERNS: dict[str, tuple[int, str]] = {
    "upright": (5, '<path d="M2.5 0V5" stroke-width="1.1"/>'),
    "level": (6, '<path d="M0 3H6" stroke-width="0.9"/>'),
    "rising": (6, '<path d="M-1 7L7-1M-1 1L1-1M5 7L7 5" stroke-width="0.9"/>'),
    "falling": (7, '<path d="M-1-1L8 8M-1 6L1 8M6-1L8 1" stroke-width="0.8"/>'),
    "dots": (6, '<path d="M1.5 1.5h.01M4.5 4.5h.01" stroke-width="1.5" stroke-linecap="round"/>'),
    "waves": (12, '<path d="M0 4q3-3 6 0t6 0M-6 10q3-3 6 0t6 0 6 0" stroke-width="0.9"/>'),
    "crosses": (8, '<path d="M0 2h4M2 0v4M4 6h4M6 4v4" stroke-width="0.8"/>'),
    "tufts": (26, '<path d="M4 8l-2-4M5 8V3M6 8l2-4M17 21l-2-4M18 21v-5M19 21l2-4" stroke-width="0.8"/>'),
    "rings": (
        10,
        '<circle cx="3" cy="3" r="1.6" stroke-width="0.8"/><circle cx="8" cy="8" r="1.6" stroke-width="0.8"/>',
    ),
    "grid": (7, '<path d="M0 3.5H7M3.5 0V7" stroke-width="0.8"/>'),
    "chevrons": (9, '<path d="M0 6L4.5 2L9 6" stroke-width="0.9"/>'),
    "bricks": (10, '<path d="M0 2.5H10M0 7.5H10M2.5 2.5V7.5M7.5 0V2.5M7.5 7.5V10" stroke-width="0.7"/>'),
    "pairs": (9, '<path d="M2 0V9M4.5 0V9" stroke-width="0.9"/>'),
}

PALETTE: dict[str, Fill] = {
    "green": Fill("#1f5c4d", "#0d2f27", "solid", 1.2),
    "tee": Fill("#a4532c", "#f3dcc6", "upright", 1.0),
    "bunker": Fill("#f9e9b0", "#84671a", "dots", 1.0),
    "water": Fill("#7aaad4", "#245a8c", "waves"),
    "path": Fill("#8d877f", "#6f6a63", "solid", 0.6),
    "collar": Fill("#cbe07a", "#5c7a20", "crosses", 0.6),
    "approach": Fill("#5f9d74", "#255a3c", "rising"),
    "fairway": Fill("#97bd78", "#64894a", "solid"),
    "surround": Fill("#afd0c0", "#4d7f70", "falling", 0.6),
    "semi-rough": Fill("#dbcf9c", "#a2965a", "level", 0.6),
    "rough": Fill("#e8e6d4", "#a3a47f", "tufts", 0.6),
    "other": Fill("#cfccd1", "#7a7680", "rings", 0.6),
}

# Handed out in turn to surfaces of a club's own.
SPARE: tuple[Fill, ...] = (
    Fill("#c9a7b8", "#6b3f57", "chevrons", 0.6),
    Fill("#b9b1d6", "#544a86", "grid", 0.6),
    Fill("#d9b48f", "#7a4f26", "bricks", 0.6),
    Fill("#9fc3c9", "#2f626b", "pairs", 0.6),
)


def fills_for(surfaces: list[str]) -> dict[str, Fill]:
    """
    The look of each surface; those of the club's own take the spare ones in turn.

    Examples
    --------
    >>> fills_for(["green", "heather"])["heather"].pattern
    'chevrons'
    """
    own = [name for name in surfaces if name not in PALETTE]
    return {name: PALETTE.get(name) or SPARE[own.index(name) % len(SPARE)] for name in surfaces}


def pattern_defs(fills: list[Fill]) -> str:
    """The patterns as SVG, named ``fill-0``, ``fill-1`` ... in the order given; solid tints need none."""
    made = []
    for number, fill in enumerate(fills):
        if fill.pattern == "solid":
            continue
        side, marks = PATTERNS[fill.pattern]
        made.append(
            f'<pattern id="fill-{number}" width="{side}" height="{side}" patternUnits="userSpaceOnUse">'
            f'<rect width="{side}" height="{side}" fill="{fill.tint}"/>'
            f'<g fill="none" stroke="{fill.ink}">{marks}</g></pattern>'
        )
    return "".join(made)


def paint(number: int, fill: Fill) -> dict[str, str | float]:
    """The look of the surface at that place in the list given to :func:`pattern_defs`, as the page is told it."""
    told: dict[str, str | float] = {"tint": fill.tint, "ink": fill.ink, "edge": fill.edge}
    return told if fill.pattern == "solid" else told | {"pattern": f"fill-{number}"}
