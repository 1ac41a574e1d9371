"""What does the builder's text file say, and how is it kept safe when it changes?

In: the text of a build file, or where it lies. Out: :class:`Loaded`, which holds a ``vehicle.Build``, or every problem
of the file at once with line, column, what was typed, what was expected and how to mend it; and suspicions, which do
not stop anything. Also text with one edit or a found route put into it, a file saved whole or not at all, the schema
for editors, and a starter. The format is the house's own, in YAML 1.2 without anchors, aliases and tags;
docs/build-file.md explains it.
"""

from trialfit.buildfile.editor_schema import schema
from trialfit.buildfile.edits import EditError, add_reading, edit
from trialfit.buildfile.laying import write_hangers, write_route
from trialfit.buildfile.problem import Problem
from trialfit.buildfile.reader import Loaded, load, read
from trialfit.buildfile.saving import Saved, save
from trialfit.buildfile.scans import scans
from trialfit.buildfile.starter_text import starter

__all__ = [
    "EditError",
    "Loaded",
    "Problem",
    "Saved",
    "add_reading",
    "edit",
    "load",
    "read",
    "save",
    "scans",
    "schema",
    "starter",
    "write_hangers", "write_route",
]
