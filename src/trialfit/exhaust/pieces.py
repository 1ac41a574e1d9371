"""What a laid exhaust is made of: pieces to cut, the turn from bend to bend, and the paper that wraps them.

Every length is along the centre line unless its name says outside or inside. Pieces run from the outlet to the tail;
joints carry letters from A (outlet) on. "Downstream" is the way the gas goes.
"""

from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from trialfit.findings import Place
from trialfit.vehicle import LaidPart

Floats = NDArray[np.float64]
Xyz = tuple[float, float, float]


class Kind(StrEnum):
    """What one piece is."""

    STRAIGHT = "straight"
    BEND = "bend"
    PIE_CUT = "pie-cut bend"
    PART = "part"


class Way(StrEnum):
    """Which way round the pipe from one mark to the next."""

    CLOCKWISE = "clockwise"
    ANTICLOCKWISE = "anticlockwise"
    STRAIGHT_ON = "straight on"
    OPPOSITE = "opposite"


@dataclass(frozen=True, slots=True)
class Clocking:
    """Turn about the pipe from one mark to the next bend's outside line.

    ``angle_rad`` lies between 0 and pi and ``way`` gives its sense as seen from ``seen_from``; ``arc_mm`` is the same
    turn measured along the pipe's outer surface. ``to_piece`` is the number of the piece that holds the next bend
    and ``from_line`` names the mark that the turn starts at.
    """

    angle_rad: float
    arc_mm: float
    way: Way
    seen_from: str
    from_line: str
    to_piece: int

    @property
    def signed_rad(self) -> float:
        """Right-handed about the downstream direction, which is clockwise looking downstream [rad]."""
        return -self.angle_rad if self.way is Way.ANTICLOCKWISE else self.angle_rad


@dataclass(frozen=True, slots=True)
class StockCut:
    """Which bend off the shelf a bend comes from, and where the saw goes (always square to the centre line).

    ``number`` counts the stock bends of this name to buy, from 1; ``from_end`` is 1 or 2 when two bends come from the
    two ends of one. ``cut_angle_rad`` is measured from where the kept end of the stock bend begins to curve;
    ``outside_chord_mm`` is the straight distance over the outside of the bend between that place and the cut (None
    when the whole bend is used and only legs are cut). ``leg_before_mm`` and ``leg_after_mm`` are the lengths of the
    stock bend's own legs that stay on, upstream and downstream.
    """

    name: str
    number: int
    from_end: int
    stock_angle_rad: float
    cut_angle_rad: float
    outside_chord_mm: float | None
    inside_chord_mm: float | None
    outside_arc_mm: float | None
    stock_leg_mm: float
    leg_before_mm: float
    leg_after_mm: float


@dataclass(frozen=True, slots=True)
class PieCut:
    """A bend of straight tube cut in wedges.

    ``pieces`` counts the two half wedges at the ends. ``turn_per_joint_rad`` is how far the pipe turns at a joint;
    ``cut_face_angle_rad`` is half of it and is what the saw is set to, from square. Sides are of the finished piece,
    without kerf. ``tube_length_mm`` is what straight tube the whole bend takes, every second wedge turned end for
    end, one kerf for each cut; legs ``leg_before_mm`` and ``leg_after_mm`` of the end pieces included.
    """

    pieces: int
    joints: int
    turn_per_joint_rad: float
    cut_face_angle_rad: float
    long_side_mm: float
    middle_mm: float
    short_side_mm: float
    end_long_side_mm: float
    end_middle_mm: float
    end_short_side_mm: float
    leg_before_mm: float
    leg_after_mm: float
    kerf_mm: float
    tube_length_mm: float


