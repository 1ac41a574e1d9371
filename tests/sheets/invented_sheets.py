"""An invented vehicle for the sheets' tests: no real car has these numbers."""

import numpy as np

from trialfit.findings import Finding, Place, Verdict
from trialfit.sheets.paper import SheetMeta
from trialfit.sheets.picture import (
    At,
    GapMark,
    Outline,
    Picture,
    outline_of_drum,
    outline_of_pipe,
    outline_of_points,
)

META = SheetMeta("Estate, axle swap (invented)", "7", "3f9c21a0b1c2", "25 Nov 2026",
                 "two people, half a tank, on its wheels", "A4", 32)
LETTER = SheetMeta("Flat-bed, turbo-diesel (invented)", "2", "99aa01fe77c0", "25 Nov 2026", "empty, on its wheels",
                   "Letter", 16)


def box(a, b):
    """Corners of an upright box between two opposite corners, shape (8, 3) [mm]."""
    return np.array([[x, y, z] for x in (a[0], b[0]) for y in (a[1], b[1]) for z in (a[2], b[2])], dtype=float)


def axle(at: At, dz: float) -> list[Outline]:
    """The axle's tube, centre and wheels, raised by ``dz`` [mm]."""
    up = np.array([0.0, 0.0, dz])
    tube = np.array([[2900.0, -680.0, 320.0], [2900.0, 680.0, 320.0]]) + up
    things = [outline_of_pipe("axle tube", "axle", tube, 76.0, "axle", at, named=True),
              outline_of_points("axle centre", "axle", box((2780, -130, 200), (3010, 130, 440)) + up, "axle", at)]
    if at is At.RIDE:
        things += [outline_of_drum(f"wheel {s}", f"wheel-{s}", np.array([2900.0, y, 320.0]), np.array([0.0, 1.0, 0.0]),
                                   640.0, 205.0, "tyre") for s, y in (("left", -735.0), ("right", 735.0))]
    return things


def exhaust_line() -> np.ndarray:
    """A centre line with three soft bends, shape (n, 3) [mm]."""
    knots = np.array([[900, 180, 330], [1250, 220, 230], [2500, 330, 240], [2750, 420, 520], [3050, 470, 520],
                      [3400, 520, 300], [3900, 520, 290]], dtype=float)
    out = [knots[0]]
    for a, b, c in zip(knots, knots[1:], knots[2:], strict=False):
        for t in np.linspace(0.0, 1.0, 9):
            p, q = b + (a - b) * 0.25, b + (c - b) * 0.25
            out.append((1 - t) ** 2 * p + 2 * t * (1 - t) * b + t**2 * q)
    return np.array([*out, knots[-1]])


def picture() -> Picture:
    """Both views' worth of outlines and four gaps."""
    outlines = [
        *(outline_of_points(f"rail {s}", "frame", box((150, y - 30, 380), (3950, y + 30, 480)), "frame", named=True)
          for s, y in (("left", -420), ("right", 420))),
        outline_of_points("floor", "frame", box((700, -650, 500), (3900, 650, 505)), "floor", named=True),
        outline_of_points("tank", "frame", box((3200, -350, 300), (3700, 250, 490)), "fuel", named=True),
        outline_of_points("engine", "engine", box((250, -260, 260), (900, 260, 800)), "engine", named=True),
        outline_of_pipe("gearbox", "engine", np.array([[900.0, 0, 420], [1550, 0, 400]]), 240.0, "engine", named=True),
        outline_of_pipe("shaft", "shaft", np.array([[1550.0, 0, 400], [2780, 0, 330]]), 76.0, "shaft", named=True),
        *(outline_of_drum(f"front wheel {s}", f"wheel-{s}", np.array([500.0, y, 320.0]), np.array([0.0, 1.0, 0.0]),
                          640.0, 205.0, "tyre") for s, y in (("left", -735.0), ("right", 735.0))),
        *axle(At.RIDE, 0.0), *axle(At.BUMP, 80.0), *axle(At.DROOP, -90.0),
        outline_of_pipe("exhaust", "exhaust", exhaust_line(), 63.5, "exhaust", named=True),
    ]
    gaps = (
        GapMark("exhaust to axle tube, bump stop", "9 \u00b1 6 mm, wanted 25", Verdict.CANNOT_TELL, (2900, 440, 438),
                (2905, 441, 488)),
        GapMark("exhaust to floor", "18 \u00b1 3 mm, wanted 30", Verdict.DOES_NOT_FIT, (2800, 430, 552),
                (2800, 430, 500)),
        GapMark("exhaust to tank", "120 \u00b1 9 mm, wanted 38", Verdict.FITS, (3400, 488, 320), (3400, 250, 320)),
        GapMark("shaft to rail left", "341 \u00b1 9 mm, wanted 20", Verdict.FITS, (2000, -38, 370), (2000, -390, 390)),
    )
    return Picture("Estate, axle swap (invented)", tuple(outlines), gaps)


