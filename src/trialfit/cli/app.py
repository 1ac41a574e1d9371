"""Every command, with what it answers and its exit code."""

import contextlib
import json
import os
import sys
from pathlib import Path
from typing import Annotated, Any, Literal

from cyclopts import App, Parameter

from trialfit import __version__

OK, TO_DO, REFUSED, FAULT = 0, 1, 2, 3
"""Exit codes: everything fits; something does not fit or cannot be told; the input was refused; a fault of ours."""

app = App(
    name="trialfit",
    version=__version__,
    help="From tape readings to hardpoints, gaps through travel, cut lists and paper templates.\n\n"
         "Exit codes: 0 everything fits, 1 something does not fit or cannot be told, 2 the input was refused.",
)

Json = Annotated[bool, Parameter(name="--json", negative=(), help="print the answer for a machine")]


def run(arguments: list[str] | None = None) -> int:
    """Run one command; returns its exit code. A fault of the program is reported as one, without a traceback."""
    from cyclopts import CycloptsError

    # many small sums: threads inside each of them only get in each other's way; set before the library is loaded
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    words = sys.argv[1:] if arguments is None else arguments
    machine = "--json" in words
    try:
        code = app(words, exit_on_error=False, print_error=not machine, result_action="return_value")
        sys.stdout.flush()
    except CycloptsError as error:
        if machine:
            _out({"refused": [{"message": str(error)}]})
        return REFUSED
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else REFUSED
    except KeyboardInterrupt:
        print("stopped; nothing was changed", file=sys.stderr)
        return 130
    except (AssertionError, ArithmeticError, AttributeError, LookupError, RuntimeError, TypeError, ValueError) as fault:
        if os.environ.get("TRIALFIT_TRACE"):
            raise
        message = (f"this is a fault of trialfit, not of your file: {type(fault).__name__}: {fault}. "
                   "Nothing was changed. With TRIALFIT_TRACE=1 it says where.")
        if machine:
            _out({"fault": message})
        else:
            print(message, file=sys.stderr)
        return FAULT
    except BrokenPipeError:
        sys.stderr.close()
        return OK
    except OSError as error:
        with contextlib.suppress(OSError):
            print(f"the answer cannot be written: {error.strerror}", file=sys.stderr)
        with contextlib.suppress(OSError):
            sys.stdout.close()
        return REFUSED
    return code if isinstance(code, int) else OK


def _out(answer: dict[str, Any]) -> None:
    print(json.dumps(answer, indent=2, ensure_ascii=False))


@app.command
def new(path: Path = Path("build.yaml"), *, units: Literal["metric", "inch"] = "metric", name: str = "My build") -> int:
    """Lay out a commented starter build file.

    Parameters
    ----------
    path
        file to write; one that exists is never written over
    units
        how you want to be answered
    name
        what you call the build
    """
    from trialfit.buildfile import starter

    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(starter(name, units))
    except FileExistsError:
        print(f"{path} exists already and was left as it is; name another file", file=sys.stderr)
        return REFUSED
    except OSError as error:
        print(f"{path} cannot be written: {error.strerror}", file=sys.stderr)
        return REFUSED
    print(f"{path} is ready. Open it in any editor, add readings, then: trialfit survey {path}")
    return OK


@app.command
def check(build: Path, *, json: Json = False) -> int:
    """Answer everything about a build, worst first.

    Parameters
    ----------
    build
        the build file
    """
    from trialfit.cli import answers, show
    from trialfit.cli.work import opened, worked

    loaded = opened(build, json)
    if loaded is None:
        return REFUSED
    results, _weighed, found = worked(loaded, build)
    code = OK if all(f.verdict.value in ("fits", "fits after work") for f in found) else TO_DO
    if json:
        _out(answers.check(results, found, code))
    else:
        show.findings(results, found)
        waiting = [m.route for m in results.makings if m.waiting]
        if waiting:
            print(f"Not among these: hangers and ways out of exhaust {', '.join(waiting)}; they take seconds more: "
                  f"trialfit make {build}")
    return code


