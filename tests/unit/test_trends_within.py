"""Where along or round their welds somebody's width strays."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.log import SummaryRow, WidthAt
from beadcheck.report.wording import LengthUnit
from beadcheck.trends import (
    class_within_lines,
    strays,
    within_chart,
    within_lines,
    worst_place,
)

from .test_trends import welds

U_MM = 0.05


def pipe_weld(off_at_five_mm: float, *, seed: int) -> tuple[WidthAt, ...]:
    """A width of 9 mm that wanders by 0.1 mm, and by much more from 4:30 to 5:30."""
    rng = np.random.default_rng(seed)
    return tuple(
        WidthAt(
            photo=int(clock // 90),
            s_mm=float(clock),
            clock_deg=float(clock),
            width_mm=9.0
            + rng.normal(0.0, 0.1)
            + (off_at_five_mm * (-1) ** k if 135 <= clock < 165 else 0.0),
            u_width_mm=U_MM,
        )
        for k, clock in enumerate(np.arange(0.0, 360.0, 3.0))
    )


def plate_weld(widths_mm: np.ndarray) -> tuple[WidthAt, ...]:
    return tuple(
        WidthAt(photo=0, s_mm=7.0 + k, clock_deg=None, width_mm=float(width), u_width_mm=U_MM)
        for k, width in enumerate(widths_mm)
    )


def pipe_rows(*off_mm: float, person: str = "Tern") -> tuple[list[SummaryRow], dict]:
    first = 100 if person == "Tern" else 200
    rows = [
        replace(row, measurement=first + k, person=person)
        for k, row in enumerate(welds(*[0.5] * len(off_mm)))
    ]
    return rows, {first + k: pipe_weld(off, seed=first + k) for k, off in enumerate(off_mm)}


def test_the_hour_at_which_the_width_strays_is_named_with_how_often() -> None:
    rows, widths = pipe_rows(1.2, 1.1, 1.3, 1.2, 0.7, 0.6, 0.8, 0.7)
    within = strays(rows, widths)
    assert within is not None
    worst = worst_place(within)
    assert worst is not None
    assert worst.place == 5
    assert (worst.worst_in, worst.welds) == (8, 8)
    assert not worst.by_chance
    assert worst.over_time is not None
    assert worst.over_time.exceeds_welding
    first, second = within_lines(within, LengthUnit.MM)
    assert "Round the clock the width strays most near 5:00 (150°)" in first
    assert "it is unsteady there" in first
    assert "the worst place in 8 of 8 welds, more often than chance would make it" in first
    assert second.startswith("There it fell from 1.")
    assert "more than the welds' own scatter would give" in second


def test_strayed_and_wider_are_what_numpy_makes_of_the_same_stations() -> None:
    rows, widths = pipe_rows(1.2)
    within = strays(rows, widths)
    assert within is not None
    (mine,) = widths.values()
    width = np.array([each.width_mm for each in mine])
    clock = np.array([each.clock_deg for each in mine])
    there = (width - width.mean())[(clock >= 135) & (clock < 165)]
    assert_allclose(within.strayed_mm[0, 5], np.sqrt(np.mean(there**2)))
    assert_allclose(within.wider_mm[0, 5], there.mean(), atol=1e-12)
    assert_allclose(within.u_width_mm[0, 5], U_MM)


def test_an_even_hand_is_not_told_of_a_worst_place() -> None:
    rows, widths = pipe_rows(0.0, 0.0, 0.0, 0.0)
    within = strays(rows, widths)
    assert within is not None
    assert worst_place(within) is None
    (said,) = within_lines(within, LengthUnit.MM)
    assert "no place stands out in 4 welds" in said


def test_one_weld_may_show_its_worst_place_by_chance() -> None:
    within = strays(*pipe_rows(1.2))
    assert within is not None
    worst = worst_place(within)
    assert worst is not None
    assert worst.by_chance
    assert worst.over_time is None


def test_a_difference_that_the_widths_doubt_covers_names_no_place() -> None:
    rows, widths = pipe_rows(0.3, 0.3, 0.3)
    assert worst_place(strays(rows, widths)) is not None
    doubtful = {
        number: tuple(replace(each, u_width_mm=0.4) for each in mine)
        for number, mine in widths.items()
    }
    assert worst_place(strays(rows, doubtful)) is None


def test_a_plate_is_told_by_thirds_and_how_much_wider_it_is_there() -> None:
    s = np.arange(60)
    width = 8.0 + np.where(s >= 40, 1.0, 0.0) + 0.05 * (-1.0) ** s
    rows = welds(*[0.5] * 7)
    within = strays(rows, {row.measurement: plate_weld(width) for row in rows})
    assert within is not None
    assert within.strayed_mm.shape == (7, 3)
    said = within_lines(within, LengthUnit.MM)[0]
    assert "Along the weld the width strays most in the last third of the photo" in said
    assert "it is 1.00 mm wider there than elsewhere" in said


def test_a_plate_in_several_photos_and_a_weld_without_stations_tell_no_place() -> None:
    rows = welds(0.5, 0.5)
    widths = plate_weld(8.0 + 0.1 * np.arange(40))
    several = tuple(replace(each, photo=k % 2) for k, each in enumerate(widths))
    assert strays(rows, {1: several, 2: ()}) is None
    assert within_lines(None, LengthUnit.MM) == []


def test_a_class_is_told_together_and_person_by_person() -> None:
    tern, of_tern = pipe_rows(1.2, 1.1, 1.3, 1.2, 1.2, 1.1, 1.2, 1.0)
    gull, of_gull = pipe_rows(0.0, 0.0, 0.0, person="Gull")
    within = strays([*tern, *gull], {**of_tern, **of_gull})
    assert within is not None
    said = class_within_lines(within, LengthUnit.MM)
    assert "near 5:00" in said[0]
    assert any(line.startswith("Tern: near 5:00") for line in said)
    assert said[-1] == "No place stands out: Gull."
    assert not any(line.startswith("There it") for line in said)


@pytest.mark.parametrize("unit", list(LengthUnit))
def test_the_chart_of_places_is_drawn_alike_each_time(unit: LengthUnit) -> None:
    rows, widths = pipe_rows(1.2, 0.8)
    within = strays(rows, {**widths, rows[0].measurement: widths[rows[0].measurement][:40]})
    assert within is not None
    assert np.isnan(within.strayed_mm).any()
    svg = within_chart(within, unit=unit)
    assert svg.lstrip().startswith(b"<?xml")
    assert within_chart(within, unit=unit) == svg
    assert within_chart(within, unit=unit, form="png", width_in=4.4).startswith(b"\x89PNG")
