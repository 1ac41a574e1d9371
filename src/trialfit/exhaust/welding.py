"""How the pieces become one pipe: order of tack, how far each weld goes round, filler and gas, what the beads draw in.

What is said of process, filler and gas is common practice; the welder's own procedure goes before it. Galvanised tube
is refused.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from trialfit.exhaust.beside import CONE, Beside, on_section
from trialfit.exhaust.chain import JOINT, Chain, Element, loose_bellows, section_name, sections
from trialfit.exhaust.fit_up import CheckLength, Floats, Slip, check_lengths, slips
from trialfit.exhaust.parts import BELLOWS
from trialfit.exhaust.pieces import CutList, Kind, Piece, Way
from trialfit.standards import nearest, refuse_not_positive, refuse_outside, table
from trialfit.sums import Ask, a_sum

PRACTICE = table("weld_practice")
STEEPEST_CUT_RAD = math.radians(80.0)
_TACK_TO_MM = 80.0
"""Outside diameter [mm] that the table's number of tacks is for."""


@dataclass(frozen=True, slots=True)
class Practice:
    """How a material is usually welded; ``status`` says where that comes from. ``bead`` is the bead's width in walls,
    low and high."""

    material: str
    process: str
    filler: str
    gas: str
    purge: str
    preparation: str
    tacks: int
    bead: tuple[float, float]
    caution: str
    status: str

    @property
    def purged(self) -> bool:
        """Whether gas must be led through the tube."""
        return self.purge != "none"


def practice_for(material: str) -> Practice:
    """What is usual for a material.

    Parameters
    ----------
    material : str
        a row of the table of weld practice

    Raises
    ------
    ValueError
        for galvanised tube, and for a material that the table has not

    Source: common practice, no source.

    >>> practice_for("steel").tacks
    4
    """
    known = [row["material"] for row in PRACTICE.rows]
    if material not in known:
        raise ValueError(f"nothing is known of welding '{material}'; {nearest(material, known)}")
    row = PRACTICE.row(material)
    if row["refused"] == "yes":
        raise ValueError(f"{material} tube is not welded from this sheet. {row['caution']}")
    return Practice(material, row["process"], row["filler"], row["gas"], row["purge"], row["preparation"],
                    int(row["tacks"]), (float(row["bead_low"]), float(row["bead_high"])), row["caution"],
                    "common practice, no source")


@a_sum(
    "round-weld-length",
    title="How far a weld goes round a tube, cut square or at an angle",
    asks=(Ask("diameter", "length", "outside diameter of the tube"),
          Ask("face", "angle", "cut-face angle from square", 0.0)),
    gives="length of the weld",
    dimension="length",
    unit="mm",
    words="circumference of an ellipse as wide as the tube and as long as diameter / cos(face)",
    source="geometry, complete elliptic integral",
)
def round_weld_length(diameter: float, face: float = 0.0) -> float:
    """Length [mm] of a butt weld round a tube.

    Parameters
    ----------
    diameter : float
        outside [mm]
    face : float
        cut-face angle from square, 0 to 80 deg [rad]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: geometry.

    >>> round(round_weld_length(63.5), 1)
    199.5
    """
    from scipy.special import ellipe

    refuse_not_positive(diameter=(diameter, "mm"))
    refuse_outside("face", face, 0.0, STEEPEST_CUT_RAD, "deg")
    long = 0.5 * diameter / math.cos(face)
    return float(4.0 * long * ellipe(math.sin(face) ** 2))