@dataclass(frozen=True, slots=True)
class PartClock:
    """How the wide side of a part stands: turned by ``angle_rad`` (0 to half a turn) from level, ``way`` as seen
    looking downstream."""

    angle_rad: float
    way: Way


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of pipe, square at both ends, or a part between two of them.

    ``length_to_cut_mm`` is along the centre line, legs included. ``bend_angle_rad`` and ``radius_mm`` are 0 for a
    straight. ``corner`` is the number of the route's corner the bend makes, from 1; 0 for a straight.
    ``outside_arc_mm`` and ``inside_arc_mm`` are the lengths of the curved part (a pie cut: of its wedges) along the
    outside and inside of the bend. ``normal`` is the bend's axis, right-handed. A part carries ``part``, its sizes
    known and its width never less than its height, and ``clock``, the turn of its wide side from level (None where its
    leg stands upright or it is round).
    """

    number: int
    kind: Kind
    name: str
    start: str
    end: str
    length_to_cut_mm: float
    start_xyz_mm: Xyz
    end_xyz_mm: Xyz
    corner: int = 0
    bend_angle_rad: float = 0.0
    radius_mm: float = 0.0
    leg_before_mm: float = 0.0
    leg_after_mm: float = 0.0
    outside_arc_mm: float = 0.0
    inside_arc_mm: float = 0.0
    normal: Xyz | None = None
    clocking: Clocking | None = None
    stock: StockCut | None = None
    pie: PieCut | None = None
    sd_mm: float | None = None
    notes: tuple[str, ...] = ()
    part: LaidPart | None = None
    clock: PartClock | None = None


@dataclass(frozen=True, slots=True)
class StartFrame:
    """Where the first piece starts: point, downstream direction, the top of the pipe there (its mark line, with
    ``top_means`` in words), and the turn from that mark to the outside of the first bend (None: no bend)."""

    xyz_mm: Xyz
    direction: Xyz
    top: Xyz
    top_means: str
    clocking: Clocking | None


@dataclass(frozen=True, slots=True)
class CutList:
    """All pieces of one route, outlet to tail. ``stock_to_buy`` counts bends off the shelf by name;
    ``straight_tube_mm`` is the straight tube needed, kerfs of pie cuts included, kerfs between sticks not. ``welds``
    counts the joints between pieces and those within pie cuts; the outlet's own is not among them."""

    route: str
    diameter_mm: float
    wall_mm: float
    start: StartFrame
    pieces: tuple[Piece, ...]
    total_length_mm: float
    straight_tube_mm: float
    stock_to_buy: tuple[tuple[str, int], ...] = ()
    notes: tuple[str, ...] = ()
    where: Place | None = field(default=None, compare=False)
    welds: int = 0


@dataclass(frozen=True, slots=True)
class Mark:
    """A cross to print on flat paper, with its words; position is [mm along the circumference, mm of height]."""

    label: str
    along_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """A line to print inside the outline: (n, 2) points [mm]. ``kind`` is ``cut`` (saw here), ``mark`` (carry over to
    the pipe), or ``fold`` (no meaning on the pipe)."""

    kind: str
    label: str
    points: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Wrap:
    """Flat paper at full size to wrap round the pipe (or, for a cone, the pattern of the sheet itself).

    ``outline`` is the closed edge of the paper, (n, 2), x along the circumference, y along the pipe, first point not
    repeated. ``cut_edges`` says in words which edges are cut lines. Seen from outside the pipe, with the up arrow
    (towards +y, meaning ``up``) upwards, x runs to the right. ``seam_mm`` is where the paper's two ends meet, and
    ``seam`` says in words where that lies on the pipe. ``circumference_mm`` is the width of the paper that just goes
    round; ``chord_error_mm`` the largest distance of the polylines from the true curves.
    """

    title: str
    name: str
    piece: int
    circumference_mm: float
    height_mm: float
    outline: Floats
    cut_edges: str
    seam: str
    seam_mm: float
    up: str
    lines: tuple[Line, ...] = ()
    marks: tuple[Mark, ...] = ()
    notes: tuple[str, ...] = ()
    chord_error_mm: float = 0.0
