"""What the trade and the standards say of fastening: friction, wrenches, materials clamped, nuts used once, locking."""

from collections.abc import Mapping
from dataclasses import dataclass

from trialfit.standards.table import nearest, table
from trialfit.units import internal


@dataclass(frozen=True, slots=True)
class ThreadFriction:
    """Friction of a bolt by its state. ``kind`` is ``K``, the nut factor, or ``mu``, the coefficient of friction of
    thread and head alike; the true figure lies between ``low`` and ``high`` [-]."""

    state: str
    label: str
    kind: str
    low: float
    nominal: float
    high: float
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class ClampedMaterial:
    """A metal under a bolt head or round a tapped hole [MPa]."""

    name: str
    tensile_mpa: float
    bearing_mpa: float
    modulus_mpa: float
    source: str


@dataclass(frozen=True, slots=True)
class OneTime:
    """Whether a fastener is used again: ``again`` is ``never``, ``yes`` or a condition."""

    fastener: str
    again: str
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Locking:
    """What a way of locking holds, with what is to be minded."""

    method: str
    holds: str
    words: str
    source: str


def thread_states() -> tuple[str, ...]:
    """States of a thread whose friction is known: ``dry``, ``oiled``, ``zinc plated`` and so on."""
    return tuple(dict.fromkeys(row["state"] for row in table("thread_friction").rows))


def thread_friction(state: str, choice: str | None = None) -> ThreadFriction:
    """Friction of a bolt in that state: the version in force, or the one chosen by its label.

    The sources disagree, by half and more: a range is the truth here, one figure would not be.

    Raises
    ------
    ValueError
        for a state or a label that is not known, naming those that are

    Source: nut factors and friction classes; each row of the table names its own.

    >>> found = thread_friction("dry")
    >>> found.kind, found.low, found.nominal, found.high
    ('K', 0.18, 0.2, 0.27)
    """
    rows = [row for row in table("thread_friction").rows if row["state"] == state]
    if not rows:
        raise ValueError(f"no state of a thread is called '{state}'; {nearest(state, thread_states())}")
    for row in rows:
        if row["in_force"] == "yes" if choice is None else row["label"].casefold() == choice.casefold():
            low, nominal, high = (float(row[c]) for c in ("low", "nominal", "high"))
            return ThreadFriction(state, row["label"], row["kind"], low, nominal, high, _said(row), row["status"])
    labels = "; ".join(row["label"] for row in rows)
    raise ValueError(f"friction of a thread that is {state} has no version '{choice}'; known: {labels}")


def _said(row: Mapping[str, str]) -> str:
    # a page that prints the source must say so where the figure was not seen
    return f"{row['source']}, from memory" if row["status"] == "from memory" else row["source"]


def torque_tools() -> tuple[str, ...]:
    """What a bolt can be tightened with where the torque is to be known: ``click wrench``, ``by feel`` and so on."""
    return table("tightening_tools").keys()


def wrench_scatter(tool: str, torque_nmm: float) -> float:
    """How far the torque given may lie from the torque read, as a share of it [-].

    Raises
    ------
    ValueError
        for an unknown tool; an impact wrench sets no torque and is none

    Source: ISO 6789.

    >>> wrench_scatter("click wrench", 50000.0), wrench_scatter("click wrench", 8000.0)
    (0.04, 0.06)
    """
    found = table("tightening_tools")
    known = torque_tools()
    if tool not in known:
        raise ValueError(f"no torque tool is called '{tool}'; {nearest(tool, known)}; an impact wrench sets no torque")
    row = found.row(tool)
    return float(row["small_scatter" if torque_nmm <= float(row["small_up_to_nmm"]) else "scatter"])


def faces_friction(faces: str) -> tuple[float, float, str]:
    """Least and greatest friction [-] between two clamped faces, and where it comes from.

    Raises
    ------
    ValueError
        for faces that are not in the table

    Source: engineering page on friction of joined faces.

    >>> faces_friction("machined steel degreased")[:2]
    (0.12, 0.18)
    """
    row = table("joint_friction").row(faces)
    return float(row["low"]), float(row["high"]), _said(row)


