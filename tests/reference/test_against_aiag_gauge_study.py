"""The gauge study of the AIAG manual's worked example (MSA, 4th edition, chapter III, section B).

Ten parts, three appraisers, three trials, in millimetres. The 90 readings are *from memory*. The
table of variance (sums of squares, mean squares, F of the interaction), the standard deviations to
five digits, the shares, the percent of tolerance and the number of categories, as a statistics
package prints them for this example, were *verified in public text* (tests of public programs quote
them): that they come out to all printed digits checks the readings too. The sixth digits and the F
ratios after pooling, 245.6 and 39.6, are *from memory*.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import f_oneway

from beadcheck.gauge_study import UnbalancedStudyError, crossed_study

APPRAISERS = (
    (  # A
        (0.29, -0.56, 1.34, 0.47, -0.80, 0.02, 0.59, -0.31, 2.26, -1.36),
        (0.41, -0.68, 1.17, 0.50, -0.92, -0.11, 0.75, -0.20, 1.99, -1.25),
        (0.64, -0.58, 1.27, 0.64, -0.84, -0.21, 0.66, -0.17, 2.01, -1.31),
    ),
    (  # B
        (0.08, -0.47, 1.19, 0.01, -0.56, -0.20, 0.47, -0.63, 1.80, -1.68),
        (0.25, -1.22, 0.94, 1.03, -1.20, 0.22, 0.55, 0.08, 2.12, -1.62),
        (0.07, -0.68, 1.34, 0.20, -1.28, 0.06, 0.83, -0.34, 2.19, -1.50),
    ),
    (  # C
        (0.04, -1.38, 0.88, 0.14, -1.46, -0.29, 0.02, -0.46, 1.77, -1.49),
        (-0.11, -1.13, 1.09, 0.20, -1.07, -0.67, 0.01, -0.56, 1.45, -1.77),
        (-0.15, -0.96, 0.67, 0.11, -1.45, -0.49, 0.21, -0.49, 1.87, -2.16),
    ),
)
READINGS = np.array(APPRAISERS).transpose(2, 0, 1)
"""Parts, appraisers, trials."""


def test_the_table_of_variance_comes_out_to_the_printed_digits() -> None:
    table = {effect.source: effect for effect in crossed_study(READINGS).effects}
    printed = {
        "parts": (9, 88.3619, 9.81799),
        "appraisers": (2, 3.1673, 1.58363),
        "interaction": (18, 0.3590, 0.01994),
        "equipment": (60, 2.7589, 0.04598),
    }
    for source, (free, squares, mean_square) in printed.items():
        assert table[source].degrees_of_freedom == free
        assert_allclose(table[source].sum_of_squares, squares, atol=0.00005)
        assert_allclose(table[source].mean_square, mean_square, atol=0.000005)
    assert table["total"].degrees_of_freedom == 89
    assert_allclose(table["total"].sum_of_squares, 94.6471, atol=0.00005)
    assert_allclose(table["interaction"].f_ratio, 0.434, atol=0.0005)
    assert_allclose(table["parts"].f_ratio, 245.614, atol=0.0005)
    assert_allclose(table["appraisers"].f_ratio, 39.617, atol=0.0005)


def test_spreads_shares_and_categories_come_out_to_the_printed_digits() -> None:
    study = crossed_study(READINGS)
    assert study.pooled
    assert_allclose(study.equipment_variation, 0.199933, atol=5e-7)
    assert_allclose(study.appraiser_variation, 0.226838, atol=5e-7)
    assert study.interaction == 0.0
    # The printed 0.302373 is two units off in its last digit from the printed parts' own sum.
    assert_allclose(study.gauge, 0.302373, atol=2e-6)
    assert_allclose(study.part_variation, 1.042327, atol=5e-7)
    assert_allclose(study.percent_of_study, 27.86, atol=0.005)
    assert_allclose(100.0 * (study.gauge / study.total_variation) ** 2, 7.76, atol=0.005)
    shares = (study.equipment_variation, study.reproducibility, study.part_variation)
    printed = (18.42, 20.90, 96.04)
    assert_allclose([100.0 * each / study.total_variation for each in shares], printed, atol=0.005)
    assert study.distinct_categories == 4


def test_percent_of_tolerance_spans_six_standard_deviations() -> None:
    # Six times 0.302373 on a tolerance of 8: 22.68 %, as programs print it for this example.
    study = crossed_study(READINGS, tolerance=8.0)
    assert study.percent_of_tolerance is not None
    assert_allclose(study.percent_of_tolerance, 22.68, atol=0.005)
    assert_allclose(100.0 * 6.0 * study.part_variation / 8.0, 78.17, atol=0.005)


def test_parts_alone_are_tested_as_scipy_tests_groups() -> None:
    # With appraisers that do not differ, parts against the rest is a one-way analysis.
    study = crossed_study(READINGS)
    table = {effect.source: effect for effect in study.effects}
    between = table["parts"].sum_of_squares
    rest = sum(table[s].sum_of_squares for s in ("appraisers", "interaction", "equipment"))
    groups = f_oneway(*READINGS.reshape(10, -1))
    assert_allclose((between / 9) / (rest / 80), groups.statistic, rtol=1e-9)


def test_a_missing_reading_is_refused() -> None:
    holed = READINGS.copy()
    holed[3, 1, 2] = np.nan
    with pytest.raises(UnbalancedStudyError, match="equally often"):
        crossed_study(holed)
    with pytest.raises(UnbalancedStudyError, match="two parts"):
        crossed_study(READINGS[:, :1])
