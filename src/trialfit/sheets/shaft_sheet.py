"""The shaft on paper: joint angles, slip, whirl, the pinion's setting half degree by half degree, tubes best first."""

import math

from trialfit.checks import ShaftAnswers
from trialfit.driveline import RuleAnswer, TubeAnswer
from trialfit.findings import SURE, Verdict
from trialfit.sheets.drawing import FIGURE_BOLD, SMALL, SMALL_FIGURE, TEXT, TEXT_BOLD, Leaf
from trialfit.sheets.lengths import with_doubt
from trialfit.sheets.marks import verdict_words
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta
from trialfit.sheets.pdf import pdf

_RPM = math.pi / 30.0
CAUTIONS = (
    ("A shaft that whirls, binds, bottoms or pulls out of its slip breaks, and can come through the floor. Have it "
     "made and balanced by a driveline shop."),
    "Check angles and slip on the vehicle at both ends of the travel before it runs. Local codes come first.",
)


def shaft_leaves(found: ShaftAnswers, meta: SheetMeta) -> list[Leaf]:
    """The leaves of :func:`shaft_sheet`."""
    flow = Flow(meta, "Shaft")
    pieces = "one piece" if found.line.pieces == 1 else "two pieces"
    lengths = ", ".join(f"{with_doubt(one.mm, one.sd_mm)}" for one in found.lengths)
    flow.title("Shaft", f"In {pieces}, {lengths} from joint centre to joint centre at ride height.")
    _joints(flow, found)
    _facts(flow, found)
    _pinion(flow, found)
    _tubes(flow, found)
    _rules(flow, found)
    flow.section("Mind", 14.0)
    flow.points(CAUTIONS)
    return flow.finish()


def shaft_sheet(found: ShaftAnswers, meta: SheetMeta) -> bytes:
    """The shaft as PDF.

    Parameters
    ----------
    found : ShaftAnswers
        of one build
    meta : SheetMeta
        what the foot says, and on which paper
    """
    return pdf(shaft_leaves(found, meta), f"{meta.build}: shaft")


def _deg(angle_rad: float) -> str:
    return f"{math.degrees(angle_rad):.2f}\u00b0"


def _joints(flow: Flow, found: ShaftAnswers) -> None:
    flow.section("Joint angles", 28.0)
    doubt = found.doubt.angle_rad
    if doubt is not None:
        half = math.degrees(SURE * doubt)
        flow.paragraph(f"Each at ride height is known to \u00b1 {half:.1f}\u00b0 (95 of 100 cases).", SMALL)
    rows: list[tuple[Cell, ...]] = [
        (f"{j.name[:1].upper()}{j.name[1:]}", Run(_deg(j.ride_rad), FIGURE_BOLD), Run(_deg(j.side_rad), SMALL_FIGURE),
         Run(_deg(j.plan_rad), SMALL_FIGURE), Run(_deg(j.least_rad), SMALL_FIGURE), Run(_deg(j.most_rad), FIGURE_BOLD))
        for j in found.angles.joints]
    flow.table((Column("", 1.8), Column("Ride height", 0.9, "right"), Column("from the side", 0.9, "right"),
                Column("from above", 0.8, "right"), Column("least", 0.8, "right"), Column("most", 0.8, "right")), rows)


def _facts(flow: Flow, found: ShaftAnswers) -> None:
    rows: list[tuple[Cell, ...]] = []
    if found.plunge is not None:
        rows.append(("Slip, from ride height", Run(f"out {found.plunge.out.upper:.1f} mm, in "
                                                   f"{found.plunge.into.upper:.1f} mm at most", TEXT)))
    if found.slip is not None:
        rows.append(("Spline left engaged, room left", Run(f"{found.slip.engaged_mm[0]:.1f} mm; "
                                                           f"{found.slip.room_mm[0]:.1f} mm before "
                                                           f"{found.slip.first_stop} bottoms", TEXT)))
    for name, rate in (("Whirl of the bare tube, closed form", found.whirl_uniform_rad_s),
                       ("Whirl with yokes, beam model", found.bending_rad_s),
                       ("Bounce on the centre bearing's rubber", found.bounce_rad_s)):
        if rate is not None:
            rows.append((name, Run(f"{rate / _RPM:.0f} rpm", TEXT)))
    if found.top_speed_rad_s is not None:
        rows.append(("Greatest speed of the shaft", Run(f"{found.top_speed_rad_s / _RPM:.0f} rpm", TEXT)))
    if found.torque is not None:
        t = found.torque.seen
        rows.append(("Torque that the shaft sees", Run(
            f"{t.torque_nmm / 1e3:.0f} \u00b1 {SURE * found.torque.sd_nmm / 1e3:.0f} N\u00b7m; {t.governs} governs "
            f"(low gear {t.low_gear_nmm / 1e3:.0f}, wheel slip {t.wheel_slip_nmm / 1e3:.0f} N\u00b7m), factor "
            f"{t.factor:g}: {t.factor_origin}", TEXT)))
    if found.loads is not None:
        rows.append(("Loads that bending couples put on bearings", Run(
            f"gearbox output {found.loads.gearbox_n:.0f} N, pinion {found.loads.pinion_n:.0f} N, twice a turn", TEXT)))
    if found.one_piece is not None:
        one = found.one_piece
        rows.append(("One piece in place of two?", Run(f"{one.verdict}: {one.reason}", TEXT_BOLD)))
    if rows:
        flow.section("Slip, speed, torque", 20.0)
        flow.table((Column("", 2.2), Column("", 3.8)), rows)


