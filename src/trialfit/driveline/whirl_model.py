"""Whirling of a shaft as it is built: tube, yokes, joints, give of the gearbox's tail, centre bearing in its rubber.

Each piece is a row of beam elements (cubic, bending only) whose matrices a general finite-element library makes; scipy
finds the natural rates. The pieces hang together at the middle joint, which passes sideways movement and no bending.
A shaft whirls where its speed meets its own rate of bending.

Left out: shear and rotary inertia (the true speed is lower: by 1 % for a steel tube of 76 mm and 1.4 m, more as the
square of diameter over length), spin of the tube about its axis (a hair higher), play (lower).

The library is an extra: without it everything else works, and the refusal says how to get it.

Source: Mechanical Engineer's Data Handbook, p. 45, for the uniform shaft that the model comes to; beam theory.
"""

import importlib
import math
from dataclasses import dataclass
from itertools import pairwise
from types import ModuleType

import numpy as np
from numpy.typing import NDArray

from trialfit.findings import SURE, Verdict, verdict_on
from trialfit.standards import Rule, refuse_not_positive, refuse_outside
from trialfit.structure import tube_mass_per_length, tube_second_moment

Floats = NDArray[np.float64]

INSTALL = "the beam model needs the library scikit-fem; set it up with: pip install \"trialfit[beams]\""
_N_PER_KG_MM_S2 = 1e-3
_ELEMENTS = 10
"""elements to each stretch; ten bring the first rate of a uniform beam to within a millionth"""
_LEAST_RAD_S = 0.05
"""rate below which the shaft counts as not held; the softest centre bearing in use is hundreds of times above it"""


class ExtraMissing(ImportError):
    """An optional library is not there; the text is the line that sets it up."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A length of even section: length [mm], E*I [N*mm2], mass for each length [kg/mm]."""

    length_mm: float
    stiffness_n_mm2: float
    mass_kg_mm: float

    def __post_init__(self) -> None:
        refuse_not_positive(stretch=(self.length_mm, "mm"), stiffness=(self.stiffness_n_mm2, ""),
                            mass_for_each_length=(self.mass_kg_mm, "kg/m"))  # fmt: skip


@dataclass(frozen=True, slots=True)
class Lump:
    """A mass [kg] at ``at_mm`` from the front end of its piece: the weight of a yoke, half a slip, a damper ring."""

    at_mm: float
    mass_kg: float