def clamped_material(name: str) -> ClampedMaterial:
    """Strength, allowed pressure under a head and stiffness of a metal.

    Raises
    ------
    ValueError
        for a metal that is not in the table, naming the nearest

    Source: VDI 2230, limiting pressure under the head.

    >>> clamped_material("aluminium 6082").bearing_mpa
    260.0
    """
    found = table("clamped_materials")
    return ClampedMaterial(
        name, found.number(name, "tensile_mpa"), found.number(name, "bearing_mpa"),
        1000.0 * found.number(name, "modulus_gpa"), f"{found.source}, {found.edition}",
    )  # fmt: skip


def embedding_mm(roughness: str, load: str, faces: int) -> float:
    """How much a joint of bare metal settles [mm]: thread, head and nut face, and each face between the parts.

    Paint, gaskets and soft coatings settle far more (unsafe side): take them off under a head.

    Parameters
    ----------
    roughness : str
        ``fine`` to Rz 10, ``medium`` to Rz 40, ``rough`` to Rz 160
    load : str
        ``pull`` along the bolt, ``slide`` across it
    faces : int
        faces between the parts clamped

    Raises
    ------
    ValueError
        for another word

    Source: VDI 2230, table 5, from memory.

    >>> round(embedding_mm("medium", "pull", 1) * 1000.0, 1)
    11.0
    """
    if faces < 0:
        raise ValueError(f"there are {faces} faces between the parts; there must be 0 or more")
    row = table("embedding").row(f"{roughness} {load}")
    return (float(row["thread_um"]) + 2.0 * float(row["head_um"]) + faces * float(row["between_um"])) / 1000.0


def wheel_nut_torque_nmm(stud: str) -> tuple[float, float, str]:
    """Usual least and greatest torque [N*mm] of a wheel nut by the size of its stud, clean and dry.

    For the time until the vehicle's own figure is found: seat, plating and grade are not asked.

    Parameters
    ----------
    stud : str
        ``M12``, ``1/2``

    Raises
    ------
    ValueError
        for another size, naming the known ones

    Source: wheel fitting guides, typical torque.

    >>> [round(t / 1000) for t in wheel_nut_torque_nmm("M12")[:2]]
    [95, 108]
    """
    found = table("wheel_nut_torque")
    low, high = (internal(found.number(stud, c), "lbf*ft") for c in ("low_lbf_ft", "high_lbf_ft"))
    return low, high, found.source


def u_bolt_torque_nmm(thread: str, grade: str, *, plated: bool) -> tuple[float, str]:
    """Greatest torque [N*mm] of a cold-formed spring U-bolt, and where it comes from.

    Raises
    ------
    ValueError
        for a size or grade that the list does not give

    Source: spring shop's U-bolt torque list.

    >>> round(u_bolt_torque_nmm("1/2-20", "5", plated=False)[0] / 1000)
    95
    """
    found = table("u_bolt_torque")
    return internal(found.number(f"{thread} {grade}", "plated_lbf_ft" if plated else "bare_lbf_ft"), "lbf*ft"), (
        found.source
    )


def one_time(fastener: str) -> OneTime:
    """Whether a kind of fastener is used again.

    Raises
    ------
    ValueError
        for a kind that is not in the table

    Source: common practice, no source; each row names its own.

    >>> one_time("u-bolt").again
    'never'
    """
    row = table("one_time_fasteners").row(fastener)
    return OneTime(fastener, row["again"], row["why"], row["source"])


def locking(method: str) -> Locking:
    """What a way of locking holds.

    Raises
    ------
    ValueError
        for a way that is not in the table

    Source: common practice, no source.

    >>> locking("spring washer").holds
    'nothing that counts'
    """
    row: Mapping[str, str] = table("locking").row(method)
    return Locking(method, row["holds"], row["words"], row["source"])
