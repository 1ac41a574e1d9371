"""Tube and hose ends: how they seal, which thread goes with which tube, what a use forbids, hose by what it carries."""

from dataclasses import dataclass, replace
from functools import cache

from trialfit.standards.rules import rule
from trialfit.standards.table import nearest, table
from trialfit.standards.thread_pairs import same_thread
from trialfit.standards.tube_sizes import INCH_MM, TubeSize, tube_called
from trialfit.sums import Ask, a_sum
from trialfit.units import nominal

USES = (
    "brake", "clutch", "fuel", "fuel injection", "steering", "steering return", "gearbox oil", "oil", "coolant",
    "vacuum", "vapour",
)
"""What a line can carry; each may forbid some ends."""
TAPER_THREADS = ("NPT", "NPTF", "BSPT")
"""Families that seal on the flanks of a taper thread."""
THREADLESS = ("quick connect", "hose tail", "barb", "plain tube")
"""Families without a thread of their own."""
CAUTION = (
    "Brake, clutch, steering and fuel lines kill when they part or leak: every joint is made with the parts of one "
    "family, held at full pressure and looked at for leaks, and checked by a qualified person before the road. Local "
    "rules and the maker's text come first."
)


@dataclass(frozen=True, slots=True)
class EndFamily:
    """How a family of ends seals. ``cone_deg`` is half the included angle of its flare, None where it has none or the
    angle was not seen; ``seals_on`` in words; ``male_side`` which part carries the outside thread."""

    name: str
    meaning: str
    standard: str
    cone_deg: float | None
    seals_on: str
    male_side: str
    status: str


@dataclass(frozen=True, slots=True)
class End:
    """One end of a fitting, hose, pipe or port: its family, its ``size`` (the tube it is made for, a pipe size or a
    dash number; "" when unknown), the thread ("" for none) and ``gender``, male when its thread is on the outside."""

    family: str
    size: str
    gender: str
    thread: str = ""

    def __str__(self) -> str:
        words = [self.thread, self.gender, self.family, f"for {self.size}" if self.size else ""]
        return " ".join(word for word in words if word)

    @property
    def told(self) -> str:
        """The end for a sentence whose lengths may be told in inches: its size is a name and stays."""
        return str(replace(self, size=nominal(self.size)))


@dataclass(frozen=True, slots=True)
class Ban:
    """Something that a use forbids: why, the kind of that rule (a key of ``ORIGINS``) and its source."""

    thing: str
    use: str
    reason: str
    kind: str
    source: str


@dataclass(frozen=True, slots=True)
class FlareLimits:
    """Diameter over a finished flare and the greatest wall it may be made from."""

    least_mm: float
    greatest_mm: float
    greatest_wall_mm: float


@dataclass(frozen=True, slots=True)
class HoseType:
    """A hose by its print: what it may carry, the pressure it takes on a barb (None when the source gives none), and
    whether it may be clamped on a barb at all."""

    name: str
    standard: str
    media: tuple[str, ...]
    pressure_mpa: float | None
    up_to_bore_mm: float | None
    over_pressure_mpa: float | None
    clamped: bool
    status: str

    def limit_mpa(self, bore_mm: float) -> float | None:
        """Greatest pressure [MPa] of that hose with a bore of ``bore_mm`` [mm]; None when its source gives none."""
        if self.up_to_bore_mm is not None and bore_mm > self.up_to_bore_mm + 1e-6:
            return self.over_pressure_mpa
        return self.pressure_mpa


PSI_MPA = 6.894757e-3


@cache
def end_families() -> dict[str, EndFamily]:
    """Every family of ends by its name.

    >>> end_families()["37 flare"].cone_deg
    37.0
    """
    return {
        r["family"]: EndFamily(
            r["family"], r["meaning"], r["standard"], float(r["cone_deg"]) if r["cone_deg"] else None, r["seals_on"],
            r["male_side"], r["status"],
        )
        for r in table("hose_end_families").rows
    }  # fmt: skip


def end_family(name: str) -> EndFamily:
    """The family of that name.

    Raises
    ------
    ValueError
        when there is none, naming the nearest
    """
    known = end_families()
    if name not in known:
        raise ValueError(f"no family of ends is called '{name}'; {nearest(name, known)}")
    return known[name]


@cache
def standard_ends() -> tuple[End, ...]:
    """Every end that a standard's table gives a thread for, male and female.

    >>> str(next(e for e in standard_ends() if e.family == "bubble"))
    'M10x1 male bubble for 4.75 mm'
    """
    return tuple(
        End(r["family"], r["size"], gender, r[gender])
        for r in table("hose_end_threads").rows
        for gender in ("male", "female")
    )


