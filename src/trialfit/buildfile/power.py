"""Engine, gearbox, axle ratio, tyre and what they are for: from the file to the vehicle's record."""

import math
import re
from collections.abc import Callable
from itertools import pairwise

from trialfit.buildfile.amounts import ranged
from trialfit.buildfile.driveline_keys import CONVERTER, POWER, SPEEDOMETER, TURNS, USE
from trialfit.buildfile.facts import Piece, fact, fact_in, facts, parts, two
from trialfit.buildfile.forms import choice, form
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.tree import Node, Table
from trialfit.driveline import tyre_from_code
from trialfit.vehicle import Fact, Peak, Power, SpeedometerFacts, StallFacts, TurnsFacts, TyreFacts, Use

BOXES = ("manual", "automatic")
MOST_GEARS = 18
MOST_CHOICES = 20
MOST_POINTS = 60
_GEAR = (0.4, 20.0, "0.4 to 20")
_AXLE = (1.0, 15.0, "1 to 15")
_OVERALL = (1.0, 300.0, "1 to 300")
_TURNS = (0.5, 1000.0, "0.5 to 1000")
_WAY = (900.0, 100000.0, "0.9 m to 100 m")
_TYRE = "a size code such as 225/70R15, 31x10.50R15 or 6.70-15"


def power(ledger: Ledger, node: Node) -> Power | None:
    """From engine to road."""
    found = form(ledger, node, POWER, "power")
    if found is None:
        return None
    one: dict[str, Fact | None] = {
        name: fact(ledger, found[name], dimension, span) for name, dimension, span in (
            ("from", "rotation", None), ("to", "rotation", None), ("transfer", "ratio", (0.5, 3.0, "0.5 to 3")),
            ("low range", "ratio", (1.0, 10.0, "1 to 10")), ("axle", "ratio", _AXLE),
            ("mass", "mass", (100.0, 60000.0, "100 kg to 60000 kg")), ("front axle mass", "mass", None),
            ("rear axle mass", "mass", None), ("drag", "number", (0.05, 2.0, "0.05 to 2")),
            ("frontal area", "area", None), ("rolling resistance", "number", (0.001, 0.5, "0.001 to 0.5")),
            ("grip", "number", (0.1, 4.0, "0.1 to 4")), ("factor", "number", (1.0, 5.0, "1 to 5"))) if name in found}
    torque = _peak(ledger, found["torque"], "torque") if "torque" in found else None
    most = _peak(ledger, found["power"], "power") if "power" in found else None
    curve = _curve(ledger, found["curve"]) if "curve" in found else ()
    gears = facts(ledger, found["gears"], "ratio", "ratios, first gear first, e.g. 3.1, 1.9, 1.3, 1", MOST_GEARS,
                  _GEAR)
    choices = facts(ledger, found["axle choices"], "ratio", "axle ratios, e.g. 3.31, 3.73, 4.10", MOST_CHOICES,
                    _AXLE) if "axle choices" in found else ()
    box = choice(ledger, found["box"], BOXES)
    stall = _stall(ledger, found["converter"]) if "converter" in found else None
    tyre = _tyre(ledger, found)
    uses = _uses(ledger, found["use"]) if "use" in found else ()
    turns = _turns(ledger, found["turns"]) if "turns" in found else None
    meter = _speedometer(ledger, found["speedometer"]) if "speedometer" in found else None
    origin = plain(ledger, found["factor from"], "a text, e.g. shop's own rule") if "factor from" in found else None
    read = {"torque": torque, "power": most, "converter": stall, "turns": turns, "speedometer": meter,
            "factor from": origin, **one}
    if (curve is None or gears is None or choices is None or box is None or tyre is None or uses is None
            or any(read[name] is None for name in read if name in found)):
        return None
    fast, axle = one["to"], one["axle"]
    assert fast is not None
    assert axle is not None
    if not (_gears_fall(ledger, found["gears"], gears) and _whole_engine(ledger, node, found, curve, fast.value)
            and _goes_together(ledger, found, box, tyre, choices)):
        return None

    def value(name: str) -> float | None:
        got = one.get(name)
        return None if got is None else got.value

    return Power(
        tuple(g.value for g in gears), box, axle, tyre, fast.value, curve, torque, most, value("from"), stall,
        value("transfer") or 1.0, value("low range"), tuple(c.value for c in choices), one.get("mass"),
        one.get("front axle mass"), one.get("rear axle mass"), value("drag"), value("frontal area"),
        value("rolling resistance"), one.get("grip"), value("factor") or 1.0, "" if origin is None else origin.value,
        uses, turns, meter, node.place,
    )  # fmt: skip


