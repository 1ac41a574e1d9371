"""Bolts and welds: how the sums hang together, and what is refused."""

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialfit.standards import thread_called
from trialfit.structure import bolt_group_load, bolt_preload, bolt_preload_torque, bolt_torque_for_grade
from trialfit.sums import find_sum, work


def worked(name, **values):
    return work(find_sum(name), values, {}).value


@pytest.mark.parametrize("thread,grade", [("M8", "8.8"), ("M12x1.5", "10.9"), ("7/16-20", "5"), ("1/2-13", "8")])
def test_torque_by_grade_is_the_chain_of_its_parts(thread, grade):
    proof = worked("bolt-proof-load", thread=thread, grade=grade)
    area = worked("thread-stress-area", thread=thread)
    preload = bolt_preload(area, proof / area, 0.75)
    chain = bolt_preload_torque(preload, thread_called(thread).diameter_mm, 0.2)
    assert bolt_torque_for_grade(thread, grade, 0.75, 0.2) == pytest.approx(chain)
    assert worked("bolt-breaking-load", thread=thread, grade=grade) > proof


@pytest.mark.parametrize("thread,grade", [("M10", "5"), ("3/8-24", "8.8")])
def test_metric_grades_and_inch_threads_do_not_mix(thread, grade):
    with pytest.raises(ValueError, match=f"grade {grade} is for (metric|unified) bolts and {thread} is a"):
        worked("bolt-proof-load", thread=thread, grade=grade)


def test_scatter_of_k_is_the_scatter_of_the_torque():
    result = work(find_sum("bolt-preload-torque"), {"preload": 25e3, "diameter": 10.0}, {"factor": 0.02})
    assert result.sd == pytest.approx(0.1 * result.value)


@given(st.floats(100.0, 1e4), st.floats(1e3, 1e6), st.floats(20.0, 200.0), st.integers(2, 12), st.floats(-7.0, 7.0))
def test_bolt_group_is_a_vector_sum(force, moment, radius, count, between):
    direct = np.array([force / count, 0.0])
    turned = moment / (count * radius) * np.array([math.cos(between), math.sin(between)])
    told = bolt_group_load(force, moment, radius, float(count), between)
    assert told == pytest.approx(float(np.linalg.norm(direct + turned)), rel=1e-9, abs=1e-6)


@given(st.floats(1e3, 5e4), st.floats(1.0, 1e4), st.floats(0.05, 0.9))
def test_load_factor_is_where_the_yield_factor_comes_to_one(preload, load, share):
    area, proof = 84.3, 1e3
    n = worked("bolt-load-factor", preload=preload, load=load, stiffness_constant=share, area=area, proof=proof)
    at = worked("bolt-yield-factor", preload=preload, load=load * n, stiffness_constant=share, area=area, proof=proof)
    assert at == pytest.approx(1.0)


def test_joint_opens_when_its_members_are_no_longer_pressed():
    preload, share = 20e3, 0.3
    n = worked("joint-separation-factor", preload=preload, load=5e3, stiffness_constant=share)
    assert preload - (1.0 - share) * 5e3 * n == pytest.approx(0.0, abs=1e-9)


def test_ring_weld_by_summing_pieces_of_throat():
    leg, radius, count = 4.0, 38.0, 7200
    piece = 0.707 * leg * 2.0 * math.pi * radius / count
    assert worked("ring-weld-second-moment", leg=leg, radius=radius) == pytest.approx(piece * radius**2 * count)
    stress = worked("ring-weld-stress", torque=5e5, leg=leg, radius=radius)
    assert stress * piece * count * radius == pytest.approx(5e5)


JOINT = {"preload": 2e4, "load": 5e3, "stiffness_constant": 0.3}


@pytest.mark.parametrize("name,values,said", [
    ("bolt-preload-torque", {"preload": 0.0, "diameter": 10.0}, "preload is 0 N; it must be more than 0 N"),
    ("bolt-preload-torque", {"preload": 1.0, "diameter": 10.0, "factor": 0.9},
     "factor is 0.9; it must lie between 0.05 and 0.5"),
    ("bolt-preload", {"area": 50.0, "proof": 600.0, "share": 1.1},
     "share is 1.1; it must be more than 0 and at most 1"),
    ("bolt-proof-load", {"thread": "M10", "grade": "9.9"}, "no bolt grade is called '9.9'"),
    ("bolt-proof-load", {"thread": "M11", "grade": "8.8"}, "no metric thread 'M11' is in the table"),
    ("thread-engagement", {"area": 50.0, "diameter": 10.0, "pitch": 6.0},
     "pitch is 6 mm; it must be more than 0 mm and at most 5 mm"),
    ("bolt-circle-load", {"torque": 1.0, "radius": 1.0, "count": 2.5},
     "count is 2.5; it must be a whole number of at least 2 bolts"),
    ("bolt-circle-load", {"torque": 1.0, "radius": 0.0, "count": 4.0}, "radius is 0 mm; it must be more than 0 mm"),
    ("joint-separation-factor", {**JOINT, "stiffness_constant": 1.0},
     "stiffness constant is 1; it must be more than 0"),
    ("joint-separation-factor", {**JOINT, "load": 0.0}, "load is 0 N; it must be more than 0 N"),
    ("bolt-service-stress", {**JOINT, "area": -1.0}, "area is -1 mm2; it must be more than 0 mm2"),
    ("joint-stiffness-constant", {"bolt": 0.0, "members": 1.0}, "bolt is 0 N/mm; it must be more than 0 N/mm"),
    ("fillet-weld-load", {"leg": 0.0, "length": 1.0, "stress": 1.0}, "leg is 0 mm; it must be more than 0 mm"),
    ("ring-weld-stress", {"torque": 0.0, "leg": 1.0, "radius": 1.0}, "torque is 0 N*m; it must be more than 0 N*m"),
])  # fmt: skip
def test_refused(name, values, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        work(find_sum(name), values, {})
