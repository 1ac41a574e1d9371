"""One fact of the engine or of the tube that the build file says in two places: told when the two do not agree.

In: the build and one route. Out: findings ``order.exhaust-shop.<route>.<fact>``, which stop the exhaust shop's order,
and ``exhaust.<route>.heat.power`` where the gas is reckoned for another power than the engine's.
"""

import math
from collections.abc import Iterator

from trialfit.driveline.order_fields import amount_words
from trialfit.findings import SURE, Finding, Place, Verdict
from trialfit.standards import table
from trialfit.vehicle import Build, OrderAnswer, Peak, RoutePlan

SHOP = "exhaust_shop"
ROUNDED = 0.01
"""Two figures of one power are one where they differ by no more than this share, as rounding does; common practice, no
source."""


def said_twice(build: Build, plan: RoutePlan) -> tuple[Finding, ...]:
    """What the file says of one exhaust and its engine twice and differently."""
    return (*_power(build, plan), *_counted(build, plan), *_words(build, plan))


def _answer(build: Build, key: str) -> OrderAnswer | None:
    return next((a for order in build.orders if order.kind == SHOP for a in order.answers if a.key == key), None)


def _clash(name: str, what: str, here: tuple[str, Place | None], there: str) -> Finding:
    return Finding(name, Verdict.CANNOT_TELL, f"{what}: the file says {here[0]} and {there}",
                   "mend the one that is wrong, or take one of the two out", where=here[1])


def _name(plan: RoutePlan, key: str) -> str:
    return f"order.exhaust-shop.{plan.name}.{key}"


def _apart(one_w: float, other_w: float, sd_w: float) -> bool:
    return abs(one_w - other_w) > max(SURE * sd_w, ROUNDED * max(one_w, other_w))


def _kw(watt: float) -> str:
    return amount_words(watt, "kW")


def _power(build: Build, plan: RoutePlan) -> Iterator[Finding]:
    peak: Peak | None = None if build.power is None else build.power.power
    gas = None if plan.making is None else plan.making.gas
    burnt = None if gas is None else gas.power_w
    if peak is not None and gas is not None and burnt is not None and _apart(burnt, peak.most.value,
                                                                            peak.most.sd or 0.0):
        yield _clash(f"exhaust.{plan.name}.heat.power", "power of the engine",
                     (f"{_kw(burnt)} for the gas of {plan.name}", gas.where), f"{_kw(peak.most.value)} under power")
    said = _answer(build, "power")
    if said is None or isinstance(said.value, str):
        return
    others = [(burnt, 0.0, f"for the gas of {plan.name}")] if burnt is not None else []
    if peak is not None:
        others.insert(0, (peak.most.value, peak.most.sd or 0.0, "under power"))
    for watt, sd, place in others:
        if _apart(said.value, watt, math.hypot(sd, said.sd or 0.0)):
            yield _clash(_name(plan, "power"), "power of the engine",
                         (f"{_kw(said.value)} in the exhaust shop's order", said.where), f"{_kw(watt)} {place}")
            return


def _counted(build: Build, plan: RoutePlan) -> Iterator[Finding]:
    said = _answer(build, "cylinders")
    hangers = None if plan.making is None else plan.making.hangers
    if said is None or isinstance(said.value, str) or hangers is None or hangers.cylinders is None:
        return
    if round(said.value) != hangers.cylinders:
        yield _clash(_name(plan, "cylinders"), "cylinders of the engine",
                     (f"{said.value:.0f} in the exhaust shop's order", said.where),
                     f"{hangers.cylinders} at idle, under the hangers of {plan.name}")


def _words(build: Build, plan: RoutePlan) -> Iterator[Finding]:
    making = plan.making
    if making is None:
        return
    fuel, material = _answer(build, "fuel"), _answer(build, "material")
    known = [str(row["fuel"]) for row in table("fuels").rows]
    if (making.gas is not None and fuel is not None and fuel.value in known and fuel.value != making.gas.fuel
            and making.gas.flow_kg_s is None):  # fmt: skip
        yield _clash(_name(plan, "fuel"), "fuel", (f"{fuel.value} in the exhaust shop's order", fuel.where),
                     f"{making.gas.fuel} for the gas of {plan.name} (petrol where it says none)")
    if making.material is not None and material is not None:
        usual = str(table("exhaust_tubes").row(making.material)["welding"])
        if material.value != usual:
            yield _clash(_name(plan, "material"), "material of the tube",
                         (f"{material.value} in the exhaust shop's order", material.where),
                         f"{making.material} ({usual}) under making of {plan.name}")
