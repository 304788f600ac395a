"""Where the eighteen holes of Quillhaven Links run: the plan every other shape of the demo course is drawn from."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from curves import smooth
from shapely import LineString
from shapely.ops import substring

# Back tee, turning points, middle of the green, in metres on the drawing board: x to the right, y up the sheet.
# Eight corridors side by side, some 60 m from centre line to centre line, walked out and back in two loops from the
# clubhouse at the head of the sheet, with the practice ground between them.
PLAN: dict[int, tuple[int, list[tuple[float, float]]]] = {
    1: (4, [(588, 500), (512, 345), (335, 195)]),
    2: (3, [(306, 224), (229, 362)]),
    3: (4, [(190, 406), (355, 380), (486, 446)]),
    4: (4, [(528, 490), (350, 462), (190, 453)]),
    5: (5, [(140, 408), (172, 285), (288, 142), (450, 72)]),
    6: (3, [(462, 116), (608, 22)]),
    7: (4, [(556, -14), (398, 12), (200, 100)]),
    8: (4, [(160, 142), (84, 306), (116, 482)]),
    9: (4, [(150, 518), (338, 562), (578, 548)]),
    10: (4, [(622, 528), (850, 517), (1004, 478)]),
    11: (4, [(1014, 428), (1027, 270), (994, 60)]),
    12: (3, [(948, 32), (795, 2)]),
    13: (4, [(752, 2), (668, 64), (460, 170)]),
    14: (5, [(428, 224), (620, 170), (780, 92), (905, 84)]),
    15: (4, [(948, 84), (957, 300), (938, 424)]),
    16: (3, [(903, 450), (760, 453)]),
    17: (4, [(720, 440), (790, 336), (886, 204)]),
    18: (5, [(918, 130), (778, 200), (740, 290), (656, 472)]),
}
# The practice ground: from the middle of the tee line to the far end of the mown ground.
PRACTICE = [(612, 438), (606, 330), (614, 226)]
PRACTICE_GREEN = (694, 578)
CLUBHOUSE = (604, 596)


@dataclass(frozen=True)
class Hole:
    """One hole: its number, its par, and the straight legs a player is expected to play."""

    number: int
    par: int
    legs: tuple[tuple[float, float], ...]

    @cached_property
    def line(self) -> LineString:
        """Back tee to the middle of the green in straight legs, as a scorecard measures it."""
        return LineString(self.legs)

    @cached_property
    def curve(self) -> LineString:
        """The same way with its corners rounded: mown edges turn slowly."""
        return LineString(smooth(np.array(self.legs, float), closed=False, rounds=5))

    def spot(self, distance: float, aside: float = 0.0) -> tuple[np.ndarray, float]:
        """Point so far from the back tee and so far to the left of the line, and the bearing of play there. [rad]"""
        ends = substring(self.curve, max(distance - 4, 0), min(distance + 4, self.curve.length))
        (x0, y0), (x1, y1) = ends.coords[0], ends.coords[-1]
        bearing = float(np.arctan2(y1 - y0, x1 - x0))
        point = np.array(self.curve.interpolate(distance).coords[0])
        return point + aside * np.array([-np.sin(bearing), np.cos(bearing)]), bearing


HOLES = {number: Hole(number, par, tuple(legs)) for number, (par, legs) in PLAN.items()}
RANGE = Hole(0, 0, tuple(PRACTICE))
