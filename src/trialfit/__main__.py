"""``python -m trialfit``: the same as the ``trialfit`` command."""

import sys

from trialfit.cli import main

if __name__ == "__main__":
    sys.exit(main())
