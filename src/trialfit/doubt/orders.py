"""The orders of shaft and differential held back by what the doubt of the readings says of them, on paper as on the
page: one rule, so that no sheet says "ready" where the page says "not yet"."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from trialfit.checks import Results, order_finding
from trialfit.checks.assembly import MateResult, mate_names
from trialfit.doubt.gaps import Weighed
from trialfit.doubt.hot import weigh_hot_gaps
from trialfit.doubt.verdicts import findings
from trialfit.driveline.order_fields import Doubt, Order
from trialfit.findings import Finding, Verdict

LEANS = {"driveshaft": ("shaft.", "gap.shaft", "pinion.", "survey.suspect.", "travel."),
         "differential": ("ring-and-pinion", "gearing.axle-ratio", "gearing.turns-test")}
"""What each order leans on, by the beginnings of the findings' names."""
_ANOTHER_WAY = ("shaft.one-piece",)
"""Of the shaft as it might be made instead, not as it is ordered."""
METAL_OFF = ("turn down", "open up", "redrill", "slot", "shorten", "chase", "drill")
"""Work on a joint that takes metal away: the rest can be done again."""


def leans_of(kind: str, found: Sequence[Finding], mates: Sequence[MateResult] = ()) -> list[Finding]:
    """The findings that an order leans on, those of the joints that its goods go into among them."""
    own = f"order.{kind}"
    joints = findings_of(joints_of(kind, mates), mates)
    return [f for f in found if f.name == own or f.name.startswith((f"{own}.", *LEANS.get(kind, ()), *joints))]


def findings_of(some: Sequence[MateResult], mates: Sequence[MateResult]) -> tuple[str, ...]:
    """How the findings of some of the build's joints begin, with the dot."""
    wanted = {mate.joint.name for mate in some}
    return tuple(f"{name}." for name, m in zip(mate_names(mates), mates, strict=True) if m.joint.name in wanted)


def joints_of(kind: str, mates: Sequence[MateResult]) -> list[MateResult]:
    """The joints that what is ordered goes into: of a driveshaft every cross in its yoke, and the flanges and splines
    of the parts that such a cross is in; of a differential the splines of the parts that the driveshaft's joints do
    not touch, its shafts in their gears."""
    crosses = {p for m in mates if m.joint.kind == "joint in yoke" for p in m.joint.parts}
    shaft = [m for m in mates if m.joint.kind == "joint in yoke"
             or (m.joint.kind in ("flange on flange", "spline in spline") and crosses & m.joint.parts)]
    if kind == "driveshaft":
        return shaft
    if kind != "differential":
        return []
    touched = {p for m in shaft for p in m.joint.parts}
    return [m for m in mates if m.joint.kind == "spline in spline" and not touched & m.joint.parts]


def _open_joints(kind: str, mates: Sequence[MateResult]) -> tuple[str, ...]:
    """How the findings begin of joints that hold an order: what fits not, what cannot be told, what metal has to be
    taken off for."""
    return findings_of([m for m in joints_of(kind, mates) if m.verdict in (Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL)
                        or any(w.kind in METAL_OFF for answer in m.answers for w in answer.works)], mates)  # fmt: skip


def hold_orders(results: Results, weighed: Iterable[Weighed]) -> Results:
    """The results with every order stopped by what does not fit of it, its own finding with it."""
    found = findings(results, weighed)
    orders = tuple(_held(order, leans_of(order.kind, found, results.mates), _open_joints(order.kind, results.mates))
                   for order in results.orders)
    told = {f"order.{o.kind}": order_finding(results.build, o) for o in orders}
    return replace(results, orders=orders, findings=tuple(told.get(f.name, f) for f in results.findings))


def _held(order: Order, leans: Sequence[Finding], open_joints: tuple[str, ...]) -> Order:
    said = {d.reason.rstrip(".").casefold() for d in order.doubtful}
    stops: list[Doubt] = []
    for f in leans:
        if f.name in _ANOTHER_WAY or f.name.startswith("order.") or f.reason.rstrip(".").casefold() in said:
            continue
        if f.name.startswith("mate."):
            if f.verdict is Verdict.FITS:
                continue
            stops.append(_doubt(f, f.name.startswith(open_joints)))
        elif f.verdict is Verdict.DOES_NOT_FIT:
            stops.append(_doubt(f, True))
    return replace(order, doubtful=(*order.doubtful, *stops),
                   may_order=order.may_order and not any(d.blocks for d in stops))  # fmt: skip


def _doubt(found: Finding, blocks: bool) -> Doubt:
    return Doubt(found.name, found.reason[:1].upper() + found.reason[1:], found.remedy or "mend it first", blocks)


def judged(results: Results, weighed: Sequence[Weighed]) -> Results:
    """The results with what hangs on the doubt of the gaps: the gaps of the hot exhaust, then the orders."""
    return hold_orders(weigh_hot_gaps(results, weighed), weighed)