def _gears_fall(ledger: Ledger, node: Node, gears: tuple[Fact, ...]) -> bool:
    if any(b.value >= a.value for a, b in pairwise(gears)):
        ledger.wrong(node, "the ratios do not fall from gear to gear", "first gear first, e.g. 3.1, 1.9, 1.3, 1, 0.75",
                     "put them in order, and leave reverse out")
        return False
    return True


def _whole_engine(ledger: Ledger, node: Node, found: dict[str, Node], curve: tuple[tuple[float, float], ...],
                  fastest: float) -> bool:
    """Either points of the curve or both peaks, and speeds that go together."""
    if curve:
        if "torque" in found or "power" in found:
            twice = "torque" if "torque" in found else "power"
            ledger.wrong(found[twice], f"{twice} beside curve", "the curve alone, or the two peaks",
                         "take one of the two out")
            return False
        if not curve[0][0] < fastest <= curve[-1][0] * (1.0 + 1e-9):
            ledger.wrong(found["to"], "the curve does not reach this speed", "a speed between the curve's first point "
                         "and its last", "add a point at that speed, or lower it")
            return False
        return True
    if "torque" not in found or "power" not in found:
        ledger.wrong(node, "no engine: neither a curve nor both peaks", "torque: 400 N*m at 3500 rpm, power: 200 kW at "
                     "6000 rpm", "add both, or curve: with points of it")
        return False
    if "from" not in found:
        ledger.wrong(node, "peaks without from", "from: 1000 rpm", "add the slowest speed at which the engine pulls")
        return False
    return True


def _goes_together(ledger: Ledger, found: dict[str, Node], box: str, tyre: TyreFacts,
                   choices: tuple[Fact, ...]) -> bool:
    if "converter" in found and box == BOXES[0]:
        ledger.wrong(found["converter"], "a converter in front of a manual box", "box: automatic",
                     "take the converter out, or write box: automatic")
        return False
    if len({c.value for c in choices}) != len(choices):
        ledger.wrong(found["axle choices"], "a ratio stands twice", mend="take one out")
        return False
    if "factor from" in found and "factor" not in found:
        ledger.wrong(found["factor from"], "factor from without factor", "factor: 1.5", "add the factor")
        return False
    return True


def _peak(ledger: Ledger, node: Node, dimension: str) -> Peak | None:
    example = "400 N*m at 3500 rpm" if dimension == "torque" else "200 kW at 6000 rpm"
    expected = f"an amount and the engine speed where it is, e.g. {example}"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    pieces = parts(text, r"\s+at\s+")
    if len(pieces) != 2:
        ledger.wrong(text, "no speed after at" if len(pieces) == 1 else "two speeds", expected)
        return None
    most, at = fact_in(ledger, text, pieces[0], dimension), fact_in(ledger, text, pieces[1], "rotation")
    return None if most is None or at is None else Peak(most, at.value)


