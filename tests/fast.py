"""Where tests keep their files: in memory, where the machine has room for that, so that small stores wait for no disk.

Not a test. One rule: what lies there is as much a file as any other, but for a power cut, which tests play themselves.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path

FAST = Path("/dev/shm")  # noqa: S108 - memory, as a folder
FREE_BYTES = 2 * 2**30  # as much as all tests at once may need


def memory_folder() -> Path | None:
    """A folder in memory, or None where there is none or too little of it: then the usual place serves."""
    if not os.access(FAST, os.W_OK) or shutil.disk_usage(FAST).free < FREE_BYTES:
        return None
    return FAST
