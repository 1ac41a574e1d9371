"""Whether an outer and an inner thread are one thread, and what happens when they only look like one."""

import math
import re
from dataclasses import dataclass

from trialfit.standards.pipe_threads import FAMILIES, TAPER, is_pipe_thread, pipe_thread
from trialfit.standards.thread_tolerances import class_limits, usual_class
from trialfit.standards.threads import Thread, thread_called

_LEFT = re.compile(r"[\s,-]*(?:\bL\.?H\.?|\bleft[\s-]*hand(?:ed)?|\bleft)\s*$", re.IGNORECASE)
_CLASS_END = re.compile(r"\s*[\s-]\s*(\d[efghEFGH](?:\d[efghEFGH])?|[123][AB])\s*$", re.ASCII)
_SAME_MM = 0.02
"""sizes that the systems round apart are still one size"""
_FULL_DEPTH = 1.08253175
"""depth of thread engaged, both sides, in pitches, of the 60 degree basic form"""


@dataclass(frozen=True, slots=True)
class ThreadForm:
    """A thread of any system, as a pair is judged by: diameters where it is hand tight [mm]. ``lead_mm`` is the pitch
    diameter at the end that enters first, its least; ``mouth_mm`` that of the hole's mouth, its greatest."""

    name: str
    family: str
    size: str
    major_mm: float
    minor_mm: float
    pitch_mm: float
    angle_deg: float
    taper: bool
    left: bool
    lead_mm: float | None
    mouth_mm: float | None


@dataclass(frozen=True, slots=True)
class Pair:
    """An outer thread in an inner one. ``same`` whether they are one thread; ``words`` the reason, or what to watch;
    ``turns`` how far it goes in before it binds [turns], infinite when it never does, None when it is the same thread;
    ``depth`` how much of the full depth of thread holds [-]."""

    same: bool
    words: str
    turns: float | None = None
    depth: float | None = None


def same_thread(external: str, internal: str) -> tuple[bool, str]:
    """Whether an outer and an inner thread are one thread, else the reason and what would happen.

    Parameters
    ----------
    external, internal : str
        designations: M10x1, 7/16-20, 1/4 NPT, G1/8, R1/4, Rc1/4; ``LH`` behind one for a left-hand thread

    Returns
    -------
    tuple of bool and str
        the words are "" when there is nothing to watch

    Raises
    ------
    ValueError
        for a designation that cannot be read

    Source: ISO 261; ASME B1.1; ASME B1.20.1; ISO 228-1; ISO 7-1; mismatch worked from pitch and flank angle.

    >>> same_thread("M10x1", "M10x1")
    (True, '')
    >>> same_thread("M12x1.25", "1/2-20")[1]
    'M12x1.25 is no 1/2-20: it turns in to the end and holds on 50 % of its depth only: it strips under load'
    """
    found = thread_pair(external, internal)
    return found.same, found.words


def thread_pair(external: str, internal: str) -> Pair:
    """As :func:`same_thread`, with the turns it goes in and the depth that holds.

    Worked with the outer thread at its least and the inner at its greatest good size, that is at the loosest; a worn
    or oversize one goes further (unsafe side: it feels right for longer). The difference of pitch adds up turn by turn
    and is taken up by the play at the flanks, 1.73 times it on the diameter for 60 degrees.

    Source: ISO 261; ASME B1.1; ASME B1.20.1; ISO 228-1; ISO 7-1; mismatch worked from pitch and flank angle.

    >>> pair = thread_pair("3/8-24", "M10x1")
    >>> pair.same, round(pair.turns), round(pair.depth, 2)
    (False, 8, 0.56)
    """
    outer, inner = thread_form(external, inside=False), thread_form(internal, inside=True)
    if outer.left != inner.left:
        hands = tuple("left-hand" if t.left else "right-hand" for t in (outer, inner))
        return Pair(False, f"{outer.size} is {hands[0]} and {inner.size} {hands[1]}: it does not start", 0.0, 0.0)
    if outer.family in {"Rp", "Rc"}:
        return Pair(False, f"{outer.name} is an inner thread only; the outer thread of that joint is R")
    if inner.family == "R":
        return Pair(False, f"{inner.name} is an outer thread only; say Rp (parallel) or Rc (taper) for the inner one")
    if outer.size == inner.size and (known := _pipe_pair(outer, inner)) is not None:
        return known
    if outer.family == inner.family and outer.size == inner.size:
        return Pair(True, "")
    return _unlike(outer, inner)


