"""Masks of pixels: how far, which part, opened and closed by distances."""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy import ndimage
from skimage.measure import label


def far(mask: np.ndarray) -> np.ndarray:
    """How far each pixel of a mask is from the nearest one outside it, in pixels."""
    found: Any = ndimage.distance_transform_edt(mask)
    return found


def parts(mask: np.ndarray) -> np.ndarray:
    """Connected parts of a mask, numbered from 1."""
    found: Any = label(mask, connectivity=1)
    return found


def filled(mask: np.ndarray) -> np.ndarray:
    """A mask without its holes: without the parts of what is outside that do not reach the rim of the window."""
    around = parts(~mask)
    open_ones = np.unique(np.concatenate([around[0], around[-1], around[:, 0], around[:, -1]]))
    return mask | ~np.isin(around, open_ones)


def opened(mask: np.ndarray, radius: float) -> np.ndarray:
    """Without what is narrower than twice the radius (in pixels); by distances, which takes no longer for wide ones."""
    core = far(mask) > radius
    return (far(~core) <= radius) & mask if core.any() else core


def closed(mask: np.ndarray, radius: float) -> np.ndarray:
    """With what is narrower than twice the radius (in pixels) between two parts of it."""
    near = far(~mask) <= radius
    return (far(near) > radius) | mask


def largest(mask: np.ndarray) -> np.ndarray:
    """The largest part of a mask."""
    found = parts(mask)
    return found == np.bincount(found.ravel())[1:].argmax() + 1 if found.any() else mask


def part_at(mask: np.ndarray, middle: tuple[int, int], reach: int) -> np.ndarray:
    """The part of a mask at a pixel or, next to it, the one with most pixels within a reach."""
    found = parts(mask)
    row, column = middle
    here = found[max(row - reach, 0) : row + reach + 1, max(column - reach, 0) : column + reach + 1]
    number = np.bincount(here[here > 0]).argmax() if here.any() else 0
    return found == number if number else np.zeros_like(mask)


def at_rim(mask: np.ndarray) -> bool:
    """Whether a mask runs to the rim of its window."""
    return bool(mask[:2].any() or mask[-2:].any() or mask[:, :2].any() or mask[:, -2:].any())
