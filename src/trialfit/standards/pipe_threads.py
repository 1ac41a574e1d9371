"""Pipe threads: taper and parallel, American (60 degree) and Whitworth (55 degree)."""

import re
from dataclasses import dataclass

from trialfit.standards.table import nearest, table
from trialfit.sums import Ask, a_sum

TAPER = 1.0 / 16.0
"""Taper of every taper pipe thread, on the diameter."""
AMERICAN = ("NPT", "NPTF", "NPSM")
WHITWORTH = ("G", "R", "Rp", "Rc")
FAMILIES = {
    "NPT": "American taper pipe thread, sealed with tape or paste",
    "NPTF": "American taper pipe thread that seals dry on its crests",
    "NPSM": "American parallel pipe thread; seals on a seat, not on the thread",
    "G": "Whitworth parallel pipe thread; seals on a washer or seat, not on the thread",
    "R": "Whitworth taper outer pipe thread, sealed on the thread",
    "Rp": "Whitworth parallel inner pipe thread, sealed on the thread of an R",
    "Rc": "Whitworth taper inner pipe thread, sealed on the thread of an R",
}
"""Families of pipe threads, in words."""
_WORDS = {"BSPP": "G", "BSPT": "R", "RP": "Rp", "RC": "Rc"} | {name.upper(): name for name in FAMILIES}
_SIZE = r"(\d+-\d+/\d+|\d+/\d+|\d+)"
_FIRST = re.compile(rf"(NPTF|NPT|NPSM|BSPP|BSPT|RP|RC|R|G){_SIZE}(?:-(\d+(?:\.\d+)?))?[AB]?", re.ASCII)
_LAST = re.compile(rf"{_SIZE}(?:-(\d+(?:\.\d+)?))?(NPTF|NPT|NPSM|BSPP|BSPT|RP|RC|R|G)[AB]?", re.ASCII)


@dataclass(frozen=True, slots=True)
class PipeThread:
    """A pipe thread: diameters at the gauge plane, where it is hand tight [mm]. ``gauge_mm`` is how far that plane lies
    from the small end, 0 for a parallel thread; ``useful_mm`` the length of thread that counts on the outer part."""

    name: str
    family: str
    size: str
    major_mm: float
    pitch_diameter_mm: float
    pitch_mm: float
    angle_deg: float
    gauge_mm: float
    useful_mm: float | None
    tap_drill_mm: float | None
    slack_mm: float
    """what a good inner or outer thread's pitch diameter may be off by"""
    source: str

    @property
    def taper(self) -> bool:
        """Whether it grows along its axis."""
        return self.family in {"NPT", "NPTF", "R", "Rc"}

    @property
    def small_end_mm(self) -> float:
        """Pitch diameter at the small end of an outer taper thread; of a parallel one its own."""
        return self.pitch_diameter_mm - self.gauge_mm * TAPER if self.taper else self.pitch_diameter_mm


def is_pipe_thread(designation: str) -> bool:
    """Whether the designation has the form of a pipe thread.

    >>> is_pipe_thread("1/4 NPT"), is_pipe_thread("G1/8"), is_pipe_thread("1/4-28")
    (True, True, False)
    """
    text = _plain(designation)
    return bool(_FIRST.fullmatch(text) or _LAST.fullmatch(text))


def pipe_thread(designation: str) -> PipeThread:
    """The pipe thread of that designation.

    The size is the old bore of a pipe and no diameter that can be measured: 1/4 NPT measures about 13.7 mm outside.
    The crests of a real thread lie inside the major diameter given, by the truncation allowed.

    Parameters
    ----------
    designation : str
        ``1/4 NPT``, ``1/4-18 NPTF``, ``1/2 NPSM``, ``G1/4``, ``R 1/8``, ``Rp3/8``, ``Rc1/2``, ``1/4 BSPP``

    Raises
    ------
    ValueError
        when it cannot be read, is not in the tables, or names another number of threads per inch

    Source: ASME B1.20.1; ISO 228-1; ISO 7-1.

    >>> pipe_thread("1/4 NPT").name, round(pipe_thread("1/4-18 NPT").small_end_mm / 25.4, 4)
    ('1/4-18 NPT', 0.4774)
    >>> pipe_thread("G 1/4 A").pitch_diameter_mm, pipe_thread("1/8 BSPT").name
    (12.301, 'R1/8')
    """
    text = _plain(designation)
    if found := _FIRST.fullmatch(text):
        family, size, count = _WORDS[found[1]], found[2], found[3]
    elif found := _LAST.fullmatch(text):
        family, size, count = _WORDS[found[3]], found[1], found[2]
    else:
        raise ValueError(f"'{designation}' is no pipe thread; write 1/4 NPT, G1/4, R1/4, Rp1/4 or Rc1/4")
    thread = _american(designation, family, size) if family in AMERICAN else _whitworth(designation, family, size)
    if count is not None and abs(25.4 / float(count) - thread.pitch_mm) > 1e-6:
        raise ValueError(f"'{designation}' has {count} threads per inch; {thread.name} has {25.4 / thread.pitch_mm:g}")
    return thread


