"""The tones of grass that is mown alike: those of the mower's stripes, and those of shade."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import ndimage

from turfgis.measure.tracing_masks import far

FLOOR = np.array([1.1, 0.7, 0.9])  # least standard deviation of lightness, green to red, blue to yellow
LEAST_M2 = 8.0  # what is alike round the point must be at least so large
SEED_M = 1.6  # radius of the ground round the point that is taken to be mown alike
SHADE = (0.25, 0.7)  # lightness of shaded grass against that in the sun


@dataclass(frozen=True)
class Tone:
    """A colour and how it spreads."""

    mean: np.ndarray
    inverse: np.ndarray

    @classmethod
    def of(cls, samples: np.ndarray) -> Tone:
        """From colours most of which are grass of one kind."""
        return cls(samples.mean(axis=0), np.linalg.inv(np.cov(samples.T) + np.diag(FLOOR**2)))

    def unlike(self, lab: np.ndarray) -> np.ndarray:
        """How many standard deviations each colour lies from this one."""
        off = lab - self.mean.astype(np.float32)
        return np.sqrt(np.einsum("...i,ij,...j", off, self.inverse.astype(np.float32), off, optimize=True))

    def shaded(self, sunny: np.ndarray, shade: np.ndarray) -> Tone:
        """The same tone in shade: it moves with the grass, and its differences shrink alike."""
        left = shade[0] / sunny[0]
        return Tone(shade + (self.mean - sunny) * left, self.inverse / left)


def tones_of(samples: np.ndarray) -> list[Tone]:
    """The two tones of a mower's stripes, which are one tone twice where there are none."""
    middle = np.median(samples, axis=0)
    reach = np.maximum(1.4826 * np.median(np.abs(samples - middle), axis=0), FLOOR)
    samples = samples[(np.abs(samples - middle) < 3.5 * reach).all(axis=1)]
    light = samples[:, 0] > np.median(samples[:, 0])
    for _ in range(4):  # two means, which settle at once
        if min(light.sum(), (~light).sum()) < 20:
            return [Tone.of(samples)]
        means = np.array([samples[~light].mean(axis=0), samples[light].mean(axis=0)])
        light = np.subtract(*(((samples - mean) ** 2).sum(axis=1) for mean in means)) > 0
    return [Tone.of(samples[~light]), Tone.of(samples[light])] if 0 < light.mean() < 1 else [Tone.of(samples)]


def nearest(calm: np.ndarray, inside: np.ndarray, tones: list[Tone]) -> np.ndarray:
    """How far each pixel is from the nearest of some tones, in standard deviations."""
    unlike = np.minimum.reduce([tone.unlike(calm) for tone in tones])
    return np.where(inside, np.minimum(unlike, 99.0), 99.0)


def seed(shape: tuple[int, ...], middle: tuple[int, int], pixel: float) -> np.ndarray:
    """The ground round the point that is taken to be mown alike."""
    down, over = np.ogrid[: shape[0], : shape[1]]
    return (down - middle[0]) ** 2 + (over - middle[1]) ** 2 <= (SEED_M / pixel) ** 2


def shade_of(calm: np.ndarray, inside: np.ndarray, region: np.ndarray, pixel: float) -> np.ndarray | None:
    """The colour of the same grass in shade, where a shadow lies against what was gathered."""
    away = far(~region) * pixel
    rim = inside & (away > 0.9) & (away < 2.4)  # beyond the blur of the edge
    if not rim.any() or not region.any():
        return None
    sunny, around = np.median(calm[region], axis=0), calm[rim]
    # Shade takes the lightness; it keeps the hue, and the colourfulness against the lightness.
    left = around[:, 0] / sunny[0]
    colourful, hue = np.hypot(*around[:, 1:].T) / np.hypot(*sunny[1:]), np.arctan2(around[:, 2], around[:, 1])
    turn = np.abs(np.angle(np.exp(1j * (hue - np.arctan2(sunny[2], sunny[1])))))
    dark = (left > SHADE[0]) & (left < SHADE[1]) & (turn < 0.35) & (np.abs(colourful / left - 1) < 0.4)
    if dark.sum() < max(0.03 * rim.sum(), 2.0 / pixel**2):
        return None
    counts, edges = np.histogram(left[dark], bins=45, range=SHADE)
    peak = edges[ndimage.gaussian_filter1d(counts.astype(float), 1.5).argmax()] + (edges[1] - edges[0]) / 2
    return np.median(around[dark & (np.abs(left - peak) < 0.03)], axis=0)
