"""Invented axles, no vehicle's: one for every kind of suspension, symmetric but for the lateral rod."""

import numpy as np

from trialfit.vehicle import (
    Amount,
    Build,
    FourLinksRod,
    LeafSpring,
    LeafSprings,
    Link,
    Settings,
    Stops,
    Suspension,
    ThreeLinksRod,
    TriangulatedLinks,
)

STOPS = Stops(80.0, 90.0, 900.0)

_PAIRS = {
    "ll.f": (2000, 450, 300), "ll.a": (2600, 480, 260),
    "ul.f": (2100, 300, 480), "ul.a": (2550, 320, 460),
    "us.f": (2150, 420, 470), "us.a": (2580, 120, 440),
    "pl.f": (2000, 450, 300), "pl.a": (2600, 450, 270),
    "pu.f": (2120, 320, 470), "pu.a": (2560, 320, 450),
    "eye": (1950, 520, 380), "pad": (2600, 520, 350), "rear": (3300, 520, 400), "hanger": (3270, 520, 510),
    "wheel": (2620, 720, 320),
}
POINTS: dict[str, np.ndarray] = {}
for _name, (_x, _y, _z) in _PAIRS.items():
    POINTS[f"{_name}.L"] = np.array([_x, -_y, _z], float)
    POINTS[f"{_name}.R"] = np.array([_x, _y, _z], float)
POINTS["rod.f"] = np.array([2700.0, -480.0, 330.0])
POINTS["rod.a"] = np.array([2700.0, 470.0, 310.0])
POINTS["um.f"] = np.array([2120.0, 0.0, 500.0])
POINTS["um.a"] = np.array([2560.0, 0.0, 470.0])
POINTS["gearbox"] = np.array([1100.0, 20.0, 420.0])
POINTS["pinion"] = np.array([2350.0, 0.0, 330.0])
POINTS["damper.top"] = np.array([2500.0, 400.0, 700.0])
POINTS["damper.low"] = np.array([2560.0, 430.0, 300.0])
POINTS["mount.F"] = np.array([300.0, 0.0, 500.0])
POINTS["mount.R"] = np.array([1000.0, 10.0, 420.0])


def _pair(name: str, stem: str) -> tuple[Link, Link]:
    return (
        Link(f"{name} left", f"{stem}.f.L", f"{stem}.a.L"),
        Link(f"{name} right", f"{stem}.f.R", f"{stem}.a.R"),
    )


ROD = Link("rod", "rod.f", "rod.a")
THREE = ThreeLinksRod((*_pair("lower", "ll"), Link("upper", "um.f", "um.a")), ROD)
TRIANGULATED = TriangulatedLinks((*_pair("lower", "ll"), *_pair("upper", "us")))
FOUR = FourLinksRod((*_pair("lower", "ll"), *_pair("upper", "ul")), ROD)
FOUR_PARALLEL = FourLinksRod((*_pair("lower", "pl"), *_pair("upper", "pu")), ROD)
LEAVES = LeafSprings(
    *(LeafSpring(f"spring {s}", f"eye.{s}", f"pad.{s}", f"rear.{s}", f"hanger.{s}", Amount(120.0)) for s in "LR")
)
EXACT: dict[str, Suspension] = {"three": THREE, "triangulated": TRIANGULATED, "leaves": LEAVES}
ALL: dict[str, Suspension] = {**EXACT, "four": FOUR}


def build(suspension: Suspension | None, stops: Stops | None = STOPS, **more: object) -> Build:
    return Build("invented", "", Settings(), (), suspension=suspension, stops=stops, **more)  # type: ignore[arg-type]
