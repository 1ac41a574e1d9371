"""Which stock is bought, and which piece is cut from where in it, for the least money.

Pieces are bends (an angle at a radius, with straight legs where the bend's own legs are used) and sticks. Stock is
bends with legs at either end, and straight sticks, bought or on the shelf. A bend out of the middle of a stock bend has
no legs; one that keeps a leg sits at an end of it. Legs that nobody keeps are cut off and serve as sticks. All of it is
one whole-number programme; the solver's own bound says how much cheaper any other plan could be.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.bars import TooManyWaysError, fewest_bars
from trialfit.exhaust.pieces import CutList, Kind

Floats = NDArray[np.float64]
SAME_MM = 0.5
"""Radii and lengths this near to each other are one [mm]; common practice, no source."""
SAME_RAD = math.radians(0.5)
"""A piece this near to the stock bend's whole angle takes all of it [rad]; common practice, no source."""
ROUNDING = 1e-6
MOST_UNITS = 400
PROVED = "for these pieces, with the legs they keep, no plan costs less"
_MOST_WAYS = 20_000


class NestingError(ValueError):
    """A piece that no stock gives; ``pieces`` are the numbers of those that have none."""

    def __init__(self, words: str, pieces: Sequence[int] = ()) -> None:
        super().__init__(words)
        self.pieces = tuple(pieces)


@dataclass(frozen=True, slots=True)
class BendStock:
    """A bend to be had: its radius and angle, the straight leg at either end [mm], what one costs, and how many are to
    be had (None: as many as are paid for). On the shelf it costs nothing and ``count`` is known."""

    name: str
    diameter_mm: float
    wall_mm: float
    radius_mm: float
    angle_rad: float
    leg_mm: float
    price: float
    count: int | None = None


@dataclass(frozen=True, slots=True)
class StickStock:
    """A straight length of tube to be had; as :class:`BendStock`."""

    name: str
    diameter_mm: float
    wall_mm: float
    length_mm: float
    price: float
    count: int | None = None


Stock = BendStock | StickStock


@dataclass(frozen=True, slots=True)
class Wanted:
    """A piece to be cut. ``length_mm`` is of a stick, 0 for a bend; ``angle_rad`` and ``radius_mm`` are of a bend,
    with the legs it keeps before and after its arc."""

    number: int
    name: str
    length_mm: float = 0.0
    angle_rad: float = 0.0
    radius_mm: float = 0.0
    leg_before_mm: float = 0.0
    leg_after_mm: float = 0.0

    @property
    def is_bend(self) -> bool:
        """Whether it is cut from a bend."""
        return self.angle_rad > 0.0

    @property
    def legs(self) -> tuple[float, ...]:
        """The legs it keeps [mm]."""
        return tuple(leg for leg in (self.leg_before_mm, self.leg_after_mm) if leg > ROUNDING)


@dataclass(frozen=True, slots=True)
class Cut:
    """One piece out of one unit of stock. A bend's ``from_rad`` .. ``to_rad`` count along the stock bend's arc from its
    first end; ``flipped`` says that the piece's downstream end looks to that first end. A stick's ``from_mm`` counts
    along the stick, or along leg 1 or 2 of a bend (``leg``) from the leg's free end."""

    piece: int
    name: str
    from_rad: float = 0.0
    to_rad: float = 0.0
    flipped: bool = False
    leg: int = 0
    from_mm: float = 0.0
    length_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Unit:
    """One bend or stick out of the stock, with what is cut from it and what is left: angle of arc [rad], and lengths of
    stick or of its two legs [mm]. ``number`` counts all units of a nest from 1, of whatever stock: bends first, then
    sticks, each in the order of the first piece that is cut from it."""

    stock: Stock
    number: int
    cuts: tuple[Cut, ...]
    left_rad: float
    left_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Nest:
    """What to buy and how to cut it. ``cost`` is what is paid, ``least`` what no plan for these pieces can be under;
    ``proven`` whether the two are one. Nothing is said of other pieces for the same pipe: a leg left on a bend or cut
    off, a straight in two sticks."""

    units: tuple[Unit, ...]
    cost: float
    least: float

    @property
    def proven(self) -> bool:
        """Whether, for these pieces, no plan costs less."""
        return self.cost - self.least <= 1e-6 * max(1.0, self.cost)

    @property
    def proof(self) -> str:
        """What is proved of the cost, in words."""
        return PROVED if self.proven else f"for these pieces no plan costs less than {self.least:g}"

    def of(self, piece: int) -> tuple[Unit, Cut] | None:
        """The unit that gives the piece of that number, and the cut."""
        return next(((u, c) for u in self.units for c in u.cuts if c.piece == piece), None)


