"""One fact that the build file says in two places: told where the two differ, and not where they agree."""

from dataclasses import replace
from pathlib import Path

import pytest

from trialfit.buildfile import load
from trialfit.checks.said_twice import said_twice
from trialfit.findings import Verdict
from trialfit.vehicle import OrderAnswer, OrderSaid

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def build():
    return load(EXAMPLES / "flatbed" / "build.yaml").build


def told(build, **answers):
    """Findings for a shop's order that says so."""
    said = OrderSaid("exhaust_shop", tuple(OrderAnswer(key, value) for key, value in answers.items()))
    return said_twice(replace(build, orders=(said,)), build.routes[0])


def test_what_is_said_alike_is_not_told(build):
    assert said_twice(build, build.routes[0]) == ()
    # 180 hp under power and for the gas, rounded to whole kilowatts in the order
    assert told(build, cylinders=6.0, power=134e3, fuel="diesel", material="stainless 409") == ()


def test_cylinders_in_two_places(build):
    (one,) = told(build, cylinders=4.0)
    assert one.name == "order.exhaust-shop.main.cylinders"
    assert one.verdict is Verdict.CANNOT_TELL
    assert one.reason == ("cylinders of the engine: the file says 4 in the exhaust shop's order and 6 at idle, under "
                          "the hangers of main")
    assert "take one of the two out" in one.remedy


def test_power_beyond_what_rounding_does(build):
    (one,) = told(build, power=120e3)
    assert one.reason == "power of the engine: the file says 120 kW in the exhaust shop's order and 134 kW under power"
    making = build.routes[0].making
    other = replace(build.routes[0], making=replace(making, gas=replace(making.gas, power_w=150e3)))
    (gas,) = said_twice(replace(build, orders=()), other)
    assert gas.name == "exhaust.main.heat.power"
    assert "150 kW for the gas of main" in gas.reason


def test_fuel_and_material(build):
    assert "petrol in the exhaust shop's order and diesel" in told(build, fuel="petrol")[0].reason
    assert "titanium in the exhaust shop's order and 409" in told(build, material="titanium")[0].reason
    # a fuel of no table is a word that nobody can compare
    assert told(build, fuel="what the pump gives") == ()