def standard_end(family: str, size: str, gender: str) -> End:
    """The end of that family, size and gender, with its thread.

    Parameters
    ----------
    family, size, gender : str
        a family of the table, a size as it stands there (``3/16 in``, ``4.75 mm``, ``1/8``), male or female

    Raises
    ------
    ValueError
        when the tables hold no such end, naming the sizes known

    >>> standard_end("37 flare", "3/8 in", "male").thread
    '9/16-18'
    """
    end_family(family)
    if gender not in {"male", "female"}:
        raise ValueError(f"an end is male or female, not '{gender}'")
    if family in THREADLESS:
        return End(family, size, gender)
    for end in standard_ends():
        if (end.family, end.size, end.gender) == (family, size, gender):
            return end
    sizes = ", ".join(e.size for e in standard_ends() if e.family == family and e.gender == gender)
    raise ValueError(f"no {family} end of size '{size}' is held; known: {sizes or 'none'}")


def tube_of(size: str) -> TubeSize | None:
    """The tube an end's size speaks of; None where it is a pipe size or a thread.

    >>> tube_of("6 mm L").outside_mm, tube_of("1/8") is None
    (6.0, True)
    """
    name = size.removesuffix(" L").removesuffix(" S")
    return tube_called(name) if name.endswith((" in", " mm")) or name.startswith("-") else None


def flare_limits(tube: str, form: str) -> FlareLimits:
    """What a finished 45 degree flare must measure across, by calliper.

    Parameters
    ----------
    tube : str
        inch tube, ``3/16 in``; 4.75 mm counts as it
    form : str
        single or double

    Raises
    ------
    ValueError
        for a tube that was not seen in the standard's table (over 5/16 in, metric), or another form

    Source: SAE J533, as excerpted.

    >>> flare_limits("3/16 in", "double").greatest_mm
    7.1
    """
    if form not in {"single", "double"}:
        raise ValueError(f"a flare is single or double, not '{form}'")
    name = "3/16 in" if tube == "4.75 mm" else tube
    held = table("flare_diameters")
    return FlareLimits(
        held.number(name, f"{form}_least_mm"), held.number(name, f"{form}_greatest_mm"),
        held.number(name, f"{form}_wall_mm"),
    )  # fmt: skip


def forbidden(thing: str, use: str) -> Ban | None:
    """Why that use forbids a family of ends or a tube material; None when nothing held forbids it.

    Fuel injection counts as fuel. What is not held is not thereby allowed: local rules come first.

    >>> forbidden("NPT", "brake").kind, forbidden("NPT", "oil")
    ('TRADE', None)
    """
    serves = "fuel" if use == "fuel injection" else use
    for r in table("forbidden_ends").rows:
        if r["thing"] == thing and r["use"] == serves:
            return Ban(thing, serves, r["reason"], r["kind"], r["source"])
    return None


@cache
def hose_types() -> dict[str, HoseType]:
    """Hose by its print.

    >>> round(hose_types()["J189"].pressure_mpa, 2)
    0.69
    """

    def psi(text: str) -> float | None:
        return float(text) * PSI_MPA if text else None

    return {
        r["hose"]: HoseType(
            r["hose"], r["standard"], tuple(r["media"].split(";")), psi(r["pressure_psi"]),
            float(r["up_to_bore_in"]) * INCH_MM if r["up_to_bore_in"] else None, psi(r["over_pressure_psi"]),
            r["clamped"] == "yes", r["status"],
        )
        for r in table("hose_types").rows
    }  # fmt: skip


