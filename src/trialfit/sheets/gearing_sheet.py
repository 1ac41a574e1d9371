"""The gearing on paper: every gear, both pictures, cruise and top speed, and the axle ratios in order, with why."""

import math

from trialfit.checks import GearingAnswers
from trialfit.sheets.drawing import FIGURE_BOLD, SMALL, SMALL_FIGURE, TEXT, TEXT_BOLD, Leaf
from trialfit.sheets.gearing_plots import effort_and_resistance, speed_by_gear
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta
from trialfit.sheets.pdf import pdf

_RPM = math.pi / 30.0
_KMH = 3.6e-3
_MPH = _KMH / 1.609344
_HIGH_MM = 112.0
CAUTIONS = (
    "Top speed by the sum is no speed to drive: tyres, brakes, shaft and the law set lower limits.",
    "Tyre slip is left out, 1 to 3 % under power. Load and wind change the pictures by a tenth.",
)


def gearing_leaves(found: GearingAnswers, meta: SheetMeta) -> list[Leaf]:
    """The leaves of :func:`gearing_sheet`."""
    flow = Flow(meta, "Gearing")
    train = found.train
    flow.title("Gearing", f"Axle ratio {train.axle:g}. Tyre {found.tyre.circumference_mm:.0f} mm a turn "
               f"({found.tyre.origin}). Engine: {train.engine.origin}.")
    _gears(flow, found)
    _facts(flow, found)
    speed = None if found.cruise is None else found.cruise.speed_mm_s
    _picture(flow, speed_by_gear(train, "Road speed by gear", flow.wide, _HIGH_MM, speed))
    if found.load is not None:
        _picture(flow, effort_and_resistance(
            train, found.load, "Push of the wheels and what holds back", slip_n=found.slip_n, width_mm=flow.wide,
            height_mm=_HIGH_MM))
    _ranking(flow, found)
    flow.section("Mind", 14.0)
    flow.points(CAUTIONS)
    return flow.finish()


def gearing_sheet(found: GearingAnswers, meta: SheetMeta) -> bytes:
    """Gearing as PDF.

    Parameters
    ----------
    found : GearingAnswers
        of one build
    meta : SheetMeta
        what the foot says, and on which paper
    """
    return pdf(gearing_leaves(found, meta), f"{meta.build}: gearing")


def _picture(flow: Flow, leaf: Leaf) -> None:
    flow.need(_HIGH_MM + 8.0)
    flow.skip(4.0)
    flow.drawing(list(leaf.marks), leaf.height)


def _gears(flow: Flow, found: GearingAnswers) -> None:
    flow.section("Gear by gear", 30.0)
    rows: list[tuple[Cell, ...]] = []
    for gear in found.lines:
        fast = Run(f"{gear.fastest_mm_s * _KMH:.0f} km/h", FIGURE_BOLD), Run(f"{gear.fastest_mm_s * _MPH:.0f} mph",
                                                                             SMALL_FIGURE)
        after = "" if gear.after_shift_rad_s is None or gear.drop_rad_s is None else (
            f"{gear.after_shift_rad_s / _RPM:.0f} rpm, drops {gear.drop_rad_s / _RPM:.0f}")
        slips = "" if gear.slips is None else "slip" if gear.slips else "hold"
        rows.append((str(gear.gear), Run(f"{gear.ratio:.2f}", SMALL_FIGURE), Run(f"{gear.overall:.2f}", SMALL_FIGURE),
                     Run(f"{gear.per_1000_rpm_mm_s * _KMH:.1f} km/h", SMALL_FIGURE), fast, after,
                     Run(f"{gear.push_n / 1000.0:.1f} kN", SMALL_FIGURE), slips))
    flow.table((Column("Gear", 0.45), Column("Ratio", 0.6, "right"), Column("Overall", 0.7, "right"),
                Column("At 1000 rpm", 0.9, "right"), Column("Fastest", 0.8, "right"), Column("After the shift", 1.35),
                Column("Push", 0.6, "right"), Column("Tyres", 0.6)), rows)


def _facts(flow: Flow, found: GearingAnswers) -> None:
    flow.section("Start, cruise, top", 24.0)
    rows: list[tuple[Cell, ...]] = []
    start = found.launch
    raised = "" if start.stall_rad_s is None else (f"; raised by the converter to {start.raised_ratio:.2f} at "
                                                   f"{start.stall_rad_s / _RPM:.0f} rpm")
    low = "" if start.low_ratio is None else f"; in low range {start.low_ratio:.2f}"
    rows.append(("Launch ratio", Run(f"{start.ratio:.2f}{raised}{low}", TEXT)))
    if found.cruise is not None:
        c = found.cruise
        load = "" if c.load is None else f", {100.0 * c.load:.0f} % of the torque there is"
        rows.append((f"Cruise at {c.speed_mm_s * _KMH:.0f} km/h ({c.speed_mm_s * _MPH:.0f} mph), top gear",
                     Run(f"{c.engine_rad_s / _RPM:.0f} rpm{load}; shaft {c.shaft_rad_s / _RPM:.0f} rpm", TEXT)))
    if found.top is not None:
        t = found.top
        rows.append(("Top speed, level, no wind", Run(
            f"{t.speed_mm_s * _KMH:.0f} km/h ({t.speed_mm_s * _MPH:.0f} mph) in gear {t.gear} at "
            f"{t.engine_rad_s / _RPM:.0f} rpm, held by {t.limit}; shaft {t.shaft_rad_s / _RPM:.0f} rpm", TEXT)))
    if found.slip_n is not None:
        rows.append(("Push that the driven tyres hold", Run(f"{found.slip_n / 1000.0:.1f} kN, weight that moves under "
                                                            "power not counted", TEXT)))
    flow.table((Column("", 2.2), Column("", 3.8)), rows)


def _ranking(flow: Flow, found: GearingAnswers) -> None:
    if not found.ranking:
        return
    flow.section("Axle ratios, best first", 24.0)
    flow.paragraph("What a ratio misses counts whole for the wish named first, half for the second, and so on; one "
                   "that turns the shaft too fast stands behind all others. The order is by our own rule.", SMALL)
    own = found.train.axle
    rows: list[tuple[Cell, ...]] = [
        (Run(str(r.place), FIGURE_BOLD), Run(f"{r.axle:.2f}", FIGURE_BOLD if r.axle == own else SMALL_FIGURE),
         Run(f"{r.reason[:1].upper()}{r.reason[1:]}.", TEXT_BOLD if r.place == 1 else TEXT)) for r in found.ranking]
    flow.table((Column("", 0.4), Column("Ratio", 0.6, "right"), Column("Why", 5.0)), rows)
