"""From the text of a build file to the build, or to everything that is wrong with it."""

import hashlib
from dataclasses import dataclass
from pathlib import Path

from trialfit.buildfile.driveline import shaft
from trialfit.buildfile.driveline_keys import ORDERS
from trialfit.buildfile.forms import choice, unknown_key
from trialfit.buildfile.gauges import instruments
from trialfit.buildfile.keys import TOP, VERSION
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.limits import MOST_BYTES, USUAL_NAME, decoded, refusals, too_much
from trialfit.buildfile.mates_said import chains, mates
from trialfit.buildfile.notebook import notebook
from trialfit.buildfile.orders import gear_set, order
from trialfit.buildfile.parts_said import ALL_KINDS, Kinds, Known, parts
from trialfit.buildfile.power import power
from trialfit.buildfile.problem import Problem, in_order, shown
from trialfit.buildfile.routes import LONE_ROUTE, routes
from trialfit.buildfile.running_gear import Riding, bodies, mounts, stops, suspension
from trialfit.buildfile.syntax import grown
from trialfit.buildfile.things import shapes
from trialfit.buildfile.tree import Items, Node, Table, Text, what
from trialfit.buildfile.wishes import gaps, rules, sides
from trialfit.findings import Place
from trialfit.units import UnitsError, parse
from trialfit.vehicle import Build, Settings


@dataclass(frozen=True, slots=True)
class Loaded:
    """What a file holds: a build when nothing is wrong; else ``problems``, faults of structure first, then by line.

    ``suspicions`` are read as they stand and said aloud. ``digest`` is that of the bytes read, for ``save``.
    """

    build: Build | None
    problems: tuple[Problem, ...]
    suspicions: tuple[Problem, ...] = ()
    text: str = ""
    digest: str = ""


def digest_of(raw: bytes) -> str:
    """First 12 hex digits of the SHA-256 of a file's bytes."""
    return hashlib.sha256(raw).hexdigest()[:12]


def load(path: Path | str, kinds: Kinds = ALL_KINDS) -> Loaded:
    """Read a build file from the disk. A file that cannot be read is a problem like any other. ``kinds`` are those of
    ports and joints that it may name."""
    path = Path(path)
    file = path.name
    try:
        with path.open("rb") as opened:
            raw = opened.read(MOST_BYTES + 1)
            size = path.stat().st_size if len(raw) > MOST_BYTES else len(raw)
    except OSError as error:
        reason = {
            FileNotFoundError: "there is no such file",
            IsADirectoryError: "this is a folder",
            PermissionError: "this file may not be read",
        }.get(type(error), "this file cannot be read")
        inside = path / USUAL_NAME
        mend = f"name the file in it: {inside}" if inside.is_file() else "trialfit new makes a first one"
        return Loaded(None, (Problem(Place(str(path), 1), "", reason, "a build file", mend, 0),))
    except ValueError:
        return Loaded(None, (Problem(Place(shown(str(path)), 1), "", "this cannot name a file", weight=0),))
    big = too_much(max(size, len(raw)), file)
    if big is not None:
        return Loaded(None, (big,))
    text, bad = decoded(raw, file)
    if bad is not None:
        return Loaded(None, (bad,), digest=digest_of(raw))
    return _read(text, file, digest_of(raw), kinds)


def read(text: str, file: str = USUAL_NAME, kinds: Kinds = ALL_KINDS) -> Loaded:
    """Read the text of a build file; ``file`` is what messages call it, ``kinds`` are those of ports and joints that it
    may name. Nothing in the text can make it raise.

    >>> read("readings:\\n  - tape a b 612 mm").build.readings[0].values
    (612.0,)
    >>> print(read("trialfit: 1\\nreadings:\\n  - tape a b 612").problems[0])
    build.yaml:3:14: "612": a number without a unit; expected a length such as 67.1 mm or 3 1/2 in; ...
    """
    text = text.removeprefix("\ufeff")
    return _read(text, file, "", kinds)