def _curve(ledger: Ledger, node: Node) -> tuple[tuple[float, float], ...] | None:
    expected = "engine speed: torque, e.g. {1500 rpm: 310 N*m, 3500 rpm: 400 N*m}"
    if not isinstance(node, Table):
        ledger.wrong(node, "no keys of engine speed", expected)
        return None
    if not 2 <= len(node.pairs) <= MOST_POINTS:
        ledger.wrong(node, f"{len(node.pairs)} point{'' if len(node.pairs) == 1 else 's'}",
                     f"2 to {MOST_POINTS} of them: {expected}")
        return None
    rows: list[tuple[float, float]] = []
    for key, value in node.pairs:
        speed, torque = fact_in(ledger, key, (key.value, 0), "rotation"), fact(ledger, value, "torque")
        if speed is None or torque is None:
            return None
        if any(abs(speed.value - other) < 1e-9 * other for other, _ in rows):
            ledger.wrong(key, "this engine speed stands twice", mend="take one out")
            return None
        rows.append((speed.value, torque.value))
    return tuple(sorted(rows))


def _stall(ledger: Ledger, node: Node) -> StallFacts | None:
    found = form(ledger, node, CONVERTER, "a converter")
    if found is None:
        return None
    stall = fact(ledger, found["stall"], "rotation")
    ratio = fact(ledger, found["ratio"], "ratio", (1.0, 5.0, "1 to 5"))
    behind = fact(ledger, found["behind"], "torque") if "behind" in found else None
    locks = choice(ledger, found["locks"], ("yes", "no")) if "locks" in found else "no"
    if stall is None or ratio is None or locks is None or ("behind" in found and behind is None):
        return None
    return StallFacts(stall.value, ratio, None if behind is None else behind.value, locks == "yes")


def _tyre(ledger: Ledger, found: dict[str, Node]) -> TyreFacts | None:
    code: str | None = ""
    if "tyre" in found:
        code = _code(ledger, found["tyre"])
    rolled: tuple[Fact, float] | None = None
    if "rolled" in found:
        rolled = _rolled(ledger, found["rolled"])
        if rolled is None:
            return None
    if code is None:
        return None
    if not code and rolled is None:
        ledger.wrong(found["axle"], "power without tyre", "tyre: 225/70R15, or rolled: 10.04 m in 5 turns",
                     "add the size code, or how far the tyre rolls")
        return None
    return TyreFacts(code) if rolled is None else TyreFacts(code, rolled[0], rolled[1])


def _code(ledger: Ledger, node: Node) -> str | None:
    text = plain(ledger, node, _TYRE)
    if text is None:
        return None
    code = " ".join(text.value.split())
    try:
        tyre_from_code(code)
    except ValueError as bad:
        why = "the table of such codes does not hold it; " if "table" in str(bad) else ""
        ledger.wrong(text, "this tyre cannot be told from its code", _TYRE, f"{why}check the code on the sidewall, or "
                     "measure how far the tyre rolls and write rolled: 10.04 m in 5 turns")
        return None
    return code


def _rolled(ledger: Ledger, node: Node) -> tuple[Fact, float] | None:
    expected = "a way and how many turns, e.g. 10.04 m in 5 turns"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    read = re.fullmatch(r"(.+?)\s+in\s+([0-9.]+)\s+turns?", text.value.strip())
    if read is None:
        ledger.wrong(text, "no way with its turns", expected)
        return None
    start = text.value.index(read[1])
    way = fact_in(ledger, text, (read[1], start), "length", _WAY)
    turns = fact_in(ledger, text, (read[2], text.value.rindex(read[2])), "number", _TURNS)
    if way is None or turns is None:
        return None
    one = way.value / turns.value
    if not 900.0 <= one <= 4700.0:
        ledger.wrong(text, f"{one:.0f} mm in one turn is no tyre's", "0.9 m to 4.7 m in one turn",
                     "check the way and the count")
        return None
    return way, turns.value


def _uses(ledger: Ledger, node: Node) -> tuple[Use, ...] | None:
    found = form(ledger, node, USE, "use")
    if found is None:
        return None
    made = [_USES[name](ledger, name, value) for name, value in found.items()]
    good = tuple(use for use in made if use is not None)
    return good if len(good) == len(made) else None


