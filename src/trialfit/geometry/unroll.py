"""Round tube and cones laid flat, and rolled up again.

Paper wraps the outside of a tube: its width is the circumference of the outside diameter. With ``paper_mm`` given,
the width is that of the paper's middle, ``pi * (diameter + paper_mm)``, which is what makes the ends just meet;
left at 0 the paper comes out short by ``pi`` times its thickness (about 0.3 mm for 0.1 mm paper).

Around the tube, angles are right-handed about "up" (a direction along the axis): seen from outside the tube with up
upwards, they run to the right, as x does on the paper. Every curve is a chain of points whose distance from the
true curve stays below :data:`CHORD_ERROR_MM`.
"""

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trialfit.sums import Ask, a_sum

Floats = NDArray[np.float64]

CHORD_ERROR_MM = 0.02
"""Largest distance of a chain of points from the curve it stands for [mm]: a fifth of what a print is read to."""


def circumference_mm(diameter_mm: float, paper_mm: float = 0.0) -> float:
    """Width of paper that just goes round a tube.

    Parameters
    ----------
    diameter_mm : float
        outside diameter [mm]
    paper_mm : float
        thickness of the paper [mm]

    Raises
    ------
    ValueError
        when the diameter is not more than 0, or the paper is thinner than 0 or thicker than a tenth of the diameter

    Source: geometry; the paper's middle neither stretches nor shrinks, common practice.

    >>> round(circumference_mm(100.0), 3)
    314.159
    """
    if not (diameter_mm > 0.0 and math.isfinite(diameter_mm)):
        raise ValueError(f"diameter {diameter_mm:g} mm must be more than 0")
    if not 0.0 <= paper_mm <= 0.1 * diameter_mm:
        raise ValueError(f"paper thickness {paper_mm:g} mm is outside 0 to {0.1 * diameter_mm:g} mm")
    return math.pi * (diameter_mm + paper_mm)


def roll(
    flat: ArrayLike, diameter_mm: float, origin: ArrayLike, up: ArrayLike, seam: ArrayLike, paper_mm: float = 0.0
) -> Floats:
    """Roll flat points back on to the tube's surface: the inverse of unrolling.

    Parameters
    ----------
    flat : array
        (n, 2) along the circumference and up the tube [mm]
    diameter_mm : float
        outside diameter of the tube [mm]
    origin : array
        point on the axis at height 0, (3,) [mm]
    up, seam : array
        direction of the axis, and direction from the axis to the paper's left edge, (3,) [-]
    paper_mm : float
        thickness the paper's width was made for [mm]

    Raises
    ------
    ValueError
        when seam and up are parallel, or as :func:`circumference_mm`

    >>> roll([(0.0, 5.0)], 20.0, (0, 0, 0), (0, 0, 1), (1, 0, 0)).tolist()
    [[10.0, 0.0, 5.0]]
    """
    p = np.asarray(flat, dtype=np.float64)
    axis = np.asarray(up, dtype=np.float64) / np.linalg.norm(up)
    first = np.asarray(seam, dtype=np.float64) - (np.asarray(seam, dtype=np.float64) @ axis) * axis
    if np.linalg.norm(first) < 1e-9:
        raise ValueError("the seam's direction lies along the tube; give one across it")
    first = first / np.linalg.norm(first)
    second = np.cross(axis, first)
    around = math.tau * p[:, 0] / circumference_mm(diameter_mm, paper_mm)
    radius = 0.5 * diameter_mm
    rolled: Floats = (
        np.asarray(origin, dtype=np.float64)
        + p[:, 1:2] * axis
        + radius * (np.cos(around)[:, None] * first + np.sin(around)[:, None] * second)
    )
    return rolled


