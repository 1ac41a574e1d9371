"""What the contact pattern of ring and pinion says: which shim to change, and which way.

A decision table (``gear_pattern`` in ``standards``), read from its top: height of the marks on the tooth tells the
pinion's depth, their place along the tooth tells how near the ring gear is.
"""

from dataclasses import dataclass
from enum import StrEnum

from trialfit.findings import Finding, Verdict
from trialfit.standards import nearest, refuse_outside, table
from trialfit.sums import Ask, a_sum


class Along(StrEnum):
    """Where along the tooth the mark lies: toe is the inner end, heel the outer end."""

    TOE = "toe"
    CENTRE = "centre"
    HEEL = "heel"


class Height(StrEnum):
    """How high on the tooth the mark lies."""

    TOP = "top"
    MIDDLE = "middle"
    ROOT = "root"


class Move(StrEnum):
    """What to do with the pinion or with the ring gear; closer and away are seen from the other of the two."""

    LEAVE = "leave"
    CLOSER = "closer"
    AWAY = "away"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True)
class Contact:
    """Where the mark lies on one side of the ring gear's teeth."""

    along: Along
    height: Height


@dataclass(frozen=True, slots=True)
class PatternRow:
    """One row of the decision table; an empty tuple suits anything. ``step_mm`` is the first change to try."""

    name: str
    drive_along: tuple[str, ...]
    drive_height: tuple[str, ...]
    coast_along: tuple[str, ...]
    coast_height: tuple[str, ...]
    pinion: Move
    ring_gear: Move
    step_mm: float
    origin: str
    words: str

    def suits(self, drive: Contact, coast: Contact) -> bool:
        """Whether these marks belong to this row."""
        pairs = ((self.drive_along, drive.along), (self.drive_height, drive.height),
                 (self.coast_along, coast.along), (self.coast_height, coast.height))
        return all(not wanted or seen.value in wanted for wanted, seen in pairs)


@dataclass(frozen=True, slots=True)
class ShimPlace:
    """Where the shim of the pinion's depth lies, and which way a thicker one moves the pinion."""

    name: str
    where: str
    thicker: Move
    origin: str


@dataclass(frozen=True, slots=True)
class PatternReading:
    """The row that suits, and what it comes to for the shim place at hand; ``finding`` says it in words."""

    row: PatternRow
    pinion_shim: str
    ring_gear: str
    finding: Finding


def pattern_rows() -> tuple[PatternRow, ...]:
    """The decision table from its top.

    >>> pattern_rows()[0].name
    'right'
    """
    def wanted(cell: str) -> tuple[str, ...]:
        return () if cell == "*" else tuple(cell.split("|"))

    return tuple(PatternRow(r["key"], wanted(r["drive_along"]), wanted(r["drive_height"]), wanted(r["coast_along"]),
                            wanted(r["coast_height"]), Move(r["pinion"]), Move(r["ring_gear"]), float(r["step"]),
                            r["origin"], r["words"]) for r in table("gear_pattern").rows)


def shim_places() -> tuple[ShimPlace, ...]:
    """Places of the pinion's depth shim."""
    return tuple(ShimPlace(r["key"], r["where"], Move(r["thicker"]), r["origin"])
                 for r in table("pinion_shim_places").rows)


def shim_place(name: str) -> ShimPlace:
    """The place called ``name``.

    Raises
    ------
    ValueError
        when none is called so

    >>> shim_place("under the pinion retainer").thicker.value
    'away'
    """
    places = {place.name: place for place in shim_places()}
    if name not in places:
        raise ValueError(f"no place of the pinion shim is called '{name}'; {nearest(name, places)}")
    return places[name]


def shim_words(move: Move, place: ShimPlace, step_mm: float) -> str:
    """What to do with the pinion's shim.

    >>> shim_words(Move.CLOSER, shim_place("under the pinion retainer"), 0.1)
    'thinner by 0.1 mm first: the pinion moves closer to the axis of the ring gear'
    """
    if move in (Move.LEAVE, Move.CANNOT_TELL):
        return move.value
    thick = "thicker" if move is place.thicker else "thinner"
    side = "closer to" if move is Move.CLOSER else "away from"
    return f"{thick} by {step_mm:g} mm first: the pinion moves {side} the axis of the ring gear"


def ring_gear_words(move: Move, step_mm: float) -> str:
    """What to do with the carrier's two shims or adjuster nuts; what one side gets the other gives, so that the
    preload of the carrier bearings stays."""
    if move in (Move.LEAVE, Move.CANNOT_TELL):
        return move.value
    thick, thin = ("thicker", "thinner") if move is Move.CLOSER else ("thinner", "thicker")
    side, lash = ("closer to", "less") if move is Move.CLOSER else ("away from", "more")
    return (f"shim behind the ring gear {thick} by {step_mm:g} mm, shim on the other side {thin} by as much: the ring "
            f"gear moves {side} the pinion, {lash} backlash")