@dataclass(frozen=True, slots=True)
class Support:
    """Holds a piece sideways at ``at_mm`` from its front end. ``stiffness_n_mm`` None means no give."""

    at_mm: float
    stiffness_n_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of the shaft, front joint to rear joint, with what hangs on it and holds it. Its two ends are joints:
    they pass no bending. The front end of a second piece hangs on the rear end of the first."""

    stretches: tuple[Stretch, ...]
    lumps: tuple[Lump, ...] = ()
    supports: tuple[Support, ...] = ()

    @property
    def length_mm(self) -> float:
        """Joint centre to joint centre [mm]."""
        return sum(s.length_mm for s in self.stretches)


@dataclass(frozen=True, slots=True, eq=False)
class Whirl:
    """The first natural rates in bending [rad/s], and the shape of the first: place along the shaft [mm] and sideways
    movement, greatest 1."""

    rates_rad_s: tuple[float, ...]
    at_mm: Floats
    shape: Floats

    @property
    def first_rad_s(self) -> float:
        """First whirling speed [rad/s]."""
        return self.rates_rad_s[0]


def tube_piece(
    diameter_mm: float,
    wall_mm: float,
    length_mm: float,
    modulus_mpa: float,
    density_kg_mm3: float,
    *,
    yokes_kg: tuple[float, float] = (0.0, 0.0),
    yoke_length_mm: float = 0.0,
    ends_n_mm: tuple[float | None, float | None] = (None, None),
) -> Piece:
    """A piece made of one tube with a yoke at each end, held at both joints.

    The yokes are taken as no stiffer than the tube, with their weight spread over ``yoke_length_mm``; that errs on the
    slow side. Half of each cross sits on the support and does not move.

    Parameters
    ----------
    diameter_mm, wall_mm, length_mm : float
        tube, and joint centre to joint centre [mm]
    modulus_mpa, density_kg_mm3 : float
        of the tube [MPa], [kg/mm3]
    yokes_kg : two floats
        weight of the front and rear yoke beyond that of the tube they stand for [kg]
    yoke_length_mm : float
        joint centre to the tube's weld [mm]; 0 puts no yokes on
    ends_n_mm : two floats or None
        sideways give of gearbox tail and axle [N/mm]; None for none, which errs fast

    Raises
    ------
    ValueError
        for an amount that is not positive, or yokes longer than the shaft
    """
    stiffness = modulus_mpa * tube_second_moment(diameter_mm, wall_mm)
    mass = tube_mass_per_length(diameter_mm, wall_mm, density_kg_mm3)
    supports = (Support(0.0, ends_n_mm[0]), Support(length_mm, ends_n_mm[1]))
    if yoke_length_mm <= 0.0:
        if any(yokes_kg):
            raise ValueError("give the yokes a length, joint centre to weld, to hang their weight on")
        return Piece((Stretch(length_mm, stiffness, mass),), (), supports)
    refuse_outside("length of a yoke", yoke_length_mm, 0.0, 0.4 * length_mm, "mm")
    ends = [Stretch(yoke_length_mm, stiffness, mass + extra / yoke_length_mm) for extra in yokes_kg]
    return Piece((ends[0], Stretch(length_mm - 2.0 * yoke_length_mm, stiffness, mass), ends[1]), (), supports)


def whirl(pieces: tuple[Piece, ...], count: int = 3) -> Whirl:
    """The natural rates of a shaft of one or two pieces.

    Parameters
    ----------
    pieces : one or two
        front to rear
    count : int
        how many rates are wanted

    Raises
    ------
    ValueError
        for no piece or more than two, something outside its piece, or a shaft that is not held
    ExtraMissing
        without the library, with the line that sets it up

    Source: beam theory.
    """
    if len(pieces) not in {1, 2}:
        raise ValueError(f"a shaft has one piece or two, not {len(pieces)}")
    library = _library()
    stiff: list[Floats] = []
    mass: list[Floats] = []
    nodes: list[Floats] = []
    starts: list[int] = []
    for piece in pieces:
        _check(piece)
        k, m, at = _matrices(library, piece)
        starts.append(sum(len(s) for s in stiff))
        stiff.append(k)
        mass.append(m)
        nodes.append(at)
    whole_k, whole_m = _block(stiff), _block(mass)
    tied = np.eye(len(whole_k))
    held = [start + n for start, piece, at in zip(starts, pieces, nodes, strict=True) for n in _held(piece, at)]
    if len(pieces) == 2:
        # the second piece's front end moves sideways with the first one's rear end; each keeps its own slope
        end = 2 * (len(nodes[0]) - 1)
        tied[starts[1], end] = 1.0
        held = [*(end if n == starts[1] else n for n in held), starts[1]]
    tied = np.delete(tied, sorted(set(held)), axis=1)
    rates, shapes = _solved(tied.T @ whole_k @ tied, tied.T @ whole_m @ tied, count)
    sideways = (tied @ shapes[:, 0])[::2]
    at_mm = np.concatenate([n + sum(p.length_mm for p in pieces[:i]) for i, n in enumerate(nodes)])
    top = sideways[int(np.argmax(np.abs(sideways)))]
    return Whirl(rates, at_mm, sideways / top)


def _library() -> ModuleType:
    try:
        return importlib.import_module("skfem")
    except ImportError as error:
        raise ExtraMissing(INSTALL) from error


def _check(piece: Piece) -> None:
    if not piece.stretches:
        raise ValueError("a piece of shaft needs at least one stretch")
    for lump in piece.lumps:
        refuse_outside("place of a weight on its piece", lump.at_mm, 0.0, piece.length_mm, "mm")
        refuse_outside("weight on a piece", lump.mass_kg, 0.0, math.inf, "kg")
    for support in piece.supports:
        refuse_outside("place of a support on its piece", support.at_mm, 0.0, piece.length_mm, "mm")
        if support.stiffness_n_mm is not None:
            refuse_not_positive(stiffness_of_a_support=(support.stiffness_n_mm, "N/mm"))


def _matrices(library: ModuleType, piece: Piece) -> tuple[Floats, Floats, Floats]:
    """Stiffness [N/mm], mass [kg] and places of the nodes [mm] of one piece, weights and supports on it."""
    ends = np.cumsum([0.0, *(s.length_mm for s in piece.stretches)])
    marks = {*(float(e) for e in ends), *(p.at_mm for p in piece.lumps), *(p.at_mm for p in piece.supports)}
    corners = _merged(sorted(marks), piece.length_mm)
    inner = [np.linspace(a, b, _ELEMENTS + 1)[:-1] for a, b in pairwise(corners)]
    at = np.concatenate([*inner, [corners[-1]]])
    basis = library.Basis(library.MeshLine(at), library.ElementLineHermite(), intorder=6)
    middles = 0.5 * (at[:-1] + at[1:])
    which = np.minimum(np.searchsorted(ends, middles, side="right") - 1, len(piece.stretches) - 1)
    bending = np.array([s.stiffness_n_mm2 for s in piece.stretches])[which]
    weight = np.array([s.mass_kg_mm for s in piece.stretches])[which]
    curved = library.BilinearForm(lambda u, v, w: bending[:, None] * u.hess[0, 0] * v.hess[0, 0])
    moved = library.BilinearForm(lambda u, v, w: weight[:, None] * u * v)
    order = basis.nodal_dofs[:, np.argsort(basis.mesh.p[0])].T.ravel()
    k = np.asarray(library.asm(curved, basis).toarray())[np.ix_(order, order)]
    m = np.asarray(library.asm(moved, basis).toarray())[np.ix_(order, order)]
    for lump in piece.lumps:
        node = 2 * int(np.argmin(np.abs(at - lump.at_mm)))
        m[node, node] += lump.mass_kg
    for support in piece.supports:
        node = 2 * int(np.argmin(np.abs(at - support.at_mm)))
        k[node, node] += support.stiffness_n_mm or 0.0
    return k, m, at


def _held(piece: Piece, at: Floats) -> list[int]:
    """Freedoms of a piece that a support without give holds still."""
    return [2 * int(np.argmin(np.abs(at - s.at_mm))) for s in piece.supports if s.stiffness_n_mm is None]


def _merged(marks: list[float], length: float) -> list[float]:
    kept = [marks[0]]
    for mark in marks[1:]:
        if mark - kept[-1] > 1e-6 * length:
            kept.append(mark)
    kept[-1] = marks[-1]
    return kept


def _block(parts: list[Floats]) -> Floats:
    size = sum(len(p) for p in parts)
    whole, n = np.zeros((size, size)), 0
    for part in parts:
        whole[n : n + len(part), n : n + len(part)] = part
        n += len(part)
    return whole


def _solved(stiff: Floats, mass: Floats, count: int) -> tuple[tuple[float, ...], Floats]:
    from scipy.linalg import LinAlgError, eigh

    wanted = min(count, len(stiff))
    last = len(stiff) - 1
    try:
        # the other way round, for a stretch may be as good as weightless but never without stiffness
        slow, shapes = eigh(mass, stiff / _N_PER_KG_MM_S2, subset_by_index=[last - wanted + 1, last])
    except LinAlgError as error:
        raise ValueError(_NOT_HELD) from error
    if slow[-1] >= _LEAST_RAD_S**-2:
        raise ValueError(_NOT_HELD)
    return tuple(float(r) for r in 1.0 / np.sqrt(slow[::-1])), np.asarray(shapes[:, ::-1], dtype=np.float64)


_NOT_HELD = "the shaft is not held sideways: it needs supports at two places, and a second piece one at its rear end"


@dataclass(frozen=True, slots=True)
class WhirlMargin:
    """Greatest speed of the shaft as a share of its whirling speed, against the rule in force."""

    share: float
    share_sd: float | None
    limit: float
    verdict: Verdict
    reason: str


def whirl_margin(top_speed_rad_s: float, whirl_rad_s: float, whirl_sd_rad_s: float | None, rule: Rule) -> WhirlMargin:
    """How near the shaft runs to its whirling speed.

    Parameters
    ----------
    top_speed_rad_s : float
        greatest speed of the shaft, overdrive counted [rad/s]
    whirl_rad_s, whirl_sd_rad_s : float
        first whirling speed and its standard deviation, None when it is not known [rad/s]
    rule : Rule
        whirl-share, with the version in force

    Raises
    ------
    ValueError
        for a speed that is not positive

    Source: rule whirl-share.
    """
    refuse_not_positive(top_speed=(top_speed_rad_s, "rpm"), whirling_speed=(whirl_rad_s, "rpm"))
    share = top_speed_rad_s / whirl_rad_s
    sd = None if whirl_sd_rad_s is None else share * whirl_sd_rad_s / whirl_rad_s
    verdict = verdict_on(-share, -share, -rule.in_force.value, sd)
    rpm = 30.0 / math.pi
    doubt = "" if whirl_sd_rad_s is None else f", give or take {SURE * whirl_sd_rad_s * rpm:.0f}"
    reason = (f"the shaft turns at up to {top_speed_rad_s * rpm:.0f} rpm and whirls at {whirl_rad_s * rpm:.0f} rpm"
              f"{doubt}: {100.0 * share:.0f} %, at most {100.0 * rule.in_force.value:.0f} % asked for")  # fmt: skip
    return WhirlMargin(share, sd, rule.in_force.value, verdict, reason)
