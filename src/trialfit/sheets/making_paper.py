"""What is printed for making one exhaust: pieces, fit-up, bender's table, size and heat, hangers, orders."""

import math
from collections.abc import Sequence
from dataclasses import replace

from trialfit.checks import Results
from trialfit.checks.exhaust_orders import ExhaustForOrder, coater_order, exhaust_shop_order
from trialfit.checks.making import Making
from trialfit.doubt import Weighed
from trialfit.doubt.gates import leans_of_route
from trialfit.driveline.order_fields import Given, Order
from trialfit.exhaust.hanger_making import hangers_made
from trialfit.findings import Finding, Verdict, worst_first
from trialfit.sheets.bender_sheet import bender_sheet
from trialfit.sheets.coater_order import coater_order_sheet
from trialfit.sheets.exhaust_order import exhaust_order_sheet
from trialfit.sheets.exhaust_size_sheet import SizeAndHeat, exhaust_size_sheet
from trialfit.sheets.fit_up_sheet import fit_up_sheet
from trialfit.sheets.hang_sheet import hang_sheet
from trialfit.sheets.order_text import order_text
from trialfit.sheets.paper import SheetMeta, Stop
from trialfit.sheets.piece_sheet import piece_sheet
from trialfit.sheets.plate_drawing import both

Sheet = tuple[str, str, bytes]
_GAPS = 6
"""Smallest gaps that an exhaust shop is told [-]."""


def making_paper(making: Making, results: Results, weighed: Sequence[Weighed], found: Sequence[Finding],
                 meta: SheetMeta, stop: Stop) -> list[Sheet]:
    """Every sheet for making one route as (file name, what it is, bytes); what was not worked out is left out."""
    route, cuts = making.cuts.route, making.cuts
    refused = next((f.reason for f in making.findings if f.name.endswith(".stock") and making.nest is None), "")
    sheets: list[Sheet] = [
        (f"pieces-{route}.pdf", "what to buy, where the saw goes, every piece",
         piece_sheet(cuts, making.nest, meta, stop, making.kerf_mm, refused))]
    if making.fit_up is not None:
        sheets.append((f"fit-up-{route}.pdf", "order of tack, check lengths, welding",
                       fit_up_sheet(making.fit_up, meta, replace(stop, work="welded"))))
    if making.bends is not None:
        pies = sum(p.pie is not None for p in cuts.pieces)
        sheets.append((f"bend-table-{route}.pdf", "for a shop with a bender",
                       bender_sheet(making.tube, making.bends, route, cuts.diameter_mm, cuts.wall_mm,
                                    meta, replace(stop, work="bent"), pies)))
    if making.runs is not None and making.flow is not None:
        wanted = None if making.said.gas is None else making.said.gas.wanted_mpa
        sheets.append((f"size-heat-{route}.pdf", "back pressure by diameter, heat along the pipe, shields",
                       exhaust_size_sheet(SizeAndHeat(making.chain, making.flow, making.runs[1], making.sizes,
                                                      making.neighbours, wanted), meta)))
    if making.hangers is not None or making.removals or making.exchanges:
        hung = () if making.hangers is None else hangers_made(making.chain, making.hangers.hangers)
        sheets.append((f"hangers-{route}.pdf", "where it hangs, rods to bend, how it comes down",
                       hang_sheet(route, making.hangers, making.removals, making.exchanges, making.freeing, meta,
                                  _stop_of_hangers(making, stop), hung)))
    return [*sheets, *_orders(making, results, weighed, found, meta)]


def _stop_of_hangers(making: Making, stop: Stop) -> Stop:
    """Whether rods and brackets may be made: as the route itself, and nothing of the hangers may be open."""
    stop = replace(stop, work="made")
    open_ = worst_first([f for f in making.findings if f.name.startswith(f"exhaust.{making.route}.hanger.")
                         and f.verdict in (Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL)])
    if not stop.ready or not open_:
        return stop
    more = f" And {len(open_) - 1} more: see the findings." if len(open_) > 1 else ""
    return Stop(False, "made", f"{both(open_[0].reason)}.{more}", both(open_[0].remedy))


def _orders(making: Making, results: Results, weighed: Sequence[Weighed], found: Sequence[Finding],
            meta: SheetMeta) -> list[Sheet]:
    """The two orders, where the builder has said anything for them."""
    said = {order.kind: order for order in results.build.orders}
    if not {"exhaust_shop", "coater"} & set(said):
        return []
    name = f"exhaust.{making.cuts.route}"
    gaps = sorted((w for w in weighed if name in (w.answer.pair.a.name, w.answer.pair.b.name)),
                  key=lambda w: w.margin_mm)[:_GAPS]
    known = ExhaustForOrder(
        making.chain, making.bends,
        tuple((w.answer.pair.b.name if w.answer.pair.a.name == name else w.answer.pair.a.name, w.answer.lower_mm,
               w.sd_mm) for w in gaps),
        () if making.hangers is None else tuple(
            f"{h.candidate.name}, {h.at_mm:.0f} mm from the outlet" for h in making.hangers.hangers),
        None if making.runs is None else making.runs[1], meta.load_state, meta.build, _length_sd(making),
        making.beside, making.tube, tuple(f for f in found if f.name.startswith("order.exhaust-shop.")))
    open_ = leans_of_route(making.plan, results, found)
    sheets: list[Sheet] = []
    route = making.cuts.route
    if "exhaust_shop" in said:
        order = exhaust_shop_order(known, _given(results, "exhaust_shop"), open_)
        sheets += [(f"order-exhaust-shop-{route}.pdf", _what(order),
                    exhaust_order_sheet(order, making.chain, making.bends, meta, making.tube, making.beside)),
                   (f"order-exhaust-shop-{route}.txt", "the same to paste into a message",
                    order_text(order, meta).encode("utf-8"))]
    if "coater" in said:
        order = coater_order(known, _given(results, "coater"), open_)
        sheets += [(f"order-coater-{route}.pdf", _what(order), coater_order_sheet(order, meta)),
                   (f"order-coater-{route}.txt", "the same to paste into a message",
                    order_text(order, meta).encode("utf-8"))]
    return sheets


def _length_sd(making: Making) -> float | None:
    """Of the whole centre line [mm]: those of its pieces added up, which errs to too much; None where one has none.
    Parts are as long as their maker says."""
    sds = [p.sd_mm if p.part is None else p.part.length.sd_mm for p in making.cuts.pieces]
    known = [sd for sd in sds if sd is not None]
    return math.fsum(known) if len(known) == len(sds) else None


def _what(order: Order) -> str:
    return order.title.lower() + ("" if order.may_order else "; NOT TO BE ORDERED FROM YET")


def _given(results: Results, kind: str) -> dict[str, Given]:
    said = next(order for order in results.build.orders if order.kind == kind)
    return {a.key: Given(a.value, a.sd, a.source or "build file") for a in said.answers}
