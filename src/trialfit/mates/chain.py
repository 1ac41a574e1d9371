"""Which chain of standard fittings joins two unlike ends, and what it costs; or that there is none.

A chain is a walk through end types: an open end is met by a fitting's end that seals in it, and the fitting's other end
is then open. The cheapest walks are found exactly by Yen's method on that graph; no seat is mixed in any of them.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache, lru_cache
from itertools import islice
from typing import TYPE_CHECKING

from trialfit.standards import refuse_outside
from trialfit.standards.hose_ends import (
    CAUTION,
    THREADLESS,
    Ban,
    End,
    end_family,
    ends_go_together,
    forbidden,
    standard_end,
    standard_ends,
    tube_of,
)
from trialfit.standards.table import nearest, table
from trialfit.units import nominal

if TYPE_CHECKING:
    import networkx as nx

__all__ = [
    "BagItem", "Chain", "Chains", "Fitting", "MadeToOrder", "Middle", "Placed", "Weights", "bag_list",
    "cheapest_chains", "fittings", "mate_of",
]  # fmt: skip

MIDDLES = {"hose": "hose tail", "tube": "plain tube"}
"""What can lie between the ends of a run, and the family of the ends it has before fittings are put on."""
BRAKE_USES = ("brake", "clutch")
MOST_FITTINGS = 4
"""More fittings than that in a row are a leak waiting; have one made instead. Common practice, no source."""
_NARROWER_MM = 0.5
"""Tube up to so much thinner counts as the same line: 6 mm beside 1/4 in, 4.75 mm beside 3/16 in."""


@dataclass(frozen=True, slots=True)
class Fitting:
    """A standard fitting by its two ends. ``cost`` is relative to a plain union; ``length_mm`` how long it is between
    its ends; ``third`` the branch of a tee."""

    name: str
    form: str
    a: End
    b: End
    cost: float
    length_mm: float
    third: End | None = None

    def turned(self) -> "Fitting":
        """The same fitting with its ends called the other way round."""
        return Fitting(self.name, self.form, self.b, self.a, self.cost, self.length_mm, self.third)


@dataclass(frozen=True, slots=True)
class Middle:
    """What lies between the two ends of a run: a ``hose`` or ``tube`` of that size (a dash number for a hose, a tube's
    name for a tube), or a ``tee`` with its branch. An empty size leaves the choice open."""

    what: str
    size: str = ""


@dataclass(frozen=True, slots=True)
class Weights:
    """What a chain is judged by: each tight joint, each unit of relative cost, each millimetre, each thing that is made
    for a narrower line than the two ends. Our own choice: a joint counts twice a plain fitting, 50 mm of length count
    as much as one, and a narrow hose or fitting is taken only where nothing else joins them."""

    joint: float = 2.0
    cost: float = 1.0
    per_mm: float = 0.02
    narrow: float = 100.0


@dataclass(frozen=True, slots=True)
class Placed:
    """A fitting in its place in a chain: the end that meets what came before, and the end left open."""

    name: str
    form: str
    enters: End
    leaves: End
    cost: float
    length_mm: float


@dataclass(frozen=True, slots=True)
class Chain:
    """Fittings in order from one end to the other: how many joints must be tight, relative cost, length, and the weight
    they were ranked by. Without any fitting the two ends go together as they are."""

    placed: tuple[Placed, ...]
    joints: int
    cost: float
    length_mm: float
    weight: float

    def words(self) -> str:
        """The chain in one line.

        >>> Chain((), 1, 0.0, 0.0, 2.0).words()
        'no fitting: the ends go together'
        """
        if not self.placed:
            return "no fitting: the ends go together"
        return "; then ".join(f"{p.form} ({p.enters.told}) to ({p.leaves.told})" for p in self.placed)


@dataclass(frozen=True, slots=True)
class MadeToOrder:
    """A fitting that has to be made: its two ends, in words for a shop, and what must hold."""

    a: End
    b: End
    words: str


@dataclass(frozen=True, slots=True)
class Chains:
    """Best chains first, at most as many as were asked for. ``made`` is what to have made when there is none;
    ``refused`` why nothing may be made up at all; ``caution`` is printed with it."""

    best: tuple[Chain, ...]
    made: MadeToOrder | None = None
    refused: tuple[Ban, ...] = ()
    note: str = ""
    caution: str = CAUTION


@dataclass(frozen=True, slots=True)
class BagItem:
    """One line of the fittings bag list: line number on the vehicle, which of its ends, the fitting, thread, seat and
    tube, as a builder reads them off a bag's label."""

    line: str
    end: str
    fitting: str
    thread: str
    seat: str
    tube: str