def _read(text: str, file: str, digest: str, kinds: Kinds) -> Loaded:
    refused = refusals(text, file)
    if refused:
        return Loaded(None, in_order(refused), (), "", digest)
    digest = digest or digest_of(text.encode("utf-8"))
    tree = grown(text, file)
    ledger = Ledger(file, text, tree.whole)
    ledger.problems += tree.problems
    build = None
    if tree.root is None:
        if not tree.problems:
            ledger.wrong(Place(file, 1), "there is nothing in this file", "readings: and a list of readings",
                         "trialfit new lays out a first file", weight=0)
    elif not isinstance(tree.root, Table):
        ledger.wrong(tree.root, f"{what(tree.root)} in place of keys", "keys and values, e.g. readings: and a list",
                     "put readings: above the list" if isinstance(tree.root, Items) else "", weight=0)
    elif _version(ledger, tree.root):
        build = _build(ledger, tree.root, digest, kinds)
    problems = in_order(ledger.problems)
    return Loaded(None if problems else build, problems, in_order(ledger.suspicions), text, digest)


def _version(ledger: Ledger, root: Table) -> bool:
    """Whether the rest is worth reading: a newer version's keys would only be misread."""
    node = root.get("trialfit")
    if node is None:
        others = [key for key, _ in root.pairs if key.value != "readings"]
        if others or root.get("readings") is None:
            near = next((key for key in others if key.value.casefold() in ("trialfit", "version")), None)
            ledger.wrong(near or Place(ledger.file, root.place.line), "the version of the format is missing",
                         f"trialfit: {VERSION}", f"write trialfit: {VERSION} in the first line", weight=0)
        elif ledger.whole:
            ledger.doubt(Place(ledger.file, root.place.line), f"no version of the format: read as version {VERSION}",
                         f"write trialfit: {VERSION} in the first line")
        return True
    text = plain(ledger, node, f"trialfit: {VERSION}")
    if text is None:
        return True
    if not (text.value.isascii() and text.value.isdigit() and 0 < len(text.value) < 6) or int(text.value) < 1:
        ledger.wrong(text, "not a version of the format", f"trialfit: {VERSION}", weight=0)
        return True
    if int(text.value) > VERSION:
        ledger.wrong(text, f"this file says trialfit: {int(text.value)}; this program reads {VERSION}",
                     mend="use a newer trialfit, or the file as it was before", weight=0)
        return False
    return True


def _build(ledger: Ledger, root: Table, digest: str, kinds: Kinds) -> Build:
    given: dict[str, Node] = {}
    known = [k.name for k in TOP]
    examples = {k.name: k.example for k in TOP}
    for key, value in root.pairs:
        if key.value not in known:
            unknown_key(ledger, key, known, "a build file")
            # what stands under a misspelt key is not found under the right one either
            ledger.whole = False
        elif (isinstance(value, Text) and value.nothing) or (
                key.value == "readings" and isinstance(value, Items) and not value.items):
            if not ledger.whole:
                continue
            if key.value == "readings":
                ledger.wrong(key, "no readings", "one reading a line, e.g. - tape eye.L pad.L 612 mm",
                             "write the first one below, with a dash before it")
                ledger.whole = False
            elif key.value not in ("trialfit", "name", "note", "load state"):
                ledger.wrong(key, "nothing stands after this key", f"{key.value}: {examples[key.value]}",
                             "fill it in or take the key out")
        else:
            given[key.value] = value
    if "readings" not in given and ledger.whole:
        ledger.wrong(Place(ledger.file, root.place.line), "no readings", "readings: and one reading a line",
                     "add readings: with - tape eye.L pad.L 612 mm below it")
        ledger.whole = False
    name, settings = _settings(ledger, given)
    gauges = instruments(ledger, given.get("instruments"))
    readings = notebook(ledger, given["readings"], gauges) if "readings" in given else ()
    hints = sides(ledger, given["sides"]) if "sides" in given else ()
    riders = bodies(ledger, given["bodies"]) if "bodies" in given else ()
    riding = Riding(riders)
    held = suspension(ledger, given["suspension"], riding) if "suspension" in given else None
    stopped = stops(ledger, given["stops"]) if "stops" in given else None
    rocking = mounts(ledger, given["engine mounts"]) if "engine mounts" in given else None
    driven = shaft(ledger, given["shaft"], riding, _named(given)) if "shaft" in given else None
    bulk = shapes(ledger, given["shapes"], riding) if "shapes" in given else ()
    pipes = routes(ledger, given["exhaust"]) if "exhaust" in given else ()
    wished = gaps(ledger, given["gaps"], bulk, pipes, _named(given)) if "gaps" in given else ()
    chosen = rules(ledger, given["rules"]) if "rules" in given else ()
    engine = power(ledger, given["power"]) if "power" in given else None
    told = [order(ledger, key, given[key], gauges) for key in ORDERS if key in given]
    teeth = gear_set(ledger, given["ring and pinion"]) if "ring and pinion" in given else None
    fitted, meeting = parts(ledger, given["parts"], kinds, gauges) if "parts" in given else ((), Known())
    joined = mates(ledger, given["mates"], kinds, meeting, gauges) if "mates" in given else ()
    wanted = chains(ledger, given["chains"], meeting, gauges) if "chains" in given else ()
    return Build(
        name,
        _block(ledger, given.get("note")),
        settings,
        readings,
        hints,
        riders,
        bulk,
        held,
        stopped,
        rocking,
        driven,
        pipes,
        wished,
        chosen,
        ledger.file,
        digest,
        engine,
        tuple(one for one in told if one is not None),
        teeth,
        fitted,
        joined,
        wanted,
    )


