"""Warnings of bad light, and none for good light."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from beadcheck.photo import Lens, Photo, photo_warnings


def photo_of(codes: NDArray[np.float64]) -> Photo:
    grey = np.clip(np.rint(codes), 0, 255).astype(np.uint8)
    return Photo(
        file="a.jpg",
        pixels_bgr=np.repeat(grey[..., np.newaxis], 3, axis=2).copy(),
        lens=Lens(),
    )


def bench() -> NDArray[np.float64]:
    """Dull steel with grain, and a sheet of white paper over a fifth of the picture."""
    rng = np.random.default_rng(7)
    codes = rng.normal(95.0, 18.0, size=(900, 1300))
    codes[80:420, 150:850] = rng.normal(225.0, 4.0, size=(340, 700))
    return codes


def codes_of(photo: Photo) -> list[str]:
    return [warning.code for warning in photo_warnings(photo)]


def test_a_well_lit_bench_gives_no_warning() -> None:
    assert photo_warnings(photo_of(bench())) == ()
    assert photo_warnings(photo_of(bench()[::2, ::2].T)) == ()


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (lambda codes: 0.25 * codes, "too_dark"),
        (lambda codes: 2.9 * codes, "washed_out"),
        (lambda codes: 150.0 + 0.1 * codes, "hazy"),
    ],
)
def test_bad_light_is_told_with_what_to_do(
    change: Callable[[NDArray[np.float64]], NDArray[np.float64]], code: str
) -> None:
    (warning,) = photo_warnings(photo_of(change(bench())))
    assert warning.code == code
    assert "retake" in warning.message


def test_a_lamp_in_one_corner_is_no_reason_to_warn() -> None:
    codes = bench()
    codes[600:, 1000:] = 255.0
    assert codes_of(photo_of(codes)) == []
