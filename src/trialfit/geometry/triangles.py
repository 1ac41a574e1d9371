"""Box tree over the triangles of a scanned surface, so that one question touches few of its triangles.

Boxes are halved at the median of the triangles' middles along their longest side until four or fewer are left.
"""

from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

LEAF = 4


@dataclass(frozen=True, slots=True, eq=False)
class Tree:
    """``boxes`` (k, 6) low and high corner [mm]; ``kids`` (k, 2) two nodes, or (first triangle, -count) at a leaf;
    ``corners`` (3 m, 3) [mm] of the triangles in leaf order; ``order`` (m,) their places in the mesh."""

    boxes: NDArray[np.float64]
    kids: NDArray[np.int64]
    corners: NDArray[np.float64]
    order: NDArray[np.int64]

    @classmethod
    def over(cls, vertices: NDArray[np.float64], triangles: NDArray[np.int64]) -> "Tree":
        """Tree over triangles given by indices (m, 3) into vertices (n, 3) [mm]."""
        corners = np.ascontiguousarray(vertices[triangles.ravel()], dtype=np.float64)
        boxes, kids, order = build(corners)
        sorted_corners = np.ascontiguousarray(corners.reshape(-1, 9)[order].reshape(-1, 3))
        return cls(boxes, kids, sorted_corners, order)


@njit(nogil=True)
def _halve(order, key, first, last, middle):  # type: ignore[no-untyped-def]
    """Partial sort of order[first:last] by key so that place ``middle`` holds what a full sort would put there."""
    low, high = first, last - 1
    while low < high:
        pivot = key[order[(low + high) // 2]]
        i, j = low, high
        while i <= j:
            while key[order[i]] < pivot:
                i += 1
            while key[order[j]] > pivot:
                j -= 1
            if i <= j:
                order[i], order[j] = order[j], order[i]
                i += 1
                j -= 1
        if middle <= j:
            high = j
        elif middle >= i:
            low = i
        else:
            return


@njit(cache=True, nogil=True)
def build(corners):  # type: ignore[no-untyped-def]
    """Boxes, kids and order of the tree over corners (3 m, 3) [mm]."""
    m = corners.shape[0] // 3
    order = np.arange(m)
    middles = np.empty((3, m))
    for t in range(m):
        for k in range(3):
            middles[k, t] = corners[3 * t, k] + corners[3 * t + 1, k] + corners[3 * t + 2, k]
    boxes = np.empty((2 * m, 6))
    kids = np.empty((2 * m, 2), np.int64)
    stack = np.empty((128, 3), np.int64)
    stack[0, 0], stack[0, 1], stack[0, 2] = 0, 0, m
    top = 1
    used = 1
    low = np.empty(3)
    high = np.empty(3)
    while top > 0:
        top -= 1
        node, first, last = stack[top, 0], stack[top, 1], stack[top, 2]
        for k in range(3):
            boxes[node, k], boxes[node, 3 + k] = np.inf, -np.inf
            low[k], high[k] = np.inf, -np.inf
        for i in range(first, last):
            t = order[i]
            for k in range(3):
                for c in range(3 * t, 3 * t + 3):
                    boxes[node, k] = min(boxes[node, k], corners[c, k])
                    boxes[node, 3 + k] = max(boxes[node, 3 + k], corners[c, k])
                low[k] = min(low[k], middles[k, t])
                high[k] = max(high[k], middles[k, t])
        if last - first <= LEAF:
            kids[node, 0], kids[node, 1] = first, -(last - first)
            continue
        axis = 0
        for k in range(1, 3):
            if high[k] - low[k] > high[axis] - low[axis]:
                axis = k
        middle = (first + last) // 2
        _halve(order, middles[axis], first, last, middle)
        kids[node, 0], kids[node, 1] = used, used + 1
        stack[top, 0], stack[top, 1], stack[top, 2] = used, first, middle
        stack[top + 1, 0], stack[top + 1, 1], stack[top + 1, 2] = used + 1, middle, last
        top += 2
        used += 2
    return boxes[:used].copy(), kids[:used].copy(), order