def _named(given: dict[str, Node]) -> set[str]:
    """Names of shapes and routes as they stand, whether or not they could be read."""
    shaped, piped = given.get("shapes"), given.get("exhaust")
    names = {key.value for key, _ in shaped.pairs} if isinstance(shaped, Table) else set()
    if isinstance(piped, Table):
        names |= {f"exhaust.{key.value}" for key, value in piped.pairs if isinstance(value, Table)}
        names.add(f"exhaust.{LONE_ROUTE}") if not any(isinstance(v, Table) for _, v in piped.pairs) else None
    return names


def _settings(ledger: Ledger, given: dict[str, Node]) -> tuple[str, Settings]:
    name = ""
    if "name" in given:
        text = plain(ledger, given["name"], "what the build is called, e.g. Estate, axle swap")
        name = text.value.strip() if text is not None else ""
    units = _system(ledger, given["units"]) if "units" in given else None
    fraction = choice(ledger, given["fraction"], ("16", "32"), "16 or 32") if "fraction" in given else None
    paper = choice(ledger, given["paper"], ("A4", "Letter")) if "paper" in given else None
    if "length unit" in given:
        ledger.length_unit = _length_unit(ledger, given["length unit"])
    default = Settings()
    return name, Settings(units or default.units, int(fraction or default.fraction), paper or default.paper,
                          _block(ledger, given.get("load state")))


def _system(ledger: Ledger, node: Node) -> str | None:
    said = node.value.casefold() if isinstance(node, Text) else ""
    meant = {"imperial": "inch", "inches": "inch", "in": "inch", "us": "inch", "mm": "metric", "si": "metric"}.get(said)
    if meant is None:
        return choice(ledger, node, ("metric", "inch"))
    ledger.wrong(node, "this word is not known here", "one of metric, inch", f"write {meant}")
    return None


def _length_unit(ledger: Ledger, node: Node) -> str | None:
    expected = "a unit of length, e.g. mm or in"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    try:
        return parse(f"1 {text.value.strip()}", "length").unit
    except UnitsError as bad:
        ledger.wrong(text, bad.problem, expected, bad.mend)
        # bare numbers further down are not told as well: this is what is wrong with them
        return "mm"


def _block(ledger: Ledger, node: Node | None) -> str:
    """A text that may run over several lines."""
    if node is None:
        return ""
    if not isinstance(node, Text):
        ledger.wrong(node, f"{what(node)} in place of a text", "a text", "put the text in quotes")
        return ""
    return node.value.strip()
