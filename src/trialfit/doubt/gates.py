"""One-way steps that a build is known to hold, each behind the findings it leans on.

Cutting the pieces of an exhaust, ordering the shaft, ordering the differential, machining a part for a joint. What is
left out: the order of work, and that a step needs another done first; the full hold points know those. What no reading
checks is not counted against a cut, as on the cut list, which errs to opening a gate too early: measure twice.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from trialfit.checks import Results, route_name, slug
from trialfit.checks.assembly import MateResult, mate_names
from trialfit.doubt.gaps import Weighed
from trialfit.doubt.odds import ENOUGH, odds_of
from trialfit.doubt.orders import METAL_OFF, findings_of, leans_of
from trialfit.doubt.verdicts import HELPS, asked
from trialfit.findings import Finding, Verdict, worst_first
from trialfit.vehicle import RoutePlan


class Step(StrEnum):
    """What cannot be taken back."""

    CUT = "cut"
    ORDER = "order"
    MACHINE = "machine"


@dataclass(frozen=True, slots=True)
class Gate:
    """A one-way step and whether it may be taken.

    ``odds`` is the probability that the worst of the findings that hold it comes out right, None when it is free or one
    of them has no odds; ``again`` the reading that raises it most, with the odds after it in ``then``. ``station_mm``
    is where on the vehicle, None when no hardpoint says so. ``leans`` stand worst first.
    """

    name: str
    step: Step
    what: str
    may: bool
    leans: tuple[Finding, ...]
    odds: float | None = None
    again: str = ""
    then: float | None = None
    stem: tuple[str, tuple[str, ...], str] = ("", (), "")
    """kind, hardpoints and size of the reading that helps most"""
    station_mm: float | None = None

    @property
    def words(self) -> str:
        """What the gate says.

        >>> Gate("cut.main", Step.CUT, "pieces of the exhaust main", False, ()).words
        'Do not cut yet'
        """
        return f"You may {self.step}" if self.may else f"Do not {self.step} yet"


def gates(results: Results, findings: Sequence[Finding], weighed: Iterable[Weighed] = ()) -> tuple[Gate, ...]:
    """Every one-way step that the build is known to hold, front to back; those without a station last.

    Parameters
    ----------
    findings : sequence of Finding
        of the whole build, with those of the gaps
    weighed : iterable of Weighed
        the gaps with their doubt, for the reading that helps most

    Source: the rule that what is open holds a step back is our own; see docs/decisions.
    """
    known = {f"gap.{w.answer.pair.name}": w for w in weighed}
    made = [*_cuts(results, findings, known), *_orders(results, findings, known),
            *_machining(results.mates, findings, known)]  # fmt: skip
    return tuple(sorted(made, key=lambda g: (g.station_mm is None, g.station_mm or 0.0, g.name)))


EXHAUST_JOINTS = ("pipe to pipe", "V-band", "exhaust flange to flange")
"""Kinds of joint whose mend may change the pieces of an exhaust: a cone, an overlap, another pipe."""
_WAITING = Finding("exhaust.waiting", Verdict.CANNOT_TELL, "hangers and ways out are not worked out yet",
                   "wait until they are, or run trialfit make")
_AFTER_THE_CUT = ("stock", "heat", "cone")
"""Work of these is bought, set beside the pipe, or put at its end: the pieces stay as they are."""
_IN_THE_PIPE = ("choice", "outlet", "weld", "sag", "mass", "library", "growth")
"""What of the hangers may want a bellows, or the pipe laid elsewhere, or keeps that from being known; the rest is
rubber, rods and brackets."""
_ANYWHERE = ("travel.", "scan.", "shape.")
"""What keeps gaps from being known at all."""


def touches_route(route: str, finding: Finding) -> bool:
    """Whether a finding may hold back the cut of an exhaust, for its mend may change the pieces; ``route`` is its name
    among the things (``exhaust.main``), and its parts' names begin with it."""
    name = finding.name
    about, _, which = name.removeprefix(f"{route}.").partition(".") if name.startswith(f"{route}.") else ("", "", "")
    if finding.verdict is Verdict.FITS_AFTER_WORK and about in _AFTER_THE_CUT:
        return False
    if about == "hanger" and which not in _IN_THE_PIPE:
        return False
    own = slug(route)
    return (bool(about) or name.startswith(_ANYWHERE)
            or any(part == own or part.startswith(f"{own}-") for part in name.split("."))
            or (name.startswith("survey.") and not name.startswith(("survey.unchecked", "survey.global"))))


def leans_of_route(plan: RoutePlan, results: Results, findings: Sequence[Finding]) -> list[Finding]:
    """What the cut of an exhaust leans on, worst first; where hangers and ways out wait to be worked out, that too.

    A joint of the pipe's ends (``EXHAUST_JOINTS``) that does not fit as it is changes the pieces: it holds every
    exhaust of the build, for a joint does not say of which it is, which errs to holding one too many.
    """
    waiting = [_WAITING for m in results.makings if m.route == plan.name and m.waiting]
    joints = findings_of([m for m in results.mates if m.joint.kind in EXHAUST_JOINTS], results.mates)
    return worst_first([*waiting, *(f for f in findings if touches_route(route_name(plan), f)
                                    or f.name.startswith(joints))])  # fmt: skip


