"""``trialfit route`` as a shell runs it: answers for people and machines, exit codes, refusals, writing, stopping.

The router itself is stood in for by one that hands back the hand-laid route of the example, so that these tests say
something about the command alone; one test at the end runs the real search.
"""

import json
import math
import os
import signal
import sys
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest

import trialfit.routing
from trialfit.buildfile import load
from trialfit.cli import main, route_show
from trialfit.cli.route import chosen, stoppable, told
from trialfit.routing.problem import Certificate, ObstacleGap, PartAt, ProblemError, Way
from trialfit.vehicle import Settings

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
ESTATE = EXAMPLES / "estate" / "build.yaml"
POINTS = [[2180.0, 218.0, 246.0], [2450.0, 218.0, 512.0], [2830.0, 222.0, 512.0], [3010.0, 300.0, 372.0],
          [3560.0, 330.0, 352.0]]


@dataclass
class Found:
    """What the stand-in hands back."""

    routes: tuple = ()
    bound: float = 60.0
    bound_words: str = "invented bound"
    blocked: tuple = ()
    unproved: int = 0
    seconds: float = 1.5
    rounds: int = 3


@dataclass
class FoundRoute:
    way: Way
    name: str
    certificate: Certificate
    sides: tuple = (("axle tube", "over"),)


@dataclass
class Blocked:
    words: str = "the exit lies behind a wall"
    names: tuple = ("ground", "tank", "axle tube")
    missing_mm: float = 4.5
    place: tuple | None = (3000.0, 0.0, 400.0)
    remedy: str = "move the exit"
    proved: bool = True


def certificate(lower, upper=9.0, axle_mm=25.0):
    gaps = (ObstacleGap("axle tube", axle_mm, lower, upper, (75.0, 0.01, 0.0), (2600.0, 218.0, 512.0), True, False),
            ObstacleGap("tank", 38.0, 140.0, 500.0, (0.0, 0.0, 0.0), (3000.0, 200.0, 400.0), False, True))
    return Certificate(lower, upper, gaps, True, 100)


def routes_for(problem, lowers=(6.0, -2.0)):
    points = np.array([problem.outlet, *POINTS])
    # on the outlet's axis, as a route that was found begins
    points[1] = problem.outlet + 1600.0 * problem.aim
    parts = tuple(PartAt(0, 150.0 + 400.0 * k, 0.0) for k in range(len(problem.parts)))
    terms = {t.name: 2.0 for t in problem.sizes[0].terms}
    paid = math.fsum(t.weight * 2.0 for t in problem.sizes[0].terms)
    way = Way(0, points, (0, 0, 0, 0), parts, paid + 3.0, tuple(terms.items()), 3100.0, 2.4, 14, 6.0)
    wanted = next(o.required_mm for o in problem.obstacles if o.name == "axle tube")
    return tuple(FoundRoute(replace(way, cost=way.cost + 10.0 * k), f"way {k}", certificate(low, axle_mm=wanted))
                 for k, low in enumerate(lowers))


@pytest.fixture
def stand_in(monkeypatch):
    """Put a router in place that answers with ``answer(problem)``; returns what it was asked with."""
    asked = {}

    def put(answer):
        def find(problem, **how):
            asked.update(how, problem=problem)
            return answer(problem, how)

        monkeypatch.setattr(trialfit.routing, "find", find)
        return asked

    return put


@pytest.fixture
def ask(capsys):
    def call(*arguments):
        code = main([str(a) for a in arguments])
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return code, out, err

    return call


@pytest.fixture
def mine(tmp_path):
    """A copy of the example to write into."""
    path = tmp_path / "mine.yaml"
    path.write_bytes(ESTATE.read_bytes())
    return path


