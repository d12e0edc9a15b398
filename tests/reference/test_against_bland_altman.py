"""Photo against gauge, by the worked example of the paper whose method it is.

J. M. Bland and D. G. Altman, Statistical methods for assessing agreement between two methods of
clinical measurement, Lancet 327 (1986) 307 to 310: peak flow of 17 people by a large and a mini
meter, first readings of its table. In l/min it prints: mean difference -2.1, standard deviation
38.8, limits -79.7 and 75.5 (it takes twice the standard deviation), 95 % interval of the lower
limit -114.3 to -45.1 (verified in public text: the table and these numbers are quoted in the tests
of several statistics packages). The interval of the bias, -22.0 to 17.8, is from memory.
"""

import numpy as np
import pytest

from beadcheck.gauge_study import StudyReading, against_gauge

LARGE = (494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427)
MINI = (512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451)


def test_bias_limits_and_their_intervals_are_those_of_the_paper() -> None:
    found = against_gauge(
        [
            StudyReading(part=f"subject {k}", by="meter", value=float(a), gauge=float(b))
            for k, (a, b) in enumerate(zip(LARGE, MINI, strict=True))
        ]
    )
    assert found is not None
    assert found.places == 17
    # Half of the last printed digit, each.
    assert found.mean_difference == pytest.approx(-2.1, abs=0.05)
    sd = (found.upper - found.lower) / (2.0 * 1.96)
    assert sd == pytest.approx(38.8, abs=0.05)
    assert found.mean_difference - 2.0 * sd == pytest.approx(-79.7, abs=0.15)
    assert found.mean_difference + 2.0 * sd == pytest.approx(75.5, abs=0.15)
    interval = np.array([-1.0, 1.0]) * found.u_mean_difference + found.mean_difference
    # The paper rounds t and the standard error before it multiplies them.
    np.testing.assert_allclose(interval, [-22.0, 17.8], atol=0.15)
    assert 2.0 * found.u_limits == pytest.approx(114.3 - 45.1, abs=0.3)
    assert not found.differs


def test_fewer_than_three_places_tell_nothing_of_agreement() -> None:
    two = [StudyReading(part=f"{k}", by="A", value=9.0 + k, gauge=9.1 + k) for k in range(2)]
    assert against_gauge(two) is None
