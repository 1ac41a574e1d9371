"""Where a point of a solid goes when the solid's own measures change a little."""

import numpy as np

from trialfit.geometry.solids import Box, Capsule, Convex, Floats, Frustum


def carried(before: Convex, after: Convex, at: Floats) -> Floats:
    """The point (3,) [mm] of ``after`` that is the same material as ``at`` (3,) of ``before``.

    Both are one solid with slightly other sizes and places. A point keeps its share of each length, its side and its
    share of each radius; of a plate, its share of each corner.

    Raises
    ------
    TypeError
        when the two are not solids of one kind

    >>> long = Capsule(np.zeros(3), np.array([100.0, 0.0, 0.0]), 10.0)
    >>> longer = Capsule(np.zeros(3), np.array([120.0, 0.0, 0.0]), 10.0)
    >>> carried(long, longer, np.array([50.0, 10.0, 0.0])).tolist()
    [60.0, 10.0, 0.0]
    """
    if isinstance(before, Box) and isinstance(after, Box):
        inside = before.axes @ (at - before.centre)
        share = np.divide(inside, before.half_mm, out=np.zeros(3), where=before.half_mm > 0.0)
        point: Floats = after.centre + (share * after.half_mm) @ after.axes
        return point
    if isinstance(before, Capsule) and isinstance(after, Capsule):
        return _round(before.start, before.end, (before.radius_mm,) * 2, after.start, after.end,
                      (after.radius_mm,) * 2, at)
    if isinstance(before, Frustum) and isinstance(after, Frustum):
        return _round(before.start, before.end, (before.radius_start_mm, before.radius_end_mm),
                      after.start, after.end, (after.radius_start_mm, after.radius_end_mm), at)
    if isinstance(before, Box | Capsule | Frustum) or isinstance(after, Box | Capsule | Frustum):
        raise TypeError(f"{type(before).__name__} and {type(after).__name__} are not one solid")
    from scipy.optimize import nnls

    corners = before.vertices()
    heavy = 1e3 * max(1.0, float(np.abs(corners - corners.mean(axis=0)).max()))
    weights, _ = nnls(np.vstack((corners.T, np.full(len(corners), heavy))), np.append(at, heavy))
    moved: Floats = weights @ after.vertices()
    return moved


def _round(start: Floats, end: Floats, radii: tuple[float, float], start2: Floats, end2: Floats,
           radii2: tuple[float, float], at: Floats) -> Floats:
    along, along2 = end - start, end2 - start2
    share = min(1.0, max(0.0, float((at - start) @ along / (along @ along))))
    spoke = at - start - share * along
    unit = along2 / np.linalg.norm(along2)
    square = spoke - (spoke @ unit) * unit if 0.0 < share < 1.0 else spoke
    length, length2 = float(np.linalg.norm(spoke)), float(np.linalg.norm(square))
    radius = (1.0 - share) * radii[0] + share * radii[1]
    radius2 = (1.0 - share) * radii2[0] + share * radii2[1]
    scale = 0.0 if length2 == 0.0 else length / length2 * (radius2 / radius if radius > 0.0 else 1.0)
    point: Floats = start2 + share * along2 + scale * square
    return point