def test_the_json_answer_is_the_contract(ask, stand_in):
    asked = stand_in(lambda problem, how: Found(routes_for(problem)))
    code, out, _ = ask("route", ESTATE, "--seconds", 3, "--seed", 4, "--workers", 2, "--count", 7, "--rounds", 9,
                       "--json")
    answer = json.loads(out)
    assert code == 0
    assert {k: asked[k] for k in ("seed", "seconds", "rounds", "workers", "count")} == {
        "seed": 4, "seconds": None, "rounds": 9, "workers": 2, "count": 7}  # rounds stand in place of a time
    assert {"routes", "bound", "blocked", "seconds", "rounds", "written"} <= set(answer)
    first, second = answer["routes"]
    for r in (first, second):
        assert {"name", "cost", "cost_parts", "length_mm", "welds", "clear_mm", "bound", "points", "bends", "parts",
                "gaps"} <= set(r)
        assert math.fsum(p["cost"] for p in r["cost_parts"].values()) == pytest.approx(r["cost"])
        assert len(r["points"]) == len(r["bends"]) + 2
    assert first["cost"] < second["cost"]
    assert (first["clear_mm"], first["clear"]) == ([6.0, 9.0], True)
    assert (second["clear_mm"][0], second["clear"]) == (-2.0, False)
    assert first["bound"] == answer["bound"] == 60.0
    axle = first["gaps"][0]
    assert axle["obstacle"] == "axle tube"
    assert axle["required_mm"] == pytest.approx(25.0)
    assert 2.0 < axle["spare_mm"] < 4.0
    asked_for = axle["required_mm"] + axle["spare_mm"]
    assert (axle["lower_mm"] - asked_for, axle["upper_mm"] - asked_for) == pytest.approx((6.0, 9.0))
    assert answer["room_for_doubt"] is True
    assert [p["leg"] for p in first["parts"]] == [1] * len(first["parts"])
    assert answer["written"] is None


def test_people_are_told_cost_gap_bound_and_never_that_the_uncertain_is_clear(ask, stand_in):
    stand_in(lambda problem, how: Found(routes_for(problem)))
    code, out, _ = ask("route", ESTATE)
    assert code == 0
    for words in ("way 0", "clear by 6.0 mm to 9.0 mm", "axle tube", "14 welds", "4 bends", "no route can be more than",
                  "closeness", "nothing was written"):
        assert words in out, words
    uncertain = out[out.index("way 1"):]
    assert "NOT certain to clear: -2.0 mm to 9.0 mm" in uncertain
    assert "clear by" not in uncertain


def test_a_first_route_that_is_not_certain_exits_1(ask, stand_in):
    stand_in(lambda problem, how: Found(routes_for(problem, (-0.1,))))
    assert ask("route", ESTATE)[0] == 1
    assert ask("route", ESTATE, "--json")[0] == 1


def test_blocked_says_why_where_and_what_to_do(ask, stand_in):
    stand_in(lambda problem, how: Found(blocked=(Blocked(), Blocked("perhaps a pinch", (), math.nan, None, "", False))))
    ground = load(ESTATE).build.routes[0].wish.where
    code, out, _ = ask("route", ESTATE)
    assert code == 1
    for words in ("no route was found", "the exit lies behind a wall", str(ground), "move the exit",
                  "as far as the search went: perhaps a pinch"):
        assert words in out, words
    code, out, _ = ask("route", ESTATE, "--json")
    answer = json.loads(out)
    assert (code, answer["routes"]) == (1, [])
    first, second = answer["blocked"]
    assert (first["message"], first["remedy"]) == ("the exit lies behind a wall", "move the exit")
    assert first["proved"] is True
    assert first["where"]["line"] == ground.line
    assert first["obstacles"] == ["ground", "tank", "axle tube"]
    assert (first["missing_mm"], first["place_mm"]) == (4.5, [3000.0, 0.0, 400.0])
    assert second["missing_mm"] is second["place_mm"] is second["where"] is None