@app.command
def survey(build: Path, *, point: str | None = None, json: Json = False) -> int:
    """Turn the readings into hardpoints, name misread ones, and say what to measure next.

    Parameters
    ----------
    build
        the build file; one that holds nothing but readings will do
    point
        hardpoint whose doubt the next reading should shrink; all of them if left out
    """
    from trialfit.cli import show
    from trialfit.cli.work import opened, refuse, watched
    from trialfit.survey import advise, plain, solve

    loaded = opened(build, json)
    if loaded is None:
        return REFUSED
    with watched() as progress:
        progress(0, 2, "survey")
        solved = solve(loaded)
        if point is not None and not solved.has(point):
            known = ", ".join(sorted(solved.names)[:12])
            return refuse(f"{point}: {solved.why_not(point)}. Solved are {known or 'none'}.", json)
        progress(1, 2, "next reading")
        advice = advise(solved, point)
    if json:
        answer = plain(solved)
        answer["next"] = [
            {"measure": a.words, "before_mm": a.before_mm, "after_mm": a.after_mm} for a in advice]
        _out(answer)
    else:
        show.survey(solved, advice)
    return TO_DO if solved.suspects or solved.unsolved or solved.ambiguous else OK


@app.command
def sweep(build: Path, *, json: Json = False) -> int:
    """Move the axle through its whole travel and hold every moving thing against every other.

    Parameters
    ----------
    build
        the build file
    """
    from trialfit.cli import answers, show
    from trialfit.cli.work import opened, worked

    loaded = opened(build, json)
    if loaded is None:
        return REFUSED
    results, weighed, _found = worked(loaded, build)
    if json:
        _out(answers.sweep(results, weighed))
    else:
        show.sweep(results, weighed)
    settled = results.travel is not None and all(w.verdict.value == "fits" for w in weighed)
    return OK if settled else TO_DO


@app.command
def route(build: Path, *, name: str | None = None, seconds: float = 10.0, workers: int = 1, seed: int = 0,
          count: int = 5, rounds: int | None = None, write: Annotated[bool, Parameter(negative=())] = False,
          pick: int = 1, json: Json = False) -> int:
    """Find ways for an exhaust through everything that moves: cheapest first, each with what it is certain to clear.

    Ctrl-C stops the search and keeps the best so far.

    Parameters
    ----------
    build
        the build file; the exhaust says under find: where it may end, which pipes and bends there are
    name
        which exhaust; may be left out when only one has find:
    seconds
        how long to search
    workers
        how many pieces of the search run side by side; the answer of --rounds does not hang on it
    seed
        another seed tries other first routes
    count
        how many kinds of route to show
    rounds
        do so many rounds of search instead of going by the clock, so that the answer repeats
    write
        lay the first route (or the one of --pick) into the build file
    pick
        which of the routes to write, as numbered in the answer
    """
    from trialfit.checks.searching import Effort
    from trialfit.cli.route import routed

    return routed(build, name, Effort(seconds, rounds, workers, seed, count), write, pick, json)


@app.command
def sheets(build: Path, *, out: Path = Path("out"), paper: Literal["A4", "Letter"] | None = None,
           json: Json = False) -> int:
    """Write the paper: survey, findings, cut list, wrap templates at full size, summary picture, orders.

    Parameters
    ----------
    build
        the build file
    out
        folder for the PDF and SVG files; made when missing
    paper
        size; the build file's if left out
    """
    from trialfit.cli.paper import written
    from trialfit.cli.work import opened, refuse, worked

    loaded = opened(build, json)
    if loaded is None:
        return REFUSED
    results, weighed, found = worked(loaded, build, making=True)
    try:
        files = written(results, weighed, found, out, paper)
    except OSError as error:
        return refuse(f"{out} cannot be written: {error.strerror}", json)
    if json:
        _out({"files": [{"file": str(path), "what": what} for path, what in files]})
    else:
        for path, what in files:
            print(f"{path}  {what}")
    return OK


