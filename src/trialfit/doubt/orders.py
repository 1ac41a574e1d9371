"""The orders of shaft and differential held back by what the doubt of the readings says of them, on paper as on the
page: one rule, so that no sheet says "ready" where the page says "not yet"."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from trialfit.checks import Results, order_finding
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


def leans_of(kind: str, found: Sequence[Finding]) -> list[Finding]:
    """The findings that an order leans on."""
    own = f"order.{kind}"
    return [f for f in found if f.name == own or f.name.startswith((f"{own}.", *LEANS.get(kind, ())))]


def hold_orders(results: Results, weighed: Iterable[Weighed]) -> Results:
    """The results with every order stopped by what does not fit of it, its own finding with it."""
    found = findings(results, weighed)
    orders = tuple(_held(order, leans_of(order.kind, found)) for order in results.orders)
    told = {f"order.{o.kind}": order_finding(results.build, o) for o in orders}
    return replace(results, orders=orders, findings=tuple(told.get(f.name, f) for f in results.findings))


def _held(order: Order, leans: Sequence[Finding]) -> Order:
    said = {d.reason.rstrip(".").casefold() for d in order.doubtful}
    stops = [Doubt(f.name, f.reason[:1].upper() + f.reason[1:], f.remedy or "mend it first", True) for f in leans
             if f.verdict is Verdict.DOES_NOT_FIT and f.name not in _ANOTHER_WAY and not f.name.startswith("order.")
             and f.reason.rstrip(".").casefold() not in said]
    return replace(order, doubtful=(*order.doubtful, *stops), may_order=order.may_order and not stops)


def judged(results: Results, weighed: Sequence[Weighed]) -> Results:
    """The results with what hangs on the doubt of the gaps: the gaps of the hot exhaust, then the orders."""
    return hold_orders(weigh_hot_gaps(results, weighed), weighed)