def thread_form(designation: str, *, inside: bool) -> ThreadForm:
    """A thread of any system by its designation, as an inner or an outer one.

    Raises
    ------
    ValueError
        for a designation that cannot be read

    Source: ISO 261; ASME B1.1; ASME B1.20.1; ISO 228-1; ISO 7-1.
    """
    left = bool(_LEFT.search(designation))
    text = _LEFT.sub("", designation)
    if is_pipe_thread(text):
        return _pipe_form(text, left, inside)
    graded = _CLASS_END.search(text)
    thread = thread_called(_CLASS_END.sub("", text))
    wanted = graded[1] if graded else usual_class(thread, inside)
    try:
        allowed = class_limits(thread.name, wanted)
        lead, mouth = allowed.pitch_low_mm, allowed.pitch_high_mm
    except ValueError:
        # a thread without tolerances in the tables: judged by its basic size, which errs on the tight side
        lead = mouth = thread.diameter_mm - 0.649519 * thread.pitch_mm
    return ThreadForm(
        thread.name + (" left-hand" if left else ""), thread.system, thread.name, thread.diameter_mm,
        thread.diameter_mm - _FULL_DEPTH * thread.pitch_mm, thread.pitch_mm, 60.0, False, left,
        None if inside else lead, mouth if inside else None,
    )  # fmt: skip


def _pipe_form(text: str, left: bool, inside: bool) -> ThreadForm:
    pipe = pipe_thread(text)
    deep = 0.8 if pipe.angle_deg == 60.0 else 0.640327
    return ThreadForm(
        pipe.name + (" left-hand" if left else ""), pipe.family, pipe.size, pipe.major_mm,
        pipe.pitch_diameter_mm - deep * pipe.pitch_mm, pipe.pitch_mm, pipe.angle_deg, pipe.taper, left,
        None if inside else pipe.small_end_mm - pipe.slack_mm,
        pipe.pitch_diameter_mm + pipe.slack_mm if inside else None,
    )  # fmt: skip


_DRY = (
    "{a} in {b}: they go together, but only NPTF in NPTF seals dry; this pair needs sealant, and must not be used "
    "where none is allowed"
)
_JAMS = (
    "{a} is taper and {b} parallel and not made to seal: it jams on its first threads, leaks, and can split the part; "
    "{b} wants an outer G with a washer or seat"
)
_PIPE_PAIRS: dict[tuple[str, str], tuple[bool, str]] = {
    ("NPT", "NPT"): (True, "taper threads seal with sealant on the thread only"),
    ("NPTF", "NPTF"): (True, ""),
    ("NPT", "NPTF"): (True, _DRY),
    ("NPTF", "NPT"): (True, _DRY),
    ("NPSM", "NPSM"): (True, "the thread does not seal; the seat or washer does"),
    ("G", "G"): (True, "the thread does not seal; the washer or seat does"),
    ("R", "Rp"): (True, "seals on the thread, with sealant"),
    ("R", "Rc"): (True, "seals on the thread, with sealant"),
    ("NPT", "NPSM"): (False, "{a} is taper and {b} parallel: it jams on its first threads and leaks past the others"),
    ("NPTF", "NPSM"): (False, "{a} is taper and {b} parallel: it jams on its first threads and leaks past the others"),
    ("NPSM", "NPT"): (False, "{a} is parallel and {b} taper: it jams in the mouth after a few turns and leaks"),
    ("NPSM", "NPTF"): (False, "{a} is parallel and {b} taper: it jams in the mouth after a few turns and leaks"),
    ("R", "G"): (False, _JAMS),
    ("G", "Rp"): (False, "{a} has no seal on its thread and {b} no face for a washer: it screws in and leaks"),
    ("G", "Rc"): (False, "{a} is parallel and {b} taper: it jams in the mouth and leaks"),
}  # fmt: skip


