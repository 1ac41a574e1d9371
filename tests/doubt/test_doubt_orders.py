"""Sheet and page agree on whether an order may go out, on the example builds (invented)."""

from dataclasses import replace
from pathlib import Path

import pytest

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.checks.assembly import mate_findings
from trialfit.doubt import findings, hold_orders, weigh
from trialfit.doubt.gates import EXHAUST_JOINTS, Step, gates, leans_of_route
from trialfit.doubt.orders import METAL_OFF, findings_of, joints_of
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


def test_the_joints_of_an_order_are_those_its_goods_go_into(worked, request):
    results, _, _ = worked
    which = request.node.callspec.params["worked"]
    shaft = {m.joint.name for m in joints_of("driveshaft", results.mates)}
    axle = {m.joint.name for m in joints_of("differential", results.mates)}
    asked = {
        "estate": ({"slip yoke", "front joint in slip yoke", "front joint in shaft", "rear joint in shaft",
                    "rear joint in flange yoke", "flange yoke on pinion"},
                   {"axle shaft in carrier left", "axle shaft in carrier right"}),
        "flatbed": ({"shaft flange on gearbox", "front joint in flange", "front joint in shaft", "slip in the shaft",
                     "rear joint in shaft", "rear joint in pinion yoke"}, set()),
        "van": ({"front joint in shaft", "pinion joint in shaft"}, set()),
    }[which]
    assert (shaft, axle) == asked


def test_a_joint_that_does_not_fit_or_is_not_known_or_loses_metal_stops_the_order(worked):
    results, _, held = worked
    for order in held.orders:
        stops = {d.key.split(".")[1] for d in order.doubtful if d.blocks and d.key.startswith("mate.")}
        for mate in joints_of(order.kind, results.mates):
            own = mate.joint.name.replace(" ", "-")
            if mate.verdict in (Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL):
                assert own in stops
                assert not order.may_order
            if mate.verdict is Verdict.FITS:
                assert own not in stops


def test_a_joint_of_the_pipe_that_is_open_holds_the_cut(tmp_path):
    text = (EXAMPLES / "flatbed" / "build.yaml").read_text(encoding="utf-8")
    good = "tail pipe: {kind: pipe end, outside: pipe, wall: 0.065 in by calliper, form: plain, straight: 6 in by rule,"
    assert good in text
    path = tmp_path / "build.yaml"
    open_of = {}
    for name, body in (("as it is", text), ("galvanized", text.replace(
            f"{good}\n    material: stainless", f"{good}\n    material: galvanized steel"))):
        path.write_text(body, encoding="utf-8")
        results = run(load(path).build)
        plan = next(r.plan for r in results.routes)
        leans = leans_of_route(plan, results, findings(results, ()))
        open_of[name] = {f.name for f in leans if f.name.startswith("mate.") and f.verdict is not Verdict.FITS}
        assert sum(m.joint.kind in EXHAUST_JOINTS for m in results.mates) >= 4
    assert open_of == {"as it is": set(), "galvanized": {"mate.tail-pipe-on-muffler.metals"}}


def test_a_part_may_be_machined_when_no_joint_of_it_is_open(worked, request):
    results, weighed, held = worked
    free = {g.name: g for g in gates(held, findings(held, weighed), weighed) if g.step is Step.MACHINE}
    assert bool(free) is (request.node.callspec.params["worked"] != "van")  # nothing of the van is machined
    for mate in results.mates:
        gate = free.get(f"machine.{mate.joint.name.replace(' ', '-')}")
        if gate is None:
            continue
        parts = {w.part for a in mate.answers for w in a.works if w.kind in METAL_OFF}
        open_ = [m for m in results.mates if {m.joint.a_part, m.joint.b_part} & parts
                 and m.verdict in (Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL)]
        assert gate.may is not bool(open_)


def test_joints_whose_findings_would_be_named_alike_keep_their_own(worked):
    results, _, _ = worked
    first, second = results.mates[:2]
    called = [replace(m, joint=replace(m.joint, name=n)) for m, n in ((first, "!!"), (second, "??"))]
    mates = (*called, *results.mates[2:])
    (own,) = findings_of(called[1:], mates)
    assert own == "mate.joint-2."
    told = [f for f in mate_findings(mates) if f.name.startswith(own)]
    assert len(told) == len(second.answers)
    assert all(f.reason.startswith("??: ") for f in told)
