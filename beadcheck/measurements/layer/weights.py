"""How much each sign of a valley weighs; made by `calibration/finder/valleys.py`."""

from typing import Final

import numpy as np

WEIGHTS: Final = np.array(
    [
        0.958,
        -0.222,
        0.463,
        0.261,
        -0.755,
        -0.105,
        0.256,
        -0.097,
        1.866,
        -0.004,
        -1.645,
        0.734,
        -2.869,
        7.593,
        -2.061,
        16.915,
        -7.696,
    ]
)
"""Of the signs in the order in which `evidence.signs` tells them."""
BIAS: Final = -2.309