def _plain(designation: str) -> str:
    text = re.sub(r"(\d)\s+(\d+/\d)", r"\1-\2", designation.strip().upper().replace('"', ""))
    return re.sub(r"(\d)-(?=[A-Z])", r"\1", re.sub(r"\s+", "", text))


def _row(name: str, typed: str, size: str) -> "dict[str, str]":
    found = table(name)
    if size not in found.keys():  # noqa: SIM118 - a method of the table, not of a mapping
        raise ValueError(f"no pipe thread '{typed}' is in the table; {nearest(size, found.keys())}")
    return dict(found.row(size))


def _american(typed: str, family: str, size: str) -> PipeThread:
    row = _row("pipe_threads_npt", typed, size)
    pitch_in, pipe_in, middle_in = 1.0 / float(row["per_inch"]), float(row["pipe_in"]), float(row["pitch_diameter_in"])
    taper = family != "NPSM"
    return PipeThread(
        name=f"{size}-{float(row['per_inch']):g} {family}",
        family=family,
        size=size,
        major_mm=25.4 * (middle_in + 0.8 * pitch_in),
        pitch_diameter_mm=25.4 * middle_in,
        pitch_mm=25.4 * pitch_in,
        angle_deg=60.0,
        gauge_mm=25.4 * float(row["hand_tight_in"]) if taper else 0.0,
        useful_mm=25.4 * (0.8 * pipe_in + 6.8) * pitch_in if taper else None,
        tap_drill_mm=float(row["tap_drill_mm"]) if taper and row["tap_drill_mm"] else None,
        slack_mm=25.4 * pitch_in * TAPER,
        source="ASME B1.20.1",
    )


def _whitworth(typed: str, family: str, size: str) -> PipeThread:
    row = _row("pipe_threads_whitworth", typed, size)
    if family != "G" and row["gauge_length_mm"] == "":
        raise ValueError(f"the standard has no {family}{size}; it has G{size}")
    pitch, major = 25.4 / float(row["per_inch"]), float(row["major_mm"])
    taper = family in {"R", "Rc"}
    drill = row["tap_drill_taper_mm" if family == "Rc" else "tap_drill_parallel_mm"]
    return PipeThread(
        name=f"{family}{size}",
        family=family,
        size=size,
        major_mm=major,
        # the standards print the pitch to three places and a depth of 0.640327 of it
        pitch_diameter_mm=round(major - round(0.640327 * round(pitch, 3), 3), 3),
        pitch_mm=pitch,
        angle_deg=55.0,
        gauge_mm=float(row["gauge_length_mm"]) if taper else 0.0,
        useful_mm=float(row["useful_length_mm"]) if taper else None,
        tap_drill_mm=float(drill) if family != "R" and drill else None,
        slack_mm=pitch * TAPER if family != "G" else float(row["tolerance_mm"]),
        source="ISO 228-1" if family == "G" else "ISO 7-1",
    )


_PIPE = Ask("thread", "text", "pipe thread, such as 1/4 NPT, G1/4, R1/4")
_SOURCE = "ASME B1.20.1; ISO 228-1; ISO 7-1"


@a_sum(
    "pipe-thread-pitch-diameter",
    title="Pitch diameter of a pipe thread",
    asks=(_PIPE,),
    gives="pitch diameter at the gauge plane",
    dimension="length",
    unit="mm",
    words="looked up; Whitworth: major diameter - 0.640327 * pitch",
    source=_SOURCE,
)
def pipe_thread_pitch_diameter(thread: str) -> float:
    """Pitch diameter [mm] of a pipe thread at the gauge plane, where it is hand tight.

    Source: ASME B1.20.1; ISO 228-1; ISO 7-1.
    """
    return pipe_thread(thread).pitch_diameter_mm


@a_sum(
    "pipe-thread-useful-length",
    title="Useful length of an outer taper pipe thread",
    asks=(_PIPE,),
    gives="length of thread that counts",
    dimension="length",
    unit="mm",
    words="NPT: (0.8 * outside diameter of the pipe + 6.8) * pitch; R: looked up",
    source=_SOURCE,
)
def pipe_thread_useful_length(thread: str) -> float:
    """Useful length [mm] of an outer taper pipe thread.

    Raises
    ------
    ValueError
        for a parallel thread

    Source: ASME B1.20.1; ISO 7-1.

    >>> round(pipe_thread_useful_length("1/4 NPT") / 25.4, 4)
    0.4018
    """
    found = pipe_thread(thread)
    if found.useful_mm is None:
        raise ValueError(f"{found.name} is a parallel thread; its length is that of the part")
    return found.useful_mm