@a_sum(
    "butt-weld-shrinkage",
    title="How much a butt weld draws two pieces together",
    asks=(Ask("bead", "length", "mean width of the bead"), Ask("wall", "length", "wall of the tube"),
          Ask("gap", "length", "gap before welding", 0.0)),
    gives="shortening across the weld",
    dimension="length",
    unit="mm",
    words="0.2 * area of weld metal / wall + 0.05 * gap, the area taken as bead * wall",
    source="Spraragen and Ettinger, 1950, transverse shrinkage of butt welds (from memory)",
    caution="Found on plate. Thin tube differs by half and more: weld one joint of scrap and measure it.",
)
def butt_weld_shrinkage(bead: float, wall: float, gap: float = 0.0) -> float:
    """Shortening [mm] across a butt weld of full penetration.

    The bead is taken as wide at the root as on top, which errs to too much; the pull of tacks and clamps is left out,
    which errs the same way.

    Parameters
    ----------
    bead, wall : float
        mean width of the bead, and wall [mm]
    gap : float
        root gap before welding, 0 to 5 [mm]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: Spraragen and Ettinger, 1950 (from memory).

    >>> round(butt_weld_shrinkage(4.0, 1.5), 2)
    0.8
    """
    refuse_not_positive(bead=(bead, "mm"), wall=(wall, "mm"))
    refuse_outside("gap", gap, 0.0, 5.0, "mm")
    return 0.2 * bead * wall / wall + 0.05 * gap


@dataclass(frozen=True, slots=True)
class WeldPlace:
    """A weld, or several alike within one pie-cut piece. ``letter`` is the joint's, or that of the joint before the
    pie-cut piece; ``pieces`` are the numbers of the pieces on either side, the same twice within a pie cut.
    ``length_mm`` is of one weld."""

    letter: str
    pieces: tuple[int, int]
    count: int
    length_mm: float
    tacks: int

    @property
    def within(self) -> bool:
        """Whether it is between the wedges of one piece."""
        return self.pieces[0] == self.pieces[1]


@dataclass(frozen=True, slots=True)
class Tack:
    """One step of the tacking, in order: ``joint`` and ``what`` is done there."""

    number: int
    joint: str
    what: str


@dataclass(frozen=True, slots=True)
class Section:
    """What comes off in one piece: its name, its mass [kg] (None while a part's is not known, and ``unweighed`` names
    that part), and its length along the centre line [mm]."""

    name: str
    length_mm: float
    mass_kg: float | None
    unweighed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FitUpPlan:
    """All of the fit-up of one route. ``shrink_mm`` is what one joint between pieces draws in, low and high;
    ``shrink_all_mm`` all welds together, those within pie cuts too, along the centre line. ``beside`` is welded on
    beside the pieces. Of the bellows those in ``loose`` come off alone, those in ``welded_in`` are held by a weld."""

    cuts: CutList
    practice: Practice
    welds: tuple[WeldPlace, ...]
    tacks: tuple[Tack, ...]
    lengths: tuple[CheckLength, ...]
    slips: tuple[Slip, ...]
    sections: tuple[Section, ...]
    shrink_mm: tuple[float, float]
    shrink_all_mm: tuple[float, float]
    beside: tuple[Beside, ...] = ()
    loose: tuple[str, ...] = ()
    welded_in: tuple[str, ...] = ()

    @property
    def weld_length_mm(self) -> float:
        """All welds together [mm]."""
        return math.fsum([*(w.count * w.length_mm for w in self.welds), *(b.weld_mm for b in self.beside)])

    @property
    def weld_count(self) -> int:
        """How many there are."""
        return sum(w.count for w in self.welds) + sum(b.welds for b in self.beside)

    @property
    def to_trim(self) -> Piece | None:
        """The piece that is left longer and cut to the vehicle at last; None where the pipe ends in no straight."""
        return to_trim(self.cuts)

    @property
    def trim_mm(self) -> float:
        """How much longer it is cut: the most that all welds draw in, up to the next whole one [mm]."""
        return float(math.ceil(self.shrink_all_mm[1]))