def dense(
    curve: Callable[[Floats], Floats], knots: Sequence[float], error_mm: float = CHORD_ERROR_MM
) -> Floats:
    """Sample a flat curve so densely that its chords stay within ``error_mm`` of it.

    Intervals are halved until the points at a quarter, half and three quarters of each lie within half the error.
    Knots must hold the ends and every kink.

    Parameters
    ----------
    curve : callable
        parameters (n,) to points (n, 2) [mm]
    knots : sequence
        rising parameters between which the curve is smooth [-]

    Raises
    ------
    ValueError
        when the error is not more than 0, the curve has no finite value, or it takes more than 100,000 points
    """
    if error_mm <= 0.0:
        raise ValueError(f"chord error {error_mm:g} mm must be more than 0")
    t = np.unique(np.concatenate([np.linspace(a, b, 9) for a, b in itertools.pairwise(knots)]))
    while len(t) <= 100_000:
        step = np.diff(t)
        ends = curve(t)
        if not np.all(np.isfinite(ends)):
            raise ValueError("the curve has no finite value everywhere between its knots")
        chord = np.diff(ends, axis=0)
        length = np.maximum(np.hypot(chord[:, 0], chord[:, 1]), 1e-12)
        off = np.zeros(len(step))
        for part in (0.25, 0.5, 0.75):
            d = curve(t[:-1] + part * step) - ends[:-1]
            off = np.maximum(off, np.abs(d[:, 0] * chord[:, 1] - d[:, 1] * chord[:, 0]) / length)
        split = off > 0.5 * error_mm
        if not split.any():
            return ends
        t = np.sort(np.concatenate([t, (t[:-1] + 0.5 * step)[split]]))
    raise ValueError(f"the curve cannot be followed to {error_mm:g} mm in 100,000 points")


@a_sum(
    "mitre-ordinate",
    title="Height of an angled cut around the tube",
    asks=(
        Ask("diameter", "length", "outside diameter of the tube"),
        Ask("face", "angle", "cut-face angle, from a square cut"),
        Ask("around", "angle", "angle around the tube from its long side", 0.0),
    ),
    gives="how far the cut stands above the place where it crosses the axis",
    dimension="length",
    unit="mm",
    words="half the diameter times the tangent of the cut-face angle times the cosine of the angle around",
    source="geometry, from memory",
    caution="The cut-face angle is half of what the pipe turns at the joint.",
)
def mitre_height_mm(diameter: float, face: float, around: float = 0.0) -> float:
    """Height of a plane cut above its crossing with the axis, at an angle around the tube from the long side.

    Parameters
    ----------
    diameter : float
        outside diameter [mm]
    face : float
        cut-face angle from square [rad]
    around : float
        angle from the long side [rad]

    Raises
    ------
    ValueError
        when the face is outside 0 to 80 deg or the diameter is not more than 0

    Source: geometry, from memory.
    """
    _face_ok(face)
    circumference_mm(diameter)
    return 0.5 * diameter * math.tan(face) * math.cos(around)


def _face_ok(face: float) -> None:
    if not 0.0 <= face <= math.radians(80.0):
        raise ValueError(f"cut-face angle {math.degrees(face):g} deg is outside 0 to 80 deg")


@dataclass(frozen=True, slots=True, eq=False)
class TubePattern:
    """A piece of tube laid flat: lower and upper edge, each (n, 2) [mm] from left to right. Height 0 is where the
    lower cut crosses the axis, ``axis_mm`` above it where the upper one does. ``seam_rad`` is the angle around the
    tube of the left edge, from the direction that :func:`tube_pattern` counts from."""

    lower: Floats
    upper: Floats
    axis_mm: float
    diameter_mm: float
    paper_mm: float
    seam_rad: float

    @property
    def outline(self) -> Floats:
        """Closed edge of the paper, (n, 2) [mm], first point not repeated."""
        return np.vstack([self.lower, self.upper[::-1]])


