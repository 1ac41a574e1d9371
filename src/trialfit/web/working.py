"""The long work on a build, in a process of its own at low priority, so that the page answers meanwhile."""

import contextlib
import multiprocessing
import os
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path

from trialfit.buildfile import read, scans
from trialfit.checks import Results, run, slug, with_making
from trialfit.doubt import Weighed, findings, judged, weigh
from trialfit.doubt.gates import Gate, gates
from trialfit.doubt.next_act import Act, next_acts
from trialfit.findings import Finding
from trialfit.sheets.picture import At, Outline
from trialfit.sheets.vehicle_views import picture_of
from trialfit.vehicle import Build

_TOLD_EVERY_S = 0.2
_YIELDING = 10


@dataclass(frozen=True, slots=True)
class Worked:
    """Everything one text came to; ``revision`` says of which text."""

    revision: int
    results: Results
    weighed: tuple[Weighed, ...]
    findings: tuple[Finding, ...]
    gates: tuple[Gate, ...]
    acts: tuple[Act, ...]
    stations: Mapping[str, float]
    """where on the vehicle each finding belongs, by its name [mm]; one that belongs nowhere is left out"""
    outlines: tuple[Outline, ...]
    """the vehicle at ride height, flat"""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the work on the text is."""

    done: int
    of: int
    what: str


@dataclass(frozen=True, slots=True)
class Fault:
    """The work on a text went wrong by a fault of the program's own."""

    revision: int
    words: str


@dataclass(frozen=True, slots=True)
class _Job:
    revision: int
    text: str
    file: str
    folder: Path


class _Superseded(Exception):
    """The text has changed: what is being worked out is of no use any more."""


def worked_out(build: Build, folder: Path, revision: int, progress: Callable[[int, int, str], None]
               ) -> Iterator[Worked]:  # fmt: skip
    """Everything about one build: first without hangers and ways out, then, where they are asked for, with them.

    Parameters
    ----------
    folder : path
        where its scans lie
    progress : callable
        told (done, of, what); what it raises ends the work
    """
    results = run(build, scans(build, folder), progress=progress)
    weighed = weigh(results, progress=progress)
    results = judged(results, weighed)
    yield _told(revision, results, weighed)
    if any(m.waiting for m in results.makings):
        yield _told(revision, with_making(results, progress=progress), weighed)


def _told(revision: int, results: Results, weighed: tuple[Weighed, ...]) -> Worked:
    found = tuple(findings(results, weighed))
    drawn = tuple(o for o in picture_of(results, weighed).outlines if o.at is At.RIDE) if results.placed else ()
    return Worked(revision, results, weighed, found, gates(results, found, weighed),
                  next_acts(results, weighed, found), stations_of(results, weighed, found), drawn)  # fmt: skip


_SHAFT = ("shaft.", "order.driveshaft")
_PINION = ("pinion.", "ring-and-pinion", "order.differential")


def stations_of(results: Results, weighed: Iterable[Weighed], found: Iterable[Finding]) -> dict[str, float]:
    """Where on the vehicle each finding belongs, by its name [mm]: a gap where it is smallest, a reading at its
    hardpoints, the shaft in its middle, a route in its middle. What belongs nowhere is left out."""
    points = {name: float(p[0]) for name, p in results.points.items()}
    places = {f"gap.{w.answer.pair.name}": 0.5 * (w.answer.at_a[0] + w.answer.at_b[0])
              for w in weighed if w.answer.closed}  # fmt: skip
    ends = [points[p] for p, _ in results.build.shaft_ends() or () if p in points]
    routes = {f"exhaust.{slug(r.plan.name)}.": float(r.points_mm[:, 0].mean()) for r in results.routes
              if len(r.points_mm)}  # fmt: skip
    readings = {r.identity: r.points for r in results.build.readings}
    known: dict[str, float] = {}
    for f in found:
        here: float | None = places.get(f.name)
        if f.name.startswith("survey."):
            tail = f.name.split(".", 2)[-1]
            at = [points[p] for p in readings.get(tail, (tail,)) if p in points]
            here = sum(at) / len(at) if at else None
        elif f.name.startswith(_SHAFT) and len(ends) == 2:
            here = 0.5 * sum(ends)
        elif f.name.startswith(_PINION) and len(ends) == 2:
            here = ends[1]
        elif here is None:
            here = next((x for start, x in routes.items() if f.name.startswith(start)), None)
        if here is not None:
            known[f.name] = here
    return known


def _serve(pipe: Connection) -> None:
    """Body of the process: one text after the other; a newer one ends the work on the one before."""
    with contextlib.suppress(OSError, AttributeError):
        os.nice(_YIELDING)
    with contextlib.suppress(EOFError, OSError, KeyboardInterrupt):
        while True:
            job = pipe.recv()
            if job is None:
                return
            _one(pipe, job)


def _one(pipe: Connection, job: _Job) -> None:
    told = 0.0

    def progress(done: int, of: int, what: str) -> None:
        nonlocal told
        if pipe.poll():
            raise _Superseded
        now = time.monotonic()
        if now - told > _TOLD_EVERY_S:
            told = now
            pipe.send((job.revision, Progress(done, of, what)))

    build = read(job.text, job.file).build
    if build is None:
        return
    try:
        for worked in worked_out(build, job.folder, job.revision, progress):
            pipe.send(worked)
    except _Superseded:
        return
    except (OSError, KeyboardInterrupt):
        raise
    except Exception as fault:  # whatever it is, the page shall say so and go on
        words = f"this is a fault of trialfit, not of your file: {type(fault).__name__}: {fault}. Nothing was changed"
        pipe.send(Fault(job.revision, words))


Tell = Callable[[int, Progress | Worked | Fault], None]


class Worker:
    """Works on one text at a time in a process of its own; ``tell`` is called from a thread with what comes of it.

    A process that dies (out of memory, ended from outside) is told as a fault, and the next text starts another.
    """

    def __init__(self, tell: Tell) -> None:
        self._tell = tell
        self._lock = threading.Lock()
        self._pipe: Connection | None = None
        self._revision = 0
        self._closed = False

    def work(self, revision: int, text: str, file: str, folder: Path) -> None:
        """Begin with a text; the work on the one before ends."""
        job = _Job(revision, text, file, folder)
        with self._lock:
            if self._closed:
                return
            self._revision = revision
            if self._pipe is not None:
                try:
                    self._pipe.send(job)
                    return
                except OSError:
                    self._pipe = None
            self._pipe = self._started()
            self._pipe.send(job)

    def _started(self) -> Connection:
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        process = context.Process(target=_serve, args=(theirs,), daemon=True, name="trialfit work")
        process.start()
        theirs.close()
        threading.Thread(target=self._listen, args=(ours,), daemon=True, name="trialfit listening").start()
        return ours

    def _listen(self, pipe: Connection) -> None:
        while True:
            try:
                said = pipe.recv()
            except (EOFError, OSError):
                break
            if isinstance(said, tuple):
                self._tell(*said)
            else:
                self._tell(said.revision, said)
        with self._lock:
            lost = self._pipe is pipe
            if lost:
                self._pipe = None
            revision, closed = self._revision, self._closed
        if lost and not closed:
            self._tell(revision, Fault(revision, "the work ended before it was done, perhaps for want of memory"))

    def close(self) -> None:
        """End the process."""
        with self._lock:
            self._closed = True
            if self._pipe is not None:
                with contextlib.suppress(OSError):
                    self._pipe.send(None)
                self._pipe = None
