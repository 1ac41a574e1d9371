"""What the compiler's cache is keyed by beside the age of one file.

The cache looks at the age of the file an entry stands in. The kernels it calls stand in other files, whose change
would leave old code in force. An entry that holds this stamp is compiled anew when any of them changes.
"""

import inspect
import zlib
from types import ModuleType


def text_stamp(*modules: ModuleType) -> int:
    """Checksum of the text of ``modules`` [-], 0 or more."""
    return zlib.crc32("".join(inspect.getsource(module) for module in modules).encode())
