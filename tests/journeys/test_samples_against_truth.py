"""Every sample photo against its truth: what is measurable is measured, the rest is refused.

The samples are rendered from height fields whose every dimension is known (``samples/making``), and
judged by the code that judges larger sets (``tests/benchmarks/accuracy.py``). The limits: a quarter
of a millimetre on mean width, and the stated uncertainty itself.
"""

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from accuracy import Judged, judged, truth_of
from PIL import Image

from beadcheck.pipeline import Request, measure, takes_of

SAMPLES = Path(__file__).parents[2] / "samples"
GOOD = (
    "pipe-gtaw-pulsed",
    "pipe-smaw-weave",
    "plate-gmaw-stringer",
    "plate-gtaw-pulsed",
    "plate-smaw-undercut",
)
LIGHT_SHARE = 0.5
NOISE_LEVELS = 18.0
"""Standard deviation, in 8-bit levels; beyond about 25 the markers cannot be read either."""
NOISE_SEED = 7


@cache
def verdict_on(name: str) -> Judged:
    photo = SAMPLES / f"{name}.jpg"
    truth = truth_of(photo)
    assert truth is not None
    return judged(photo, truth, None)


@pytest.mark.parametrize("name", GOOD)
def test_a_good_photo_is_measured_within_a_quarter_of_a_millimetre(name: str) -> None:
    verdict = verdict_on(name)
    assert verdict.measured, verdict.problem
    (mean,) = (c for c in verdict.compared if c.name == "weld_width mean")
    assert abs(mean.error) <= 0.25
    assert mean.expanded_uncertainty <= 0.5


@pytest.mark.parametrize("name", GOOD)
def test_four_in_five_stations_are_sure_and_nine_in_ten_of_them_right(name: str) -> None:
    verdict = verdict_on(name)
    assert verdict.sure_share >= 0.8
    assert verdict.toes_near_share >= 0.9


@pytest.mark.parametrize("name", GOOD)
def test_the_stated_uncertainty_covers_every_error(name: str) -> None:
    for compared in verdict_on(name).compared:
        assert compared.covered, compared


@pytest.mark.parametrize("name", GOOD)
def test_a_single_bead_is_not_split_along_its_own_toes(name: str) -> None:
    truth = truth_of(SAMPLES / f"{name}.jpg")
    assert truth is not None
    assert verdict_on(name).beads_told == truth["weld"]["n_beads"] == 1


def test_a_hurried_dim_photo_is_refused_or_right_but_never_wrong() -> None:
    verdict = verdict_on("plate-gmaw-dim-shop")
    if not verdict.measured:
        assert "toes_unsure" in verdict.problem
    assert all(compared.covered for compared in verdict.compared)


def poorer(photo: Path, path: Path) -> Path:
    """Write a photo again as half the light and a sensor at its limit would have given it."""
    with Image.open(photo) as picture:
        exif, pixels = picture.getexif(), np.asarray(picture.convert("RGB"), dtype=float)
    noise = np.random.default_rng(NOISE_SEED).normal(0.0, NOISE_LEVELS, pixels.shape)
    dim = np.clip(np.round(LIGHT_SHARE * pixels + noise), 0.0, 255.0).astype(np.uint8)
    Image.fromarray(dim).save(path, quality=95, exif=exif)
    return path


def test_toes_that_are_too_unsure_are_shown_but_give_no_number(tmp_path: Path) -> None:
    photo = poorer(SAMPLES / "plate-gmaw-dim-shop.jpg", tmp_path / "poorer.jpg")
    result = measure(Request(takes=takes_of([photo])))
    assert not result.photos[0].usable
    assert result.photos[0].problems[0].code == "toes_unsure"
    assert len(result.stations) > 50
    assert not all(s.sure for s in result.stations)
    assert not result.quantities
    assert all(check.finding == "not measured" for check in result.checks)


@pytest.mark.parametrize(
    ("name", "code"),
    [("plate-smaw-no-target", "no_marker"), ("plate-no-weld", "no_weld_found")],
)
def test_without_target_or_weld_nothing_is_invented(name: str, code: str) -> None:
    result = measure(Request(takes=takes_of([SAMPLES / f"{name}.jpg"])))
    assert not result.photos[0].usable
    assert result.photos[0].problems[0].code == code
    assert not result.quantities
    assert not result.stations
    assert {n.name for n in result.not_measured} >= {"weld_width", "ripple_spacing"}
    assert all(n.reason and n.how_to for n in result.not_measured)
