"""Hose on a barb or pipe: stretch, clamp, what it carries and at which pressure."""

import math
from dataclasses import replace

from trialfit.findings import SURE, Verdict
from trialfit.mates.answer import Answer
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.joint import Joint, MateKind
from trialfit.mates.judging import within
from trialfit.parts import Ask
from trialfit.standards import rule
from trialfit.standards.hose_ends import CAUTION, USES, HoseType, forbidden, hose_types
from trialfit.standards.pipe_joints import barb_stretch
from trialfit.standards.table import table
from trialfit.units import in_unit

__all__ = ["KINDS"]

_MEDIA = {"steering": "steering pressure"}
"""What a line's use asks of a hose, where the word is another."""


def judge(joint: Joint) -> tuple[Answer, ...]:
    """Every question on a hose pushed on a barb: its kind, pressure, stretch, length pushed on, clamp.

    The pressure is not asked of a hose that is refused for what it carries.
    """
    medium = _medium(joint)
    pressure = () if medium.verdict is Verdict.DOES_NOT_FIT else (_pressure(joint),)
    return (medium, *pressure, _stretch(joint), _pushed_on(joint), _clamp(joint), _held(joint))


def _type(joint: Joint) -> HoseType | None:
    word = joint.a.word("print")
    return hose_types()[word] if word else None


def _medium(joint: Joint) -> Answer:
    """Whether that hose may carry it, and whether a clamped hose may carry it at all."""
    question = "what it carries"
    if not joint.use:
        measure = f"say what it serves (use: {', '.join(USES)})"
        return not_known(question, "what the hose carries", measure, caution=CAUTION)
    ban = forbidden("barb", joint.use)
    if ban is not None:
        reason = f"hose on a barb in a {ban.use} line: {ban.reason}"
        return Answer(question, Verdict.DOES_NOT_FIT, reason, caution=CAUTION,
                      remedy="a hose with ends crimped on, ordered for that use", source=ban.source,
                      rule=f"barb in {ban.use} ({ban.kind})")  # fmt: skip
    hose = _type(joint)
    if hose is None:
        return not_known(question, "which hose it is", "read the standard printed along the hose; no print, no use",
                         caution=CAUTION)  # fmt: skip
    medium = _MEDIA.get(joint.use, joint.use)
    if medium not in hose.media:
        fit = [h.name for h in hose_types().values() if medium in h.media and h.clamped]
        remedy = f"hose printed {' or '.join(fit)}" if fit else "no hose held here is clamped for that"
        reason = f"{hose.name} is made for {', '.join(hose.media)}, not for {medium}"
        return Answer(question, Verdict.DOES_NOT_FIT, reason, remedy=remedy, source=hose.standard, caution=CAUTION)
    if not hose.clamped:
        reason = f"{hose.name} comes with its ends fixed on; it is never clamped on a barb"
        return Answer(question, Verdict.DOES_NOT_FIT, reason, source=hose.standard, caution=CAUTION,
                      remedy=f"have a {hose.name} hose made up with its ends crimped on, to fit the port and not a "
                      "barb")  # fmt: skip
    return Answer(question, Verdict.FITS, f"{hose.name} carries {medium}", source=hose.standard)