_APART = {
    ("37 flare", "45 flare"): (
        "the cones differ by 8 deg, so they touch on a line: it leaks, and the flare cracks when it is pulled tighter; "
        "several sizes have the same thread, so they screw together all the same"
    ),
    ("bubble", "inverted flare"): (
        "a double flare is a hollow cone for a raised seat, a bubble flare is a nose for a hollow seat: neither fills "
        "the other, and it leaks or is crushed"
    ),
    ("bubble", "metric double flare"): (
        "a double flare is a hollow cone for a raised seat, a bubble flare is a nose for a hollow seat; both come "
        "under an M10x1 nut, so the thread does not tell them apart"
    ),
    ("inverted flare", "metric double flare"): (
        "the cones differ by 8 deg (45 and 37), so they touch on a line; a nut of the right thread does not mend that"
    ),
    ("37 flare", "inverted flare"): (
        "one is a 37 deg cone under a female nut, the other a 45 deg flare under a male nut"
    ),
    ("37 flare", "metric double flare"): (
        "one is a 37 deg cone outside under a female nut, the other a double flare under a male nut"
    ),
    ("45 flare", "inverted flare"): (
        "the angle is the same, but one has its cone outside under a female nut and the other its seat inside under a "
        "male nut"
    ),
    ("37 flare", "O-ring boss"): (
        "the thread of each size is the same, but a flare's cone has no O-ring to seal in the boss, and the boss has "
        "no cone"
    ),
    ("37 flare", "flat seat"): "a cone does not seal on a flat face, and a washer does not seal on a cone",
    ("37 flare", "face seal"): "a cone finds no cone in a flat face with an O-ring",
    ("45 flare", "O-ring boss"): "a flare's cone has no O-ring to seal in the boss, and the boss has no cone",
    ("O-ring boss", "metric O-ring"): (
        "one is an inch thread, the other a metric one; some are nearly as thick, start, and strip"
    ),
    ("flat seat", "metric O-ring"): (
        "the O-ring needs the chamfer that a flat-faced port has not, and a washer bridges the chamfer and is cut"
    ),
    ("O-ring boss", "flat seat"): (
        "the O-ring needs the chamfer that a flat-faced port has not, and a washer bridges the chamfer and is cut"
    ),
    ("O-ring boss", "parallel pipe"): "one is a unified thread, the other a pipe thread of 55 deg, and they seal apart",
    ("flat seat", "inverted flare"): "a washer needs a flat machined face; over a raised seat the bolt bottoms first",
    ("bubble", "flat seat"): "a washer needs a flat machined face, a bubble flare a hollow cone: neither finds its own",
    ("24 cone", "metric O-ring"): "a 24 deg cone does not seal in an O-ring chamfer though threads agree in some sizes",
    ("24 cone", "37 flare"): "24 deg cone against 37 deg flare, metric thread against inch thread",
    ("BSPT", "NPT"): "55 deg against 60 deg thread, most sizes of another pitch: they bind after few turns, and leak",
    ("BSPT", "NPTF"): "55 deg against 60 deg thread, most sizes of another pitch: they bind after few turns, and leak",
    ("BSPT", "parallel pipe"): (
        "a taper thread in a port cut for a washer seals on two turns only and splits the port when it is pulled up"
    ),
    ("NPT", "parallel pipe"): (
        "a taper thread of 60 deg in a parallel pipe thread of 55 deg: other pitch in most sizes, and nothing seals"
    ),
    ("NPTF", "parallel pipe"): (
        "a taper thread of 60 deg in a parallel pipe thread of 55 deg: other pitch in most sizes, and nothing seals"
    ),
    ("NPT", "O-ring boss"): (
        "a taper thread in a parallel O-ring port: it wedges and splits the port, and there is no O-ring to seal"
    ),
    ("NPTF", "O-ring boss"): (
        "a taper thread in a parallel O-ring port: it wedges and splits the port, and there is no O-ring to seal"
    ),
    ("NPT", "NPTF"): (
        "they screw together, but a dry-seal thread (NPTF) seals dry only with its own kind; with NPT it needs sealant"
    ),
    ("NPT", "flat seat"): "a taper thread wedges in a parallel port and splits it; the washer is never reached",
    ("NPT", "metric O-ring"): "a taper inch thread wedges in a parallel metric port and splits it",
    ("compression", "inverted flare"): "a squeezed sleeve has no flare to sit on the seat",
    ("37 flare", "compression"): "a squeezed sleeve has no flare to sit on the cone",
}
_BY_PAIR = {frozenset(pair): reason for pair, reason in _APART.items()}


def seats_go_together(a: str, b: str) -> tuple[bool, str]:
    """Whether two families of ends seal in one another, and the reason when they do not.

    >>> seats_go_together("37 flare", "37 flare")[0], seats_go_together("37 flare", "45 flare")[1][:29]
    (True, 'the cones differ by 8 deg, so')
    """
    first, second = end_family(a), end_family(b)
    if a == b:
        return True, f"both are {a}"
    why = _BY_PAIR.get(frozenset((a, b)))
    return False, why or f"{a} ({first.meaning}) does not seal in {b} ({second.meaning})"


