"""One command line without the powers of root: ``run_powerless ARGUMENTS...``.

File modes mean nothing to root, who may write anywhere; what lets root do so is given up first
(capabilities(7), CAP_DAC_OVERRIDE). For anybody else there is nothing to give up.
"""

from __future__ import annotations

import ctypes
import os
import sys

from shopstep.cli.main import run

_VERSION_3 = 0x20080522
"""_LINUX_CAPABILITY_VERSION_3 of linux/capability.h: two sets of three 32-bit words."""


def lay_down_powers() -> None:
    """Give up every capability of this process; OSError where that fails."""
    if os.geteuid() != 0:
        return
    libc = ctypes.CDLL(None, use_errno=True)
    header = (ctypes.c_uint32 * 2)(_VERSION_3, 0)
    if libc.capset(header, (ctypes.c_uint32 * 6)()) != 0:
        number = ctypes.get_errno()
        raise OSError(number, os.strerror(number))


if __name__ == "__main__":
    lay_down_powers()
    sys.exit(run(sys.argv[1:]))