def _pressure(joint: Joint) -> Answer:
    question, hose, bore = "pressure", _type(joint), joint.a.size("bore")
    pressure = joint.size("pressure")
    if (pressure is None and joint.use == "vacuum") or (pressure is not None and pressure.value == 0.0):
        words = "nothing presses in it; a vacuum hose must not fold, so its wall counts and not its pressure"
        words = words if joint.use == "vacuum" else "no pressure in it"
        return Answer(question, Verdict.FITS, words, source="common practice, no source")
    if hose is None:
        return not_known(question, "which hose it is", "read the standard printed along the hose", caution=CAUTION)
    if pressure is None:
        measure = "read it with a gauge at full flow, or take the pump's sheet"
        return not_known(question, "the pressure in the hose", measure)
    if bore is None:
        return not_known(question, "the hose's bore", "measure it with a calliper at a clean cut")
    printed = joint.a.size("working pressure")
    limit = hose.limit_mpa(bore.value) if printed is None else printed.value
    if limit is None:
        return not_known(question, f"what {hose.name} takes on a barb",
                         "read the working pressure printed on the hose, and write it as its working pressure",
                         source=hose.standard, caution=CAUTION)  # fmt: skip
    # what was typed without a give or take is a sheet's figure, and a hose is chosen by it
    judged = within(pressure.value, pressure.sd or 0.0, 0.0, limit)
    said = f"{_bar(pressure.value)} in {hose.name}, which takes {_bar(limit)}"
    said += f" at {bore.value:.2f} mm bore" if printed is None else " by its own print"
    source = hose.standard if printed is None else "the print on the hose"
    answer = Answer(question, judged.verdict, said, margin=judged.margin, sd=pressure.sd, unit="MPa",
                    odds=judged.odds, source=source, caution=CAUTION)  # fmt: skip
    if judged.verdict is Verdict.CANNOT_TELL:
        return replace(answer, measure="read the pressure with a finer gauge at full flow")
    if judged.verdict is Verdict.DOES_NOT_FIT:
        medium = _MEDIA.get(joint.use, joint.use)
        able = [
            kind.name
            for kind in hose_types().values()
            if kind.clamped and medium in kind.media and (kind.limit_mpa(bore.value) or 0.0) >= pressure.value
        ]
        return replace(answer, remedy=f"hose printed {' or '.join(able)}" if able else "hose with crimped ends")
    return answer


def _bar(mpa: float) -> str:
    return f"{in_unit(mpa, 'bar'):.1f} bar ({in_unit(mpa, 'psi'):.0f} psi)"


def _stretch(joint: Joint) -> Answer:
    """Barb against bore, as a share of the bore, between the two rules."""
    question, bore, barb = "barb in hose", joint.a.size("bore"), joint.b.size("diameter")
    if bore is None or barb is None:
        what = "the hose's bore" if bore is None else "the barb's largest diameter"
        return not_known(question, what, f"measure {what} with a calliper")
    least = rule("barb-stretch-least", joint.choices.get("barb-stretch-least"))
    most = rule("barb-stretch-greatest", joint.choices.get("barb-stretch-greatest"))
    share = barb_stretch(barb.value, bore.value)
    sd = None if barb.sd is None or bore.sd is None else math.hypot(barb.sd, (1.0 + share) * bore.sd) / bore.value
    judged = within(share, sd, least.in_force.value, most.in_force.value)
    said = f"a barb of {barb.value:.2f} mm in a bore of {bore.value:.2f} mm: {100.0 * share:.1f} % stretch"
    asked = f"{100.0 * least.in_force.value:.0f} to {100.0 * most.in_force.value:.0f} % is asked"
    name = least.name if share < least.in_force.value else most.name
    answer = Answer(question, judged.verdict, f"{said}; {asked}", margin=judged.margin, sd=sd, unit="",
                    odds=judged.odds, rule=name, source=least.in_force.source, caution=CAUTION)  # fmt: skip
    if judged.verdict is Verdict.CANNOT_TELL:
        need = f"; known to {abs(judged.margin) * bore.value / SURE:.2f} mm (standard deviation) it would be settled"
        return replace(answer, measure="measure bore and barb with a calliper at clean places" + need)
    if judged.verdict is Verdict.DOES_NOT_FIT:
        loose = "it leaks however tight the clamp is" if share < least.in_force.value else "it splits or does not go on"
        remedy = "hose or barb of the right size, or a joiner"
        return replace(answer, reason=f"{said}; {asked}: {loose}", remedy=remedy)
    return answer


