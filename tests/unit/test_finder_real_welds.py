"""The labels of real photographs that train and judge the bead finder."""

import sys
from pathlib import Path

import numpy as np
import pytest

FINDER = Path(__file__).parents[2] / "calibration" / "finder"
sys.path.insert(0, str(FINDER))

from real_welds import RealPhoto, read_labels  # noqa: E402  # the training code's own

LONG_SIDE_PX = 1024


@pytest.fixture(scope="module")
def photos() -> list[RealPhoto]:
    return read_labels()


def test_at_least_fifty_photographs_judge_and_whole_welds_at_a_time(
    photos: list[RealPhoto],
) -> None:
    judging = [photo for photo in photos if photo.held_out and photo.welds]
    assert len(judging) >= 50
    training = {photo.group for photo in photos if not photo.held_out}
    assert not training & {photo.group for photo in judging}
    assert len({photo.file for photo in photos}) == len(photos)


def test_every_outline_lies_in_its_photograph_and_holds_an_area(photos: list[RealPhoto]) -> None:
    for photo in photos:
        outlines = [*(weld.outline_px for weld in photo.welds), *photo.ignored_px]
        assert outlines, photo.file
        for outline in outlines:
            assert outline.min() > -20.0, photo.file
            assert outline.max() < LONG_SIDE_PX + 20.0, photo.file
            x, y = outline.T
            area = 0.5 * abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1)))
            assert area > 20.0, photo.file


def test_both_toes_run_the_same_way_and_stay_apart(photos: list[RealPhoto]) -> None:
    for photo in photos:
        for weld in (weld for weld in photo.welds if weld.has_toes):
            first, second = weld.even_toes()
            along = np.diff(first[[0, -1]], axis=0)[0] @ np.diff(second[[0, -1]], axis=0)[0]
            assert along > 0.0, photo.file
            assert np.median(np.hypot(*(second - first).T)) > 4.0, photo.file


def test_two_readers_of_one_photograph_mean_the_same_weld(photos: list[RealPhoto]) -> None:
    twice = [photo for photo in photos if photo.second_reading]
    assert len(twice) >= 25
    apart = []
    for photo in twice:
        ours, theirs = photo.welds[0], photo.second_reading[0]
        if ours.has_toes and theirs.has_toes:
            middles = [np.mean(weld.even_toes(), axis=(0, 1)) for weld in (ours, theirs)]
            apart.append(np.hypot(*(middles[0] - middles[1])) / LONG_SIDE_PX)
    assert np.median(apart) < 0.02
