"""Which library may use several cores at once."""

import os
from typing import Final

_BLAS_THREADS: Final = "OPENBLAS_NUM_THREADS"


def leave_cores_to_opencv() -> None:
    """Let NumPy's and SciPy's OpenBLAS use one thread, unless the environment says otherwise.

    Matrices here are small: several threads wait for each other far longer than they reckon, most
    of all while OpenCV or another program uses the cores (a band of 600 unknowns: 0.5 ms in one
    thread, 5 to 200 in two). OpenBLAS asks once, as NumPy loads, so this must come before that.
    """
    os.environ.setdefault(_BLAS_THREADS, "1")
