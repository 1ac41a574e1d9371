"""What a survey answers: hardpoints with their common covariance, sizes, suspects, and what is still missing."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from trialfit.estimation import GlobalTest
from trialfit.findings import Place
from trialfit.survey.observations import Observation, Problem
from trialfit.vehicle import Build, ReadingKind

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Checked:
    """One reading held against all others.

    ``off`` is how much too long it was read if it alone is wrong, with its standard deviation; ``shows_from`` the
    smallest blunder that would show. Lengths [mm], angles [rad]. ``state`` is ``used``, ``out`` (left out as misread)
    or ``doubted`` (kept, with its doubt grown, because it cannot be told from others).
    """

    observation: Observation
    adjusted: float
    residual: float
    redundancy: float
    w: float
    studentised: float | None
    off: float
    off_sd: float
    shows_from: float
    state: str

    @property
    def is_angle(self) -> bool:
        """Its numbers are angles [rad], not lengths [mm]."""
        return self.observation.kind is ReadingKind.ANGLE


@dataclass(frozen=True, slots=True)
class Suspect:
    """A reading that does not belong, worst first. ``off`` [mm or rad] is how much too much it was read; ``guess``
    says what explains it, "" when nothing does or too much would; ``either_of`` names the readings (itself among
    them) of which one is wrong and none can be told from the others, () when it stands alone."""

    reading: str
    off: float
    off_sd: float
    is_angle: bool
    w: float
    redundancy: float
    guess: str
    either_of: tuple[str, ...] = ()
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Unsolved:
    """A hardpoint (or a size) with too few readings, and what to measure, in words."""

    point: str
    measure: str


@dataclass(frozen=True, slots=True)
class Ambiguous:
    """Hardpoints that fit equally well in two places, mirror images of each other, and the question that settles it.

    ``hint`` is the line to add under ``sides:`` for the first of the two places; ``places`` holds both places of
    ``point`` [mm].
    """

    point: str
    along_with: tuple[str, ...]
    question: str
    hint: str
    places: tuple[tuple[float, float, float], tuple[float, float, float]]


@dataclass(frozen=True, slots=True, eq=False)
class Survey:
    """The solved survey of one build.

    ``names`` are the hardpoints that are solved and settled; ``covariance`` is of their x, y, z in that order, then of
    the ``size_names`` [mm2]. It believes the instruments' stated doubts; ``test`` says whether the readings bear them
    out (suspects left out), ``test_all`` the same with every reading in. A hardpoint that is ambiguous or unsolved is
    not among the names.
    """

    build: Build
    names: tuple[str, ...]
    xyz_mm: Floats
    covariance: Floats
    size_names: tuple[str, ...]
    sizes: dict[str, tuple[float, float]]
    readings: tuple[Checked, ...]
    test: GlobalTest
    test_all: GlobalTest
    suspects: tuple[Suspect, ...] = ()
    unchecked_readings: tuple[str, ...] = ()
    unchecked_points: tuple[str, ...] = ()
    unsolved: tuple[Unsolved, ...] = ()
    ambiguous: tuple[Ambiguous, ...] = ()
    broken_hints: tuple[str, ...] = ()
    """signs the solved places go against, in words, one for each hint"""
    ties: tuple[str, ...] = ()
    """what is missing between whole groups of hardpoints and the floor, the centre line and the datum, in words"""
    problems: tuple[Problem, ...] = ()
    notes: tuple[str, ...] = ()

    def has(self, name: str) -> bool:
        """Whether hardpoint ``name`` is solved."""
        return name in self.names

    def _at(self, name: str) -> int:
        try:
            return self.names.index(name)
        except ValueError:
            raise KeyError(f"hardpoint {name} is not solved: {self.why_not(name)}") from None

    def why_not(self, name: str) -> str:
        """Why ``name`` has no place, in words; "" when it has one."""
        if name in self.names:
            return ""
        for u in self.unsolved:
            if u.point == name:
                return u.measure
        for a in self.ambiguous:
            if name == a.point or name in a.along_with:
                return a.question
        return "no reading names it"

    def point(self, name: str) -> Floats:
        """Place of hardpoint ``name``, (3,) [mm].

        Raises
        ------
        KeyError
            it is not solved; the text says what is missing
        """
        place: Floats = self.xyz_mm[self._at(name)].copy()
        return place

    def points(self) -> dict[str, Floats]:
        """Every solved hardpoint, name to place (3,) [mm]."""
        return {name: self.xyz_mm[i].copy() for i, name in enumerate(self.names)}

    def columns(self, names: Sequence[str]) -> NDArray[np.int64]:
        """Where the unknowns of ``names`` (hardpoints: three each; sizes: one) stand in the covariance."""
        sizes = {s: 3 * len(self.names) + i for i, s in enumerate(self.size_names)}
        out: list[int] = []
        for name in names:
            if name in sizes and name not in self.names:
                out.append(sizes[name])
            else:
                start = 3 * self._at(name)
                out.extend((start, start + 1, start + 2))
        return np.array(out, dtype=np.int64)

    def covariance_of(self, names: Sequence[str]) -> Floats:
        """Block of the covariance for ``names`` in that order [mm2].

        Raises
        ------
        KeyError
            one of them is not solved
        """
        at = self.columns(names)
        block: Floats = self.covariance[np.ix_(at, at)].copy()
        return block

    def sd(self, name: str) -> Floats:
        """Standard deviations of x, y, z of hardpoint ``name``, (3,) [mm]."""
        answer: Floats = np.sqrt(np.maximum(np.diag(self.covariance_of([name])), 0.0))
        return answer

    def doubt_mm(self, name: str) -> float:
        """Greatest standard deviation of hardpoint ``name`` in any direction [mm]."""
        return float(np.sqrt(max(np.linalg.eigvalsh(self.covariance_of([name]))[-1], 0.0)))

    def size(self, name: str) -> tuple[float, float]:
        """Size ``name`` and its standard deviation [mm].

        Raises
        ------
        KeyError
            no reading measures it
        """
        if name not in self.sizes:
            raise KeyError(f"no reading measures size {name}")
        return self.sizes[name]


def amount_words(off: float, is_angle: bool) -> str:
    """A deviation in words, "12.4 mm too long" or "0.3 deg too much".

    Parameters
    ----------
    off : float
        length or angle [mm or rad]
    is_angle : bool
        whether it is an angle [-]

    >>> amount_words(-12.44, False)
    '12.4 mm too short'
    """
    if is_angle:
        return f"{abs(math.degrees(off)):.2f} deg too {'much' if off > 0 else 'little'}"
    return f"{abs(off):.1f} mm too {'long' if off > 0 else 'short'}"
