"""The files of one take: annotated pictures, and the heights and the relief of a pair."""

from beadcheck.pipeline import MeasuredTake
from beadcheck.report.folder import OutputFolder
from beadcheck.report.picture import annotated_picture
from beadcheck.report.relief import relief_picture
from beadcheck.report.wording import LengthUnit


def add_take(
    files: OutputFolder, measured: MeasuredTake, first: int, *, pictures: bool, unit: LengthUnit
) -> None:
    """Put what no result holds into the folder: heights of a pair, and pictures if asked for.

    Parameters
    ----------
    first
        Index of the take's first photo among all that go into this folder.
    """
    if measured.height_map is not None:
        files.add_height_map(first, measured.height_map)
        if pictures:
            files.add_relief(first, relief_picture(measured.height_map))
    if not pictures:
        return
    for index, each in enumerate(measured.photos):
        if each.photo is not None:
            picture = annotated_picture(each.photo, measured.result, unit=unit, photo_index=index)
            files.add_picture(first + index, picture)
