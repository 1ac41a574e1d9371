"""Names of hardpoints: how they are written, which are nearest, and which look like a slip of the pen."""

import re
from collections import Counter
from collections.abc import Iterable, Sequence

NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]*")
LONGEST_NAME = 40
LONGEST_THING = 60
"""Longest name of a part, port or joint [characters]."""
NAME_RULE = "a name of letters, digits, _ . and -, that does not begin with a digit"

_SLIP_LENGTH = 4
"""Names shorter than this are not compared letter by letter."""
_OFTEN = 3
"""A name used this often is taken as the right spelling."""
_MOST_COMPARED = 200_000


def is_name(text: str) -> bool:
    """Whether ``text`` can name a hardpoint.

    >>> is_name("eye.L"), is_name("2nd.eye")
    (True, False)
    """
    return len(text) <= LONGEST_NAME and NAME.fullmatch(text) is not None


def slug(name: str) -> str:
    """A name as it stands inside a finding's name; "" when nothing is left of it.

    >>> slug("Rear hub, left")
    'rear-hub-left'
    """
    return "-".join("".join(c if c.isalnum() else " " for c in name.lower()).split())


def a_(name: str) -> str:
    """A kind's name with its article.

    >>> a_("hub face"), a_("axle tube")
    ('a hub face', 'an axle tube')
    """
    return f"an {name}" if name[:1].lower() in "aeio" else f"a {name}"


def nearest(name: str, known: Iterable[str], most: int = 3) -> list[str]:
    """Known names nearest to ``name``, the nearest first; differences of capitals and of . _ - count little.

    >>> nearest("eye_l", ["pad.L", "eye.L", "eye.R"], 1)
    ['eye.L']
    """
    import difflib

    pool = list(dict.fromkeys(known))
    same = [k for k in pool if _squeezed(k) == _squeezed(name)]
    folded: dict[str, str] = {}
    for k in pool:
        folded.setdefault(k.casefold()[:LONGEST_NAME], k)
    close = difflib.get_close_matches(name.casefold()[:LONGEST_NAME], list(folded), n=most, cutoff=0.6)
    return list(dict.fromkeys([*same, *(folded[c] for c in close)]))[:most]


def did_you_mean(name: str, known: Iterable[str], most: int = 3) -> str:
    """``did you mean a, b or c?`` or "" when nothing is near.

    >>> did_you_mean("bumb", ["bump", "droop"])
    'did you mean bump?'
    """
    near = nearest(name, known, most)
    if not near:
        return ""
    text = near[0] if len(near) == 1 else f"{', '.join(near[:-1])} or {near[-1]}"
    return f"did you mean {text}?"


def _squeezed(name: str) -> str:
    return re.sub(r"[._-]", "", name).casefold()


def slips(uses: Sequence[str]) -> dict[str, str]:
    """Names used once that look like another name, to that other name.

    A name that differs from another by capitals or separators alone; or by one letter (typed wrong, too many, too few,
    or two swapped) inside a word of a name that is used three times or more. Single letters and digits tell hardpoints
    apart (eye.L and eye.R, floor.1 and floor.2) and are never doubted.

    >>> slips(["eye.L", "eye.L", "eye.l", "pinion", "pinion", "pinion", "pinoin", "eye.R"])
    {'eye.l': 'eye.L', 'pinoin': 'pinion'}
    """
    counts = Counter(uses)
    once = [name for name, n in counts.items() if n == 1]
    found: dict[str, str] = {}
    alike: dict[str, list[str]] = {}
    for name in counts:
        alike.setdefault(_squeezed(name), []).append(name)
    for name in once:
        others = [o for o in alike[_squeezed(name)] if o != name]
        if others:
            best = max(others, key=lambda o: counts[o])
            if counts[best] > 1 or found.get(best) != name:
                found[name] = best
    often = [name for name, n in counts.items() if n >= _OFTEN and len(name) >= _SLIP_LENGTH]
    if len(once) * len(often) > _MOST_COMPARED:
        return found
    for name in once:
        if name not in found and len(name) >= _SLIP_LENGTH - 1:
            twin = next((o for o in often if abs(len(o) - len(name)) <= 1 and _one_slip(name, o)), None)
            if twin is not None:
                found[name] = twin
    return found


def _one_slip(a: str, b: str) -> bool:
    """Whether one wrong, missing, extra or swapped letter inside a word turns ``a`` into ``b``."""
    start = 0
    while start < min(len(a), len(b)) and a[start] == b[start]:
        start += 1
    end = 0
    while end < min(len(a), len(b)) - start and a[-1 - end] == b[-1 - end]:
        end += 1
    left, right = a[start : len(a) - end], b[start : len(b) - end]
    if not (left + right).isalpha():
        return False
    swapped = len(left) == 2 and left == right[::-1]
    if not swapped and max(len(left), len(right)) > 1:
        return False
    # the word of the name that the slip stands in must be a word, not a letter that tells sides apart
    word = re.split(r"[._-]", b[:start])[-1] + right + re.split(r"[._-]", b[start + len(right) :])[0]
    return len(re.sub(r"[0-9]", "", word)) >= _SLIP_LENGTH - 1