@dataclass(frozen=True, slots=True)
class _Open:
    """A state of the walk: the open end, how many fittings were used, whether the middle is behind."""

    end: End
    used: int
    past: bool


@dataclass(frozen=True, slots=True)
class _Used:
    """A fitting on the walk, in one direction, from one state."""

    fitting: Fitting
    used: int
    past: bool
    start: End = field(default_factory=lambda: End("", "", ""))


_GOAL = "goal"


@cache
def fittings() -> tuple[Fitting, ...]:
    """Every fitting of the catalogue.

    >>> len(fittings()) > 250
    True
    """

    def end(row: dict[str, str], which: str) -> End | None:
        family = row[f"family_{which}"]
        return standard_end(family, row[f"size_{which}"], row[f"gender_{which}"]) if family else None

    found = []
    for r in table("fittings").rows:
        row = dict(r)
        a, b = end(row, "a"), end(row, "b")
        assert a is not None and b is not None  # noqa: PT018 - the table holds both ends of every fitting
        cost, length_mm = float(row["cost"]), float(row["length_mm"])
        found.append(Fitting(row["fitting"], row["form"], a, b, cost, length_mm, end(row, "third")))
    return tuple(found)


def mate_of(end: End) -> End:
    """The end that goes together with this one: the other gender, the thread to match.

    >>> str(mate_of(standard_end("BSPT", "1/8", "female")))
    'R1/8 male BSPT for 1/8'
    """
    other = "female" if end.gender == "male" else "male"
    if end.family in THREADLESS:
        return End(end.family, end.size, other)
    for known in standard_ends():
        if known.family == end.family and known.gender == other:
            twin = standard_end(known.family, known.size, end.gender)
            if twin.thread == end.thread and end.size in {"", known.size}:
                return known
    return End(end.family, end.size, other, end.thread)


def cheapest_chains(
    a: End,
    b: End,
    use: str = "",
    *,
    middle: Middle | None = None,
    how_many: int = 3,
    catalogue: tuple[Fitting, ...] | None = None,
    weights: Weights | None = None,
    most_fittings: int = MOST_FITTINGS,
) -> Chains:
    """The cheapest chains of standard fittings that join two ends, best first.

    Pressure rating, temperature, material and room for a spanner are left out (unsafe side): the maker's figures come
    first. Shut-off, elbows and branches are left out too, except a tee asked for as the middle.

    Parameters
    ----------
    a, b : End
        the ends that stay as they are: ports, hose ends, tube ends with their nuts
    use : str
        what the line carries; it excludes some families
    middle : Middle or None
        what must lie between; its own ends are plain tube or the tail of a hose
    how_many : int
        at most as many chains [-]
    catalogue : tuple of Fitting or None
        None for the packaged one
    weights : Weights or None
        None for the house's choice
    most_fittings : int
        longer chains are not offered; a run counts its two line ends but not the hose or tube itself [-]

    Returns
    -------
    Chains

    Raises
    ------
    ValueError
        for a middle that is not known, or a count outside 1 to 20

    Source: Yen's method, as in a general graph library; weights are our own choice.

    >>> nut = standard_end("inverted flare", "3/16 in", "male")
    >>> port = standard_end("bubble", "4.75 mm", "female")
    >>> cheapest_chains(nut, port, "brake").best[0].joints
    2
    """
    refuse_outside("how many", how_many, 1, 20, "")
    refuse_outside("most fittings", most_fittings, 1, 8, "")
    if middle is not None and middle.what not in {*MIDDLES, "tee"}:
        raise ValueError(f"a run has a hose, a tube or a tee in the middle, not '{middle.what}'")
    end_family(a.family), end_family(b.family)
    bans = tuple(ban for end in (a, b) if (ban := forbidden(end.family, use)) is not None)
    if bans:
        return Chains((), refused=bans)
    kept = fittings() if catalogue is None else catalogue
    best = _best(a, b, use, middle, how_many, kept, weights or Weights(), most_fittings)
    if best:
        return Chains(best, note="; ".join(w for w in (_narrow_words(best[0], a, b), _note(middle, use)) if w))
    return Chains((), made=_made(a, b, middle))