def tube_pattern(
    diameter_mm: float,
    axis_mm: float,
    lower_face_rad: float = 0.0,
    upper_face_rad: float = 0.0,
    clock_rad: float = 0.0,
    seam_rad: float = math.pi,
    paper_mm: float = 0.0,
    error_mm: float = CHORD_ERROR_MM,
) -> TubePattern:
    """Straight tube cut at an angle at one or both ends, laid flat.

    Angles around the tube count from the long side of the upper cut.

    Parameters
    ----------
    diameter_mm : float
        outside diameter [mm]
    axis_mm : float
        length along the axis, between the middles of the cuts [mm]
    lower_face_rad, upper_face_rad : float
        cut-face angles from square; 0 is a square end [rad]
    clock_rad : float
        where the lower cut's long side lies, around from the upper one's; 0 makes a wedge [rad]
    seam_rad : float
        where the paper's edges meet, around from the upper cut's long side [rad]
    paper_mm : float
        thickness of the paper [mm]

    Raises
    ------
    ValueError
        when the cuts cross inside the tube, a face is outside 0 to 80 deg, or as :func:`circumference_mm`

    Source: geometry, from memory.
    """
    _face_ok(lower_face_rad)
    _face_ok(upper_face_rad)
    width = circumference_mm(diameter_mm, paper_mm)
    radius = 0.5 * diameter_mm
    low, high = radius * math.tan(lower_face_rad), radius * math.tan(upper_face_rad)
    shortest = axis_mm - math.hypot(high + low * math.cos(clock_rad), low * math.sin(clock_rad))
    if shortest < -1e-9:
        raise ValueError(
            f"length {axis_mm:g} mm is too short by {-shortest:.2f} mm: the two cuts cross inside the tube"
        )

    def lower(t: Floats) -> Floats:
        return np.column_stack([width * t, -low * np.cos(seam_rad + math.tau * t - clock_rad)])

    def upper(t: Floats) -> Floats:
        return np.column_stack([width * t, axis_mm + high * np.cos(seam_rad + math.tau * t)])

    ends = (0.0, 0.25, 0.5, 0.75, 1.0)
    return TubePattern(
        dense(lower, ends, error_mm), dense(upper, ends, error_mm), axis_mm, diameter_mm, paper_mm, seam_rad
    )


@a_sum(
    "cone-pattern-radius",
    title="Radius of a cone's flat pattern",
    asks=(
        Ask("d_small", "length", "diameter at the small end"),
        Ask("d_large", "length", "diameter at the large end"),
        Ask("height", "length", "height along the axis"),
        Ask("end", "text", "which edge of the pattern", "large", ("large", "small")),
    ),
    gives="radius to draw that edge of the pattern with",
    dimension="length",
    unit="mm",
    words="slant height times the end's diameter over the difference of the diameters",
    source="school geometry, net of a frustum; Sheet Metal Drafting, p. 91 (area)",
    caution="Diameters to the middle of the sheet. Add the seam's allowance.",
)
def cone_radius_mm(d_small: float, d_large: float, height: float, end: str = "large") -> float:
    """Radius of the outer or inner edge of a cone's flat pattern.

    Leaves out the sheet's thickness: use diameters to the middle of the sheet.

    Parameters
    ----------
    d_small, d_large : float
        diameters; the small one may be 0 [mm]
    height : float
        height along the axis [mm]
    end : str
        ``large`` or ``small`` [-]

    Raises
    ------
    ValueError
        when the height is not more than 0, or the large diameter does not exceed the small one

    Source: school geometry, from memory.

    >>> round(cone_radius_mm(0.0, 60.0, 40.0), 6)
    50.0
    """
    if not height > 0.0:
        raise ValueError(f"height {height:g} mm must be more than 0")
    if not d_large > d_small >= 0.0:
        raise ValueError(
            f"the large diameter, {d_large:g} mm, must exceed the small one, {d_small:g} mm, and neither be below 0; "
            "equal ones make a tube, whose pattern is a rectangle"
        )
    if end not in ("large", "small"):
        raise ValueError(f"end '{end}' is none of large, small")
    slant = math.hypot(height, 0.5 * (d_large - d_small))
    return slant * (d_large if end == "large" else d_small) / (d_large - d_small)


@a_sum(
    "cone-pattern-angle",
    title="Angle of a cone's flat pattern",
    asks=(
        Ask("d_small", "length", "diameter at the small end"),
        Ask("d_large", "length", "diameter at the large end"),
        Ask("height", "length", "height along the axis"),
    ),
    gives="angle of the sector",
    dimension="angle",
    unit="deg",
    words="360 deg times half the large diameter over the pattern's outer radius",
    source="school geometry, net of a frustum; Sheet Metal Drafting, p. 91 (area)",
    caution="Diameters to the middle of the sheet. Add the seam's allowance.",
)
def cone_angle_rad(d_small: float, d_large: float, height: float) -> float:
    """Angle of the sector a cone unrolls to.

    Parameters
    ----------
    d_small, d_large : float
        diameters; the small one may be 0 [mm]
    height : float
        height along the axis [mm]

    Raises
    ------
    ValueError
        as :func:`cone_radius_mm`

    Source: school geometry, from memory.
    """
    return math.pi * d_large / cone_radius_mm(d_small, d_large, height)