def test_write_lays_the_route_so_that_check_reads_it_back(ask, stand_in, mine):
    stand_in(lambda problem, how: Found(routes_for(problem)))
    code, out, _ = ask("route", mine, "--write", "--json")
    assert code == 0
    assert json.loads(out)["written"] == str(mine)
    loaded = load(mine)
    assert not loaded.problems
    plan = loaded.build.routes[0]
    assert plan.laid
    assert plan.wish == load(ESTATE).build.routes[0].wish
    assert plan.end == pytest.approx((3560.0, 330.0, 352.0), abs=0.01)
    assert [c.point for c in plan.corners][1:] == [pytest.approx(p, abs=0.01) for p in POINTS[1:4]]
    assert [p.name for p in plan.parts] == [p.name for p in plan.wish.parts]
    assert "way 0" in plan.found
    assert "at least 6.0 mm" in plan.found


def test_write_takes_the_one_that_is_picked(ask, stand_in, mine):
    stand_in(lambda problem, how: Found(routes_for(problem)))
    code, out, _ = ask("route", mine, "--write", "--pick", 2)
    assert code == 1, "the second is not certain to clear"
    assert "route 2 was written" in out
    assert "NOT certain" in load(mine).build.routes[0].found
    before = mine.read_bytes()
    code, _, err = ask("route", mine, "--write", "--pick", 3)
    assert code == 2
    assert "only 2 routes" in err
    assert mine.read_bytes() == before


def test_without_write_the_file_is_left_alone(ask, stand_in, mine):
    stand_in(lambda problem, how: Found(routes_for(problem)))
    before = mine.read_bytes()
    ask("route", mine)
    assert mine.read_bytes() == before


def test_a_file_that_changed_during_the_search_is_not_written_over(ask, stand_in, mine):
    def answer(problem, how):
        mine.write_text(mine.read_text(encoding="utf-8") + "# changed meanwhile\n", encoding="utf-8")
        return Found(routes_for(problem))

    stand_in(answer)
    code, _, err = ask("route", mine, "--write")
    assert code == 2
    assert "changed since" in err
    assert mine.read_text(encoding="utf-8").endswith("# changed meanwhile\n")


@pytest.mark.parametrize(
    "more, told_",
    [(("--seconds", "0"), "--seconds"), (("--rounds", "0"), "--rounds"), (("--workers", "0"), "--workers"),
     (("--count", "0"), "--count"), (("--seed", "-1"), "--seed"), (("--pick", "0"), "--pick"),
     (("--name", "nobody"), "nobody"), (("--seconds", "soon"), "soon")],
)
def test_wrong_options_are_refused_by_name(ask, stand_in, more, told_):
    stand_in(lambda problem, how: Found())
    code, out, err = ask("route", ESTATE, *more)
    assert code == 2
    assert told_ in out + err
    code, out, _ = ask("route", ESTATE, *more, "--json")
    assert code == 2
    assert told_ in json.loads(out)["refused"][0]["message"]


def test_a_question_without_an_answer_is_named_at_its_line(ask, stand_in, mine):
    stand_in(lambda problem, how: Found())
    text = mine.read_text(encoding="utf-8")
    start = text.index("      exit: {between")
    line = text[:start].count("\n") + 1
    stop = text.index("\n", start)
    inside = ("      exit: {between: [[3000 mm, 300 mm left, 350 mm], [3300 mm, 50 mm right, 450 mm]], "
              "towards: rear, within: 10 deg}")
    mine.write_text(text[:start] + inside + text[stop:], encoding="utf-8")
    code, out, err = ask("route", mine)
    assert code == 2
    assert not out
    assert f"mine.yaml:{line}:" in err
    assert "tank" in err
    code, out, _ = ask("route", mine, "--json")
    refused = json.loads(out)["refused"][0]
    assert refused["where"]["line"] == line
    assert code == 2