@lru_cache(maxsize=256)
def _best(
    a: End, b: End, use: str, middle: Middle | None, how_many: int, kept: tuple[Fitting, ...], weights: Weights,
    most: int,
) -> tuple[Chain, ...]:  # fmt: skip
    allowed = tuple(f for f in kept if not any(forbidden(e.family, use) for e in (f.a, f.b)))
    return tuple(islice(_chains(a, b, middle, allowed, weights, most), how_many))


def _line_mm(a: End, b: End) -> float:
    """Outside diameter [mm] of the thinner of the two tubes that the ends are made for; 0 when none is known."""
    known = [tube.outside_mm for end in (a, b) if (tube := tube_of(end.size)) is not None]
    return min(known, default=0.0)


def _is_narrow(end: End, line_mm: float) -> bool:
    tube = tube_of(end.size)
    return tube is not None and tube.outside_mm < line_mm - _NARROWER_MM


def _narrow_words(chain: Chain, a: End, b: End) -> str:
    """What to know when something in a chain is made for thinner tube than both ends; "" when nothing is."""
    line = _line_mm(a, b)
    sizes = dict.fromkeys(e.size for p in chain.placed for e in (p.enters, p.leaves) if _is_narrow(e, line))
    if not sizes:
        return ""
    names = " and ".join(nominal(size) for size in sizes)
    ends = " and ".join(dict.fromkeys(nominal(end.size) for end in (a, b) if end.size))
    return (f"it goes through {names}, narrower than the line ({ends}): its bore throttles the flow, so it will not do "
            "where the full flow is wanted; for that have a hose with both ends made")


def _note(middle: Middle | None, use: str) -> str:
    if middle is not None and middle.what == "hose" and use in BRAKE_USES:
        return "a brake or clutch hose is ordered as a marked assembly with these ends; it is never made up at home"
    return ""


def _made(a: End, b: End, middle: Middle | None) -> MadeToOrder:
    first, second = mate_of(a), mate_of(b)
    between = f", on a {middle.what} {nominal(middle.size)}".rstrip() if middle is not None else ""
    words = (
        f"none exists: have this made: one end {first.told} ({end_family(first.family).standard}), to meet {a.told}; "
        f"other end {second.told} ({end_family(second.family).standard}), to meet {b.told}{between}; bore not under "
        "the smaller of the two"
    )
    return MadeToOrder(first, second, words)


def _chains(
    a: End, b: End, middle: Middle | None, kept: tuple[Fitting, ...], weights: Weights, most: int
) -> Iterator[Chain]:
    start = _Open(a, 0, middle is None)
    import networkx as nx  # here, because it takes longer to load than most commands take to answer

    graph = _graph(start, b, middle, kept, weights, most)
    if start not in graph or _GOAL not in graph or not nx.has_path(graph, start, _GOAL):
        return
    useful = nx.descendants(graph, start) & nx.ancestors(graph, _GOAL) | {start, _GOAL}
    for path in nx.shortest_simple_paths(graph.subgraph(useful), start, _GOAL, weight="weight"):
        chain = _chain(path, weights, _line_mm(a, b))
        if not _goes_in_circles(chain, a):
            yield chain


def _goes_in_circles(chain: Chain, start: End) -> bool:
    ends = [start, *(p.leaves for p in chain.placed if p.form not in MIDDLES)]
    return len(set(ends)) != len(ends)


def _chain(path: list[object], weights: Weights, line_mm: float) -> Chain:
    placed = tuple(
        Placed(u.fitting.name, u.fitting.form, u.fitting.a, u.fitting.b, u.fitting.cost, u.fitting.length_mm)
        for u in path
        if isinstance(u, _Used)
    )
    joints, cost, length = len(placed) + 1, sum(p.cost for p in placed), sum(p.length_mm for p in placed)
    narrow = sum(_is_narrow(p.enters, line_mm) or _is_narrow(p.leaves, line_mm) for p in placed)
    weight = weights.joint * joints + weights.cost * cost + weights.per_mm * length + weights.narrow * narrow
    return Chain(placed, joints, cost, length, weight)