def wanted_of(cuts: CutList) -> tuple[Wanted, ...]:
    """The pieces of a cut list that are cut from stock: parts are left out, a pie-cut bend wants a stick."""
    found = []
    for piece in cuts.pieces:
        if piece.kind is Kind.STRAIGHT:
            found.append(Wanted(piece.number, piece.name, piece.length_to_cut_mm))
        elif piece.kind is Kind.PIE_CUT and piece.pie is not None:
            found.append(Wanted(piece.number, piece.name, piece.pie.tube_length_mm))
        elif piece.kind is Kind.BEND:
            found.append(Wanted(piece.number, piece.name, 0.0, piece.bend_angle_rad, piece.radius_mm,
                                piece.leg_before_mm, piece.leg_after_mm))
    return tuple(found)


def suits(piece: Wanted, stock: Stock) -> bool:
    """Whether the piece can come from one such unit at all."""
    if isinstance(stock, StickStock):
        return not piece.is_bend and piece.length_mm <= stock.length_mm + ROUNDING
    if not piece.is_bend:
        return piece.length_mm <= stock.leg_mm + ROUNDING
    if abs(piece.radius_mm - stock.radius_mm) > SAME_MM or piece.angle_rad > stock.angle_rad + SAME_RAD:
        return False
    if any(leg > stock.leg_mm + ROUNDING for leg in piece.legs):
        return False
    return len(piece.legs) < 2 or abs(piece.angle_rad - stock.angle_rad) <= SAME_RAD


def why_not(piece: Wanted, stock: Sequence[Stock]) -> str:
    """Why no unit gives the piece, and the nearest that would."""
    if not piece.is_bend:
        longest = max((s.length_mm if isinstance(s, StickStock) else s.leg_mm for s in stock), default=0.0)
        return (f"{piece.name} (piece {piece.number}) is {piece.length_mm:.1f} mm long and the longest straight in "
                f"stock {longest:.0f} mm: list a longer stick")
    bends = [s for s in stock if isinstance(s, BendStock)]
    same = [s for s in bends if abs(s.radius_mm - piece.radius_mm) <= SAME_MM]
    what = f"{piece.name} (piece {piece.number}) turns {math.degrees(piece.angle_rad):.1f} deg"
    if not same:
        near = min(bends, key=lambda s: abs(s.radius_mm - piece.radius_mm), default=None)
        hint = "no bend is in stock" if near is None else f"the nearest is {near.name} at {near.radius_mm:g} mm"
        return f"{what} at a radius of {piece.radius_mm:g} mm, and {hint}"
    widest = max(same, key=lambda s: s.angle_rad)
    if piece.angle_rad > widest.angle_rad + SAME_RAD:
        return f"{what}; {widest.name} turns {math.degrees(widest.angle_rad):.0f} deg: list a wider bend or weld two"
    longest = max(s.leg_mm for s in same)
    most = max(piece.legs, default=0.0)
    if most > longest + ROUNDING:
        return (f"{what} and keeps a leg of {most:.1f} mm; the longest leg in stock is {longest:.0f} mm: weld a stick "
                "to a shorter leg")
    return (f"{what} and keeps both legs, so it needs a stock bend of just that angle: cut one leg off and weld a "
            "stick on")