def _pipe_pair(outer: ThreadForm, inner: ThreadForm) -> Pair | None:
    known = _PIPE_PAIRS.get((outer.family, inner.family))
    if known is None:
        return None
    return Pair(known[0], known[1].format(a=outer.name, b=inner.name))


def _unlike(outer: ThreadForm, inner: ThreadForm) -> Pair:
    if outer.lead_mm is None or inner.mouth_mm is None:
        raise TypeError("an outer thread is wanted first, an inner one second")
    room = inner.mouth_mm - outer.lead_mm
    off = abs(outer.pitch_mm - inner.pitch_mm)
    flank = 1.0 / math.tan(math.radians(min(outer.angle_deg, inner.angle_deg) / 2.0))
    lost = flank * off + (outer.pitch_mm * TAPER if outer.taper or inner.taper else 0.0)
    depth = (outer.major_mm - inner.minor_mm) / (_FULL_DEPTH * min(outer.pitch_mm, inner.pitch_mm))
    turns = 0.0 if room <= 0.0 else math.inf if lost < 1e-9 else room / lost
    full = outer.major_mm / outer.pitch_mm
    head = f"{outer.name} is no {inner.name}: "
    if room <= 0.0:
        big = f"{-room:.2f} mm too big even at its least" if room < -0.005 else "as big as the hole at its greatest"
        words = f"its flanks are {big}: it does not start; forced, it crosses and cuts both threads"
        return Pair(False, head + _unlike_words(outer, inner, off) + words, 0.0, max(0.0, min(1.0, depth)))
    if depth <= 0.02:
        crests = f"its crests ({outer.major_mm:.2f} mm) pass those of the hole ({inner.minor_mm:.2f} mm)"
        return Pair(False, f"{head}{crests}: it slides in and holds nothing", math.inf, max(0.0, depth))
    depth = min(1.0, depth)
    loose = f" and holds on {100.0 * depth:.0f} % of its depth only: it strips under load" if depth < 0.8 else ""
    if turns >= full:
        words = f"it turns in to the end{loose or ' but loose, with play; it shakes out or strips'}"
        return Pair(False, head + words, turns, depth)
    so_far = "it catches less than a turn" if turns < 1.0 else f"it starts and binds after about {turns:.0f} turns"
    so_far = so_far.replace("about 1 turns", "about one turn")
    leaks = ", and leaks" if outer.family in FAMILIES or inner.family in FAMILIES else ""
    words = _unlike_words(outer, inner, off) + so_far + (loose if turns >= 1.0 else "") + leaks
    return Pair(False, head + words, turns, depth)


def _unlike_words(outer: ThreadForm, inner: ThreadForm, off: float) -> str:
    """What differs: taper, flank angle, diameter, pitch; ends with a colon and a blank when it says anything."""
    parts = []
    if outer.taper != inner.taper:
        parts.append(f"{'taper' if outer.taper else 'parallel'} in {'taper' if inner.taper else 'parallel'}")
    if outer.angle_deg != inner.angle_deg:
        parts.append(f"flanks of {outer.angle_deg:.0f} in {inner.angle_deg:.0f} deg")
    if abs(outer.major_mm - inner.major_mm) <= _SAME_MM:
        parts.append("same diameter")
    else:
        parts.append(f"diameter {outer.major_mm:.2f} mm against {inner.major_mm:.2f} mm")
    if off > 1e-6:
        parts.append(f"pitch {outer.pitch_mm:.3f} mm against {inner.pitch_mm:.3f} mm")
    return ", ".join(parts) + ": "


def plain_thread(designation: str) -> Thread:
    """The bolt thread of a designation that may say its hand and class: ``M12x1.5-6g LH``.

    Raises
    ------
    ValueError
        for a pipe thread, or what :func:`thread_called` refuses

    Source: ISO 261; ASME B1.1.

    >>> plain_thread("M12x1.5-6g LH").name
    'M12x1.5'
    """
    return thread_called(_CLASS_END.sub("", _LEFT.sub("", designation)))


def family_words(designation: str) -> str:
    """What a thread is, in words: its system, and how it seals when it is a pipe thread.

    >>> family_words("G1/4")
    'Whitworth parallel pipe thread; seals on a washer or seat, not on the thread'
    """
    form = thread_form(designation, inside=True)
    return FAMILIES.get(form.family, f"{form.family} thread")