def _cruise(ledger: Ledger, name: str, node: Node) -> Use | None:
    expected = "a road speed and a band of engine speeds, e.g. 110 km/h at 2300 rpm to 2600 rpm"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    pieces = parts(text, r"\s+(?:at|to)\s+")
    if len(pieces) != 3:
        ledger.wrong(text, "no road speed with a band of engine speeds", expected)
        return None
    speed, low, high = (fact_in(ledger, text, p, d) for p, d in zip(pieces, ("speed", "rotation", "rotation")))
    if speed is None or low is None or high is None:
        return None
    if low.value >= high.value:
        ledger.wrong(text, "the band of engine speeds does not rise", expected)
        return None
    return Use(name, speed.value, low.value, high.value)


def _overall(ledger: Ledger, name: str, node: Node) -> Use | None:
    expected = "overall ratios, e.g. 9 to 12, or the least alone"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    if len(parts(text, r"\s+to\s+")) == 1:
        least = fact(ledger, node, "ratio", _OVERALL)
        return None if least is None else Use(name, low=least.value)
    both = two(ledger, node, "ratio", expected, _OVERALL)
    return None if both is None else Use(name, low=both[0], high=both[1])


def _tow(ledger: Ledger, name: str, node: Node) -> Use | None:
    expected = "a road speed, a grade and a trailer, e.g. 80 km/h up 6 % with 1500 kg"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    pieces: list[Piece] = parts(text, r"\s+(?:up|with)\s+")
    if len(pieces) != 3:
        ledger.wrong(text, "no road speed with a grade and a trailer", expected)
        return None
    speed = fact_in(ledger, text, pieces[0], "speed")
    grade = fact_in(ledger, text, pieces[1], "percent", (0.0, 0.5, "0 % to 50 %"))
    trailer = fact_in(ledger, text, pieces[2], "mass", (0.0, 40000.0, "0 kg to 40000 kg"))
    if speed is None or grade is None or trailer is None:
        return None
    return Use(name, speed.value, grade=grade.value, trailer_kg=trailer.value)


def _fast(ledger: Ledger, name: str, node: Node) -> Use | None:
    speed = fact(ledger, node, "speed")
    return None if speed is None else Use(name, speed.value)


_USES: dict[str, Callable[[Ledger, str, Node], Use | None]] = {
    "cruise": _cruise, "launch": _overall, "crawl": _overall, "tow": _tow, "shaft": _fast}


def _turns(ledger: Ledger, node: Node) -> TurnsFacts | None:
    found = form(ledger, node, TURNS, "turns")
    if found is None:
        return None
    count = {key: ranged(ledger, found[key], "number", -1000.0 if key == "other wheel" else 0.5, 10000.0,
                         "-1000 to 10000" if key == "other wheel" else "0.5 to 10000") for key in found}
    shaft, wheel, other = count["shaft"], count["wheel"], count.get("other wheel")
    if shaft is None or wheel is None or ("other wheel" in found and other is None):
        return None
    if other is not None and abs(other) > wheel:
        ledger.wrong(found["other wheel"], "the other wheel turned further than the one that was turned",
                     "its turns, backward minus", "write the one that turned further as wheel")
        return None
    return TurnsFacts(shaft, wheel, other)


def _speedometer(ledger: Ledger, node: Node) -> SpeedometerFacts | None:
    found = form(ledger, node, SPEEDOMETER, "speedometer")
    if found is None:
        return None
    code, axle = _code(ledger, found["tyre"]), fact(ledger, found["axle"], "ratio", _AXLE)
    teeth = ranged(ledger, found["teeth"], "number", 5.0, 100.0, "5 to 100 teeth") if "teeth" in found else None
    if code is None or axle is None or ("teeth" in found and teeth is None):
        return None
    if teeth is not None and teeth != math.floor(teeth):
        ledger.wrong(found["teeth"], "no whole number of teeth", "a count, e.g. 18")
        return None
    return SpeedometerFacts(TyreFacts(code), axle.value, None if teeth is None else int(teeth))


