"""
What is mown alike on wide ground: fairways and approaches.

Their colours drift over tens of metres by more than they differ from what lies beside them. So ground is told by what
it is nearer to: the two tones of the stripes, in colour and grain, or some kinds of what surely is something else in a
belt about it. Both are learned anew until nothing changes (the regions vie for pixels as in Zhu and Yuille 1996). What
comes of it is parted once more where the mower's stripes change their width, as between fairway and approach.
"""

from __future__ import annotations

import numpy as np
from scipy import ndimage
from skimage.filters import threshold_otsu
from skimage.segmentation import watershed

from turfgis.measure.tracing_grown import Alike
from turfgis.measure.tracing_masks import at_rim, far, filled, opened, part_at
from turfgis.measure.tracing_tones import LEAST_M2
from turfgis.measure.tracing_window import Window

SEED_M = 5.0  # radius of the ground round the point that is taken to be mown alike: stripes are as wide
CALM_M = 0.6  # smoothing of colours
GRAIN_M = (0.7, 1.5)  # what is finer than the one is grain, averaged over the other
BELT_M = (1.5, 12.0)  # what lies round it, from and to
NARROW_M = 2.5  # half of what is too narrow for a mower of fairways
SAY_M = 1.0  # how far neighbours have a say
KINDS = 6  # of ground round it
OTHER = 3.5  # standard deviations beyond which ground of the belt surely is not alike
MOST = 9.0  # square of standard deviations by which a pixel may be nearer
SURELY = 3.0  # and by which it is so surely
LEAST = np.array([1.1, 0.7, 0.9, 0.25], np.float32)  # least standard deviations of lightness, a*, b* and grain
STRIPES_M = (0.8, 1.6, 2.0, 4.0)  # smoothing that leaves stripes 2 m wide between the first two, 5 m between the others
ROUND_M = 4.5  # over which stripes are averaged
TWO_KINDS = 0.75  # log of by how much narrow stripes outweigh wide ones more in one part than in the other
EDGE_M = (1.0, 3.5)  # how far inside what was found its edge may lie, and how far outside
SETTLED = 0.01  # share of pixels that may still change
ROUNDS = 8
SAMPLES = 4000  # that tell the kinds of ground


def gather_mown(window: Window) -> Alike:
    """
    What is mown alike round the point of a window.

    Parameters
    ----------
    window
        The colours, in pixels of about a metre.
    """
    pixel, inside = window.pixel, window.inside
    calm = [ndimage.gaussian_filter(window.lab[..., i], CALM_M / pixel) for i in range(3)]
    looks = np.stack([*calm, _grain(window)], axis=-1).astype(np.float32)
    down, over = np.ogrid[: inside.shape[0], : inside.shape[1]]
    middle = window.middle
    region = ((down - middle[0]) ** 2 + (over - middle[1]) ** 2 <= (SEED_M / pixel) ** 2) & inside
    score = np.zeros(region.shape)
    for _ in range(ROUNDS):
        before, score = region, _nearer(looks, region, inside, pixel)
        region = _whole(score > 0, window)
        if region.sum() * pixel**2 < LEAST_M2 or at_rim(region):
            return Alike(region, False, (0.0, 0.0))
        if (before ^ region).sum() < SETTLED * region.sum():
            break
    areas = [float(_whole(score > level, window).sum() * pixel**2) for level in (SURELY, -SURELY)]
    alike = _same_stripes(window.lab[..., 0], region, window)
    if alike.sum() * pixel**2 < LEAST_M2:
        alike = region
    alike = _to_the_edge(np.stack(calm, axis=-1), alike, window)
    return Alike(alike, False, (min(areas[0], float(alike.sum() * pixel**2)), areas[1]))


def _to_the_edge(calm: np.ndarray, region: np.ndarray, window: Window) -> np.ndarray:
    """Up to the line where colours change most: along an edge the grain of both sides is taken for that of neither."""
    pixel = window.pixel
    marks = np.zeros(region.shape, np.int32)
    marks[far(region) * pixel > EDGE_M[0]], marks[far(~region) * pixel > EDGE_M[1]] = 1, 2
    slopes = [ndimage.gaussian_gradient_magnitude(calm[..., i], 0.5) / LEAST[i] for i in range(3)]
    found = watershed(np.sqrt(sum(slope**2 for slope in slopes)), marks) == 1
    found = _whole(found, window)
    return found if found.sum() * pixel**2 > LEAST_M2 and not at_rim(found) else region


