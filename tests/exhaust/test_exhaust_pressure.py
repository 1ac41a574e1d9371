"""Back pressure against other routes to the answer: Colebrook and White solved, a handbook's curve, the standard air.

Kinds: friction factor, reference library (a root finder) on the Colebrook-White equation, textbook, from memory; bend
loss, values of the handbook's curve over the angle, from memory; viscosity, standard atmosphere at sea level, from
memory; velocity head, another route to the answer.
"""

import math

import pytest
from scipy.optimize import brentq

from trialfit.exhaust import back_pressure, bend_loss, bend_loss_line, friction_factor, velocity_head
from trialfit.exhaust.pressure import ROUGHNESS_MM, viscosity_pa_s

# turn [deg] and share of the loss at 90 deg: I. E. Idelchik, Handbook of Hydraulic Resistance, 3rd ed., diagram 6-1
# (from memory)
HANDBOOK = [(20, 0.31), (30, 0.45), (45, 0.60), (60, 0.78), (75, 0.90), (90, 1.00), (110, 1.13)]


def test_viscosity_of_the_standard_air_at_sea_level():
    # standard atmosphere: 1.7894e-5 Pa s at 288.15 K (from memory)
    assert viscosity_pa_s(288.15) == pytest.approx(1.7894e-5, rel=1e-3)


@pytest.mark.parametrize("flow, kelvin, bore", [(0.05, 700.0, 47.0), (0.12, 800.0, 60.5), (0.4, 950.0, 73.0)])
def test_friction_factor_is_that_of_colebrook_and_white_within_two_per_cent(flow, kelvin, bore):
    reynolds = 4.0 * flow / (math.pi * bore * 1e-3 * viscosity_pa_s(kelvin))

    def colebrook(f):
        return 1.0 / math.sqrt(f) + 2.0 * math.log10(ROUGHNESS_MM / bore / 3.7 + 2.51 / (reynolds * math.sqrt(f)))

    assert friction_factor(flow, kelvin, bore) == pytest.approx(brentq(colebrook, 0.005, 0.2), rel=0.02)


def test_the_velocity_head_is_half_the_density_times_the_speed_squared():
    flow, kelvin, bore = 0.12, 800.0, 60.5
    density = 101325.0 / (287.0 * kelvin)
    speed = flow / density / (math.pi / 4.0 * (bore / 1000.0) ** 2)
    assert velocity_head(flow, kelvin, bore) == pytest.approx(0.5 * density * speed**2 * 1e-6, rel=1e-9)


@pytest.mark.parametrize("degrees, share", HANDBOOK)
def test_the_loss_of_a_bend_keeps_to_the_handbooks_curve(degrees, share):
    quarter = bend_loss(math.pi / 2.0, 90.0, 60.0)
    assert quarter == pytest.approx(0.21 / math.sqrt(1.5))
    assert bend_loss(math.radians(degrees), 90.0, 60.0) == pytest.approx(share * quarter, abs=0.07 * quarter)


def test_a_pie_cut_bend_never_loses_less_than_a_smooth_one_and_a_single_mitre_loses_one_head():
    for pieces in (2, 3, 5, 9):
        assert bend_loss(math.pi / 2, 90.0, 60.0, pieces) >= bend_loss(math.pi / 2, 90.0, 60.0)
    # a sharp right-angled elbow loses about one velocity head, common knowledge of handbooks (from memory)
    assert bend_loss(math.pi / 2, 90.0, 60.0, 2) == pytest.approx(1.0, abs=0.05)
    assert bend_loss(0.0, 90.0, 60.0) == 0.0


def test_back_pressure_adds_up_length_losses_and_what_leaves():
    head = velocity_head(0.12, 800.0, 60.5)
    none = back_pressure(0.12, 800.0, 60.5, 0.0, 0.0)
    assert none == pytest.approx(head)
    long = back_pressure(0.12, 800.0, 60.5, 3000.0, 0.0) - none
    assert long == pytest.approx(head * friction_factor(0.12, 800.0, 60.5) * 3000.0 / 60.5)
    per_bend, per_rad = bend_loss_line(90.0, 60.0)
    assert per_bend + per_rad * math.pi / 2 == pytest.approx(bend_loss(math.pi / 2, 90.0, 60.0))


@pytest.mark.parametrize(
    "call, told",
    [
        (lambda: velocity_head(3.0, 800.0, 60.0), "2 kg/s"),
        (lambda: velocity_head(0.1, 100.0, 60.0), "200 K"),
        (lambda: friction_factor(0.0001, 800.0, 60.0), "4000"),
        (lambda: bend_loss(4.0, 90.0, 60.0), "180 deg"),
        (lambda: bend_loss(1.0, 20.0, 60.0), "30 mm"),
        (lambda: back_pressure(0.1, 800.0, 60.0, -1.0, 0.0), "0 mm"),
    ],
)
def test_out_of_range_is_refused_with_the_range(call, told):
    with pytest.raises(ValueError, match=told):
        call()