def test_a_build_that_looks_for_nothing_says_so(ask, tmp_path):
    path = tmp_path / "only.yaml"
    path.write_text("readings:\n  - height a 300 mm\n", encoding="utf-8")
    code, _, err = ask("route", path)
    assert code == 2
    assert "find:" in err
    assert ask("route", tmp_path / "absent.yaml")[0] == 2


def test_which_route_is_looked_for():
    build = load(ESTATE).build
    main_ = build.routes[0]
    second = replace(main_, name="second", laid=False, corners=(), end="", parts=())
    assert chosen(build, None) is main_
    both = replace(build, routes=(main_, second))
    assert chosen(both, None) is second, "the one that is not laid yet"
    assert chosen(both, "main") is main_
    with pytest.raises(ProblemError, match="--name"):
        chosen(replace(build, routes=(main_, replace(main_, name="other"))), None)


@pytest.mark.skipif(os.name == "nt", reason="a process cannot send itself Ctrl-C there")
def test_ctrl_c_stops_the_search_and_keeps_the_best(ask, stand_in):
    def answer(problem, how):
        assert not how["stop"]()
        os.kill(os.getpid(), signal.SIGINT)
        assert how["stop"]()
        return Found(routes_for(problem))

    stand_in(answer)
    before = signal.getsignal(signal.SIGINT)
    code, out, err = ask("route", ESTATE)
    assert code == 0
    assert "way 0" in out
    assert "best so far is kept" in err
    assert signal.getsignal(signal.SIGINT) is before


@pytest.mark.skipif(os.name == "nt", reason="a process cannot send itself Ctrl-C there")
def test_a_second_ctrl_c_ends_it():
    with stoppable() as stop:
        os.kill(os.getpid(), signal.SIGINT)
        assert stop()
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), signal.SIGINT)


def test_progress_is_shown_to_a_person_with_the_cost_so_far(monkeypatch, capsys):
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    with told() as tell:
        tell(1.25, 87.5, "4 kinds of route")
    _, err = capsys.readouterr()
    assert "best so far costs 87.5" in err
    assert "4 kinds of route" in err
    monkeypatch.setattr(sys.stderr, "isatty", lambda: False, raising=False)
    with told() as tell:
        tell(1.25, None, "")
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("cost, bound, words", [(100.0, 80.0, "20 %"), (100.0, 130.0, "0 %"), (0.0, 0.0, "not known"),
                                                (100.0, -math.inf, "not known")])
def test_the_bound_in_words(cost, bound, words):
    assert words in route_show.cheaper_words(cost, bound)


def test_the_margin_in_words_in_both_systems():
    assert route_show.clear_words(5.0, 9.0, Settings()) == "clear by 5.0 mm to 9.0 mm"
    assert route_show.clear_words(-0.04, 9.0, Settings()).startswith("NOT certain")
    assert "0.20 in" in route_show.clear_words(5.08, 9.0, Settings(units="inch"))


@pytest.mark.slow
def test_the_real_search_lays_a_route_that_check_agrees_with(ask, mine):
    code, out, _ = ask("route", mine, "--rounds", 4, "--write", "--json")
    answer = json.loads(out)
    assert answer["routes"]
    assert code == (0 if answer["routes"][0]["clear"] else 1)
    best = answer["routes"][0]
    _, out, _ = ask("sweep", mine, "--json")
    swept = {frozenset(g["pair"]): g for g in json.loads(out)["gaps"]}
    compared = 0
    for gap in best["gaps"]:
        if gap["far"] or not gap["closed"]:
            continue
        shares = [g for pair, g in swept.items()
                  if gap["obstacle"] in pair and any(n.startswith("exhaust.main") for n in pair)]
        if not shares or gap["obstacle"].startswith("keep-out"):
            continue
        # the spine's parts have flat ends where the router's are rounded, so they may have more room, never less
        least = min(g["lower_mm"] for g in shares)
        assert least >= gap["lower_mm"] - max(1.5, 0.06 * gap["upper_mm"]), gap["obstacle"]
        compared += 1
    assert compared >= 3
