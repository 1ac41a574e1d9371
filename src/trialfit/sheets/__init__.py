"""What is carried into the shop: PDF sheets at true size, and the summary picture as PDF or SVG.

In: results of the rooms below (cut lists, wraps, a survey, findings, flat outlines), with :class:`SheetMeta` for the
foot. Out: bytes of PDF, or SVG text; the same input gives the same bytes. No file is touched but the packaged faces.
Every sheet also comes as leaves (``..._leaves``); :func:`book` joins them. Left out: what a thing looks like beyond
flat outlines, and any sum: a number on paper is one that a room below has worked out.

Sources: ISO 128-2 and ISO 129-1 for lines and dimensions (dash lengths from memory), ISO 5456-2 for third angle, ISO
216 and ANSI/ASME Y14.1 for paper, ISO 32000-1 for the wish not to be scaled. Faces: Atkinson Hyperlegible Next and Mono
under the SIL Open Font Licence, kept beside them.
"""

from trialfit.sheets.axle_order import axle_order_leaves, axle_order_sheet
from trialfit.sheets.book import book
from trialfit.sheets.cut_list import cut_list_leaves, cut_list_sheet
from trialfit.sheets.dxf import plate_dxf
from trialfit.sheets.findings import GapLine, findings_leaves, findings_sheet
from trialfit.sheets.fittings_bag import fittings_bag_leaves, fittings_bag_sheet
from trialfit.sheets.gearing_sheet import gearing_leaves, gearing_sheet
from trialfit.sheets.hole_template import hole_template_leaves, hole_template_sheets
from trialfit.sheets.machine_order import machine_order_leaves, machine_order_sheet
from trialfit.sheets.marks import GapBar
from trialfit.sheets.mates_list import mate_line, mates_list_leaves, mates_list_sheet
from trialfit.sheets.order_text import order_messages, order_text
from trialfit.sheets.paper import PAPERS, SheetMeta, Stop
from trialfit.sheets.pdf import pdf
from trialfit.sheets.picture import (
    At,
    GapMark,
    Outline,
    Picture,
    outline_of_drum,
    outline_of_pipe,
    outline_of_points,
    summary_leaf,
)
from trialfit.sheets.ring_and_pinion_sheet import ring_and_pinion_leaves, ring_and_pinion_sheet
from trialfit.sheets.shaft_order import shaft_order_leaves, shaft_order_sheet
from trialfit.sheets.shaft_sheet import shaft_leaves, shaft_sheet
from trialfit.sheets.summary import summary_leaves, summary_page
from trialfit.sheets.survey import survey_leaves, survey_sheet
from trialfit.sheets.svg import svg
from trialfit.sheets.torque_sheet import torque_leaves, torque_sheet
from trialfit.sheets.wrap import wrap_leaves, wrap_sheets

__all__ = [
    "At", "GapBar", "GapLine", "GapMark", "Outline", "PAPERS", "Picture", "SheetMeta", "Stop", "axle_order_leaves",
    "axle_order_sheet", "book", "cut_list_leaves", "cut_list_sheet", "findings_leaves", "findings_sheet",
    "gearing_leaves", "gearing_sheet", "order_messages", "order_text", "outline_of_drum", "outline_of_pipe",
    "outline_of_points", "pdf", "ring_and_pinion_leaves", "ring_and_pinion_sheet", "shaft_leaves", "shaft_order_leaves",
    "shaft_order_sheet", "shaft_sheet", "summary_leaf", "summary_leaves", "summary_page", "survey_leaves",
    "fittings_bag_leaves", "fittings_bag_sheet", "hole_template_leaves", "hole_template_sheets", "machine_order_leaves",
    "machine_order_sheet", "mate_line", "mates_list_leaves", "mates_list_sheet", "plate_dxf", "survey_sheet", "svg",
    "torque_leaves", "torque_sheet", "wrap_leaves", "wrap_sheets",
]
