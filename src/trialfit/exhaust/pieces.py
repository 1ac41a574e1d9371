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
    and ``from_line`` names the mark that the turn starts at. ``points`` says to which side of the vehicle that outside
    line then faces at the joint ("up and left"), the pipe laid as drawn.
    """

    angle_rad: float
    arc_mm: float
    way: Way
    seen_from: str
    from_line: str
    to_piece: int
    points: str = ""

    @property
    def signed_rad(self) -> float:
        """Right-handed about the downstream direction, which is clockwise looking downstream [rad]."""
        return -self.angle_rad if self.way is Way.ANTICLOCKWISE else self.angle_rad


@dataclass(frozen=True, slots=True)
class SawMark:
    """One edge of a piece on its stock: ``joint`` is the piece's end there. On the arc, ``at_rad`` from where end
    ``end`` of the bend begins to curve, with chords over outside and inside and the tape along the outside [mm]. On a
    leg or stick, ``from_end_mm`` from the free end of leg ``leg`` (0: a stick's first end). ``sawn`` is false where the
    stock's own end stays."""

    joint: str
    leg: int
    at_rad: float | None
    outside_chord_mm: float | None
    inside_chord_mm: float | None
    outside_tape_mm: float | None
    from_end_mm: float | None
    sawn: bool = True
    end: int = 0


@dataclass(frozen=True, slots=True)
class StockCut:
    """Where in which stock a piece is cut (square to the centre line): the one record that every paper tells.

    ``number`` counts every bend and stick of the exhaust, from 1, each once. ``edges`` are the piece's two ends, the
    one nearer to the stock's first end first. ``from_end`` is the end of the bend that its marks count from: 2 where it
    keeps a leg of end 2 alone, else 1. ``leg`` is 1 or 2 for a straight out of a bend's leg, else 0. ``from_rad`` ..
    ``to_rad`` count along the stock's arc from its end 1 (both 0: a straight). ``low_leg_mm`` and ``high_leg_mm`` are
    the legs that stay on, at end 1 and at end 2 of the stock. A stick has ``stick_mm``, a bend angle, radius and legs.
    """

    piece: int
    name: str
    number: int
    on_shelf: bool
    edges: tuple[SawMark, SawMark]
    from_end: int = 1
    leg: int = 0
    from_rad: float = 0.0
    to_rad: float = 0.0
    low_leg_mm: float = 0.0
    high_leg_mm: float = 0.0
    stick_mm: float = 0.0
    stock_angle_rad: float = 0.0
    stock_radius_mm: float = 0.0
    stock_leg_mm: float = 0.0

    @property
    def is_bend(self) -> bool:
        """Whether the piece is cut from the arc of a bend."""
        return self.to_rad > self.from_rad

    @property
    def whole(self) -> bool:
        """Whether it takes the bend's whole arc."""
        return self.is_bend and all(e.at_rad is None or e.at_rad == 0.0 for e in self.edges)

    @property
    def item(self) -> str:
        """The bend or stick it comes from, as every paper calls it."""
        return stock_item(self.name, self.number, self.on_shelf)

    @property
    def place(self) -> str:
        """The same with the end, as every paper calls it."""
        if self.leg:
            return f"{self.item}, its leg {self.leg}"
        if not self.is_bend:
            return self.item
        return f"{self.item}, the whole of it" if self.whole else f"{self.item}, its end {self.from_end}"

    @property
    def span_rad(self) -> tuple[float, float]:
        """Where it begins and ends on the arc, counted from its ``from_end`` [rad]."""
        if self.from_end == 2:
            return self.stock_angle_rad - self.to_rad, self.stock_angle_rad - self.from_rad
        return self.from_rad, self.to_rad

    @property
    def span_mm(self) -> tuple[float, float]:
        """Where a straight begins and ends, from the stick's first or the leg's free end [mm]."""
        low, high = self.edges
        return low.from_end_mm or 0.0, high.from_end_mm or 0.0

    @property
    def near(self) -> SawMark:
        """The edge towards ``from_end``."""
        return self.edges[1 if self.from_end == 2 else 0]

    @property
    def far(self) -> SawMark:
        """The edge away from ``from_end``."""
        return self.edges[0 if self.from_end == 2 else 1]


def stock_item(name: str, number: int, on_shelf: bool) -> str:
    """A bend or stick of stock as every paper calls it.

    >>> stock_item("U-bend", 2, True)
    'U-bend number 2 (on the shelf)'
    """
    return f"{name} number {number}{' (on the shelf)' if on_shelf else ''}"


@dataclass(frozen=True, slots=True)
class PieCut:
    """A bend of straight tube cut in wedges.

    ``pieces`` counts the two half wedges at the ends. ``turn_per_joint_rad`` is how far the pipe turns at a joint;
    ``cut_face_angle_rad`` is half of it and is what the saw is set to, from square. Sides are of the finished piece,
    without kerf. ``tube_length_mm`` is what straight tube the whole bend takes, every second wedge turned end for
    end, one kerf for each of the ``joints`` slanted cuts within it; legs ``leg_before_mm`` and ``leg_after_mm`` of the
    end pieces included. The square cut that frees it from the stick is the stick's: it lies between two pieces there.
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
class Extra:
    """What is made beside the pieces: a branch on the pipe or a cone at its end. ``take`` is the tube or sheet it takes
    [words with mm], ``where`` where it goes (for a branch with the hole to cut in which piece), ``welds`` how many it
    brings, ``welded`` in words which."""

    name: str
    kind: str
    take: str
    where: str
    welds: int
    welded: str


@dataclass(frozen=True, slots=True)
class CutList:
    """All pieces of one route, outlet to tail. ``stock_to_buy`` counts bends and sticks to be bought by name, and
    ``stock_at_hand`` those on the shelf: both empty until stock is allotted
    (:func:`trialfit.exhaust.saw_marks.allotted`), as are the pieces' ``stock``. ``straight_tube_mm`` is the straight
    tube needed, kerfs within pie cuts included, kerfs between pieces not. ``welds`` counts the joints between pieces
    and those within pie cuts; the outlet's own is not among them, nor those of ``extras``."""

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
    stock_at_hand: tuple[tuple[str, int], ...] = ()
    extras: tuple[Extra, ...] = ()

    def at(self, at_mm: float) -> tuple[Piece, float]:
        """The piece at a place along the centre line [mm], and how far behind its front end that is [mm]; beyond the
        pipe its last one.

        Raises
        ------
        ValueError
            when there are no pieces
        """
        if not self.pieces:
            raise ValueError(f"{self.route} has no pieces")
        here = 0.0
        for piece in self.pieces[:-1]:
            if at_mm <= here + piece.length_to_cut_mm:
                return piece, at_mm - here
            here += piece.length_to_cut_mm
        return self.pieces[-1], at_mm - here

    @property
    def all_welds(self) -> int:
        """Welds of the pieces and of what is made beside them."""
        return self.welds + sum(e.welds for e in self.extras)


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