def fit_up_plan(cuts: CutList, chain: Chain, points: Mapping[str, Sequence[float]], material: str = "",
                spread_mm2: Mapping[str, Floats] | None = None, beside: Sequence[Beside] = (),
                turns: Mapping[str, str] | None = None) -> FitUpPlan:  # fmt: skip
    """The fit-up of a route: what is tacked when, how each joint is checked, and what a slip there would do.

    Parameters
    ----------
    cuts : CutList
    chain : Chain
        of the same route
    points : mapping
        named hardpoints a tape can be hooked on, (x, y, z); only such as stand still on frame or body [mm]
    material : str
        a row of the table of weld practice; the chain's own when empty
    spread_mm2 : mapping or None
        covariance (3, 3) of each point as seen from the outlet, where known [mm2]
    beside : sequence of Beside
        what is welded on beside the pieces
    turns : mapping or None
        how a part is turned, in words, by its name; those of the cut list where left out

    Raises
    ------
    ValueError
        for a material that is refused or unknown, or a chain of another route
    """
    if chain.route != cuts.route:
        raise ValueError(f"the chain is of {chain.route} and the cut list of {cuts.route}")
    practice = practice_for(material or chain.material)
    low, high = (butt_weld_shrinkage(b * cuts.wall_mm, cuts.wall_mm) for b in practice.bead)
    welds = weld_places(cuts, practice.tacks)
    count = sum(w.count for w in welds)
    parts = sections(chain)
    loose = loose_bellows(chain)
    return FitUpPlan(cuts, practice, welds, order_of_tack(cuts, beside, turns),
                     check_lengths(cuts, points, spread_mm2=spread_mm2), slips(cuts),
                     tuple(_section(n, s, on_section(parts, n, beside)) for n, s in enumerate(parts, 1)), (low, high),
                     (count * low, count * high), tuple(beside), loose,
                     tuple(e.name for e in chain.elements if e.kind == BELLOWS and e.name not in loose))


def told_to_trim(cuts: CutList, plan: FitUpPlan | None) -> CutList:
    """The cut list, its last straight told to be left longer by what the welds draw in; as it is without a plan.

    The plan of the stock does not count on that length: what is left of the stick gives it, or another stick does.
    """
    last = None if plan is None else to_trim(cuts)
    if plan is None or last is None:
        return cuts
    note = (f"cut it {plan.trim_mm:.0f} mm longer where the stick has that left over, with this length marked on it, "
            "and trim it on the vehicle after the last weld: the welds draw the pipe in (see the fit-up sheet)")
    return replace(cuts, pieces=tuple(replace(p, notes=(*p.notes, note)) if p is last else p for p in cuts.pieces))


def to_trim(cuts: CutList) -> Piece | None:
    """The last piece, where it is a straight, which can be left longer; None where the pipe ends otherwise."""
    last = cuts.pieces[-1] if cuts.pieces else None
    return last if last is not None and last.kind is Kind.STRAIGHT else None


def weld_places(cuts: CutList, tacks: int = 4) -> tuple[WeldPlace, ...]:
    """Every weld of a cut list, outlet to tail, the outlet's own left out.

    Parameters
    ----------
    tacks : int
        for a joint of tube up to 80 mm outside; wider tube has them as far apart as that
    """
    many = max(tacks, math.ceil(tacks * cuts.diameter_mm / _TACK_TO_MM))
    found: list[WeldPlace] = []
    square = round_weld_length(cuts.diameter_mm)
    for piece, after in zip(cuts.pieces, [*cuts.pieces[1:], None]):
        if piece.pie is not None:
            slanted = round_weld_length(cuts.diameter_mm, piece.pie.cut_face_angle_rad)
            found.append(WeldPlace(piece.start, (piece.number, piece.number), piece.pie.joints, slanted, many))
        if after is not None:
            found.append(WeldPlace(piece.end, (piece.number, after.number), 1, square, many))
    return tuple(found)


