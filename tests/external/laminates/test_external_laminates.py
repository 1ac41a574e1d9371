"""Stiffness of plies and laminates.

Works: values collected on measured plies (D02-28 to D02-30); Mechanics of Composite Materials, A. K. Kaw, examples 2.6
and 4.3 (from memory: 60 deg lamina, [0/30/-45] laminate of 5 mm plies); Fiber-Reinforced Composites, P. K. Mallick,
3rd ed., example 3.7, as worked in a general library's notebook ([45/-45] and [45/0/-45], 6 mm plies); composipy 1.7.5,
run apart. Kinds: from memory; published example; another route to the answer.
"""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from trialfit.driveline.laminate import Ply, laminate_stiffness, listed_plies, ply_stiffness_mpa, wound, wound_range
from trialfit.standards import table

KAW = Ply("graphite and epoxy", 181e3, 10.3e3, 7.17e3, 0.28, 1.6e-6)
MALLICK = Ply("carbon and epoxy", 133440.0, 8784.383318544811, 3254.2024654463954, 0.26, 1.6e-6)
DEG = math.pi / 180.0


def test_value_of_laminates(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)


def test_plies_as_measured():
    # D02-28, D02-29: standard's table (here: the papers' tables)
    rows = {p.name: p for p in listed_plies()}
    assert [rows["carbon-a"].e1_mpa, rows["carbon-a"].e2_mpa, rows["carbon-a"].g12_mpa] == [103e3, 7360.0, 4040.0]
    assert [rows["carbon-b"].e1_mpa, rows["carbon-b"].e2_mpa, rows["carbon-b"].g12_mpa] == [109e3, 8820.0, 4315.0]
    assert all("seen" in row["status"] for row in table("plies").rows)


@pytest.mark.parametrize("i,j,printed_gpa", [
    (0, 0, 23.65), (0, 1, 32.46), (0, 2, 20.05), (1, 1, 109.4), (1, 2, 54.19), (2, 2, 36.74),
])  # fmt: skip
def test_kaw_example_2_6_lamina_at_60_deg(i, j, printed_gpa):
    assert ply_stiffness_mpa(KAW, 60.0 * DEG)[i, j] / 1e3 == pytest.approx(printed_gpa, rel=1e-3)


@pytest.mark.parametrize("i,j,printed", [
    (0, 0, 1.739e9), (0, 1, 3.884e8), (0, 2, 5.663e7), (1, 1, 4.533e8), (1, 2, -1.141e8), (2, 2, 4.525e8),
])  # fmt: skip
def test_kaw_example_4_3_laminate_0_30_minus_45(i, j, printed):
    stack = laminate_stiffness(tuple((KAW, angle * DEG, 5.0) for angle in (0.0, 30.0, -45.0)))
    assert stack[i, j] * 1e3 == pytest.approx(printed, rel=5e-4)  # N/mm to Pa m


@pytest.mark.parametrize("i,j,printed_gpa", [(0, 0, 40.1163090), (0, 1, 33.6079041), (0, 2, 31.3032073),
                                             (2, 2, 34.5679576)])  # fmt: skip
def test_mallick_lamina_at_45_deg(i, j, printed_gpa):
    for side in (1.0, -1.0):
        sign = side if j == 2 and i != 2 else 1.0
        assert ply_stiffness_mpa(MALLICK, side * 45.0 * DEG)[i, j] / 1e3 == pytest.approx(sign * printed_gpa, rel=1e-7)


@pytest.mark.parametrize("angles,i,j,printed", [
    ((45, -45), 0, 0, 4.81395708e8), ((45, -45), 0, 1, 4.03294849e8), ((45, -45), 2, 2, 4.14815492e8),
    ((45, 0, -45), 0, 0, 1.28561458e9), ((45, 0, -45), 0, 1, 4.17059742e8), ((45, 0, -45), 1, 1, 5.34337606e8),
    ((45, 0, -45), 2, 2, 4.34340706e8),
])  # fmt: skip
def test_mallick_example_3_7(angles, i, j, printed):
    stack = laminate_stiffness(tuple((MALLICK, angle * DEG, 6.0) for angle in angles))
    assert stack[i, j] * 1e3 == pytest.approx(printed, rel=1e-7)
    assert stack[0, 2] == pytest.approx(0.0, abs=1e-6 * stack[0, 0])


def test_even_in_all_directions():
    # from memory: quasi-isotropic stack of that ply, E = 69.68 GPa, G = 26.88 GPa, nu = 0.30
    stack = laminate_stiffness(tuple((KAW, angle * DEG, 0.25) for angle in (0.0, 90.0, 45.0, -45.0)))
    give = np.linalg.inv(stack)
    assert 1.0 / give[0, 0] / 1e3 == pytest.approx(69.68, abs=0.02)
    assert 1.0 / give[2, 2] / 1e3 == pytest.approx(26.88, abs=0.01)
    assert -give[0, 1] / give[0, 0] == pytest.approx(0.296, abs=0.001)


@pytest.mark.parametrize("angle", [0.0, 12.0, 45.0, 78.0, 90.0])
def test_stiffness_by_the_tensor_turned_in_space(angle):
    # another route: the fourth-order tensor turned with two direction cosines each, no strain transformation
    ply, c, s = KAW, math.cos(angle * DEG), math.sin(angle * DEG)
    flat = ply_stiffness_mpa(ply, 0.0)
    pairs = {(0, 0): 0, (1, 1): 1, (0, 1): 2, (1, 0): 2}
    tensor = np.array([[[[flat[pairs[i, j], pairs[k, m]] for m in range(2)] for k in range(2)] for j in range(2)]
                       for i in range(2)])  # fmt: skip
    turn = np.array([[c, -s], [s, c]])
    turned = np.einsum("ai,bj,ck,dm,ijkm->abcd", turn, turn, turn, turn, tensor)
    told = ply_stiffness_mpa(ply, angle * DEG)
    for (i, j), row in pairs.items():
        for (k, m), column in pairs.items():
            assert told[row, column] == pytest.approx(turned[i, j, k, m], abs=1e-6 * flat[0, 0])


def test_range_holds_what_it_is_made_of():
    found = wound_range(listed_plies(), 15.0 * DEG, 2.0 * DEG)
    for ply in listed_plies():
        for angle in (13.0, 15.0, 17.0):
            one = wound(ply, angle * DEG)
            assert found.along_mpa[0] - 1e-6 <= one.along_mpa <= found.along_mpa[1] + 1e-6
            assert found.twist_mpa[0] - 1e-6 <= one.twist_mpa <= found.twist_mpa[1] + 1e-6
    # plies that all count as carbon differ by half and more
    assert found.along_mpa[1] > 1.5 * found.along_mpa[0]
    with pytest.raises(ValueError, match="at least one ply"):
        wound_range((), 0.3)
