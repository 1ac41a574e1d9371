"""Whirling speeds by the printed constants and by finite elements.

Mechanical Engineer's Data Handbook, p. 45: turns per second = k sqrt(E I / (m L^4)), k = 1.57 in short bearings,
3.57 in long ones, 0.56 with one end free. Kinds: standard's table (the constants as printed), another route to the
answer (finite elements).
"""

import math

import pytest

HELD = {
    "pinned": lambda last: {0, 2 * last},
    "built-in": lambda last: {0, 1, 2 * last, 2 * last + 1},
    "built-in-pinned": lambda last: {0, 1, 2 * last},
    "free": lambda last: {0, 1},
}


def tube(outside: float, wall: float) -> tuple[float, float]:
    inside = outside - 2.0 * wall
    return math.pi / 64.0 * (outside**4 - inside**4), math.pi / 4.0 * (outside**2 - inside**2)


@pytest.mark.parametrize(
    "ends,printed,tolerance", [("pinned", 1.57, 0.002), ("built-in", 3.57, 0.015), ("free", 0.56, 0.001)]
)
@pytest.mark.parametrize("name", ["tube-span-frequency", "tube-whirl"])
def test_printed_constant(shell, name, ends, printed, tolerance):
    second, area = tube(0.0762, 0.0021)
    inputs = f"diameter=76.2 mm; wall=2.1 mm; length=1.3 m; ends={ends}; modulus=207 GPa; density=7850 kg/m3"
    told = shell(name, inputs, "Hz" if name == "tube-span-frequency" else "rps")
    assert told / math.sqrt(207e9 * second / (7850.0 * area * 1.3**4)) == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize("ends", sorted(HELD))
@pytest.mark.parametrize("outside,wall,length,modulus,density", [
    (0.0762, 0.003175, 1.2192, 199.948e9, 7863.7),
    (0.0889, 0.0021, 1.5, 71e9, 2712.0),
    (0.0254, 0.0127, 0.7874, 206.84e9, 7805.7),
])  # fmt: skip
def test_finite_elements(shell, beam, ends, outside, wall, length, modulus, density):
    parts = 24
    second, area = tube(outside, wall)
    rate = beam([modulus * second] * parts, [density * area] * parts, [length / parts] * parts, HELD[ends](parts), {})[
        0
    ]
    size = f"diameter={outside} m; wall={wall} m; length={length} m; ends={ends}"
    inputs = f"{size}; modulus={modulus} Pa; density={density} kg/m3"
    assert shell("tube-whirl", inputs, "rad/s") == pytest.approx(rate, rel=2e-6)
    assert shell("tube-span-frequency", inputs, "Hz") == pytest.approx(rate / (2.0 * math.pi), rel=2e-6)


@pytest.mark.parametrize("ends", sorted(HELD))
def test_longest_shaft_whirls_at_the_speed_it_was_asked_for(shell, beam, ends):
    told_m = shell("tube-whirl-length", f"diameter=76 mm; wall=2.1 mm; speed=4500 rpm; ends={ends}", "m")
    parts = 24
    second, area = tube(0.076, 0.0021)
    rate = beam([207e9 * second] * parts, [7850.0 * area] * parts, [told_m / parts] * parts, HELD[ends](parts), {})[0]
    assert rate * 30.0 / math.pi * 0.75 == pytest.approx(4500.0, rel=2e-6)


def test_cantilever_with_a_weight_on_its_end(shell, beam):
    # D10-04: 20.822 Hz by the 33/140 rule, from memory
    inputs = "diameter=31.75 mm; wall=1.65 mm; length=0.5 m; tip_mass=5 kg; modulus=207 GPa; density=7850 kg/m3"
    told = shell("cantilever-tip-frequency", inputs, "Hz")
    assert told == pytest.approx(20.822, abs=0.01)
    parts = 24
    second, area = tube(0.03175, 0.00165)
    rate = beam([207e9 * second] * parts, [7850.0 * area] * parts, [0.5 / parts] * parts, {0, 1}, {parts: 5.0})[0]
    assert told == pytest.approx(rate / (2.0 * math.pi), rel=5e-4)
    assert told >= rate / (2.0 * math.pi)


def test_steel_and_aluminium_tubes_whirl_alike(shell):
    # D02-02: ratio 1.00086 from a textbook problem whose speeds themselves are wrong and are not used
    size = "diameter=3 in; wall=0.125 in; length=48 in"
    steel = shell("tube-whirl", f"{size}; modulus=29e6 psi; density=0.28409 lb/in3", "rpm")
    light = shell("tube-whirl", f"{size}; modulus=10e6 psi; density=0.09813 lb/in3", "rpm")
    assert steel / light == pytest.approx(1.00086, abs=0.001)
