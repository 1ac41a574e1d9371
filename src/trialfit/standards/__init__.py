"""Which number does a standard, a regulation or the trade give, and where does it stand?

In: a name (a gauge, a grade, a thread, a rule). Out: the value, with source, edition and status. The tables are CSV
files packaged here, each with its origin in its head and a units row; nothing is interpolated, and an unknown name is
answered with the nearest known ones. Rules keep every version that was found, because the sources disagree; one is in
force by default and the build file may choose another. Sources: the head of each table, and the source column of the
rules; all of them are listed in docs/sources.md.
"""

from trialfit.standards.gauge import tube_wall_by_gauge
from trialfit.standards.grades import Grade, bolt_grade, grade_names, torque_factor
from trialfit.standards.kinds import KINDS, check_kind, gap_rule_name, required_gap
from trialfit.standards.materials import (
    STANDARD_GRAVITY,
    density_kg_mm3,
    expansion_per_k,
    modulus_mpa,
    shear_modulus_mpa,
    weighed_density_kg_mm3,
)
from trialfit.standards.ranges import refuse_not_positive, refuse_outside
from trialfit.standards.rules import ORIGINS, Rule, Version, all_rules, rule
from trialfit.standards.table import Table, nearest, table, table_names
from trialfit.standards.tape import tape_error
from trialfit.standards.threads import Thread, stress_area_mm2, thread_called, thread_stress_area

__all__ = [
    "KINDS",
    "ORIGINS",
    "STANDARD_GRAVITY",
    "Grade",
    "Rule",
    "Table",
    "Thread",
    "Version",
    "all_rules",
    "bolt_grade",
    "check_kind",
    "density_kg_mm3",
    "expansion_per_k",
    "gap_rule_name",
    "grade_names",
    "modulus_mpa",
    "nearest",
    "refuse_not_positive",
    "refuse_outside",
    "required_gap",
    "rule",
    "shear_modulus_mpa",
    "stress_area_mm2",
    "table",
    "table_names",
    "tape_error",
    "thread_called",
    "thread_stress_area",
    "torque_factor",
    "tube_wall_by_gauge",
    "weighed_density_kg_mm3",
]
