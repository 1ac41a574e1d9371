"""From text to tree even where the text is broken: each break is told in plain words, and the reading goes on.

The parser stops at its first error. Here the guilty line is told, taken out where nothing hangs on it, and the rest
is parsed again, so that one missing quote does not hide the other problems of a file.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Protocol

from trialfit.buildfile.limits import LINE_END
from trialfit.buildfile.problem import Problem, shown
from trialfit.buildfile.tree import Node, Refused, planted
from trialfit.findings import Place

MOST_TRIES = 20
KEPT_TREES = 6
MOST_PARSED = 600_000
"""Characters parsed in all tries together: a long file with many breaks is not parsed over and over."""


@dataclass(frozen=True, slots=True)
class Grown:
    """``root`` is None when there is nothing to read; ``whole`` is false when something had to be left out, so that
    what is missing elsewhere may stand in the part not read."""

    root: Node | None
    problems: tuple[Problem, ...]
    whole: bool


@dataclass(frozen=True, slots=True)
class _Break:
    """A problem, and the lines (from 0, last not included) to leave out for the next try."""

    problem: Problem
    first: int
    last: int


class _Say(Protocol):
    """Makes a break at a place (line and column from 0); ``last`` is the first line after it that may stay."""

    def __call__(
        self, where: tuple[int, int], message: str, expected: str = "", mend: str = "", last: int = 0
    ) -> _Break: ...


@lru_cache(maxsize=KEPT_TREES)
def grown(text: str, file: str) -> Grown:
    """The tree of ``text`` as far as it can be read, with what is wrong in its structure. The last few are kept: one
    change to a file looks at the same text many times, and the parser is slow."""
    from ruamel.yaml.error import YAMLError

    problems: list[Problem] = []
    source, left_out = text, False
    for tries in range(1, MOST_TRIES + 1):
        try:
            root, doubles = planted(source, file)
        except Refused as refused:
            return Grown(None, (*problems, refused.problem), False)
        except YAMLError as error:
            tabs = _tabs(source, file)
            if tabs:
                problems += tabs
                source = re.sub(r"(?m)^[ \t]+", lambda m: " " * len(m[0]), source)
                left_out = True
                continue
            found = _broken(error, source, file)
            problems.append(found.problem)
            shorter = _without(source, found)
            if shorter is None or (tries + 1) * len(text) > MOST_PARSED:
                return Grown(None, tuple(problems), False)
            source, left_out = shorter, True
            continue
        return Grown(root, (*problems, *doubles), not left_out and not doubles)
    return Grown(None, tuple(problems), False)


def _tabs(source: str, file: str) -> list[Problem]:
    found: list[Problem] = []
    for number, line in enumerate(LINE_END.split(source), start=1):
        indent = line[: len(line) - len(line.lstrip(" \t"))]
        if "\t" in indent and line.strip() and not line.strip().startswith("#"):
            found.append(Problem(Place(file, number, indent.index("\t") + 1), shown(line), "indented with a tab",
                                 "spaces", "put two spaces in its place", weight=0))
        if len(found) >= 10:
            break
    return found


def _without(source: str, found: _Break) -> str | None:
    """The source with the guilty lines blanked, every other character in its place; None where lines hang on them."""
    spans: list[tuple[int, int]] = []
    start = 0
    for end in LINE_END.finditer(source):
        spans.append((start, end.start()))
        start = end.end()
    spans.append((start, len(source)))
    if found.first >= len(spans):
        return None
    last = min(max(found.last, found.first + 1), len(spans))
    lines = [source[a:b] for a, b in spans]
    if not any(line.strip() for line in lines[found.first : last]):
        return None
    indent = _indent(lines[found.first])
    after = next((line for line in lines[last:] if line.strip() and not line.strip().startswith("#")), "")
    if after and _indent(after) > indent and not lines[found.first].lstrip().startswith("-"):
        return None
    begin, end_at = spans[found.first][0], spans[last - 1][1]
    return source[:begin] + re.sub(r"[^\r\n]", " ", source[begin:end_at]) + source[end_at:]


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


def _broken(error: Any, source: str, file: str) -> _Break:
    """The parser's error in plain words."""
    lines = LINE_END.split(source)
    at: Any = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    begin: Any = getattr(error, "context_mark", None) or at
    said = str(getattr(error, "problem", None) or "this cannot be read")
    context = str(getattr(error, "context", None) or "")
    if at is None:
        return _Break(Problem(Place(file, 1), "", "this is not a build file", "keys and values, e.g. name: My car",
                              weight=0), 0, 1)
    here = (min(at.line, len(lines) - 1), at.column)
    there = (min(begin.line, len(lines) - 1), begin.column)

    def say(where: tuple[int, int], message: str, expected: str = "", mend: str = "", last: int = 0) -> _Break:
        line, column = where
        problem = Problem(Place(file, line + 1, column + 1), shown(lines[line].strip()), message, expected, mend,
                          weight=0)
        return _Break(problem, line, max(last, line + 1))

    if "mapping values are not allowed" in said:
        return _colon(lines, here, say)
    if "could not find expected ':'" in said:
        return _no_colon(lines, there, say)
    if "quoted scalar" in context and "end of stream" in said:
        line = lines[there[0]]
        quote = line[there[1] : there[1] + 1]
        if quote == '"' and line[: there[1]].endswith('"'):
            return say(there, "the inch mark inside double quotes ends them",
                       mend="write in for the inch mark, or put the text in single quotes")
        return say(there, f"the quote {quote} that opens here is never closed",
                   mend=f"put the closing {quote} at the end of the text")
    if "escape" in said:
        return say(
            here, "a backslash inside double quotes", mend="use / in a fraction, or single quotes round the text"
        )
    if "flow" in context:
        return _flow(lines, there, here, said, say)
    if "sequence entries are not allowed" in said:
        return say(here, "a list begins in the line of its key", "each item in its own line, under the key",
                   "break the line before the dash")
    if "cannot start any token" in said:
        sign = lines[here[0]][here[1] : here[1] + 1]
        if sign == "\t":
            return say(here, "a tab where the text should begin", mend="put a space in its place")
        return say(here, f"a text cannot begin with {sign}", mend="put the text in quotes")
    if "expected <block end>" in said or "expected the node content" in said or "did not find expected" in said:
        return _misplaced(lines, context, here, said, say)
    if "scanning an anchor" in context or "scanning an alias" in context or "tag" in context:
        sign = lines[there[0]][there[1] : there[1] + 1]
        return say(there, f"a text cannot begin with {sign}", mend="put the text in quotes")
    if "block scalar" in context:
        sign = lines[there[0]][there[1] : there[1] + 1]
        return say(
            there, f"a text cannot begin with {sign}", mend="put the text in quotes, or begin it in the next line"
        )
    if "mapping keys are not allowed" in said:
        return say(here, "a text cannot begin with ?", mend="put the text in quotes")
    if "directive" in context:
        return say(there, "a line that begins with % orders the reader about", mend="take it out")
    return say(here, "this line cannot be read", "key: value, or a dash and a text", "put the text in quotes")


