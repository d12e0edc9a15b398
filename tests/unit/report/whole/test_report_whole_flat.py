"""The unrolled weld: every pixel from the place that it stands for, and what is drawn on it."""

from dataclasses import replace

import numpy as np
import pytest

from beadcheck.report.drawing import MUTED, ORANGE, SKY, text_width_px
from beadcheck.report.whole.marks import PHOTOGRAPH_HERE, Label, Row, labels_of, lanes_of
from beadcheck.report.whole.picture import MARGIN_PX, TEXT_PX, unrolled_picture
from beadcheck.report.whole.ruler import ruler_height_px
from beadcheck.report.whole.unrolled import UNSEEN_BGR
from beadcheck.report.whole.way import ways
from beadcheck.report.wording import LengthUnit


def test_every_column_shows_its_own_place_and_a_gap_shows_none(ring, flat) -> None:
    arc_mm = (np.arange(flat.shown_by.size) + 0.5) / flat.px_per_mm
    middle = round((-9.5 - flat.top_mm) * flat.px_per_mm)
    seen = flat.shown_by >= 0
    off_mm = ring.told_mm(flat.bgr[middle]) - arc_mm
    off_mm = np.mod(off_mm + 0.5 * ring.wave_mm, ring.wave_mm) - 0.5 * ring.wave_mm
    # A grey level of a hundred is 0.04 mm of the wave; a pixel is 0.11 mm.
    assert np.abs(off_mm[seen]).max() < 0.1
    assert abs(off_mm[seen].mean()) < 0.02
    inside = (arc_mm > ring.gap_mm[0] + 1.0) & (arc_mm < ring.gap_mm[1] - 1.0)
    assert not seen[inside].any()
    assert (flat.bgr[:, inside] == UNSEEN_BGR).all()
    assert seen[~inside].mean() > 0.98


def test_toes_lie_where_they_are_painted(ring, flat) -> None:
    arc_mm = (np.arange(flat.shown_by.size) + 0.5) / flat.px_per_mm
    for column in np.flatnonzero(flat.shown_by >= 0)[40::150]:
        rows = np.flatnonzero(flat.bgr[:, column].sum(axis=1) > 210.0)
        edges = flat.top_mm + np.array([rows[0] - 0.5, rows[-1] + 0.5]) / flat.px_per_mm
        left, right = ring.toes_mm(arc_mm[column])
        # Where painted edges jump, half a pixel of photo and half one of the picture may be lost.
        np.testing.assert_allclose(edges, [left, right], atol=1.1 / flat.px_per_mm)


def test_the_photo_that_sees_a_place_most_squarely_shows_it(ring, flat) -> None:
    arc_mm = (np.arange(flat.shown_by.size) + 0.5) / flat.px_per_mm
    for photo, middle_mm in ring.middles_mm.items():
        away = np.abs(arc_mm - middle_mm)
        assert (flat.shown_by[away < 19.0] == photo).all()