def _cuts(results: Results, findings: Sequence[Finding], known: dict[str, Weighed]) -> list[Gate]:
    made: list[Gate] = []
    for route in results.routes:
        if route.centreline is None:
            continue
        leans = tuple(leans_of_route(route.plan, results, findings))
        may = all(f.verdict is Verdict.FITS for f in leans)
        station = _station_of(leans, known)
        if station is None and len(route.points_mm):
            station = float(route.points_mm[:, 0].mean())
        made.append(_gate(f"cut.{route.plan.name}", Step.CUT, f"the pieces of exhaust {route.plan.name}", may, leans,
                          station, known))
    return made


def _orders(results: Results, findings: Sequence[Finding], known: dict[str, Weighed]) -> list[Gate]:
    made: list[Gate] = []
    for order in results.orders:
        leans = worst_first(leans_of(order.kind, findings, results.mates))
        what = "the driveshaft" if order.kind == "driveshaft" else "the gears of the differential"
        made.append(_gate(f"order.{order.kind}", Step.ORDER, what, order.may_order, tuple(leans),
                          _shaft_station(results, order.kind), known))
    return made


def _of_the_parts(mate: MateResult, parts: set[str], mates: Sequence[MateResult], findings: Sequence[Finding]
                  ) -> list[Finding]:  # fmt: skip
    """Findings of a joint, and what does not fit or cannot be told of every other joint of the parts to be worked: a
    part goes to the shop once, and the shop's sheet stops at the same."""
    own = findings_of([mate], mates)
    others = findings_of([m for m in mates if parts & m.joint.parts], mates)
    open_ = (Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL)
    return [f for f in findings if f.name.startswith(own) or (f.verdict in open_ and f.name.startswith(others))]


def _machining(mates: Sequence[MateResult], findings: Sequence[Finding], known: dict[str, Weighed]) -> list[Gate]:
    made: list[Gate] = []
    for name, mate in zip(mate_names(mates), mates, strict=True):
        works = [w for answer in mate.answers for w in answer.works if w.kind in METAL_OFF]
        if not works:
            continue
        parts = list(dict.fromkeys(work.part for work in works))
        leans = tuple(worst_first(_of_the_parts(mate, set(parts), mates, findings)))
        may = bool(leans) and all(f.verdict in (Verdict.FITS, Verdict.FITS_AFTER_WORK) for f in leans)
        made.append(_gate(f"machine.{name.removeprefix('mate.')}", Step.MACHINE,
                          f"{' and '.join(parts)}, for {mate.joint.name}", may, leans, None, known))
    return made


def _gate(name: str, step: Step, what: str, may: bool, leans: tuple[Finding, ...], station: float | None,
          known: dict[str, Weighed]) -> Gate:  # fmt: skip
    # work still to be done has a margin below nought as things stand; it says nothing of how the step comes out
    open_ = [f for f in leans if f.verdict not in (Verdict.FITS, Verdict.FITS_AFTER_WORK)]
    numbered = [(odds_of(f.margin, f.sd), f) for f in open_ if f.margin is not None and f.sd is not None]
    if may or not numbered or len(numbered) < len(open_) or max(o for o, _ in numbered) >= ENOUGH:
        # something that has no odds holds it, such as a travel that is not written down
        return Gate(name, step, what, may, leans, station_mm=station)
    odds, worst = min(numbered, key=lambda pair: pair[0])
    again, then = "", None
    stem: tuple[str, tuple[str, ...], str] = ("", (), "")
    w = known.get(worst.name)
    if not may and w is not None and w.advice and worst.margin is not None:
        best = w.advice[0]
        if best.after_mm <= HELPS * best.before_mm:
            again, stem = asked(best), (best.kind.value, best.points, best.size)
            rest = sorted(o for o, f in numbered if f is not worst)
            then = min([odds_of(worst.margin, best.after_mm), *rest[:1]])
    return Gate(name, step, what, may, leans, odds, again, then, stem, station)


def _station_of(leans: Iterable[Finding], known: dict[str, Weighed]) -> float | None:
    """Where the worst gap that a step leans on is smallest [mm]."""
    for f in leans:
        w = known.get(f.name)
        if w is not None and f.verdict is not Verdict.FITS and w.answer.closed:
            return 0.5 * (w.answer.at_a[0] + w.answer.at_b[0])
    return None


def _shaft_station(results: Results, kind: str) -> float | None:
    ends = results.build.shaft_ends()
    if ends is None:
        return None
    (front, _), (rear, _) = ends
    if front not in results.points or rear not in results.points:
        return None
    if kind != "driveshaft":
        return float(results.points[rear][0])
    return 0.5 * float(results.points[front][0] + results.points[rear][0])