def ends_go_together(a: End, b: End, choice: str | None = None) -> tuple[bool, str]:
    """Whether two ends make one tight joint: sealing form, gender, thread and tube must all agree.

    An unknown size is taken to agree, an unknown thread is not. Lengths, pressure and the state of seats are left out
    (unsafe side).

    Parameters
    ----------
    a, b : End
        the two ends
    choice : str or None
        version of the rule ``tube-size-same``

    Returns
    -------
    tuple of bool and str
        the reason names the first thing that disagrees

    >>> nut = End("inverted flare", "3/16 in", "male", "3/8-24")
    >>> ends_go_together(nut, End("bubble", "4.75 mm", "female", "M10x1"))[0]
    False
    >>> ends_go_together(nut, End("inverted flare", "3/16 in", "female", "3/8-24"))[0]
    True
    """
    same, reason = seats_go_together(a.family, b.family)
    if not same:
        return False, reason
    if a.gender == b.gender:
        return False, f"both threads are {a.gender}" if a.thread else f"both ends are {a.gender}"
    if a.family not in THREADLESS:
        if not a.thread or not b.thread:
            return False, "the thread of one end is not known"
        outside, inside = (a, b) if a.gender == "male" else (b, a)
        agree, reason = threads_agree(outside.thread, inside.thread)
        if not agree:
            return False, reason
    return _sizes_agree(a, b, rule("tube-size-same", choice).in_force.value)


def threads_agree(outside: str, inside: str) -> tuple[bool | None, str]:
    """As ``same_thread``, but for threads that no table holds: then the same designation is the same thread, and of two
    different ones None is said.

    >>> threads_agree("1/2-24", "1/2-24")[0], threads_agree("1/2-24", "5/8-24")[0]
    (True, None)
    """
    try:
        return same_thread(outside, inside)
    except ValueError as error:
        if outside == inside:
            return True, f"both are called {outside}, which no table here holds"
        return None, f"{error}"


def _sizes_agree(a: End, b: End, reach_mm: float) -> tuple[bool, str]:
    if not a.size or not b.size or a.size == b.size:
        return True, "form, thread and size agree"
    first, second = tube_of(a.size), tube_of(b.size)
    if first is None or second is None or a.size[-1:] in "LS" or b.size[-1:] in "LS":
        return False, f"one is of size {nominal(a.size)}, the other of {nominal(b.size)}"
    if abs(first.outside_mm - second.outside_mm) <= reach_mm:
        return True, "form, thread and size agree"
    return False, f"one is made for {nominal(a.size)} tube, the other for {nominal(b.size)}"


_TUBE = Ask("tube", "text", "tube, such as 3/16 in")
_FORM = Ask("form", "text", "form of the flare", "double", ("single", "double"))


@a_sum(
    "flare-least",
    title="Least diameter of a 45 degree flare",
    asks=(_TUBE, _FORM),
    gives="least diameter across the finished flare",
    dimension="length",
    unit="mm",
    words="looked up, never interpolated",
    source="SAE J533",
    caution=CAUTION,
)
def flare_least(tube: str, form: str = "double") -> float:
    """Least diameter [mm] across a finished 45 degree flare.

    Raises
    ------
    ValueError
        for a tube that was not seen in the standard's table

    Source: SAE J533, as excerpted.

    >>> flare_least("1/4 in")
    8.7
    """
    return flare_limits(tube, form).least_mm


@a_sum(
    "flare-greatest",
    title="Greatest diameter of a 45 degree flare",
    asks=(_TUBE, _FORM),
    gives="greatest diameter across the finished flare",
    dimension="length",
    unit="mm",
    words="looked up, never interpolated",
    source="SAE J533",
    caution=CAUTION,
)
def flare_greatest(tube: str, form: str = "double") -> float:
    """Greatest diameter [mm] across a finished 45 degree flare.

    Raises
    ------
    ValueError
        for a tube that was not seen in the standard's table

    Source: SAE J533, as excerpted.

    >>> flare_greatest("1/4 in", "single")
    8.3
    """
    return flare_limits(tube, form).greatest_mm


@a_sum(
    "flare-wall",
    title="Greatest wall for a 45 degree flare",
    asks=(_TUBE, _FORM),
    gives="greatest wall of the tube",
    dimension="length",
    unit="mm",
    words="looked up, never interpolated",
    source="SAE J533",
    caution=CAUTION,
)
def flare_wall(tube: str, form: str = "double") -> float:
    """Greatest wall [mm] from which a 45 degree flare may be made.

    Raises
    ------
    ValueError
        for a tube that was not seen in the standard's table

    Source: SAE J533, as excerpted.

    >>> flare_wall("3/16 in")
    0.71
    """
    return flare_limits(tube, form).greatest_wall_mm