def findings() -> list[Finding]:
    """One of each verdict, with long words among them."""
    where = Place("estate.yaml", 212, 5)
    return [
        Finding("gap.exhaust-axle-tube", Verdict.CANNOT_TELL,
                "9 mm at the bump stop, give or take 6, where 25 is wanted.",
                "Take tape pad.R floor.4 again, both ends seen together: the doubt goes from 6 mm to 3 mm.", -16.0, 3.0,
                "mm", "exhaust-to-moving-part", "common practice, no source", where),
        Finding("gap.exhaust-floor", Verdict.DOES_NOT_FIT, "18 mm, give or take 3, where 30 is wanted.",
                "Lower corner 3 by 15 mm, or hang a heat shield and choose the version of the rule for one.", -12.0,
                1.5, "mm", "exhaust-to-floor", "common practice, no source", where),
        Finding("survey.unsolved.bat.c", Verdict.CANNOT_TELL, "bat.c stands on one reading only.",
                "Measure a height and an offset of bat.c.", where=where),
        Finding("route.main.corner-2", Verdict.FITS_AFTER_WORK, "The bend takes 92 mm of leg and the leg has 88.",
                "Shorten the leg of the bought bend by 6 mm.", 4.0, 1.0, "mm", "", "geometry", where),
        Finding("gap.exhaust-tank", Verdict.FITS, "120 mm, give or take 9, where 38 is wanted.", "", 82.0, 4.5, "mm",
                "exhaust-to-fuel", "invented for the test", where),
    ]


def laid_cut_list():
    """A real cut list of an invented route: a bend off the shelf, a pie cut, a bend to order."""
    from trialfit.exhaust import cut_list, lay
    from trialfit.vehicle import Amount, Corner, PieCutWish, RoutePlan, StockBend

    shelf = StockBend("U-bend", 95.25, np.pi, 100.0, 63.5)
    plan = RoutePlan(
        "main", Amount(63.5, 0.05), Amount(1.5), "outlet", "outlet.aim",
        (Corner((1210.0, 265.0, 310.0), Amount(95.25)), Corner((2480.0, 330.0, 300.0), Amount(95.25)),
         Corner((2690.0, 380.0, 560.0), Amount(127.0)), Corner((3090.0, 440.0, 560.0), Amount(120.0),
                                                               PieCutWish(5, 1.5))),
        (3390.0, 520.0, 300.0), (shelf,), 20.0)
    points = {"outlet": np.array([820.0, 180.0, 420.0]), "outlet.aim": np.array([900.0, 196.0, 398.0])}
    laid = lay(plan, points, {}, np.diag([4.0] * 6))
    return laid, (cut_list(laid) if laid.centreline is not None else None)


def solved_survey():
    """A survey of invented points, one reading a foot too long, one point nothing checks, one with too few readings."""
    from trialfit.survey import solve
    from trialfit.vehicle import DEFAULT_INSTRUMENTS, Build, Reading, ReadingKind, Settings
    from trialfit.vehicle.reading import DEFAULT_FOR_KIND

    points = {"eye.L": (1210.0, -462.0, 362.0), "eye.R": (1212.0, 461.0, 360.0), "pad.L": (1822.0, -470.0, 305.0),
              "pad.R": (1825.0, 472.0, 306.0), "nose": (1530.0, 4.0, 402.0), "tank.a": (3200.0, -350.0, 300.0)}
    readings = []

    def add(kind, names, value, size=""):
        instrument = DEFAULT_INSTRUMENTS[DEFAULT_FOR_KIND[kind]]
        identity = f"{kind} {'-'.join(names) or size}"
        readings.append(Reading(identity, kind, tuple(names), (float(value),), instrument, size, None, identity,
                                Place("estate.yaml", 20 + len(readings), 5)))

    wobble = iter(np.tile([0.6, -0.9, 1.1, -0.4, 0.2, -1.2, 0.8], 8))
    for name, p in points.items():
        for kind, value in zip((ReadingKind.STATION, ReadingKind.OFFSET, ReadingKind.HEIGHT), p, strict=True):
            add(kind, (name,), value + next(wobble))
    names = list(points)[:5]
    for k, a in enumerate(names):
        for b in names[k + 1:]:
            slip = 304.8 if (a, b) == ("eye.L", "pad.R") else 0.0
            long = float(np.linalg.norm(np.subtract(points[a], points[b])))
            add(ReadingKind.TAPE, (a, b), long + slip + next(wobble))
    add(ReadingKind.HEIGHT, ("bat.c",), 620.0)
    add(ReadingKind.SIZE, (), 76.2, "axle tube")
    return solve(Build("Estate, axle swap (invented)", "", Settings(), tuple(readings)))
