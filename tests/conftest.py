"""Settings of all tests: drawn examples are the same on every run where CI says so, and new ones elsewhere."""

import os

from hypothesis import settings

settings.register_profile("same every time", derandomize=True, print_blob=True)
if os.environ.get("CI"):
    settings.load_profile("same every time")