def _colon(lines: list[str], here: tuple[int, int], say: _Say) -> _Break:
    """A colon where none can stand: the line above lacks its own, the indent is wrong, or there are two."""
    line = lines[here[0]]
    above = next(
        (n for n in range(here[0] - 1, -1, -1) if lines[n].strip() and not lines[n].strip().startswith("#")), -1
    )
    first_colon = re.search(r":(?= |$)", line)
    if first_colon and first_colon.start() == here[1] and above >= 0:
        if not re.search(r":(?= |$)", lines[above]) and not lines[above].lstrip().startswith("-"):
            return _no_colon(lines, (above, _indent(lines[above])), say)
        if _indent(line) > _indent(lines[above]):
            return say((here[0], _indent(line)), "indented deeper than the line above, which has its value already",
                       mend="indent it like the line above, or take the value above away")
    return say(here, "a second colon in one value", mend="put the text in quotes, or begin a line for each key")


def _no_colon(lines: list[str], there: tuple[int, int], say: _Say) -> _Break:
    line = lines[there[0]].strip()
    if line.startswith("-"):
        return say(there, "no space after the dash", "- and a text", "put a space after the dash")
    return say(there, "no colon and space after the key", "key: value", "put a colon and a space after the key")


def _flow(lines: list[str], there: tuple[int, int], here: tuple[int, int], said: str, say: _Say) -> _Break:
    opened = lines[there[0]][there[1] : there[1] + 1]
    closing = {"[": "]", "{": "}"}.get(opened, "]")
    if here[0] > there[0]:
        return say(there, f"the {opened} that opens here is not closed", mend=f"put {closing} after the last item",
                   last=here[0])
    if re.search(r"but got '[]}]'", said):
        return say(there, f"the {opened} that opens here is not closed before the next bracket closes",
                   mend=f"put {closing} after the last item")
    return say(here, f"a comma or {closing} is missing before this", mend="part the items with commas")


def _misplaced(lines: list[str], context: str, here: tuple[int, int], said: str, say: _Say) -> _Break:
    sign = lines[here[0]][here[1] : here[1] + 1]
    if sign in ("]", "}", ","):
        return say(here, f"a {sign} with nothing before it to close or part", mend="take it out, or open its bracket")
    if "<scalar>" in said:
        before = lines[here[0]][: here[1]].rstrip()
        if before.endswith(("'", '"')):
            return say(here, "text after a closing quote", mend="put the quotes round the whole text, or take them out")
    start = _indent(lines[here[0]])
    if sign == "-" and "collection" not in context and "start>" not in said:
        return say((here[0], start), "a list item among keys", "key: value",
                   "part list and keys: each has its own key above it")
    if "collection" in context and "'?'" in said:
        return say((here[0], start), "a key among list items", "a dash and a text",
                   "put a dash before it, or take it back to the indent of the other keys")
    return say((here[0], start), "indented unlike the lines it belongs to",
               mend="give all keys or dashes of one group the same number of spaces before them")
