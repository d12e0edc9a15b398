"""Numbers as truth files hold them: rounded, null where there is none."""

from typing import Any

import numpy as np

DECIMALS = 4


def rounded(values: Any, decimals: int = DECIMALS) -> Any:
    """A number, or nested lists of an array's numbers; None for what is not finite."""
    array = np.asarray(values, dtype=np.float64)
    if array.ndim == 0:
        return round(float(array), decimals) if np.isfinite(array) else None
    if array.ndim == 1:
        return [round(float(v), decimals) if np.isfinite(v) else None for v in array]
    return [rounded(row, decimals) for row in array]
