"""Pipe sizes against ASME B36.10M.

Two outside sources: the general-purpose library `fluids` 1.3, whose tables of ASME B36.10M are read
at run time; and sizes written here *from memory* of ASME B36.10M, Table 1 (the metric diameters
also *verified in public text*: ASME B16.9, table of outside diameters at the bevel). Schedule 5 and
the stainless schedules of ASME B36.19M are not in our table.
"""

import pytest
from fluids import piping as fluids_piping
from numpy.testing import assert_allclose

from beadcheck.coupon.pipe_sizes import PipeSize, parse_pipe_size, pipe_sizes
from beadcheck.units import millimetres

MM_PER_M = 1000.0


@pytest.mark.parametrize("size", pipe_sizes(), ids=str)
def test_every_row_agrees_with_an_independent_table(size: PipeSize) -> None:
    _, _, outside_m, wall_m = fluids_piping.nearest_pipe(
        NPS=float(size.nps_in), schedule=size.schedule
    )
    assert size.wall_thickness_mm is not None
    # Both tables give mm to two digits, the library's diameters to the nearest 0.1 mm.
    assert_allclose(size.outside_diameter_mm, outside_m * MM_PER_M, atol=0.051)
    assert_allclose(size.wall_thickness_mm, wall_m * MM_PER_M, atol=0.0101)


def test_no_row_of_the_independent_table_is_missing_up_to_nps_24() -> None:
    ours = {(float(size.nps_in), size.schedule) for size in pipe_sizes()}
    theirs: set[tuple[float, str | None]] = set()
    for schedule in sorted({schedule for _, schedule in ours if schedule}):
        nps_list = fluids_piping.schedule_lookup[schedule][0]
        theirs |= {(float(nps), schedule) for nps in nps_list if 0.5 <= nps <= 24}
    assert theirs == ours


@pytest.mark.parametrize(
    ("text", "outside_in", "wall_in"),
    [
        ("NPS 1/2 SCH 40", 0.840, 0.109),
        ("NPS 1-1/2 SCH 80", 1.900, 0.200),
        ("NPS 2 XXS", 2.375, 0.436),
        ("NPS 4 STD", 4.500, 0.237),
        ("NPS 6 SCH 80", 6.625, 0.432),
        ("NPS 8 SCH 60", 8.625, 0.406),
        ("NPS 12 XS", 12.750, 0.500),
        ("NPS 24 SCH 40", 24.000, 0.688),
    ],
)
def test_sizes_known_in_inches_come_back_in_millimetres(
    text: str, outside_in: float, wall_in: float
) -> None:
    size = parse_pipe_size(text)
    # The standard rounds diameters to 0.1 mm, from NPS 18 on to 1 mm (609.6 becomes 610).
    tolerance_mm = 0.5 if outside_in > 17.0 else 0.051
    assert_allclose(size.outside_diameter_mm, millimetres(outside_in), atol=tolerance_mm)
    assert size.wall_thickness_mm is not None
    assert_allclose(size.wall_thickness_mm, millimetres(wall_in), atol=0.011)


@pytest.mark.parametrize(
    ("dn", "outside_mm"),
    [(15, 21.3), (25, 33.4), (50, 60.3), (100, 114.3), (150, 168.3), (200, 219.1), (600, 610.0)],
)
def test_metric_names_lead_to_the_metric_diameters(dn: int, outside_mm: float) -> None:
    assert parse_pipe_size(f"DN {dn}").outside_diameter_mm == outside_mm