@app.command(name="sum")
def sum_(name: str | None = None, *inputs: Annotated[str, Parameter(allow_leading_hyphen=True)],
         json: Json = False) -> int:
    """List all sums, explain one, or work it: trialfit sum NAME key=value ...

    Parameters
    ----------
    name
        which sum; all of them are listed if left out
    inputs
        key=value, with a unit and, if you like, a doubt: length=1230 mm +- 3 mm
    """
    from rich.console import Console

    import trialfit.checks  # noqa: F401  (fills the register)
    from trialfit.cli import sums
    from trialfit.cli.work import refuse
    from trialfit.sums import all_sums

    console = Console()
    try:
        if name is None:
            if json:
                _out({"sums": [sums.described(s) for s in all_sums()]})
            else:
                sums.show_all(console)
        elif not inputs:
            one = sums.found(name)
            if json:
                _out(sums.described(one))
            else:
                sums.show_one(console, one)
        else:
            answer = sums.worked(name, inputs)
            if json:
                _out(answer)
            else:
                sums.show_worked(console, answer)
    except sums.SumRefused as error:
        return refuse(str(error), json)
    return OK


@app.command
def schema(*, json: Json = True) -> int:
    """Print the JSON schema of the build file, for an editor that completes and checks as you type."""
    from trialfit.buildfile import schema as build_schema

    _out(build_schema())
    return OK


@app.command
def demo(*, out: Path = Path("out"), json: Json = False) -> int:
    """Work three invented vehicles from readings to paper, and say what to look at first.

    Parameters
    ----------
    out
        folder for what is written; made when missing
    """
    from trialfit.cli.demo import shown

    return shown(out, json)


@app.command
def export(build: Path, *, step: Annotated[bool, Parameter(negative=())] = False,
           glb: Annotated[bool, Parameter(negative=())] = False, dxf: Annotated[bool, Parameter(negative=())] = False,
           csv: Annotated[bool, Parameter(negative=())] = False, out: Path = Path("out"),
           at: Literal["ride", "bump", "droop"] = "ride", material: str = "steel", json: Json = False) -> int:
    """Write a build for other programs: solids, a scene, drawings, tables; everything when none is named.

    Parameters
    ----------
    build
        the build file
    step
        the exhaust's pieces as solids (needs the extra cad)
    glb
        the whole vehicle to look at
    dxf
        templates at 1 : 1 and the bend line (needs the extra cad)
    csv
        cut list, bender's table, points, hardpoints
    out
        folder for the files; made when missing
    at
        where the axle stands in the scene
    material
        of the pipe, for its mass
    """
    from trialfit.cli.export import Formats, exported

    return exported(build, Formats(step, glb, dxf, csv), out, at, material, json)


@app.command(name="open")
def open_(build: Path, *, host: str = "127.0.0.1", port: int | None = None,
          phone: Annotated[bool, Parameter(negative=())] = False, browser: bool = True) -> int:
    """Start the page of a build on this machine and open it in the browser.

    Parameters
    ----------
    build
        the build file
    host
        address to answer on; any but this machine asks for the key that is printed
    port
        port to answer on; a free one when left out
    phone
        answer on the home network, for the phone under the vehicle, with a key
    browser
        open the browser as well
    """
    from trialfit.cli.open import opened_page

    return opened_page(build, host, port, phone, browser)


@app.command
def make(build: Path, *, name: str | None = None, json: Json = False) -> int:
    """Say how an exhaust is made: stock, size and heat, hangers, joints, and the way out of each section.

    Parameters
    ----------
    build
        the build file
    name
        which exhaust; all of them if left out
    """
    from trialfit.cli.make import made

    return made(build, name, json)