@dataclass(frozen=True, slots=True, eq=False)
class ConePattern:
    """A cone laid flat: the sector's radii [mm] and angle [rad], its apex at the origin, split evenly about +y; the
    ``outer`` and ``inner`` edge, each (n, 2) [mm] from left to right (``inner`` one point for a full cone)."""

    outer_radius_mm: float
    inner_radius_mm: float
    angle_rad: float
    outer: Floats
    inner: Floats

    @property
    def outline(self) -> Floats:
        """Closed edge of the sheet, (n, 2) [mm], first point not repeated."""
        return np.vstack([self.inner, self.outer[::-1]])


def cone_pattern(
    d_small_mm: float, d_large_mm: float, height_mm: float, error_mm: float = CHORD_ERROR_MM
) -> ConePattern:
    """A straight round cone laid flat, seam along its side.

    Parameters
    ----------
    d_small_mm, d_large_mm : float
        diameters to the middle of the sheet; the small one may be 0 [mm]
    height_mm : float
        height along the axis [mm]

    Raises
    ------
    ValueError
        as :func:`cone_radius_mm`

    Source: school geometry, from memory.
    """
    far = cone_radius_mm(d_small_mm, d_large_mm, height_mm, "large")
    near = cone_radius_mm(d_small_mm, d_large_mm, height_mm, "small")
    angle = cone_angle_rad(d_small_mm, d_large_mm, height_mm)

    def edge(radius: float) -> Floats:
        if radius == 0.0:
            return np.zeros((1, 2))

        def curve(t: Floats) -> Floats:
            return radius * np.column_stack([np.sin((t - 0.5) * angle), np.cos((t - 0.5) * angle)])

        return dense(curve, (0.0, 0.5, 1.0), error_mm)

    return ConePattern(far, near, angle, edge(far), edge(near))


def roll_cone(flat: ArrayLike, pattern: ConePattern) -> Floats:
    """Roll flat points of a cone's pattern up: apex at the origin, axis along +z, seam in the x, z plane.

    Parameters
    ----------
    flat : array
        (n, 2) points of the pattern [mm]
    pattern : ConePattern
        the pattern they belong to
    """
    p = np.asarray(flat, dtype=np.float64)
    reach = np.hypot(p[:, 0], p[:, 1])
    around = math.tau * (np.arctan2(p[:, 0], p[:, 1]) / pattern.angle_rad + 0.5)
    wide = reach * pattern.angle_rad / math.tau
    return np.column_stack([wide * np.cos(around), wide * np.sin(around), np.sqrt(reach**2 - wide**2)])


def _saddle_ok(run: float, branch: float, angle: float, offset: float) -> None:
    if not (run > 0.0 and branch > 0.0):
        raise ValueError(f"run {run:g} mm and branch {branch:g} mm must be more than 0")
    if not math.radians(20.0) <= angle <= math.radians(160.0):
        raise ValueError(f"angle {math.degrees(angle):g} deg between the axes is outside 20 to 160 deg")
    room = 0.5 * (run - branch) - abs(offset)
    if room < -1e-9:
        raise ValueError(
            f"the branch stands {-room:g} mm out past the side of the run; "
            f"offset plus half the branch must stay within {0.5 * run:g} mm"
        )


@a_sum(
    "saddle-cut",
    title="Saddle cut of a branch on a run",
    asks=(
        Ask("run", "length", "outside diameter of the run (the pipe branched into)"),
        Ask("branch", "length", "diameter of the branch"),
        Ask("angle", "angle", "angle between the two axes", math.radians(90.0)),
        Ask("offset", "length", "how far the branch's axis passes beside the run's", 0.0),
        Ask("around", "angle", "angle around the branch from the side in the acute angle", 0.0),
    ),
    gives="distance along the branch from where the axes cross (or pass) to the saddle",
    dimension="length",
    unit="mm",
    words="(root of (half the run squared less (offset plus half the branch times sine around) squared) plus half the "
    "branch times cosine around times cosine of the angle) over the sine of the angle",
    source="geometry of two cylinders, from memory",
    caution="For a branch set on the run with a saw or torch square to its surface, work it with the inside diameter "
    "of the branch: its inner edge touches first.",
)
def saddle_height_mm(
    run: float, branch: float, angle: float = math.pi / 2, offset: float = 0.0, around: float = 0.0
) -> float:
    """How far along the branch the saddle lies from the crossing of the axes.

    Parameters
    ----------
    run, branch : float
        diameters [mm]
    angle : float
        angle between the axes [rad]
    offset : float
        distance between the axes where they pass; towards 90 deg around [mm]
    around : float
        angle around the branch, from the side in the acute angle [rad]

    Raises
    ------
    ValueError
        when the branch stands out past the run, the angle is outside 20 to 160 deg, or a diameter is not more than 0

    Source: geometry of two cylinders, from memory.

    >>> round(saddle_height_mm(60.0, 40.0, math.pi / 2, 0.0, 0.0), 6)
    30.0
    """
    _saddle_ok(run, branch, angle, offset)
    return float(_saddle(0.5 * run, 0.5 * branch, angle, offset, np.array([around]))[0])


