"""The output holds answers only, whatever a library writes there by itself."""

import os
import subprocess
import sys
from pathlib import Path

from trialfit.cli.work import only_answers_on_stdout

SOURCE = Path(__file__).parents[2] / "src"


def test_what_a_library_writes_goes_to_the_error_stream():
    script = ("import os\nfrom trialfit.cli.work import only_answers_on_stdout\nprint('before')\n"
              "with only_answers_on_stdout():\n    os.write(1, b'a solver talks\\n')\nprint('after')\n")
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True,
                          env={**os.environ, "PYTHONPATH": str(SOURCE)})
    assert done.stdout.split() == ["before", "after"]
    assert done.stderr == "a solver talks\n"


def test_it_is_put_back_when_something_goes_wrong(capfd):
    try:
        with only_answers_on_stdout():
            raise ValueError("no")
    except ValueError:
        os.write(1, b"here again")
    assert capfd.readouterr().out == "here again"
