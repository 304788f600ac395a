"""
What is mown alike round a point where what lies beside it looks nearly the same: tees and the like.

Their own tones (both of wide stripes, too) tell what surely belongs to them, and what surely does not; between the two
the edge is laid along the steepest line (watershed of the gradient of colours, as in Vincent and Soille 1991). How
strict to be about tones is told by the contrast across the edge that comes of it. Where several are as good and differ
in what they hold, the ground is said to be unsure.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import ndimage
from skimage.segmentation import watershed

from turfgis.measure.tracing_masks import at_rim, closed, far, filled, largest, opened, part_at
from turfgis.measure.tracing_tones import FLOOR, LEAST_M2, Tone, nearest, seed, shade_of, tones_of
from turfgis.measure.tracing_window import Window

COARSE_M = 0.28  # pixels for looking which ground is alike; its edge is looked at in finer ones
QUIET = 2.0  # noise of lightness in pixels that this suits; noisier photos are smoothed more
CALM_M = 0.3  # standard deviation of the smoothing before
LIKE = (1.9, 2.4, 2.9, 3.5)  # standard deviations of colour within which ground is surely alike, tried in turn
OTHER = (2.7, 4.4)  # and those beyond which it surely is not
REST_M = 6.0  # farther from what is surely alike nothing belongs to it
CONTRAST_M = 0.8  # how far to both sides of an edge its contrast is looked for
MOST_CONTRAST = 4.5  # an edge is an edge: what is sharper, as of sand, counts no more than this many
EDGE_CONTRAST = 2.8  # and one that is weaker in the mean is none
BETTER = 1.2  # by which the contrast must grow for more ground to be taken
STRIP_M = 0.5  # how far the edge is moved in finer pixels
AS_GOOD = 0.8  # of the best contrast: edges with so much are as good
ONE_TONE = 3.0  # lightness by which two tones differ where they are those of stripes
STRIPE_M = 3.6  # half of the widest stripe
GROWN = 1.3  # ground that grew by more towards its edge is not learned from


@dataclass(frozen=True)
class Alike:
    """
    Ground that is alike.

    Attributes
    ----------
    region
        Its pixels in the window.
    shaded
        Whether some of them lie in shade.
    unsure
        Least and most ground that edges of like contrast would hold. [m2]
    """

    region: np.ndarray
    shaded: bool
    unsure: tuple[float, float]


def gather_grown(window: Window) -> Alike:
    """
    What is alike and connected round the point of a window, up to its edge.

    Parameters
    ----------
    window
        The colours.
    """
    found = _Gatherer(window)
    region, shaded = found.gather()
    areas = [area for area, contrast in found.tried if contrast > AS_GOOD * found.height]
    if found.step > 1 and region.any() and not at_rim(region):
        return Alike(found.finely(region), shaded, (min(areas), max(areas)))
    return Alike(
        region if found.step == 1 else found.as_it_is(region),
        shaded,
        (min(areas, default=0.0), max(areas, default=0.0)),
    )


class _Gatherer:
    """Ground round a point in coarse pixels."""

    def __init__(self, window: Window) -> None:
        lab, inside, pixel, middle = window.lab, window.inside, window.pixel, window.middle
        self.window, self.tried, self.height = window, [], 0.0
        self.step = max(int(COARSE_M / pixel + 0.01), 1)
        self.first = middle[0] % self.step, middle[1] % self.step
        rough = lab[..., 0] - ndimage.gaussian_filter(lab[..., 0], CALM_M / pixel)
        noise = float(1.4826 * np.median(np.abs(rough)))
        calm_m = CALM_M * float(np.clip(noise / QUIET, 1.0, 1.7))
        calm = np.stack([ndimage.gaussian_filter(lab[..., i], calm_m / pixel) for i in range(3)], axis=-1)
        thin = tuple(slice(first, None, self.step) for first in self.first)
        self.calm, self.inside, self.pixel = calm[thin], inside[thin], pixel * self.step
        self.middle = middle[0] // self.step, middle[1] // self.step
        self.steep = np.sqrt(
            sum(ndimage.gaussian_gradient_magnitude(self.calm[..., i], 0.5) ** 2 / FLOOR[i] ** 2 for i in range(3))
        )

    def gather(self) -> tuple[np.ndarray, bool]:
        """What is alike round the middle, in coarse pixels, and whether some of it lies in shade."""
        core = seed(self.inside.shape, self.middle, self.pixel) & self.inside
        other: list[Tone] = []
        for _ in range(2):  # the first look knows the colours of a few square metres only
            tones = tones_of(self.calm[core])
            if not other and np.ptp([tone.mean[0] for tone in tones]) < ONE_TONE:
                other = self.companion(tones)
            tones = tones + other
            unlike = nearest(self.calm, self.inside, tones)
            sure, region = self.edged(unlike, tones)
            core = far(region if region.sum() < GROWN * sure.sum() else sure) * self.pixel > 0.6
            if core.sum() * self.pixel**2 < LEAST_M2 or at_rim(region):
                break
        shade = shade_of(self.calm, self.inside, region, self.pixel)
        if shade is not None:
            sunny = np.median(self.calm[region], axis=0)
            shaded = [tone.shaded(sunny, shade) for tone in tones_of(self.calm[region])]
            wider = np.minimum(unlike, nearest(self.calm, self.inside, shaded))
            found = self.whole(region | (wider < 3.9), closing=1.1)
            if found.sum() > 1.02 * region.sum() and not at_rim(found):
                return found, True
        return region, False

    def whole(self, near: np.ndarray, closing: float = 0.0) -> np.ndarray:
        """What of some pixels is connected to the middle, without narrow bridges and holes."""
        if closing:  # the edge of a shadow is neither in the sun nor in the shade
            near = closed(opened(near, 0.3 / self.pixel), closing / self.pixel)
        return filled(part_at(opened(near, 0.8 / self.pixel), self.middle, max(round(0.5 / self.pixel), 1)))

    def companion(self, tones: list[Tone]) -> list[Tone]:
        """The other tone of stripes wider than the first look: what lies between two stripes of the first."""
        unlike = nearest(self.calm, self.inside, tones)
        same = opened(unlike < 2.4, 0.6 / self.pixel)
        wide = part_at(closed(same, STRIPE_M / self.pixel), self.middle, max(round(0.5 / self.pixel), 1))
        gaps = opened(wide & (unlike > 2.4) & self.inside, 0.9 / self.pixel)
        if not gaps.any() or gaps.sum() < 0.2 * wide.sum():
            return []
        mean, between = np.mean([tone.mean for tone in tones], axis=0), self.calm[gaps]
        ratio = between[:, 0] / mean[0]
        turn = np.abs(np.arctan2(between[:, 2], between[:, 1]) - np.arctan2(mean[2], mean[1]))
        stripe = (ratio > 0.8) & (ratio < 1.25) & (turn < 0.2)
        if stripe.mean() < 0.5 or stripe.sum() < 40:
            return []
        between = between[stripe]
        middle = np.median(between, axis=0)
        reach = np.maximum(1.4826 * np.median(np.abs(between - middle), axis=0), FLOOR)
        return [Tone.of(between[(np.abs(between - middle) < 2.5 * reach).all(axis=1)])]

    def edged(self, unlike: np.ndarray, tones: list[Tone]) -> tuple[np.ndarray, np.ndarray]:
        """What is surely alike, and grown to its edge: as strict as shows the edge best."""
        smooth = ndimage.gaussian_filter(np.minimum(unlike, 8.0), 0.25 / self.pixel)
        spread = np.sqrt(np.mean([np.diag(np.linalg.inv(tone.inverse)) for tone in tones], axis=0))
        nothing = np.zeros(self.inside.shape, bool)
        sure, grown, height = nothing, nothing, 0.0
        self.tried = []
        for like in LIKE:
            core = self.whole(smooth < like)
            if core.sum() * self.pixel**2 < LEAST_M2:
                continue
            found = core if at_rim(core) else self.whole(self.to_the_edge(core, smooth))
            if at_rim(found):
                return (sure, grown) if height > EDGE_CONTRAST and like > LIKE[1] else (core, found)
            contrast = self.contrast(found, spread) if found.any() else 0.0
            self.tried.append((float(found.sum() * self.pixel**2), contrast))
            if contrast > (BETTER if height > EDGE_CONTRAST else 1.0) * height:
                sure, grown, height = core, found, contrast
                self.height = height
        return sure, grown

    def to_the_edge(self, sure: np.ndarray, smooth: np.ndarray) -> np.ndarray:
        """Ground that is surely alike, grown up to the steepest line before what surely is not."""
        away = far(~sure) * self.pixel
        ring = smooth[(away > 1.0) & (away < 2.5)]
        other = smooth > (np.clip(0.75 * np.median(ring), *OTHER) if len(ring) else OTHER[0])
        marks = np.zeros(sure.shape, np.int32)
        marks[opened(other, 0.3 / self.pixel) & ~sure] = 2
        marks[away > REST_M] = 2
        marks[far(sure) * self.pixel > 0.3] = 1
        return watershed(self.steep, marks) == 1

    def contrast(self, region: np.ndarray, spread: np.ndarray) -> float:
        """How colours differ across the edge of a region, on the average of all its length. [standard deviations]"""
        rows, columns = (np.flatnonzero(region.any(axis=axis)) for axis in (1, 0))
        margin = int(3 * CONTRAST_M / self.pixel)
        box = tuple(slice(max(at[0] - margin, 0), at[-1] + margin + 1) for at in (rows, columns))
        region, calm, there = region[box], self.calm[box], self.inside[box]
        rim = region & (far(region) <= 1.0)
        means = []
        for side in (region & there, ~region & there):
            parts = [side.astype(np.float32), *(side * calm[..., i] for i in range(3))]
            near = [ndimage.gaussian_filter(part, CONTRAST_M / self.pixel, truncate=2)[rim] for part in parts]
            means.append(np.stack(near[1:], axis=-1) / np.maximum(near[0], 1e-6)[:, None])
        across = np.sqrt((((means[1] - means[0]) / spread) ** 2).sum(axis=-1))
        return float(np.minimum(across, MOST_CONTRAST).mean())

    def as_it_is(self, coarse: np.ndarray) -> np.ndarray:
        """Coarse pixels in those of the window."""
        rows, columns = (
            np.clip(np.round((np.arange(count) - first) / self.step).astype(int), 0, size - 1)
            for count, first, size in zip(self.window.inside.shape, self.first, coarse.shape, strict=True)
        )
        return coarse[np.ix_(rows, columns)]

    def finely(self, coarse: np.ndarray) -> np.ndarray:
        """Coarse pixels in those of the window, up to the line where its colours change most."""
        pixel, region = self.window.pixel, self.as_it_is(coarse)
        marks = np.zeros(region.shape, np.int32)
        marks[far(region) * pixel > STRIP_M], marks[far(~region) * pixel > STRIP_M] = 1, 2
        if not (marks == 1).any():
            return region
        slopes = [ndimage.gaussian_gradient_magnitude(self.window.lab[..., i], CALM_M / pixel) for i in range(3)]
        steep = np.sqrt(sum((slope / least) ** 2 for slope, least in zip(slopes, FLOOR, strict=True)))
        return filled(largest(opened(watershed(steep, marks) == 1, 0.6 / pixel)))