def _saddle(big: float, small: float, angle: float, offset: float, around: Floats) -> Floats:
    under = np.maximum(big**2 - (offset + small * np.sin(around)) ** 2, 0.0)
    height: Floats = (np.sqrt(under) + small * np.cos(around) * math.cos(angle)) / math.sin(angle)
    return height


@dataclass(frozen=True, slots=True, eq=False)
class SaddlePattern:
    """A branch cut to sit on a run, and the hole in the run, laid flat.

    ``saddle`` (n, 2) [mm] is the branch's cut, left to right from ``seam_rad`` around the branch, heights from the
    crossing of the axes along the branch. ``hole`` (n, 2) [mm] is closed (first point not repeated) on the run's
    flat surface: x around the run from the line facing the branch, y along the run from the crossing, towards the
    acute angle; both as seen from outside with the acute side up.
    """

    saddle: Floats
    hole: Floats
    branch_mm: float
    run_mm: float
    seam_rad: float
    paper_mm: float


def saddle_pattern(
    run_mm: float,
    branch_mm: float,
    angle_rad: float = math.pi / 2,
    offset_mm: float = 0.0,
    fit_mm: float | None = None,
    seam_rad: float = math.pi,
    paper_mm: float = 0.0,
    error_mm: float = CHORD_ERROR_MM,
) -> SaddlePattern:
    """The saddle of a branch and the hole in the run, laid flat.

    Parameters
    ----------
    run_mm, branch_mm : float
        outside diameters, which the papers wrap [mm]
    angle_rad : float
        angle between the axes [rad]
    offset_mm : float
        distance between the axes where they pass; towards 90 deg around the branch [mm]
    fit_mm : float or None
        diameter of the branch that meets the run and that the hole is cut to: its inside diameter for a branch set
        on, None for the outside diameter, for a branch set in [mm]
    seam_rad : float
        where the branch's paper meets, around from the side in the acute angle [rad]
    paper_mm : float
        thickness of the paper [mm]

    Raises
    ------
    ValueError
        as :func:`saddle_height_mm`, or when ``fit_mm`` exceeds the branch

    Source: geometry of two cylinders, from memory.
    """
    fit = branch_mm if fit_mm is None else fit_mm
    if fit > branch_mm:
        raise ValueError(f"the fitting diameter, {fit:g} mm, exceeds the branch, {branch_mm:g} mm")
    _saddle_ok(run_mm, fit, angle_rad, offset_mm)
    big, small = 0.5 * run_mm, 0.5 * fit
    width = circumference_mm(branch_mm, paper_mm)
    stretch = circumference_mm(run_mm, paper_mm) / math.tau

    def saddle(t: Floats) -> Floats:
        around = seam_rad + math.tau * t
        return np.column_stack([width * t, _saddle(big, small, angle_rad, offset_mm, around)])

    def hole(t: Floats) -> Floats:
        around = math.tau * t
        h = _saddle(big, small, angle_rad, offset_mm, around)
        side = np.arcsin(np.clip((offset_mm + small * np.sin(around)) / big, -1.0, 1.0))
        along = h * math.cos(angle_rad) + small * np.cos(around) * math.sin(angle_rad)
        return np.column_stack([-stretch * side, along])

    quarters = [0.25 * k for k in range(5)]
    kinks = sorted({0.0, 1.0, *((q - seam_rad / math.tau) % 1.0 for q in quarters)})
    return SaddlePattern(
        dense(saddle, kinks, error_mm), dense(hole, quarters, error_mm)[:-1], branch_mm, run_mm, seam_rad, paper_mm
    )
