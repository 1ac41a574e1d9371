"""One build file as every open tab sees it: its text, what it came to, and what was changed last."""

import contextlib
import difflib
import re
import threading
import time
from dataclasses import dataclass
from pathlib import Path

from trialfit.buildfile import EditError, Loaded, add_reading, load, read, save
from trialfit.buildfile.edits import edit, plain_of, tree_of
from trialfit.buildfile.tree import Items, Text
from trialfit.checks import Results
from trialfit.doubt import Weighed
from trialfit.findings import Finding
from trialfit.survey import Survey, solve
from trialfit.survey.taken import Taken, taken
from trialfit.vehicle import Build, Reading
from trialfit.web.working import Fault, Progress, Worked, Worker

LOOK_EVERY_S = 1.0
"""How often the file on the disk is looked at [s]."""
KEPT_TEXTS = 200
"""Earlier texts kept for undo and for showing three ways."""
IDENT = re.compile(r"[a-z0-9]{8,32}")
"""A mark that the phone gives each reading, so that one sent twice counts once."""
_MARK = "page "


@dataclass(frozen=True, slots=True)
class Clash:
    """Two people changed the same text: what both began from, what was to be put in, and what stands there now."""

    base: str
    mine: str
    theirs: str
    reason: str


@dataclass(frozen=True, slots=True)
class ReadingAnswer:
    """What became of one reading. ``counted`` says that it stands in the file; ``reason`` why it does not, or ``""``.
    ``taken`` is what the survey says to it; ``again`` that it had been counted before, when it was sent twice."""

    ident: str
    line: str
    counted: bool
    reason: str = ""
    taken: Taken | None = None
    again: bool = False
    instead_of: str = ""


