"""Pipe sizes as the form offers them."""

from typing import Final

from beadcheck.coupon.pipe_sizes import parse_pipe_size, pipe_sizes

PRACTICE_SIZES_MM: Final = (20.0, 1000.0)
"""Outside diameters round which beadcheck's own strip can be wrapped."""

Choices = list[tuple[str, str]]
"""What is shown, and what is sent."""


def size_choices() -> Choices:
    """Nominal sizes with their outside diameters."""
    diameters_mm = {size.nps: size.outside_diameter_mm for size in pipe_sizes()}
    smallest_mm, largest_mm = PRACTICE_SIZES_MM
    return [
        (f"NPS {nps} ({diameter_mm:.1f} mm)", f"NPS {nps}")
        for nps, diameter_mm in diameters_mm.items()
        if smallest_mm <= diameter_mm <= largest_mm
    ]


def schedule_choices(size: str | None) -> Choices:
    """Schedules of one nominal size with their wall thicknesses."""
    return [
        (f"{pipe.schedule} ({pipe.wall_thickness_mm:.2f} mm)", pipe.schedule)
        for pipe in pipe_sizes()
        if f"NPS {pipe.nps}" == size and pipe.schedule and pipe.wall_thickness_mm
    ]


def size_mm(size: str, schedule: str | None) -> tuple[float, float | None]:
    """Outside diameter and, with a schedule, wall thickness in mm.

    Raises
    ------
    SettingError
        The table does not hold it.

    Examples
    --------
    >>> size_mm("NPS 8", "60")
    (219.1, 10.31)
    >>> size_mm("NPS 8", None)
    (219.1, None)
    """
    pipe = parse_pipe_size(size if schedule is None else f"{size} SCH {schedule}")
    return pipe.outside_diameter_mm, pipe.wall_thickness_mm