def nest(wanted: Sequence[Wanted], stock: Sequence[Stock], kerf_mm: float = 0.0, seconds: float = 20.0) -> Nest:
    """Cut all pieces for the least money; among equals, from the fewest units. The pieces are taken as they are.

    The arc between two pieces loses one kerf, measured on the centre line. A leg that is kept is not cut from its arc.

    Parameters
    ----------
    wanted : sequence of Wanted
    stock : sequence of BendStock or StickStock
        all of one diameter and wall as the pieces
    kerf_mm : float
        what one cut takes [mm]
    seconds : float
        the solver's own limit; past it the best plan so far is given with the bound it had

    Raises
    ------
    NestingError
        when a piece comes from none of the stock, or what is to be had runs out; names the pieces
    ValueError
        for a kerf below 0

    Source: whole-number programme of assignment (textbook form, from memory), of cutting patterns where straight pieces
    come from one kind of stick; solved by scipy's HiGHS.
    """
    if not 0.0 <= kerf_mm < 20.0:
        raise ValueError(f"a kerf of {kerf_mm:g} mm is out of range: 0 mm to 20 mm")
    if not wanted:
        return Nest((), 0.0, 0.0)
    homeless = [p for p in wanted if not any(suits(p, s) for s in stock)]
    if homeless:
        raise NestingError("; ".join(why_not(p, stock) for p in homeless), [p.number for p in homeless])
    alone = _bar_alone(wanted, stock)
    if alone is not None:
        bends = tuple(p for p in wanted if p.is_bend)
        try:
            bars = _bars(tuple(p for p in wanted if not p.is_bend), alone, kerf_mm, seconds)
        except TooManyWaysError:
            pass  # the programme over single pieces below is slower and answers the same question
        else:
            rest = nest(bends, stock, kerf_mm, seconds)
            return Nest(_numbered((*rest.units, *bars.units)), rest.cost + bars.cost, rest.least + bars.least)
    plan = _Programme(tuple(wanted), _units(wanted, stock, kerf_mm), kerf_mm).solved(seconds)
    return replace(plan, units=_numbered(plan.units))


def _numbered(units: Sequence[Unit]) -> tuple[Unit, ...]:
    order = sorted(units, key=lambda u: (isinstance(u.stock, StickStock), min(c.piece for c in u.cuts)))
    return tuple(replace(u, number=k) for k, u in enumerate(order, 1))


def _bar_alone(wanted: Sequence[Wanted], stock: Sequence[Stock]) -> StickStock | None:
    """The one kind of stick that all straight pieces come from, when nothing else gives any and it never runs out."""
    homes = [s for s in stock if any(not p.is_bend and suits(p, s) for p in wanted)]
    if len(homes) == 1 and isinstance(homes[0], StickStock) and homes[0].count is None:
        return homes[0]
    return None


def _bars(wanted: Sequence[Wanted], s: StickStock, kerf_mm: float, seconds: float) -> Nest:
    """Straight pieces from sticks of one kind: over the ways to cut one stick, far fewer than places for each piece."""
    waiting: dict[float, list[Wanted]] = {}
    for piece in wanted:
        waiting.setdefault(piece.length_mm, []).append(piece)
    plan = fewest_bars(list(waiting), [len(v) for v in waiting.values()], s.length_mm, kerf_mm, seconds, _MOST_WAYS)
    units: list[Unit] = []
    for pattern, times in zip(plan.patterns, plan.times):
        for _ in range(int(times)):
            # a way may give more of a length than are still wanted
            held = [(same.pop(0), 0) for same, n in zip(waiting.values(), pattern) for _ in range(min(n, len(same)))]
            units.append(_stick_unit(s, len(units) + 1, held, kerf_mm))
    return Nest(tuple(units), plan.bars * s.price, plan.least * s.price)


def first_fit(wanted: Sequence[Wanted], stock: Sequence[Stock], kerf_mm: float = 0.0) -> float:
    """What the plain rule of the workshop costs: each piece, bends first and the largest first, out of the first opened
    unit with room, or out of the cheapest new one."""
    cost, _ = _first_fit(wanted, stock, kerf_mm)
    return cost


