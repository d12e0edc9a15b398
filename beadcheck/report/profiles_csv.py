"""The profiles as a table for spreadsheets: every point of every section."""

import csv
import io
from collections.abc import Iterator
from typing import Final

from beadcheck.result import ProfileRecord, Result
from beadcheck.spreadsheet import guarded, number

HEADER: Final = (
    "photo",
    "file",
    "profile",
    "method",
    "s_mm",
    "clock_deg",
    "across_mm",
    "height_mm",
    "height_U_mm",
    "x_px",
    "y_px",
    "caution",
)


def profiles_csv(result: Result) -> str:
    """Every point of every profile: one header line, then a line each.

    Profiles are numbered from 0 in the order of the result. A pair's points are those of its first
    photo. The caution stands in the last column of the first line of data alone. Missing values are
    empty cells: a hole keeps its line.
    """
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEADER)
    caution = guarded(result.caution)
    for index, profile in enumerate(result.profiles):
        photo = first_photo(profile)
        start = [
            str(photo),
            guarded(result.photos[photo].file),
            str(index),
            profile.method,
            number(profile.s_mm, 3),
            number(profile.clock_deg, 2),
        ]
        for cells in _points(profile):
            writer.writerow([*start, *cells, caution])
            caution = ""
    return text.getvalue()


def first_photo(profile: ProfileRecord) -> int:
    """Index of the photo whose pixels a profile's points are."""
    return profile.photos[0] if profile.photo is None else profile.photo


def _points(profile: ProfileRecord) -> Iterator[list[str]]:
    for across, height, expanded, point in zip(
        profile.across_mm, profile.height_mm, profile.U_mm, profile.points_px, strict=True
    ):
        x, y = (None, None) if point is None else point
        yield [
            number(across, 3),
            number(height, 4),
            number(expanded, 4),
            number(x, 2),
            number(y, 2),
        ]