def read_pattern(drive: Contact, coast: Contact, place: str, backlash_right: bool | None = None) -> PatternReading:
    """Which shim to change and which way, from the marks on drive and coast side.

    For hypoid gears marked by hand under light load. Left out: the shift of the pattern under full load, and cutting
    methods whose maker gives another table, which goes first. Spiral bevel gears without offset and gears already run
    in read less surely: the answer then errs either way.

    Parameters
    ----------
    drive, coast : Contact
        marks on the convex (drive) and on the concave (coast) side of the ring gear's teeth
    place : str
        where the pinion's shim lies, a key of the table ``pinion_shim_places``
    backlash_right : bool or None
        whether backlash is within the axle's own figure; a pattern read at wrong backlash misleads

    Returns
    -------
    PatternReading
        a finding that fits only when nothing is to be changed and the backlash is right

    Raises
    ------
    ValueError
        when no shim place is called so

    Source: truck service manuals, ring and pinion; rows marked so from memory.

    >>> toe = Contact(Along.TOE, Height.MIDDLE)
    >>> read_pattern(toe, toe, "behind the inner cup", True).row.ring_gear.value
    'away'
    """
    row = next(r for r in pattern_rows() if r.suits(drive, coast))
    at = shim_place(place)
    pinion, ring = shim_words(row.pinion, at, row.step_mm), ring_gear_words(row.ring_gear, row.step_mm)
    return PatternReading(row, pinion, ring, _finding(row, pinion, ring, backlash_right))


def _finding(row: PatternRow, pinion: str, ring: str, backlash_right: bool | None) -> Finding:
    name, source = "ring-and-pinion.pattern", f"truck service manuals, ring and pinion; {row.origin}"
    if row.pinion is Move.CANNOT_TELL:
        return Finding(name, Verdict.DOES_NOT_FIT, row.words,
                       "take it apart and look, or take it to a differential shop", rule=row.name, source=source)
    if backlash_right is not True:
        why = "backlash is not known" if backlash_right is None else "backlash is outside the axle's own figure"
        return Finding(name, Verdict.CANNOT_TELL, f"{why}, and a pattern read at wrong backlash misleads",
                       "set the backlash first, at four places round the ring gear, and mark the teeth again",
                       rule=row.name, source=source)
    if row.pinion is Move.LEAVE and row.ring_gear is Move.LEAVE:
        return Finding(name, Verdict.FITS, row.words, rule=row.name, source=source)
    todo = f"pinion shim {pinion}; set the backlash again" if row.pinion is not Move.LEAVE else ring
    return Finding(name, Verdict.FITS_AFTER_WORK, row.words,
                   f"{todo}; then mark and read again, and halve the step each time the pattern goes past the middle",
                   rule=row.name, source=source)


@a_sum(
    "pinion-shim-change",
    title="Change of the pinion's depth shim for a new gear set, from the marks on the pinion heads",
    asks=(
        Ask("old", "length", "mark on the old pinion as a length: +3 in thousandths of an inch is 0.003 in"),
        Ask("new", "length", "mark on the new pinion, the same way"),
        Ask("thicker", "text", "what a thicker shim does to the pinion: closer to the ring gear, or away", "closer",
            ("closer", "away")),
    ),
    gives="change of the shim; negative is thinner",
    dimension="length",
    unit="mm",
    words="old mark - new mark where a thicker shim moves the pinion closer, new mark - old mark where away",
    source="light-truck service manuals, pinion depth marks",
    caution="A start only: the contact pattern decides. A gear set that runs wrong can seize and lock the wheels.",
)
def pinion_shim_change(old: float, new: float, thicker: str) -> float:
    """Change [mm] of the depth shim from the marks on both pinions, a plus mark meaning: sits farther out.

    Left out: differences between housings, bearings and cups, which err either way.

    Parameters
    ----------
    old, new : float
        marks, up to 1 mm either way [mm]
    thicker : str
        ``closer`` or ``away``

    Raises
    ------
    ValueError
        for a larger mark or another word

    Source: light-truck service manuals, pinion depth marks.

    >>> round(pinion_shim_change(0.0508, -0.0508, "closer"), 4)
    0.1016
    """
    for name, mark in (("old mark", old), ("new mark", new)):
        refuse_outside(name, mark, -1.0, 1.0, "mm")
    if thicker not in ("closer", "away"):
        raise ValueError(f"thicker is '{thicker}'; write closer or away")
    return old - new if thicker == "closer" else new - old
