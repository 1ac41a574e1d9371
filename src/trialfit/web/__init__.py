"""What does the builder see and press? The page: it shows what the rooms below worked out, and asks for readings.

In: the path of a build file. Out: a page in the browser, served from this machine (``serving.serve``). One ``Desk``
holds the file for every open tab; the long work runs in a process of its own; a ``Page`` is one tab with its five
places. No formula and no unit conversion stands here: numbers and sentences come from the rooms below.
"""

import os

# The sums of a survey are many and small: threads inside each of them only wait for each other, and on a machine with
# other work they make an answer ten times slower. Heeded only where numpy is not loaded yet.
for _threads in ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_threads, "1")
