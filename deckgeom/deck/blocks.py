"""
Working on many points in blocks, so that a million of them need little memory.
"""

from __future__ import annotations

import numpy as np

#: Points worked on at a time: small enough for the processor's cache.
BLOCK = 32768

#: So many places along the boat, or more, in no order are put in order first.
SORTED_FROM = 2048


def _in_order(work, x, y, shape) -> tuple:
    """Do the work on points put in order along the boat: the curves of the edges are then found much quicker."""
    x, y = (np.broadcast_to(v, shape).ravel() for v in (x, y))
    order = np.argsort(x)
    out = []
    for values in work(x[order], y[order]):
        whole = np.empty(x.size)
        whole[order] = values
        out.append(whole.reshape(shape))
    return tuple(out)


def in_blocks(work, x, y) -> tuple:
    """
    Do work at points in blocks that fit the cache, and put the results together.

    Parameters
    ----------
    work : callable
        (x, y) to a tuple of arrays of their common shape.
    x, y : array_like, broadcast against each other
        [mm]

    Returns
    -------
    tuple of ndarray
        Of the common shape. Blocks are cut along the longest axis; many places in no order are put in order first.

    Examples
    --------
    >>> in_blocks(lambda x, y: (x + y,), [[1.0], [2.0]], [10.0, 20.0])[0].tolist()
    [[11.0, 21.0], [12.0, 22.0]]
    """
    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    shape = np.broadcast_shapes(x.shape, y.shape)
    size = int(np.prod(shape, dtype=np.int64))
    if size <= BLOCK:
        if x.size >= SORTED_FROM and np.any(x.ravel()[1:] < x.ravel()[:-1]):
            return _in_order(work, x, y, shape)
        return tuple(np.broadcast_to(v, shape) + 0.0 if np.shape(v) != shape else v for v in work(x, y))
    axis = int(np.argmax(shape))
    step = max(1, BLOCK * shape[axis] // size)
    x, y = x.reshape((1,) * (len(shape) - x.ndim) + x.shape), y.reshape((1,) * (len(shape) - y.ndim) + y.shape)
    out = None
    for start in range(0, shape[axis], step):
        cut = (slice(None),) * axis + (slice(start, start + step),)
        part = in_blocks(work, x[cut] if x.shape[axis] > 1 else x, y[cut] if y.shape[axis] > 1 else y)
        if out is None:
            out = tuple(np.empty(shape) for _ in part)
        for whole, piece in zip(out, part, strict=True):
            whole[cut] = piece
    return out
