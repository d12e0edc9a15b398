"""Places round a pipe against the diameters of ASME B36.10M.

The diameters are those of the reference library `fluids` (its table of ASME B36.10M, wrought steel
pipe); the girth is pi times the diameter. Permitted variations in outside diameter are those of
ASTM A530/A530M and A999/A999M, verified in public text.
"""

import math

import pytest
from fluids.piping import nearest_pipe

from beadcheck.coupon.pipe_sizes import parse_pipe_size
from beadcheck.coupon.pipe_tolerance import diameter_tolerance, standard_size
from beadcheck.whole_weld.clock import Clock

MM_PER_M = 1000.0
SIZES = {"1": 1, "2": 2, "3": 3, "4": 4, "6": 6, "8": 8, "10": 10, "12": 12}
VARIATIONS = {
    # NPS: mm below, mm above
    "1": (0.8, 0.4),
    "1-1/2": (0.8, 0.4),
    "2": (0.8, 0.8),
    "4": (0.8, 0.8),
    "6": (0.8, 1.6),
    "8": (0.8, 1.6),
    "10": (0.8, 2.4),
    "18": (0.8, 2.4),
    "20": (0.8, 3.2),
}


@pytest.mark.parametrize("nps", SIZES)
def test_an_hour_of_the_clock_is_a_twelfth_of_pi_times_the_diameter(nps):
    _, _, outside_m, _ = nearest_pipe(NPS=SIZES[nps], schedule="40")
    girth_mm = math.pi * MM_PER_M * outside_m
    ours_mm = math.pi * parse_pipe_size(f"NPS {nps}").outside_diameter_mm
    # Both tables round inches to a tenth of a millimetre, each in its own way.
    assert abs(ours_mm - girth_mm) <= math.pi * 0.05
    clock = Clock(length_mm=ours_mm, sense=1)
    for hour in range(12):
        told = clock.degrees(girth_mm * hour / 12.0)
        assert abs(told - 30.0 * hour) <= 0.4
    assert clock.words(girth_mm * 5.0 / 12.0) == "5 o'clock"
    against = Clock(length_mm=ours_mm, sense=-1)
    assert against.words(girth_mm * 5.0 / 12.0) == "7 o'clock"


@pytest.mark.parametrize("nps", VARIATIONS)
def test_permitted_variations_of_the_diameter(nps):
    size = parse_pipe_size(f"NPS {nps}")
    tolerance = diameter_tolerance(size)
    assert (tolerance.below_mm, tolerance.above_mm) == VARIATIONS[nps]
    assert str(standard_size(size.outside_diameter_mm)) == f"NPS {nps}"
    assert standard_size(1.01 * size.outside_diameter_mm) is None