def _pushed_on(joint: Joint) -> Answer:
    length = joint.b.size("length")
    if length is None:
        return not_known("length pushed on", "how far the hose goes on", "measure the barb's or pipe's free length")
    put = rule("hose-push-on-length", joint.choices.get("hose-push-on-length"))
    need = put.in_force.value
    return gauged("length pushed on", length.value, length.sd, need, math.inf, rule=put.name,
                  source=put.in_force.source,
                  good=f"{length.value:.2f} mm go into the hose, {need:.2f} mm are asked",
                  bad=f"{length.value:.2f} mm go into the hose, {need:.2f} mm are asked: the clamp sits on the end",
                  remedy="a tail with more room for hose and clamp",
                  measure="measure the barb's free length with a calliper", caution=CAUTION)  # fmt: skip


def _over(joint: Joint) -> tuple[float, float | None] | None:
    bore, outside = joint.a.size("bore"), joint.a.size("outside")
    # over barbs the clamp sits on the largest diameter, behind a bead on the pipe
    on_barbs = joint.b.word("form") in {"barbed", "plain"}
    seat = joint.b.size("pipe") or (joint.b.size("diameter") if on_barbs else None)
    if bore is None or outside is None or seat is None:
        return None
    return added((1.0, seat), (1.0, outside), (-1.0, bore))


def _clamp(joint: Joint) -> Answer:
    over = _over(joint)
    if over is None:
        return not_known("clamp", "the diameter the clamp closes on",
                         "measure hose outside and bore, and the pipe behind the barb, with a calliper")  # fmt: skip
    value, sd = over
    least, greatest = joint.size("clamp least"), joint.size("clamp greatest")
    rows = table("hose_clamps").rows
    sizes = [r["size"] for r in rows if float(r["least_mm"]) <= value <= float(r["greatest_mm"])]
    if least is None or greatest is None:
        hint = f"; worm-drive sizes {', '.join(sizes)} reach it (from memory)" if sizes else ""
        what = f"the clamp's range (it closes on {value:.2f} mm{hint})"
        return not_known("clamp", what, "read the range on the clamp's band", source="SAE J1508")
    if least.value >= greatest.value:
        what = "the clamp's range (its least is not under its greatest)"
        return not_known("clamp", what, "read the range on the clamp's band again")
    said = f"it closes on {value:.2f} mm, the clamp takes {least.value:.2f} mm to {greatest.value:.2f} mm"
    wrong = "it is too large to close" if value < least.value else "it does not go round"
    other = f"another clamp, whose range holds {value:.2f} mm"
    other += f": worm-drive size {' or '.join(sizes)} (from memory)" if sizes else ""
    return gauged("clamp", value, sd, least.value, greatest.value, good=said, bad=f"{said}: {wrong}", remedy=other,
                  measure="measure over the hose pushed on the pipe with a calliper", caution=CAUTION)  # fmt: skip


def _held(joint: Joint) -> Answer:
    """A plain pipe lets a hose go; a bead or barb keeps it."""
    form, pressure = joint.b.word("form"), joint.size("pressure")
    if not form:
        return not_known("hold", "whether there is a barb or bead", "look at the tail: barbs, a rolled bead, or plain")
    if form != "plain":
        return Answer("hold", Verdict.FITS, f"a {form} tail keeps the hose behind its clamp")
    if joint.use in {"vacuum", "vapour"} or (pressure is not None and pressure.value == 0.0):
        return Answer("hold", Verdict.FITS, "a plain pipe does where nothing pushes the hose off")
    return Answer("hold", Verdict.DOES_NOT_FIT, "a plain pipe lets a hose slide off under pressure", caution=CAUTION,
                  remedy="roll a bead on the pipe, or fit a barbed tail",
                  source="common practice, no source")  # fmt: skip


KINDS: tuple[MateKind, ...] = (
    MateKind(
        "hose on barb",
        "a hose pushed on a barb, bead or pipe and clamped",
        ("hose",),
        ("barb",),
        judge,
        (
            Ask("pressure", "pressure", "greatest pressure in the hose", high=40.0),
            Ask("clamp least", "length", "smallest diameter the clamp closes to", low=3.0, high=150.0),
            Ask("clamp greatest", "length", "largest diameter the clamp goes round", low=4.0, high=200.0),
        ),
    ),
)
"""Kinds of joint of clamped hose."""
