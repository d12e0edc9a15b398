"""The height map of a pair as a table."""

import csv
import io

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.beadmap import Axis
from beadcheck.profiles.pair import HeightMap
from beadcheck.quantity import Component, Scope
from beadcheck.report.folder import output_folder
from beadcheck.report.heights_csv import heights_csv
from beadcheck.result import CAUTION


@pytest.fixture
def height_map() -> HeightMap:
    """A tilted field on a grid of 0.125 mm, with a hole."""
    s_mm, across_mm = 3.0 + 0.125 * np.arange(33), -4.0 + 0.125 * np.arange(65)
    heights = 1.0 + 0.1 * s_mm[None, :] + 0.02 * across_mm[:, None]
    heights[10:20, 5:9] = np.nan
    return HeightMap(
        axis=Axis(origin_mm=(0.0, 0.0), direction=(0.8, 0.6), across=(-0.6, 0.8)),
        s_mm=s_mm,
        across_mm=across_mm,
        height_mm=heights,
        u_height_mm=np.full(heights.shape, 0.03),
        gain_budget=(Component(source="step", standard_uncertainty=0.01, scope=Scope.PHOTO),),
        across_budget=(),
        form_budget=(Component(source="bend", standard_uncertainty=0.04, scope=Scope.PHOTO),),
        base_residual_mm=0.02,
        convergence_deg=14.0,
        surface=None,
        offset_mm=np.zeros(heights.shape),
        gain=1.0,
        toes_mm=np.empty((0, 3)),
    )


def test_every_quarter_millimetre_that_is_seen_has_a_line(height_map) -> None:
    rows = list(csv.DictReader(io.StringIO(heights_csv(height_map))))
    # Rows 10 to 18 and columns 6 and 8 of the kept ones lie in the hole: 5 by 2.
    assert len(rows) == 33 * 17 - 5 * 2
    for row in rows[::40]:
        s_mm, across_mm, height_mm = (float(row[k]) for k in ("s_mm", "across_mm", "height_mm"))
        assert_allclose(height_mm, 1.0 + 0.1 * s_mm + 0.02 * across_mm, atol=6e-4)
        # 2 times the root of the squares of 0.03, 0.04 and 1 % of the height.
        assert_allclose(
            float(row["height_U_mm"]), 2.0 * np.hypot(0.05, 0.01 * height_mm), atol=6e-4
        )


def test_the_caution_stands_in_the_first_line_alone(height_map) -> None:
    cautions = [row["caution"] for row in csv.DictReader(io.StringIO(heights_csv(height_map)))]
    assert cautions[0] == CAUTION
    assert not any(cautions[1:])


def test_the_table_is_named_after_the_first_photo_of_the_pair(height_map, tmp_path) -> None:
    with output_folder(tmp_path / "out", ["face.jpg", "left.heic", "right.heic"]) as folder:
        folder.add_height_map(1, height_map)
        assert (folder.staged / "left.heights.csv").exists()
