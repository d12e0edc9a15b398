"""Steps across an outline: their places are true where light slopes, and noise is no step."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from beadcheck.profiles.side_on.step_fit import fitted_steps

AT_PX = np.arange(-6.0, 6.01, 0.5)
BLUR_PX = 1.2


def steps(centre_px, *, rise, slope, noise, generator):
    """Sections from metal, on which light slopes by so much per px, to an even background."""
    off_px = AT_PX - centre_px[:, None]
    inside = np.minimum(off_px, 0.0)
    light = 0.3 + rise * ndtr(off_px / BLUR_PX) + slope * inside
    return light + generator.normal(0.0, noise, light.shape)


@pytest.mark.parametrize("slope", [-0.004, 0.0, 0.004])
def test_a_slope_of_light_on_the_metal_hardly_moves_a_step(slope):
    generator = np.random.default_rng(4)
    centre_px = 0.3 + np.zeros(200)
    light = steps(centre_px, rise=0.2, slope=slope, noise=0.002, generator=generator)
    fit = fitted_steps(light, AT_PX, mean_px=1.5, blur_px=1.0, rounds=4, steepest=0.01)
    assert fit.clean.mean() > 0.95
    # The kink of an unblurred slope, which the fit takes for a blurred one, is worth 0.03 px.
    assert_allclose(np.median(fit.centre_px), 0.3, atol=0.05)
    assert_allclose(fit.blur_px, BLUR_PX, rtol=0.1)


def test_noise_of_a_background_is_no_clean_step():
    generator = np.random.default_rng(5)
    light = 0.3 + generator.normal(0.0, 0.02, (400, AT_PX.size))
    fit = fitted_steps(light, AT_PX, mean_px=1.5, blur_px=1.0, rounds=4, steepest=0.01)
    assert fit.clean.mean() < 0.02


def test_a_faint_step_is_less_certain_than_a_high_one():
    generator = np.random.default_rng(6)
    centre_px = np.zeros(300)
    high, faint = (
        fitted_steps(
            steps(centre_px, rise=rise, slope=0.0, noise=0.01, generator=generator),
            AT_PX, mean_px=1.5, blur_px=1.0, rounds=4, steepest=0.01,
        )
        for rise in (0.3, 0.06)
    )  # fmt: skip
    assert np.median(faint.u_px) > 2.0 * np.median(high.u_px)
    seen = faint.clean
    assert np.mean(np.abs(faint.centre_px[seen]) <= 2.0 * faint.u_px[seen]) > 0.9