class Desk:
    """One build file, shared by every tab of one server.

    What is changed is on the disk before the caller is answered. Every change makes ``version`` grow; those of the text
    make ``revision`` grow too. All methods may be called from any thread; those that work out the survey take up to a
    second or two and belong into a thread of their own.

    Parameters
    ----------
    path : path
        the build file; it may have problems, and it need not be there yet
    watching : bool
        whether to look at the file on the disk and to work on what it says; tests leave it out
    """

    def __init__(self, path: Path, *, watching: bool = True) -> None:
        self.path = path
        self.version = 1
        self.revision = 1
        self.progress: Progress | None = None
        self.fault = ""
        """what went wrong in the work, in words; "" when nothing did"""
        self.worked: Worked | None = None
        """what the text as it stands came to; None while it is being worked out"""
        self.last: Worked | None = None
        """what some earlier text came to, when the present one is not worked out yet"""
        self.answers: dict[str, ReadingAnswer] = {}
        self._lock = threading.RLock()
        self._survey: tuple[int, Survey] | None = None
        self._closed = threading.Event()
        self._worker: Worker | None = None
        self._texts: dict[int, str] = {}
        self._undo: list[str] = []
        self._redo: list[str] = []
        self.loaded: Loaded = load(path)
        self.text = self.loaded.text
        self.digest = self.loaded.digest
        self._texts[1] = self.text
        if watching:
            self._worker = Worker(self._told)
            threading.Thread(target=self._watcher, daemon=True, name="trialfit watching").start()
            self.work()

    # -- what it came to ------------------------------------------------------------------------------------------

    @property
    def build(self) -> Build | None:
        """The build as it stands; None while the text has problems."""
        return self.loaded.build

    @property
    def has_readings(self) -> bool:
        """Whether one reading at least is written down, readable or not."""
        try:
            said = plain_of(tree_of(self.text))
        except EditError:
            return True
        return isinstance(said, dict) and bool(said.get("readings"))

    @property
    def folder(self) -> Path:
        """Where the build file lies; nothing outside it is read or written."""
        return self.path.resolve().parent

    @property
    def results(self) -> Results | None:
        """Results of the text as it stands; None while they are being worked out."""
        return None if self.worked is None else self.worked.results

    @property
    def weighed(self) -> tuple[Weighed, ...] | None:
        """Gaps with their doubt, of the text as it stands; None while they are being worked out."""
        return None if self.worked is None else self.worked.weighed

    @property
    def findings(self) -> tuple[Finding, ...] | None:
        """Every finding of the text as it stands, worst first; None while they are being worked out."""
        return None if self.worked is None else self.worked.findings

    def survey(self) -> Survey | None:
        """The survey of the text as it stands, worked out when it is not known yet; None while the text has
        problems."""
        with self._lock:
            revision, build, known = self.revision, self.build, self._survey
        if build is None:
            return None
        if known is not None and known[0] == revision:
            return known[1]
        solved = solve(build)
        with self._lock:
            if self.revision == revision:
                self._survey = (revision, solved)
        return solved

    @property
    def known_survey(self) -> Survey | None:
        """The survey as far as it is known without working it out: that of the text as it stands, or the last one."""
        known = self._survey
        return None if known is None else known[1]

    # -- changes --------------------------------------------------------------------------------------------------

    def apply(self, text: str, *, seen: int | None = None) -> Clash | None:
        """Put ``text`` in place of what stands there, on the disk too; returns a clash when that would undo somebody
        else's change, and None when it is done.

        Parameters
        ----------
        seen : int or None
            ``revision`` of the text that the change began from; None for the one that stands
        """
        with self._lock:
            if seen is not None and seen != self.revision and text != self.text:
                reason = "it was changed in another tab, or on the disk"
                return Clash(self._texts.get(seen, ""), text, self.text, reason)
            return self._put(text)

    def _put(self, text: str, *, keep_redo: bool = False, work: bool = True) -> Clash | None:
        if text == self.text:
            return None
        saved = save(self.path, text, self.digest)
        if not saved.done:
            on_disk = load(self.path)
            if on_disk.digest != self.digest:
                base = self.text
                self._take(on_disk)
                return Clash(base, text, on_disk.text, saved.reason)
            return Clash(self.text, text, self.text, saved.reason)
        self._undo.append(self.text)
        del self._undo[:-KEPT_TEXTS]
        if not keep_redo:
            self._redo.clear()
        self.digest = saved.digest
        self._changed(text, read(text, self.path.name), work)
        return None

    def _changed(self, text: str, loaded: Loaded, work: bool = True) -> None:
        self.text, self.loaded = text, loaded
        self.revision += 1
        self.version += 1
        self._texts[self.revision] = text
        self._texts.pop(self.revision - KEPT_TEXTS, None)
        self.worked = None
        self.fault = ""
        if work:
            self.work()

    def _take(self, on_disk: Loaded) -> None:
        """Go on from what stands on the disk; what stood here can be had back by undo."""
        self._undo.append(self.text)
        self._redo.clear()
        self.digest = on_disk.digest
        self._changed(on_disk.text, on_disk)

    def undo(self) -> Clash | None:
        """Back to the text before the last change; does nothing when there is none."""
        with self._lock:
            if not self._undo:
                return None
            here, before = self.text, self._undo[-1]
            clash = self._put(before, keep_redo=True)
            if clash is None:
                del self._undo[-2:]
                self._redo.append(here)
            return clash

    def redo(self) -> Clash | None:
        """Forward again after an undo; does nothing when there is none."""
        with self._lock:
            if not self._redo:
                return None
            rest, again = self._redo[:-1], self._redo[-1]
            clash = self._put(again, keep_redo=True)
            if clash is None:
                self._redo = rest
            return clash

    @property
    def can_undo(self) -> bool:
        """Whether there is a change to take back."""
        return bool(self._undo)

    @property
    def can_redo(self) -> bool:
        """Whether there is a change to bring back."""
        return bool(self._redo)

    def save(self) -> str:
        """Write the text as it stands once more; "" when it is on the disk, else why not."""
        with self._lock:
            saved = save(self.path, self.text, self.digest)
            if saved.done:
                self.digest = saved.digest
            return saved.reason

    # -- readings -------------------------------------------------------------------------------------------------

    def add_reading(self, line: str, ident: str, instead_of: str = "") -> ReadingAnswer:
        """Write one reading down and say what the survey makes of it. Sent twice under one ident it counts once, even
        when the server was started anew in between: the ident stands in the file as a remark.

        A reading of what was read before with the same instrument becomes a repeat of it, so that the printed limit of
        the instrument is not believed to average out.

        Parameters
        ----------
        line : str
            a line of the notebook, such as ``tape eye.L pad.L 612 mm``
        ident : str
            8 to 32 small letters and digits
        instead_of : str
            identity of a reading that is misread and gives way to this one; "" for none
        """
        if not IDENT.fullmatch(ident):
            raise ValueError(f"a reading's mark is 8 to 32 small letters and digits, not {ident[:40]!r}")
        with self._lock:
            known = self.answers.get(ident)
            if known is not None:
                return known
            if re.search(rf"#.*\b{_MARK}{ident}\b", self.text):
                return ReadingAnswer(ident, line, True, again=True)
        before = self.survey()
        with self._lock:
            known = self.answers.get(ident)
            if known is not None:
                return known
            try:
                made, place = self._with_reading(line, ident, instead_of)
            except EditError as error:
                return ReadingAnswer(ident, line, False, str(error))
            trial = read(made, self.path.name)
            wrong = [p for p in trial.problems if p.place.line == place] or (
                [] if not self.loaded.problems else list(trial.problems[:0]))
            if wrong:
                return ReadingAnswer(ident, line, False, _words(wrong[0].typed, wrong[0].message, wrong[0].expected,
                                                                wrong[0].mend))
            if trial.problems and not self.loaded.problems:
                first = trial.problems[0]
                return ReadingAnswer(ident, line, False, str(first))
            clash = self._put(made, work=False)
            if clash is not None and clash.theirs != clash.base:
                # somebody changed the file meanwhile: the reading goes into what stands there now
                return self.add_reading(line, ident, instead_of)
            if clash is not None:
                return ReadingAnswer(ident, line, False, clash.reason)
            answer = ReadingAnswer(ident, line, True, instead_of=instead_of)
            self.answers[ident] = answer
            build = self.build
            identity = "" if build is None else next((r.identity for r in build.readings
                                                      if r.where is not None and r.where.line == place), "")
        # the survey first: it is what the builder waits for, and the rest would take the same cores
        try:
            after = self.survey()
        finally:
            self.work()
        if after is not None and identity:
            answer = ReadingAnswer(ident, line, True, "", taken(before, after, identity), False, instead_of)
        with self._lock:
            self.answers[ident] = answer
            self.version += 1
        return answer

    def _with_reading(self, line: str, ident: str, instead_of: str) -> tuple[str, int]:
        """The text with the reading in it, and the line where it stands."""
        at = self._standing(instead_of) if instead_of else None
        if at is not None:
            made = edit(self.text, ("readings", at[0]), line)
            place = at[1]
        else:
            again = self._repeat_of(line)
            if again is not None:
                index, place, whole = again
                made = edit(self.text, ("readings", index), whole)
            else:
                made = add_reading(self.text, line)
                place = _first_new_line(self.text, made)
        return _marked(made, place, f"{_MARK}{ident}"), place

    def _standing(self, identity: str) -> tuple[int, int] | None:
        """Which item of the notebook a reading is, and its line."""
        build = self.build
        if build is None:
            return None
        one = next((r for r in build.readings if r.identity == identity), None)
        if one is None or one.where is None:
            return None
        index = _item_at(self.text, one.where.line)
        return None if index is None else (index, one.where.line)

    def _repeat_of(self, line: str) -> tuple[int, int, str] | None:
        """The item that ``line`` repeats, its line, and its text with the repeat put in."""
        new = _lone(line)
        build = self.build
        if new is None or build is None or new.sd is not None or len(new.values) != 1:
            return None
        amount = _amount(line, new)
        for one in reversed(build.readings):
            same = (one.kind, one.points, one.size, one.instrument.name) == (new.kind, new.points, new.size,
                                                                             new.instrument.name)
            if not same or one.where is None or one.sd is not None:
                continue
            index = _item_at(self.text, one.where.line)
            if index is None:
                return None
            node = tree_of(self.text).get("readings")
            assert isinstance(node, Items)
            item = node.items[index]
            if not isinstance(item, Text) or item.lines > 1:
                return None
            head, by, tail = item.value.partition(" by ")
            whole = f"{head.rstrip()}, {amount}{by}{tail}"
            found = _lone(whole)
            # put in blindly it might say something else, such as a side that held for all repeats
            if found is not None and found.values == (*one.values, *new.values):
                return index, one.where.line, whole
            return None
        return None

    def rub_out(self, ident: str) -> str:
        """Take back a reading that was written down here; "" when it is gone, else why not."""
        with self._lock:
            if not self._undo or f"{_MARK}{ident}" not in self.text or f"{_MARK}{ident}" in self._undo[-1]:
                return "it was not the last change: take it out in the build file"
            clash = self.undo()
            if clash is not None:
                return clash.reason
            self._redo.clear()
            self.answers[ident] = ReadingAnswer(ident, self.answers[ident].line if ident in self.answers else "", False,
                                                "rubbed out")
            self.version += 1
            return ""

    # -- work -----------------------------------------------------------------------------------------------------

    def work(self) -> None:
        """Work out what the text as it stands comes to; what is under way for an earlier text stops."""
        with self._lock:  # so that an older text is never handed over behind a newer one
            if self._worker is None or self.build is None:
                return
            self.progress = Progress(0, 1, "readings")
            self._worker.work(self.revision, self.text, self.path.name, self.folder)

    def _told(self, revision: int, said: Progress | Worked | Fault) -> None:
        with self._lock:
            if revision != self.revision:
                return
            if isinstance(said, Progress):
                self.progress = said
                return
            self.progress = None
            if isinstance(said, Fault):
                self.fault = said.words
            else:
                self.worked = self.last = said
                self._survey = (revision, said.results.survey)
            self.version += 1

    def wait(self, seconds: float) -> bool:
        """Wait until the text as it stands is worked out; False when it takes longer than ``seconds`` [s]."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            if self.worked is not None or self.fault or self.build is None:
                return True
            time.sleep(0.05)
        return False

    def close(self) -> None:
        """Stop the work and the watching."""
        self._closed.set()
        if self._worker is not None:
            self._worker.close()

    def _watcher(self) -> None:
        last: tuple[int, int] | None = None
        while not self._closed.wait(LOOK_EVERY_S):
            with contextlib.suppress(OSError):
                state = self.path.stat()
                now = (state.st_mtime_ns, state.st_size)
                if now != last:
                    self.look()
                    last = now

    def look(self) -> bool:
        """Take over what another program wrote into the file; True when there was something."""
        with self._lock:
            # read under the lock: what was read before a change of ours must not be taken for somebody else's
            on_disk = load(self.path)
            if not on_disk.digest or on_disk.digest == self.digest:
                return False
            self._take(on_disk)
            return True


def _words(typed: str, message: str, expected: str, mend: str) -> str:
    said = f'"{typed}": {message}' if typed else message
    if expected:
        said += f"; expected {expected}"
    return f"{said}; {mend}" if mend else said


def _lone(line: str) -> Reading | None:
    """A line of the notebook read by itself, with the instruments that need no entry."""
    build = read(f"readings:\n  - {line}\n").build
    return build.readings[0] if build is not None and len(build.readings) == 1 else None


def _amount(line: str, reading: Reading) -> str:
    """The amount of a line with one value, as it was typed."""
    names = reading.points or (reading.size,)
    rest = line.strip().split(maxsplit=1)[1]
    for name in names:
        rest = rest.strip().removeprefix(name)
    return rest.partition(" by ")[0].strip()


def _item_at(text: str, line: int) -> int | None:
    node = tree_of(text).get("readings")
    if not isinstance(node, Items):
        return None
    return next((i for i, item in enumerate(node.items) if item.place.line == line), None)


def _first_new_line(old: str, new: str) -> int:
    """Number of the line that was added [counted from 1]."""
    before, after = old.splitlines(), new.splitlines()
    for tag, _, _, j1, j2 in difflib.SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if tag in ("insert", "replace"):
            return j2 if tag == "insert" else next(
                (j + 1 for j in range(j2 - 1, j1 - 1, -1) if after[j].lstrip().startswith("-")), j2)
    return len(after)


def _marked(text: str, line: int, mark: str) -> str:
    """The text with a remark behind one line; refused when it would say anything else than before."""
    lines = text.splitlines(keepends=True)
    body = lines[line - 1].rstrip("\r\n")
    end = lines[line - 1][len(body):]
    lines[line - 1] = f"{body}, {mark}{end}" if "  # " in body else f"{body}  # {mark}{end}"
    made = "".join(lines)
    if plain_of(tree_of(made)) != plain_of(tree_of(text)):
        raise EditError("the reading cannot be marked here without changing something else")
    return made
