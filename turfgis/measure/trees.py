"""Trees of shapes that several threads may ask at once."""

import numpy as np
import shapely


def built_tree(shapes: np.ndarray) -> shapely.STRtree:
    """
    A tree of shapes, ready to be asked.

    Parameters
    ----------
    shapes
        Shape (n,).

    Notes
    -----
    A tree builds itself when it is first asked, which two threads must not do at once; so it is asked here.

    Examples
    --------
    >>> tree = built_tree(shapely.points([[0, 0], [5, 0]]))
    >>> tree.query(shapely.box(4, -1, 6, 1)).tolist()
    [1]
    """
    tree = shapely.STRtree(shapes)
    tree.query(shapely.Point(0.0, 0.0))
    return tree
