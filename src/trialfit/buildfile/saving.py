"""A build file on the disk: written whole or not at all, and never over someone else's change."""

import contextlib
import os
import stat
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from trialfit.buildfile.limits import MOST_BYTES, refusals, too_much
from trialfit.buildfile.problem import shown
from trialfit.buildfile.reader import digest_of

_BOM = b"\xef\xbb\xbf"
_TRIES = 5
_PAUSE_S = 0.05


@dataclass(frozen=True, slots=True)
class Saved:
    """``done`` says whether the file now holds the text; ``digest`` is that of its bytes, for the next time;
    ``reason`` says why it was refused, and what to do."""

    done: bool
    digest: str
    reason: str = ""


def save(path: Path | str, text: str, read_digest: str) -> Saved:
    """Put ``text`` into the file, if the file is still as it was read.

    The new text is written beside the file, forced to the disk, and takes the file's place in one step: whatever
    happens in between, the old file or the new one is there, whole. Line ends, byte order mark and permissions stay
    as they are in the file; a link stays a link. What is left out: two programs that save in the same
    few milliseconds; the later one wins.

    Parameters
    ----------
    path : path
        file to write
    text : str
        everything the file shall hold; it may have problems of its own, so that half-finished work can be kept
    read_digest : str
        ``Loaded.digest`` of the file as it was read; "" for a file that must not exist yet
    """
    text = text.removeprefix("\ufeff")
    bad = refusals(text, "")
    if bad:
        return Saved(False, read_digest, f"not saved: {bad[0].message}")
    try:
        target = Path(os.path.realpath(path))
        old = _old(target)
        refusal = _changed(old, read_digest)
        if refusal:
            return Saved(False, read_digest, refusal)
        raw = _bytes(text, old)
        if len(raw) > MOST_BYTES:
            big = too_much(len(raw), "")
            return Saved(False, read_digest, f"not saved: {big.message}" if big else "not saved")
        _replace(target, raw, old, read_digest)
    except _ChangedMeanwhile as changed:
        return Saved(False, read_digest, str(changed))
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        return Saved(False, read_digest, f"not saved: {shown(str(path))}: {why}; the file on the disk is as it was")
    return Saved(True, digest_of(raw))


class _ChangedMeanwhile(Exception):
    """The file changed between the first look at it and the last."""


def _old(target: Path) -> bytes | None:
    try:
        return target.read_bytes()
    except FileNotFoundError:
        return None


def _changed(old: bytes | None, read_digest: str) -> str:
    if old is None:
        return "not saved: the file is gone from the disk; save under a new name" if read_digest else ""
    if not read_digest:
        return "not saved: a file of this name exists already; read it first, or choose another name"
    if digest_of(old) != read_digest:
        return "not saved: the file on the disk has changed since it was read; read it again and repeat the change"
    return ""


def _bytes(text: str, old: bytes | None) -> bytes:
    """The text with the line ends and the byte order mark that the file has."""
    if old is not None and b"\r\n" in old and old.count(b"\r\n") == old.count(b"\n"):
        text = text.replace("\r\n", "\n").replace("\n", "\r\n")
    raw = text.encode("utf-8")
    return _BOM + raw if old is not None and old.startswith(_BOM) else raw


def _replace(target: Path, raw: bytes, old: bytes | None, read_digest: str) -> None:
    handle, name = tempfile.mkstemp(prefix=f".{target.name[:40]}.", suffix=".new", dir=target.parent)
    done = False
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(raw)
            file.flush()
            os.fsync(file.fileno())
        if old is not None:
            os.chmod(name, stat.S_IMODE(target.stat().st_mode))
        elif os.name == "posix":
            os.chmod(name, 0o666 & ~_umask())
        refusal = _changed(_old(target), read_digest)
        if refusal:
            raise _ChangedMeanwhile(refusal)
        _put(name, target)
        done = True
    finally:
        if not done:
            with contextlib.suppress(OSError):
                os.unlink(name)
    _settle(target.parent)


def _umask() -> int:
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def _put(name: str, target: Path) -> None:
    """Take the file's place; where another program holds it open for a moment (a virus scanner), wait a little."""
    for attempt in range(_TRIES):
        try:
            os.replace(name, target)
            return
        except PermissionError:
            if os.name != "nt" or attempt == _TRIES - 1:
                raise
            time.sleep(_PAUSE_S * 2**attempt)


def _settle(folder: Path) -> None:
    """Force the folder's entry to the disk too, where the system knows how."""
    if os.name != "posix":
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