def _same_stripes(light: np.ndarray, region: np.ndarray, window: Window) -> np.ndarray:
    """The part of a region whose stripes are as wide as those at the point; all of it where there is no telling."""
    pixel = window.pixel
    box = _box(region, 2)
    held, light = region[box].astype(np.float32), light[box]

    def even(values: np.ndarray, reach: float) -> np.ndarray:
        """Smoothed within the region alone."""
        weight = ndimage.gaussian_filter(held, reach / pixel)
        return ndimage.gaussian_filter(held * values, reach / pixel) / np.maximum(weight, 1e-6)

    bands = [even(light, reach) for reach in STRIPES_M]
    narrow, wide = (even((a - b) ** 2, ROUND_M) for a, b in ((bands[0], bands[1]), (bands[2], bands[3])))
    ratio = np.log((narrow + 0.02) / (wide + 0.02))
    known = ratio[region[box]]
    cut = float(threshold_otsu(known))
    above = known > cut
    apart = known[above].mean() - known[~above].mean()
    if apart < TWO_KINDS:
        return region
    side = ratio > cut
    row, column = window.middle[0] - box[0].start, window.middle[1] - box[1].start
    same = np.zeros_like(region)
    same[box] = region[box] & (side == side[row, column])
    return _whole(same, window)


def _box(region: np.ndarray, margin: int) -> tuple[slice, ...]:
    """Rows and columns of a region, with a margin."""
    ends = (np.flatnonzero(region.any(axis=axis)) for axis in (1, 0))
    return tuple(slice(max(int(at[0]) - margin, 0), int(at[-1]) + margin + 1) for at in ends)


def _grain(window: Window) -> np.ndarray:
    """How fine or coarse the grass looks: log of the variance of lightness below a metre, averaged."""
    light = window.lab[..., 0]
    rough = light - ndimage.gaussian_filter(light, GRAIN_M[0] / window.pixel)
    return np.log(ndimage.gaussian_filter(rough**2, GRAIN_M[1] / window.pixel) + 0.05)


def _nearer(looks: np.ndarray, region: np.ndarray, inside: np.ndarray, pixel: float) -> np.ndarray:
    """By how much pixels are nearer to a tone of the region than to what surely is not of it, neighbours averaged."""
    away = far(~region) * pixel
    core = (far(region) * pixel > SAY_M) & inside
    if core.sum() < 30:
        core = region
    known = looks[core]
    tones = _kinds(known, 2)
    which = ((known[:, None] - tones) ** 2 / known.var(axis=0)).sum(-1).argmin(1)
    inverse = np.linalg.inv(np.cov((known - tones[which]).T) + np.diag(LEAST**2))
    root = np.linalg.cholesky(inverse).astype(np.float32)
    white = looks @ root
    like = _nearest(white, tones @ root)
    belt = white[(away > BELT_M[0]) & (away < BELT_M[1]) & inside & (like > OTHER**2)]
    if len(belt) < 50:
        return np.where(inside, MOST - like, -MOST)
    unlike = _nearest(white, _kinds(belt, KINDS))
    score = np.where(inside, unlike - like, -99.0)
    return ndimage.gaussian_filter(np.clip(score, -MOST, MOST), SAY_M / pixel)


def _kinds(samples: np.ndarray, count: int) -> np.ndarray:
    """Means of some kinds of colours and grain (k-means, begun along the lightness)."""
    samples = samples[:: max(len(samples) // SAMPLES, 1)]
    parts = np.array_split(samples[np.argsort(samples[:, 0])], count)
    means = np.array([part.mean(axis=0) for part in parts])
    spread = samples.std(axis=0) + 1e-3
    for _ in range(6):
        nearest = (((samples[:, None] - means) / spread) ** 2).sum(-1).argmin(1)
        means = np.array(
            [samples[nearest == i].mean(axis=0) if (nearest == i).any() else means[i] for i in range(count)]
        )
    return means.astype(np.float32)


def _nearest(white: np.ndarray, means: np.ndarray) -> np.ndarray:
    """Square of the distance to the nearest mean."""
    return np.minimum.reduce([((white - mean) ** 2).sum(-1) for mean in means])


def _whole(mask: np.ndarray, window: Window) -> np.ndarray:
    """What of a mask is connected to the point, wide enough to be mown, without holes."""
    pixel = window.pixel
    return filled(part_at(opened(mask & window.inside, NARROW_M / pixel), window.middle, max(round(2.0 / pixel), 1)))