@dataclass(slots=True)
class _Open:
    stock: Stock
    room: float
    legs: list[float]


def _first_fit(wanted: Sequence[Wanted], stock: Sequence[Stock], kerf_mm: float) -> tuple[float, list[_Open]]:
    opened: list[_Open] = []
    taken = {id(s): 0 for s in stock}
    cost = 0.0
    for piece in sorted(wanted, key=lambda p: (-p.angle_rad, -p.length_mm, p.number)):
        if any(_take(unit, piece, kerf_mm) for unit in opened):
            continue
        for s in sorted(stock, key=lambda s: s.price):
            if s.count is not None and taken[id(s)] >= s.count:
                continue
            unit = _Open(s, s.angle_rad if isinstance(s, BendStock) else s.length_mm + kerf_mm,
                         [s.leg_mm, s.leg_mm] if isinstance(s, BendStock) else [])
            if suits(piece, s) and _take(unit, piece, kerf_mm):
                opened.append(unit)
                taken[id(s)] += 1
                cost += s.price
                break
        else:
            raise NestingError(f"{piece.name} (piece {piece.number}): what is to be had has run out", [piece.number])
    return cost, opened


def _take(unit: _Open, piece: Wanted, kerf_mm: float) -> bool:
    """Cut a piece out of an opened unit where there is room."""
    s = unit.stock
    if isinstance(s, StickStock):
        if piece.is_bend or piece.length_mm + kerf_mm > unit.room + ROUNDING:
            return False
        unit.room -= piece.length_mm + kerf_mm
        return True
    if not piece.is_bend:
        for k, leg in enumerate(unit.legs):
            if piece.length_mm + kerf_mm <= leg + ROUNDING:
                unit.legs[k] -= piece.length_mm + kerf_mm
                return True
        return False
    if not suits(piece, s):
        return False
    whole = unit.room >= s.angle_rad - ROUNDING
    need = piece.angle_rad + (0.0 if whole else kerf_mm / s.radius_mm)
    if need > unit.room + (SAME_RAD if whole else ROUNDING):
        return False
    free = [k for k, leg in enumerate(unit.legs) if leg >= s.leg_mm - ROUNDING]
    if len(piece.legs) > len(free):
        return False
    for k, leg in zip(free, piece.legs):
        unit.legs[k] -= leg + ROUNDING * 10.0
    unit.room -= need
    return True


def _units(wanted: Sequence[Wanted], stock: Sequence[Stock], kerf_mm: float) -> list[Stock]:
    """Units that a best plan may take from: of each kind as many as the plain rule would take for all that suits it,
    since what a best plan cuts from that kind would fit in as many."""
    units: list[Stock] = []
    for s in stock:
        fits = [p for p in wanted if suits(p, s) and (
            isinstance(s, StickStock) or p.is_bend or p.length_mm + kerf_mm <= s.leg_mm + ROUNDING)]
        plain = type(s)(**{f: getattr(s, f) for f in s.__slots__ if f != "count"}, count=None)
        most = len(_first_fit(fits, [plain], kerf_mm)[1]) if fits else 0
        units += [s] * (most if s.count is None else min(most, s.count))
    if len(units) > MOST_UNITS:
        raise NestingError(f"{len(wanted)} pieces could come from {len(units)} units; {MOST_UNITS} at most are weighed "
                           "up: nest one pipe at a time")
    return units


