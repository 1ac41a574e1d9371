"""What is printed of the joints between parts: list, machine-shop order, templates, bags and torques."""

from dataclasses import replace

from trialfit.checks import Results, slug
from trialfit.driveline import ExtraMissing
from trialfit.sheets.dxf import plate_dxf
from trialfit.sheets.fittings_bag import fittings_bag_sheet
from trialfit.sheets.hole_template import hole_template_sheets
from trialfit.sheets.machine_order import machine_order_sheet, machine_stop, parts_to_work, plates_of, quantities_of
from trialfit.sheets.mates_list import mate_line, mates_list_sheet
from trialfit.sheets.paper import SheetMeta
from trialfit.sheets.torque_sheet import torque_sheet

Sheet = tuple[str, str, bytes]


def mates_paper(results: Results, meta: SheetMeta) -> list[Sheet]:
    """Every sheet of joints as (file name, what it is, bytes); those that the build has nothing for are left out."""
    sheets: list[Sheet] = []
    if results.mates:
        lines = [mate_line(m.joint, m.answers) for m in results.mates]
        sheets.append(("mates.pdf", "every joint between parts, worst first", mates_list_sheet(lines, meta)))
        sheets += _to_work(results, meta)
    bag = [item for chain in results.chains for item in chain.bag]
    if bag:
        names = {str(chain.number): chain.asked.name for chain in results.chains}
        sheets.append(("fittings-bag.pdf", "which fittings go into which bag", fittings_bag_sheet(bag, meta, names)))
    if results.torques:
        sheets.append(("torque.pdf", "every bolted joint, boxes to tick", torque_sheet(results.torques, meta)))
    return sheets


def _to_work(results: Results, meta: SheetMeta) -> list[Sheet]:
    parts = parts_to_work((m.joint, m.answers) for m in results.mates)
    if not parts:
        return []
    said = next((order for order in results.build.orders if order.kind == "machine_shop"), None)
    answers = () if said is None else said.answers
    job = {"vehicle": meta.build, **{a.key: a.value for a in answers if isinstance(a.value, str)}}
    stop = machine_stop(parts, job)
    ready = "" if stop.ready else "; NOT TO BE ORDERED FROM YET"
    sheets = [("order-machine-shop.pdf", f"machine-shop order{ready}", machine_order_sheet(parts, meta, job))]
    plates = plates_of(parts)
    if plates:
        sheets.append(("hole-templates.pdf", "drill and slot templates at full size",
                       hole_template_sheets(plates, meta, replace(stop, work="drilled"), quantities_of(parts))))
        try:
            sheets += [(f"plate-{n}-{slug(plate.title)}.dxf", f"{plate.title}, 1 : 1", plate_dxf(plate))
                       for n, plate in enumerate(plates, 1)]
        except ExtraMissing as missing:
            sheets.append(("plates-dxf.txt", "why there are no DXF files", f"{missing}\n".encode()))
    return sheets
