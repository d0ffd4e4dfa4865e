"""The one door to numba, which turns loops over numbers into machine code.

Only modules of kernels import this one, and the command line never does before it makes sound:
numba takes seconds to load. Conventions: kernels take and give numpy arrays and plain numbers,
hold no lock of the interpreter (so that threads run side by side), and are kept on disk once
compiled. A kernel that allows fast arithmetic may not see or test for NaN: callers check outside.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ParamSpec, TypeVar

import numba

Given = ParamSpec("Given")
Made = TypeVar("Made")


def kernel(
    *, fast: bool = False, parallel: bool = False
) -> Callable[[Callable[Given, Made]], Callable[Given, Made]]:
    """A decorator that compiles a function when it is first called.

    Args:
        fast: reorder sums and assume that no number is NaN or infinite.
        parallel: spread `numba.prange` loops over the cores.
    """

    def compiled(function: Callable[Given, Made]) -> Callable[Given, Made]:
        made: Callable[Given, Made] = numba.njit(
            function, cache=True, nogil=True, fastmath=fast, parallel=parallel
        )
        return made

    return compiled
