"""The bead finder: its contract, and what it does on drawn scenes whose toes are known exactly."""

import threading
from importlib.resources import files

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from beadcheck.finder import surface_kinds, weld_likelihood

WIDTH_PX = 61.3
MIDDLE_ROW = 93.7


def _bead(angle_deg: float = 4.0, *, welded: bool = True) -> NDArray[np.uint8]:
    """Draw a rippled bead with heat tint on brushed metal, as a phone would store it."""
    rng = np.random.default_rng(11)
    rows, columns = np.mgrid[0:213, 0:431].astype(np.float64)
    slope = np.tan(np.deg2rad(angle_deg))
    off = (rows - MIDDLE_ROW - slope * (columns - 215)) * np.cos(np.deg2rad(angle_deg))
    across = off / (WIDTH_PX / 2)
    grain = cv2.GaussianBlur(rng.normal(size=rows.shape), (0, 0), sigmaX=25, sigmaY=0.7)
    patches = cv2.GaussianBlur(rng.normal(size=rows.shape), (0, 0), 4.0) * 14
    wander = cv2.GaussianBlur(rng.normal(size=rows.shape), (0, 0), sigmaX=14, sigmaY=60) * 40
    wave = np.cos(2 * np.pi * (columns / 11.3 + 0.9 * across**2 + 0.4 * wander))
    normal = -0.75 * across + 0.25 * wave * (1 - across**2)
    face = 0.10 + 0.55 * np.exp(-(((normal - 0.25) / 0.28) ** 2)) + 0.05 * patches
    tint = np.exp(-np.clip(np.abs(off) - WIDTH_PX / 2, 0, None) / 12)[..., None]
    metal = (0.25 + 0.6 * grain)[..., None] * (1 - welded * tint * (0.15, 0.45, 0.6))
    share = (np.clip(0.5 - (np.abs(off) - WIDTH_PX / 2), 0, 1) * welded)[..., None]
    linear = metal * (1 - share) + face[..., None] * (0.85, 0.97, 1.0) * share
    linear = cv2.GaussianBlur(linear, (0, 0), 0.8) + rng.normal(scale=0.004, size=linear.shape)
    codes = 255 * np.clip(linear, 0, 1) ** (1 / 2.2)
    return np.clip(np.round(codes), 0, 255).astype(np.uint8)


@pytest.fixture(scope="module")
def bead() -> NDArray[np.uint8]:
    return _bead()


def test_the_three_shares_lie_on_the_pictures_grid_and_sum_to_one(bead: NDArray[np.uint8]) -> None:
    kinds = surface_kinds(bead)
    shares = np.stack([kinds.weld_face, kinds.base_metal, kinds.other])
    assert shares.shape == (3, *bead.shape[:2])
    assert shares.dtype == np.float32
    assert shares.min() >= 0
    np.testing.assert_allclose(shares.sum(axis=0), 1, atol=1e-4)  # single precision


def test_the_bead_is_found_where_it_lies(bead: NDArray[np.uint8]) -> None:
    weld = weld_likelihood(bead) > 0.5
    rows, columns = np.mgrid[0 : bead.shape[0], 0 : bead.shape[1]]
    off = np.abs(rows - MIDDLE_ROW - np.tan(np.deg2rad(4.0)) * (columns - 215))
    truth = off < WIDTH_PX / 2
    assert np.sum(weld & truth) / np.sum(weld | truth) > 0.85


def test_a_plate_without_a_weld_is_not_called_weld() -> None:
    assert np.mean(weld_likelihood(_bead(welded=False)) > 0.5) < 0.05


def test_the_network_stays_below_four_megabytes() -> None:
    model = (files("beadcheck.finder") / "bead_finder.onnx").read_bytes()
    assert len(model) < 4_000_000


@pytest.mark.parametrize("shape", [(16, 16), (17, 203), (96, 32), (131, 333)])
def test_any_size_comes_back_at_its_own_size(
    bead: NDArray[np.uint8], shape: tuple[int, int]
) -> None:
    rows, columns = shape
    assert weld_likelihood(np.ascontiguousarray(bead[:rows, :columns])).shape == shape


def test_the_callers_picture_is_left_alone(bead: NDArray[np.uint8]) -> None:
    before = bead.copy()
    weld_likelihood(bead)
    np.testing.assert_array_equal(bead, before)


@pytest.mark.parametrize("turns", [1, 3])
def test_a_turned_picture_gives_the_turned_answer(bead: NDArray[np.uint8], turns: int) -> None:
    upright = weld_likelihood(bead) > 0.5
    turned = np.rot90(weld_likelihood(np.ascontiguousarray(np.rot90(bead, turns))), -turns) > 0.5
    assert np.sum(upright & turned) / np.sum(upright | turned) > 0.85  # alike, never the same


def test_the_answer_does_not_depend_on_what_was_asked_before(bead: NDArray[np.uint8]) -> None:
    first = weld_likelihood(bead)
    weld_likelihood(np.ascontiguousarray(bead[:100, :77]))
    np.testing.assert_array_equal(weld_likelihood(bead), first)


def test_threads_get_their_own_answers(bead: NDArray[np.uint8]) -> None:
    pictures = [bead, np.ascontiguousarray(bead[::-1]), np.ascontiguousarray(bead[:, :200])]
    alone = [weld_likelihood(picture) for picture in pictures]
    together: list[NDArray[np.float32]] = [np.empty(0, np.float32)] * len(pictures)

    def ask(number: int) -> None:
        together[number] = weld_likelihood(pictures[number])

    threads = [threading.Thread(target=ask, args=(number,)) for number in range(len(pictures))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for got, expected in zip(together, alone, strict=True):
        np.testing.assert_array_equal(got, expected)


@pytest.mark.parametrize(
    "wrong",
    [
        np.zeros((64, 64), np.uint8),
        np.zeros((64, 64, 4), np.uint8),
        np.zeros((64, 64, 3), np.float32),
        np.zeros((15, 64, 3), np.uint8),
    ],
)
def test_anything_but_a_colour_picture_is_refused(wrong: NDArray[np.uint8]) -> None:
    with pytest.raises(ValueError, match=r"pixels must be|too small"):
        surface_kinds(wrong)


def test_pictures_of_all_sizes_may_follow_each_other(bead: NDArray[np.uint8]) -> None:
    # A crash of OpenCV would end the whole run: 32 rows after 480 did, before they were padded.
    generator = np.random.default_rng(11)
    whole = np.tile(bead, (4, 4, 1))
    for rows, columns in [
        (480, 640),
        (32, 468),
        (17, 300),
        (90, 16),
        *generator.integers(16, 500, (8, 2)),
    ]:
        picture = np.ascontiguousarray(whole[:rows, :columns])
        assert weld_likelihood(picture).shape == picture.shape[:2]
