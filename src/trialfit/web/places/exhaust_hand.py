"""What one tab has in hand at the exhaust: which route, which piece, which point and where it was taken."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from nicegui import ui

from trialfit import units
from trialfit.checks import Results
from trialfit.checks.dragging import Dragged
from trialfit.checks.hung_exhaust import InHand
from trialfit.exhaust.hanger_points import HangerPlan
from trialfit.findings import Finding
from trialfit.vehicle import RoutePlan
from trialfit.web import look
from trialfit.web.page import Page

Xyz = tuple[float, float, float]

PIECES, MOVE, HANG, OTHERS = "Pieces", "Move a point", "Hangers", "Other routes"
STEPS = {"metric": (("1", "mm"), ("10", "mm")), "inch": (("1/16", "in"), ("1/2", "in"))}
"""How far a press of an arrow goes: the fine step and the coarse one."""


@dataclass
class Hand:
    """What one tab has in hand. ``base`` is the route as the text has it, ``base_of`` the revision of that text;
    ``at`` where the chosen point was taken and is not kept yet, ``answer`` what that came to."""

    route: str = ""
    part: str = PIECES
    piece: int = 0
    corner: int = 1
    near: bool = True
    coarse: bool = True
    at: Xyz | None = None
    answer: Dragged | None = None
    base: Dragged | None = None
    base_of: int = 0
    reason: str = ""
    seconds: int = 10
    through: Xyz | None = None
    turn: int = 0
    heard: bool = False
    laying: bool = False
    shown: int = 0
    head: ui.html | None = None
    figures: ui.html | None = None
    note: ui.html | None = None
    keys: ui.element | None = None
    rack: InHand | None = None
    """what hangers are judged by, of the text ``rack_of``"""
    rack_of: int = 0
    racking: bool = False
    no_rack: str = ""
    """why there is no rack of that text"""
    hang: tuple[str, ...] = ()
    """places in hand, along the pipe; ``hang_was`` those that the text comes to"""
    hang_was: tuple[str, ...] = ()
    hanger: int = 0
    hung: HangerPlan | None = None

    @property
    def now(self) -> Dragged | None:
        """The route with the point where it was taken, or as it stands."""
        return self.answer if self.at is not None and self.answer is not None else self.base

    def drop(self) -> None:
        """Let the point go back to where it was."""
        self.at, self.answer = None, None
        self.turn += 1


def hand_of(page: Page) -> Hand:
    """What this tab has in hand."""
    hand = page.kept.get("exhaust")
    if not isinstance(hand, Hand):
        hand = page.kept["exhaust"] = Hand()
    return hand


def basis(page: Page) -> Results | None:
    """Results to hold a route against: those of the text as it stands, or those before the last change where that
    changed nothing but the exhausts."""
    build = page.desk.build
    if build is None:
        return None
    worked = page.desk.worked or page.desk.last
    if worked is None:
        return None
    was = worked.results
    if page.desk.worked is None:
        # the work adds the tyres before the shapes of the file
        shapes = was.build.shapes[len(was.build.shapes) - len(build.shapes):]
        if shapes != build.shapes or replace(
                was.build, shapes=(), routes=(), digest="") != replace(build, shapes=(), routes=(), digest=""):
            return None
    return replace(was, build=replace(was.build, routes=build.routes))


def plan_in_hand(page: Page, hand: Hand) -> RoutePlan | None:
    """The route of the build that is in hand, or its first."""
    build = page.desk.build
    if build is None or not build.routes:
        return None
    plan = next((r for r in build.routes if r.name == hand.route), build.routes[0])
    hand.route = plan.name
    return plan


def step_mm(page: Page, hand: Hand) -> float:
    """How far one press goes [mm]."""
    amount, unit = STEPS[page.units][int(hand.coarse)]
    return units.parse(f"{amount} {unit}", "length").value


def place_words(page: Page, xyz: Xyz) -> str:
    """A place in words."""
    x, y, z = xyz
    side = "on the centre line" if y == 0.0 else f"{page.length(abs(y))} {'right' if y > 0.0 else 'left'}"
    return f"station {page.length(x)}, {side}, {page.length(z)} high"


def number_of(value: object) -> float | None:
    """A finite number that the browser told; None for anything else."""
    good = isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
    return float(value) if good and isinstance(value, int | float) else None


def wrong_said(page: Page, finding: Finding) -> str:
    """What is wrong with the exhaust as it lies or hangs now, in one line with its mark."""
    said = look.esc(page.told(look.capital(finding.reason)))
    return f'<div class="wrong">{look.mark(finding.verdict, 22)}<span>{said}</span></div>'


def numbered(label: str, words: Sequence[tuple[str, str]], chosen: int, choose: Callable[[int], object]) -> None:
    """Keys beside one another, one of them chosen: each its word and what it is called aloud."""
    with ui.element("div").classes("seg").props(f'role="group" aria-label="{label}"'):
        for number, (word, aloud) in enumerate(words):
            button = look.key(word, lambda n=number: choose(n), "on" if number == chosen else "", aria=aloud)
            button.props["aria-pressed"] = "true" if number == chosen else "false"