def test_the_picture_marks_toes_gap_and_start_in_its_rows(ring, flat) -> None:
    result = ring.result
    picture = unrolled_picture(result, flat, unit=LengthUnit.MM, rows=2)
    whole = ring.whole
    half = flat.shown_by.size // 2
    assert picture.shape[1] == half + 2 * MARGIN_PX
    top = round(2.2 * TEXT_PX) + round(ruler_height_px(whole, TEXT_PX))
    rgb = picture[..., ::-1].astype(int)

    def near(colour: tuple[int, int, int], x: float, y: float) -> bool:
        x, y = round(x), round(y)
        patch = rgb[y - 3 : y + 4, x - 3 : x + 4]
        return bool((np.abs(patch - np.array(colour)).max(axis=-1) < 25).any())

    for arc_mm in (13.0, 44.0, 91.0):
        x = MARGIN_PX + arc_mm * flat.px_per_mm
        for toe_mm in ring.toes_mm(arc_mm):
            assert near(SKY, x, top + (toe_mm - flat.top_mm) * flat.px_per_mm)
    strip = rgb[top : top + flat.bgr.shape[0]]
    x = round(MARGIN_PX + 80.0 * flat.px_per_mm)
    orange = np.abs(strip[:, x - 2 : x + 3] - np.array(ORANGE)).max(axis=-1) < 25
    assert orange.any(axis=1).mean() > 0.4  # dashes
    # 12 o'clock stands at both ends, and 6 o'clock at the end of one row and the start of the next.
    tick = round(0.25 * TEXT_PX)
    for edge in (0, half):
        assert rgb[top - tick, MARGIN_PX + edge].max() < 60
    # Hatching is in the second row alone.
    hatched = np.abs(rgb - np.array(MUTED)).max(axis=-1) < 8
    below = slice(top + flat.bgr.shape[0] + 3 * TEXT_PX, None)
    gap = slice(round(MARGIN_PX + 135.0 * flat.px_per_mm) - half, None)
    gap = slice(gap.start, gap.start + round(15.0 * flat.px_per_mm))
    assert hatched[below, gap].sum() > 10 * hatched[top : top + flat.bgr.shape[0]].sum()


def test_words_under_a_row_name_gap_and_start_and_never_touch(ring) -> None:
    whole = ring.whole
    row = Row(first_mm=60.0, last_mm=170.0, px_per_mm=9.0, top_mm=-16.0)
    unseen = np.zeros(990, dtype=np.bool_)
    unseen[612:891] = True
    labels = labels_of(whole, unseen, row)
    assert [label.words for label in labels] == ["tie-in?", PHOTOGRAPH_HERE]
    assert labels[0].first_px == labels[0].last_px == pytest.approx(179.5)
    assert (labels[1].first_px, labels[1].last_px) == (612.0, 891.0)
    crowd = [Label(words="tie-in?", first_px=x, last_px=x) for x in (3.0, 40.0, 90.0, 400.0, 985.0)]
    lanes = lanes_of(crowd, TEXT_PX, 990.0)
    wide = text_width_px("tie-in?", TEXT_PX, bold=True)
    for k, (lane, left) in enumerate(lanes):
        assert 0.0 <= left <= 990.0 - wide
        assert all(lane != other or abs(left - at) > wide for other, at in lanes[:k])


def test_a_plates_frame_may_lie_turned_under_its_weld(ring) -> None:
    """A turn by 34 degrees and a shift of the target's frame change no pixel."""
    angle = np.radians(34.0)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])

    def turned(place: tuple[float, float]) -> tuple[float, float]:
        x, y = turn @ np.array(place) + np.array([41.0, -17.0])
        return float(x), float(y)

    (first,) = (each for each in ring.whole.placed if each.photo == 1)
    own = [each for each in ring.result.stations if each.photo == 1]
    plate = replace(
        ring.whole,
        shape="plate",
        clock_sense=0,
        placed=(first,),
        stations=tuple(
            replace(
                ring.whole.stations[0],
                arc_mm=each.left_toe_mm[0] + first.offset_mm,
                left_across_mm=each.left_toe_mm[1],
                right_across_mm=each.right_toe_mm[1],
                station=place,
            )
            for place, each in enumerate(own)
        ),
    )
    stations = tuple(
        replace(each, left_toe_mm=turned(each.left_toe_mm), right_toe_mm=turned(each.right_toe_mm))
        for each in own
    )
    (way,) = ways(replace(ring.result, stations=stations), plate)
    for each in own[5:-5:7]:
        arc_mm = np.array([each.left_toe_mm[0] + first.offset_mm])
        seen = way.to_px(arc_mm, np.array([each.left_toe_mm[1], each.right_toe_mm[1]]))[:, 0]
        np.testing.assert_allclose(seen, [each.left_toe_px, each.right_toe_px], atol=1e-6)