def _graph(
    start: _Open, goal: End, middle: Middle | None, kept: tuple[Fitting, ...], weights: Weights, most: int
) -> "nx.DiGraph[object]":
    """States and fittings as nodes; every way on costs its joint, its fitting and its length."""
    import networkx as nx

    through = _middles(middle, kept)
    line_mm = _line_mm(start.end, goal)
    # a tee is itself the middle, so it never counts as a plain fitting on the way
    plain: dict[tuple[str, str], list[Fitting]] = {}
    for f in kept:
        for way in _ways(f) if f.third is None else ():
            plain.setdefault((way.a.family, way.a.gender), []).append(way)
    graph: nx.DiGraph[object] = nx.DiGraph()
    todo, seen = [start], {start}
    while todo:
        state = todo.pop()
        if state.past and ends_go_together(state.end, goal)[0]:
            graph.add_edge(state, _GOAL, weight=weights.joint)
        onward = [] if state.past else [(way, True) for way in through]
        if state.used < most:
            other = "female" if state.end.gender == "male" else "male"
            onward += [(way, state.past) for way in plain.get((state.end.family, other), ())]
        for way, past in onward:
            if not _meets(state.end, way.a):
                continue
            is_line = way.form in MIDDLES
            node = _Used(way, state.used, past, state.end)
            after = _Open(way.b, state.used + (0 if is_line else 1), past)
            if after.used > most:
                continue
            price = weights.joint + weights.cost * way.cost + weights.per_mm * way.length_mm
            price += weights.narrow * (_is_narrow(way.a, line_mm) or _is_narrow(way.b, line_mm))
            graph.add_edge(state, node, weight=price)
            graph.add_edge(node, after, weight=0.0)
            if after not in seen:
                seen.add(after)
                todo.append(after)
    return graph


def _ways(fitting: Fitting) -> tuple[Fitting, ...]:
    return (fitting,) if fitting.a == fitting.b else (fitting, fitting.turned())


def _middles(middle: Middle | None, kept: tuple[Fitting, ...]) -> tuple[Fitting, ...]:
    if middle is None:
        return ()
    if middle.what == "tee":
        return tuple(way for f in kept if f.third is not None for way in _ways(f))
    family = MIDDLES[middle.what]
    sizes = sorted({e.size for f in kept for e in (f.a, f.b) if e.family == family})
    wanted = "3/16 in" if middle.size == "4.75 mm" else middle.size
    if wanted and wanted not in sizes:
        raise ValueError(f"no ends are held for a {middle.what} of size '{middle.size}'; {nearest(wanted, sizes)}")
    tails = [End(family, size, "male") for size in sizes if wanted in {"", size}]
    return tuple(Fitting(f"{middle.what} {tail.size}", middle.what, tail, tail, 0.0, 0.0) for tail in tails)


@cache
def _meets(a: End, b: End) -> bool:
    if a.family != b.family or a.gender == b.gender:
        return False
    return ends_go_together(a, b)[0]


def bag_list(line: str, chain: Chain) -> tuple[BagItem, ...]:
    """What goes into the bag for one line: each fitting with both its ends, in the order they are screwed together.

    Parameters
    ----------
    line : str
        number or name of the line on the vehicle
    chain : Chain
        what joins its ends

    Returns
    -------
    tuple of BagItem

    >>> port = standard_end("bubble", "4.75 mm", "female")
    >>> found = cheapest_chains(standard_end("inverted flare", "3/16 in", "male"), port, "brake")
    >>> [(i.end, i.thread) for i in bag_list("B3", found.best[0])]
    [('1 in', '3/8-24'), ('1 out', 'M10x1')]
    """
    return tuple(
        BagItem(line, f"{number} {side}", placed.name, end.thread, _seat(end), end.size)
        for number, placed in enumerate(chain.placed, start=1)
        for side, end in (("in", placed.enters), ("out", placed.leaves))
        if placed.form not in MIDDLES
    )


def _seat(end: End) -> str:
    family = end_family(end.family)
    angle = f", {family.cone_deg:g} deg" if family.cone_deg is not None else ""
    return f"{end.family}{angle}, {family.seals_on}"
