"""The builder's instruments: a default edited, or one of their own."""

from dataclasses import asdict

from trialfit.buildfile.amounts import angle, length
from trialfit.buildfile.forms import choice, form
from trialfit.buildfile.keys import INSTRUMENT
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.names import NAME_RULE, is_name
from trialfit.buildfile.tree import Node, Table, what
from trialfit.vehicle import DEFAULT_INSTRUMENTS, Instrument

_FIELDS = {"limit": "limit", "per metre": "limit_per_m", "hook": "hook", "under car": "under_car"}
_OWN = "the builder's own figure"
_WIDEST_DEG = 45.0


def instruments(ledger: Ledger, node: Node | None) -> dict[str, Instrument]:
    """The default instruments with the file's changes and additions. One that cannot be read keeps its name, so that
    the readings taken with it are not told as well."""
    known = dict(DEFAULT_INSTRUMENTS)
    if node is None:
        return known
    if not isinstance(node, Table):
        ledger.wrong(
            node, f"{what(node)} in place of keys", "each instrument under its name, e.g. tape: {under car: 3 mm}"
        )
        return known
    for key, value in node.pairs:
        name = key.value
        if not is_name(name):
            ledger.wrong(key, "this cannot name an instrument", NAME_RULE + ", e.g. old-tape")
            continue
        made = _instrument(ledger, name, value, DEFAULT_INSTRUMENTS.get(name))
        if made is not None:
            known[name] = made
        else:
            known.setdefault(name, Instrument(name, _measures_anyway(value), 1.0))
    return known


def _measures_anyway(node: Node) -> str:
    said = node.get("measures") if isinstance(node, Table) else None
    value = getattr(said, "value", "length")
    return value if value in ("length", "angle", "size") else "length"


def _instrument(ledger: Ledger, name: str, node: Node, default: Instrument | None) -> Instrument | None:
    found = form(ledger, node, INSTRUMENT, "an instrument")
    if found is None:
        return None
    base = default
    if "measures" in found:
        measures = choice(ledger, found["measures"], ("length", "angle", "size"))
        if measures is None:
            return None
        if base is None or base.measures != measures:
            base = Instrument(name, measures, 0.0, source=_OWN)
    if base is None:
        ledger.wrong(node, "an instrument of your own without measures", "measures: length, angle or size",
                     "say what it measures, and its limit")
        return None
    is_angle = base.measures == "angle"
    values: dict[str, float] = {}
    for key, field in _FIELDS.items():
        if key not in found:
            continue
        if is_angle and key in ("per metre", "hook"):
            ledger.wrong(found[key], f"a gauge for angles has no {key}", mend="take it out")
            return None
        read = (angle(ledger, found[key], _WIDEST_DEG, zero=True) if is_angle else
                length(ledger, found[key], zero=True, what="a length from 0 up"))
        if read is None:
            return None
        values[field] = read
    source = base.source
    if values:
        source = f"{base.source}; changed by the builder" if default is base else _OWN
    if "source" in found:
        text = plain(ledger, found["source"], "a text, e.g. maker's leaflet")
        if text is None:
            return None
        source = text.value
    changed = {**asdict(base), **values, "source": source}
    made = Instrument(**changed)
    if made.limit + made.limit_per_m + made.hook + made.under_car <= 0.0:
        ledger.wrong(node, "an instrument that never errs", "limit: a length or angle above 0, e.g. limit: 1 mm",
                     "give it the limit printed on it or in its leaflet")
        return None
    return made
