"""Mean and range charts of the piston rings: 25 samples of five inside diameters, in millimetres.

D. C. Montgomery, Introduction to Statistical Quality Control, as the R package qcc holds them in
its data set ``pistonrings`` (sample 21 has other values in the table of later editions). The 125
diameters, and what qcc prints for them, were *verified in public text*, the tests and data of a
port of qcc to Python: centre 74.00118, standard deviation 0.009785039, limits 73.98805 and
74.0143; of the ranges 0.02276, and 0 and 0.04812533; the limits at two sigmas, 73.99242 and
74.00993, stand in qcc's own vignette too. The formulae are those of ISO 7870-2 (*from memory*).
"""

import numpy as np
from numpy.testing import assert_allclose

from beadcheck.consistency import RunRule, mean_and_range_charts, signals
from beadcheck.consistency.chart_constants import mean_range

PAST_74_UM = """
  30   2  19  -8   8    -5  -8   1  11   4   -12  24  21   5   2     2  -4  -7  15   9
  -8   7  15 -11  14     9  -6  -3 -15  -7    -5   6  -6   0   5   -15   3  -7  15 -12
   8  -5   9   5   4    -2   0 -10   7  -5    -6  -2  -6  -5 -10     4   0   7   0  -4
 -17   2  -2  -3  12     6 -33  -6   0 -16    12  14  -2  -1   7     0 -16   5  -2  -4
  -6  12 -14   5   7     6  10  18   3   0   -16   2   3   5  -3     0  10  13  20   3
 -12   1   9   5  -4     4  -1 -10   6   9    10 -11 -10   9  14    15   8  -7   0  10
 -18 -16  -5  17  13
"""
"""Micrometres beyond 74 mm, sample after sample."""
SAMPLES_MM = (74.0 + 0.001 * np.array(PAST_74_UM.split(), dtype=np.float64)).reshape(25, 5)


def test_the_chart_of_means_has_the_printed_centre_and_limits() -> None:
    level = mean_and_range_charts(SAMPLES_MM.tolist()).level
    assert_allclose(level.centre, 74.00118, atol=5e-6)
    assert_allclose((level.lower, level.upper), (73.98805, 74.01430), atol=5e-6)
    # Warning limits at two standard deviations of a mean.
    warned = (level.centre - 2 * level.sigma, level.centre + 2 * level.sigma)
    assert_allclose(warned, (73.99242, 74.00993), atol=5e-6)
    assert not level.trial


def test_the_chart_of_ranges_has_the_printed_centre_and_limits() -> None:
    scatter = mean_and_range_charts(SAMPLES_MM.tolist()).scatter
    assert_allclose(scatter.centre, 0.02276, atol=5e-9)
    assert scatter.lower == 0.0
    # Printed with d2 rounded to 2.326, which is 3 parts in 100 000 more than its value.
    assert_allclose(scatter.upper, 0.04812533, rtol=3e-5)
    assert_allclose(scatter.centre / mean_range(5), 0.009785039, rtol=3.1e-5)


def test_these_samples_are_known_to_be_in_control() -> None:
    charts = mean_and_range_charts(SAMPLES_MM.tolist())
    for chart in (charts.level, charts.scatter):
        assert RunRule.BEYOND_LIMIT not in {signal.rule for signal in signals(chart)}