def _pinion(flow: Flow, found: ShaftAnswers) -> None:
    setting = found.pinion
    if setting is None:
        return
    flow.section("At which angle to tack the pinion", 50.0)
    low, high = setting.wrap_deg
    perch = "" if setting.perch_deg is None else f" Perch: pinion {setting.perch_deg:+.1f}\u00b0 from the spring seat."
    flow.paragraph(f"It stands at {found.pinion_now_deg:+.1f}\u00b0 (nose up +). Best {setting.pinion_deg:+.1f}\u00b0; "
                   f"from {setting.flat_deg[0]:+.1f}\u00b0 to {setting.flat_deg[1]:+.1f}\u00b0 nobody feels the "
                   f"difference. Wind of the axle from {low:g}\u00b0 to {high:g}\u00b0 counted.{perch}")
    rows: list[tuple[Cell, ...]] = []
    for loss in setting.losses:
        best = loss.off_deg == 0.0
        figure = FIGURE_BOLD if best else SMALL_FIGURE
        rows.append((Run(f"{loss.off_deg:+.1f}\u00b0", figure), Run(f"{loss.pinion_deg:+.1f}\u00b0", figure),
                     Run(f"{loss.mean_rad_s2:.0f}", figure), Run(f"{loss.worst_rad_s2:.0f}", figure),
                     Run(", ".join(f"{j:.1f}\u00b0" for j in loss.joints_deg), figure)))
    left = "Left at the pinion, mean rad/s\u00b2"
    flow.table((Column("Off", 0.7, "right"), Column("Pinion", 0.8, "right"), Column(left, 1.6, "right"),
                Column("at worst", 0.9, "right"), Column("Joints at ride height", 1.6, "right")), rows)
    if found.wedge is not None:
        w = found.wedge
        flow.paragraph(f"On a welded axle: a wedge of {w.angle_deg:.1f}\u00b0, {w.rise_mm:.1f} mm thicker at its "
                       f"{w.thick_end} end. Longer centre bolt and new U-bolts; many places want such work approved.",
                       TEXT_BOLD)


def _tubes(flow: Flow, found: ShaftAnswers) -> None:
    if not found.tubes:
        return
    flow.section("Tubes, best first", 40.0)
    flow.paragraph("Sizes and yields are from memory: ask the shop for its list. Room is what is left beyond what is "
                   "asked for, to the nearest neighbour through the travel.", SMALL)
    flow.table((Column("Tube", 1.3), Column("", 0.9), Column("Whirl, rpm", 0.75, "right"),
                Column("Mass", 0.55, "right"), Column("Room", 0.6, "right"), Column("Why", 1.9)),
               [_tube(t) for t in found.tubes])


def _tube(answer: TubeAnswer) -> tuple[Cell, ...]:
    low, high = (w / _RPM for w in answer.whirl_rad_s)
    speed = "" if high == 0.0 else f"{low:.0f}" if high - low < 1.0 else f"{low:.0f} to {high:.0f}"
    mass = f"{answer.mass_kg[1]:.1f} kg" if math.isfinite(answer.mass_kg[1]) else ""
    room = "" if answer.gap_mm is None else f"{answer.gap_mm:.0f} mm"
    return (Run(answer.tube.name, TEXT_BOLD if answer.verdict is Verdict.FITS else TEXT),
            tuple(verdict_words(answer.verdict, (0.0, 0.0))), Run(speed, SMALL_FIGURE), Run(mass, SMALL_FIGURE),
            Run(room, SMALL_FIGURE), Run(answer.why[0], SMALL))


def _rules(flow: Flow, found: ShaftAnswers) -> None:
    told = [*found.rules, *(() if found.slip is None else (*found.slip.engagement, *found.slip.pull_back))]
    if not told:
        return
    flow.section("Every rule, every version", 30.0)
    flow.table((Column("", 1.9), Column("", 0.95), Column("Met", 0.75, "right"), Column("Asked", 0.75, "right"),
                Column("Version", 1.65)), [_rule(a) for a in told])


def _rule(a: RuleAnswer) -> tuple[Cell, ...]:
    met = a.upper if a.at_most else a.lower
    unit = "" if a.unit in ("", "-") else f" {a.unit}".replace("rad/s2", "rad/s\u00b2").replace(" deg", "\u00b0")
    side = "\u2264" if a.at_most else "\u2265"
    figures = 0 if abs(met) >= 100.0 else 1 if abs(met) >= 10.0 else 2
    return (Run(f"{a.what[:1].upper()}{a.what[1:]}", TEXT if a.in_force else SMALL),
            tuple(verdict_words(a.verdict, (0.0, 0.0))),
            Run(f"{met:.{figures}f}{unit}", SMALL_FIGURE),
            Run(f"{side} {a.limit:.{0 if a.limit >= 100.0 else 1}f}{unit}", SMALL_FIGURE),
            Run(f"{a.version.label}{' (in force)' if a.in_force else ''}", SMALL))