class _Programme:
    """The whole-number programme: a 0/1 for every piece in every place of every unit, and one for every unit opened.

    Places of a bend's arc: 0 keeps no leg, 1 and 2 keep the leg at that end, 3 keeps both. Places of a stick: 0 for a
    stick of stock, 1 and 2 for a leg of a bend.
    """

    def __init__(self, wanted: tuple[Wanted, ...], units: list[Stock], kerf_mm: float) -> None:
        self.wanted, self.units, self.kerf = wanted, units, kerf_mm
        self.spots: list[tuple[int, int, int]] = [
            (i, k, place) for i, p in enumerate(wanted) for k, s in enumerate(units) if suits(p, s)
            for place in self._places(p, s)]
        self.rows: list[tuple[list[int], list[float], float, float]] = []

    def _places(self, piece: Wanted, s: Stock) -> tuple[int, ...]:
        if isinstance(s, StickStock):
            return (0,)
        if not piece.is_bend:
            return (1, 2) if piece.length_mm + self.kerf <= s.leg_mm + ROUNDING else ()
        return ((0,), (1, 2), (3,))[len(piece.legs)]

    def _row(self, columns: list[int], values: list[float], low: float, high: float) -> None:
        self.rows.append((columns, values, low, high))

    def solved(self, seconds: float) -> Nest:
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import coo_matrix

        n = len(self.spots)
        columns = n + len(self.units)
        by_piece: dict[int, list[int]] = {}
        by_unit: dict[int, list[int]] = {}
        for j, (i, k, _place) in enumerate(self.spots):
            by_piece.setdefault(i, []).append(j)
            by_unit.setdefault(k, []).append(j)
        for i, piece in enumerate(self.wanted):
            if i not in by_piece:
                raise NestingError(f"{piece.name} (piece {piece.number}) leaves no room for the saw in any stock",
                                   [piece.number])
            self._row(by_piece[i], [1.0] * len(by_piece[i]), 1.0, 1.0)
        for k, s in enumerate(self.units):
            self._unit(k, s, by_unit.get(k, []), n + k)
            if k and self.units[k - 1] is s:
                self._row([n + k - 1, n + k], [1.0, -1.0], 0.0, np.inf)
        ends = np.cumsum([0, *(len(r[0]) for r in self.rows)])
        matrix = coo_matrix(
            (np.concatenate([r[1] for r in self.rows]),
             (np.repeat(np.arange(len(self.rows)), np.diff(ends)), np.concatenate([r[0] for r in self.rows]))),
            shape=(len(self.rows), columns)).tocsr()
        prices = np.array([s.price for s in self.units])
        # among plans of one price the fewest units, and never so much that it outweighs a price
        grain = 1e-4 * min([p for p in prices if p > 0.0], default=1.0) / max(len(self.units), 1)
        cost = np.concatenate([np.zeros(n), prices + grain])
        done = milp(cost, constraints=LinearConstraint(matrix, np.array([r[2] for r in self.rows]),
                                                       np.array([r[3] for r in self.rows])),
                    integrality=np.ones(columns), bounds=Bounds(0.0, 1.0),
                    options={"time_limit": seconds, "mip_rel_gap": 0.0})
        if done.x is None:
            if done.status == 2:
                raise NestingError("what is to be had does not give all the pieces; list more bends or sticks",
                                   [p.number for p in self.wanted])
            raise NestingError(f"no plan was found in {seconds:g} s; allow more time, or nest fewer pieces at once")
        return self._told(done.x[:n] > 0.5, done.x[n:] > 0.5, float(done.mip_dual_bound), grain)

    def _unit(self, k: int, s: Stock, mine: list[int], opened: int) -> None:
        kerf = self.kerf
        if isinstance(s, StickStock):
            need = [self.wanted[self.spots[j][0]].length_mm + kerf for j in mine]
            self._row([*mine, opened], [*need, -(s.length_mm + kerf)], -np.inf, ROUNDING)
            return
        arcs = [j for j in mine if self.wanted[self.spots[j][0]].is_bend]
        saw = kerf / s.radius_mm
        # a piece of just the stock's angle takes all of it, though measured a little over
        angles = [min(self.wanted[self.spots[j][0]].angle_rad, s.angle_rad) + saw for j in arcs]
        self._row([*arcs, opened], [*angles, -(s.angle_rad + saw)], -np.inf, ROUNDING)
        for end in (1, 2):
            keep = [j for j in arcs if self.spots[j][2] in (end, 3)]
            if keep:
                self._row([*keep, opened], [1.0] * len(keep) + [-1.0], -np.inf, 0.0)
            sticks = [j for j in mine if not self.wanted[self.spots[j][0]].is_bend and self.spots[j][2] == end]
            if not sticks and not keep:
                continue
            lengths = [self.wanted[self.spots[j][0]].length_mm + kerf for j in sticks]
            kept = [self._leg(j, end) for j in keep]
            self._row([*sticks, *keep, opened], [*lengths, *kept, -s.leg_mm], -np.inf, ROUNDING)

    def _leg(self, j: int, end: int) -> float:
        piece = self.wanted[self.spots[j][0]]
        return piece.legs[0] if len(piece.legs) == 1 else piece.legs[end - 1]

    def _told(self, chosen: NDArray[np.bool_], opened: NDArray[np.bool_], bound: float, grain: float) -> Nest:
        units: list[Unit] = []
        for k, s in enumerate(self.units):
            here = [self.spots[j] for j in np.flatnonzero(chosen) if self.spots[j][1] == k]
            if not here:
                continue
            held = [(self.wanted[i], place) for i, _k, place in here]
            number = len(units) + 1
            units.append(_stick_unit(s, number, held, self.kerf) if isinstance(s, StickStock)
                         else _bend_unit(s, number, held, self.kerf))
        cost = math.fsum(u.stock.price for u in units)
        least = max(0.0, bound - grain * len(units))
        return Nest(tuple(units), cost, min(least if cost - least > 1e-3 * grain + 1e-6 * cost else cost, cost))


