"""Sheet and page agree on whether an order may go out, on the example builds (invented)."""

from pathlib import Path

import pytest

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.doubt import findings, hold_orders, weigh
from trialfit.doubt.gates import Step, gates
from trialfit.findings import Verdict

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module", params=("estate", "flatbed", "van"))
def worked(request):
    results = run(load(EXAMPLES / request.param / "build.yaml").build)
    weighed = weigh(results, advise=False)
    return results, weighed, hold_orders(results, weighed)


def test_the_page_opens_the_gate_when_the_sheet_is_ready_and_not_before(worked):
    _, weighed, held = worked
    found = findings(held, weighed)
    orders = {f"order.{o.kind}": o for o in held.orders}
    told = [g for g in gates(held, found, weighed) if g.step is Step.ORDER]
    assert {g.name: g.may for g in told} == {name: o.may_order for name, o in orders.items()}
    for name, order in orders.items():
        own = next(f for f in found if f.name == name)
        assert (own.verdict is Verdict.FITS) is order.may_order
        assert bool(order.stop_reason[0]) is not order.may_order


def test_what_does_not_fit_of_the_shaft_stops_its_order_and_what_another_shaft_would_do_does_not(worked):
    results, _, held = worked
    shaft = next(o for o in held.orders if o.kind == "driveshaft")
    bad = {f.name for f in results.findings if f.name.startswith("shaft.") and f.verdict is Verdict.DOES_NOT_FIT}
    assert {d.key for d in shaft.doubtful if d.blocks} >= bad - {"shaft.one-piece"}
    assert "shaft.one-piece" not in {d.key for d in shaft.doubtful}