def order_of_tack(cuts: CutList, beside: Sequence[Beside] = (), turns: Mapping[str, str] | None = None
                  ) -> tuple[Tack, ...]:  # fmt: skip
    """What is tacked when: pie-cut bends on the bench, then from the outlet on, joint by joint, checked before the
    next; branches once the pipe stands, the last straight trimmed after the last weld of the pipe, cones after that.

    Parameters
    ----------
    cuts : CutList
    beside : sequence of Beside
        what is welded on beside the pieces
    turns : mapping or None
        how a part is turned, in words, by its name; those of the cut list where left out
    """
    steps: list[tuple[str, str]] = []
    for piece in cuts.pieces:
        if piece.pie is not None:
            steps.append((f"in {piece.number}", (f"on the bench: wedges of piece {piece.number}, long sides in one "
                          f"line, {piece.pie.joints} joints; whole turn {math.degrees(piece.bend_angle_rad):.1f} deg")))
    if not cuts.pieces:
        return ()
    first = cuts.pieces[0]
    ahead = [b for b in beside if b.kind == CONE and b.at_mm <= 0.0]
    steps += [("", b.tack) for b in ahead]
    steps.append((first.start, (f"piece {first.number} to the outlet, its start mark up; outlet joint bolted or "
                  f"clamped as it will run; then check joint {first.end}")))
    marks = {p.number: p.clocking for p in cuts.pieces if p.clocking is not None}
    last_bend = next((p.number for p in cuts.pieces if p.kind in (Kind.BEND, Kind.PIE_CUT)), 0)
    by_target = {t.to_piece: (n, t) for n, t in marks.items()}
    start = cuts.start.clocking
    for piece in cuts.pieces[1:]:
        how = "faces together all round"
        if piece.number in by_target:
            turn = by_target[piece.number][1]
            how = f"outside line {turn.arc_mm:.1f} mm {turn.way} from the {turn.from_line}"
        elif start is not None and piece.number == last_bend:
            how = f"outside line {start.arc_mm:.1f} mm {start.way} from the start mark"
        elif piece.part is not None:
            told = (turns or {}).get(piece.part.name)
            how = f"arrow downstream, {part_turn(piece) if told is None else told}"
        name = f"piece {piece.number}" if piece.part is None else f"piece {piece.number}, {piece.part.name}"
        steps.append((piece.start, f"{name}: {how}; tack, then check joint {piece.end}"))
    tail = cuts.pieces[-1]
    steps.append((tail.end, "tail: place and way checked, everything clear through the travel; only then weld"))
    steps += [("", b.tack) for b in beside if b.kind != CONE]
    trimmed = to_trim(cuts)
    if trimmed is not None:
        steps.append(("", (f"after the last weld of the pipe, check lengths read again: piece {trimmed.number} trimmed "
                           "to the tail")))
    steps += [("", b.tack) for b in beside if b.kind == CONE and b not in ahead]
    return tuple(Tack(n, joint, what) for n, (joint, what) in enumerate(steps, 1))


def part_turn(piece: Piece) -> str:
    """How the part on a piece is turned about the pipe, in words."""
    part = piece.part
    if part is None:
        raise ValueError(f"piece {piece.number} is pipe and no part")
    if piece.clock is not None:
        if piece.clock.way is Way.STRAIGHT_ON:
            return "wide side level (0 deg)"
        turned = math.degrees(piece.clock.angle_rad)
        return f"wide side {turned:.1f} deg {piece.clock.way} from level looking downstream"
    if abs(part.width.mm - part.height.mm) < 0.5:
        return "round, its clamp's nut where a tool reaches it" if part.kind == JOINT else "round, so any turn fits"
    return "its leg stands too steep for a turn from level: wide side as on the cut list's picture"


def _section(number: int, elements: Sequence[Element], beside: Sequence[Beside]) -> Section:
    light = tuple(e.name for e in elements if e.mass_kg is None)
    mass = None if light else math.fsum([*(e.mass_kg or 0.0 for e in elements), *(b.mass_kg for b in beside)])
    return Section(section_name(elements, number), math.fsum(e.length_mm for e in elements), mass, light)