def _stick_unit(s: StickStock, number: int, held: list[tuple[Wanted, int]], kerf: float) -> Unit:
    at, cuts = 0.0, []
    for piece, _place in sorted(held, key=lambda h: (-h[0].length_mm, h[0].number)):
        cuts.append(Cut(piece.number, piece.name, from_mm=at, length_mm=piece.length_mm))
        at += piece.length_mm + kerf
    return Unit(s, number, tuple(cuts), 0.0, (max(s.length_mm - at, 0.0),))


def _bend_unit(s: BendStock, number: int, held: list[tuple[Wanted, int]], kerf: float) -> Unit:
    saw = kerf / s.radius_mm
    arcs = [(p, place) for p, place in held if p.is_bend]
    first = [h for h in arcs if h[1] in (1, 3)]
    last = [h for h in arcs if h[1] == 2]
    middle = sorted((h for h in arcs if h[1] == 0), key=lambda h: (-h[0].angle_rad, h[0].number))
    cuts: list[Cut] = []
    legs = [s.leg_mm, s.leg_mm]
    at = 0.0
    for piece, place in (*first, *middle):
        to = s.angle_rad if place == 3 else min(at + piece.angle_rad, s.angle_rad)
        # the leg it keeps sits at the stock's first end
        flipped = place == 1 and piece.leg_after_mm > ROUNDING
        cuts.append(Cut(piece.number, piece.name, at, to, flipped))
        at = to + saw
    left = max(s.angle_rad - at, 0.0)
    for piece, _place in last:
        start = s.angle_rad - piece.angle_rad
        cuts.append(Cut(piece.number, piece.name, start, s.angle_rad, piece.leg_before_mm > ROUNDING))
        left = max(start - saw - at, 0.0)
    for piece, place in arcs:
        if place == 3:
            legs = [legs[0] - piece.legs[0], legs[1] - piece.legs[1]]
        elif place:
            legs[place - 1] -= piece.legs[0]
    used = [0.0, 0.0]
    for piece, place in sorted((h for h in held if not h[0].is_bend), key=lambda h: (-h[0].length_mm, h[0].number)):
        cuts.append(Cut(piece.number, piece.name, leg=place, from_mm=used[place - 1], length_mm=piece.length_mm))
        used[place - 1] += piece.length_mm + kerf
    return Unit(s, number, tuple(cuts), left, tuple(max(leg - u, 0.0) for leg, u in zip(legs, used, strict=True)))
