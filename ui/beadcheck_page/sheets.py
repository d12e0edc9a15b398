"""The printed sheet of a result, drawn when it is asked for."""

from beadcheck.photo import read_photo
from beadcheck.report.wording import LengthUnit
from beadcheck_page.orders import Kept, Outcome
from beadcheck_page.printing import PrintedPages, entered_paper
from beadcheck_page.refusals import PhotoTakenOutError, UnusableEntryError


def printed_sheet(outcome: Outcome, kept: Kept | None, *, paper: str, unit: str) -> PrintedPages:
    """Draw the sheet of a result for a paper and a unit that an address names.

    Parameters
    ----------
    kept
        Names under which the log holds it; else they are left to fill in by hand.

    Raises
    ------
    BeadcheckError
        There is no such paper or unit, or a photo of the result is no longer here.
    """
    # ReportLab and the charts take a while to load, and most visits print nothing.
    from beadcheck.sheet import SheetFacts, sheet_pdf, sheet_photo  # noqa: PLC0415
    from beadcheck.trends import last_run_lines  # noqa: PLC0415

    size = entered_paper(paper)
    try:
        shown = LengthUnit(unit)
    except ValueError:
        raise UnusableEntryError("The unit", "it is mm or inch") from None
    require_photos(outcome)
    result = outcome.result_in(shown)
    photos = [
        sheet_photo(read_photo(photo.path), result, index, unit=shown)
        for index, photo in enumerate(outcome.photos)
    ]
    facts = SheetFacts(
        coupon="" if kept is None else f"{kept.coupon}, {kept.run}",
        welder="" if kept is None else kept.said,
        taken_on=outcome.measured_at.date().isoformat(),
        since=() if kept is None else tuple(last_run_lines(kept.since, shown)),
    )
    return PrintedPages(
        name=f"beadcheck-sheet-{paper}.pdf",
        pdf=sheet_pdf(result, photos, facts=facts, paper=size, unit=shown),
    )


def require_photos(outcome: Outcome) -> None:
    """Refuse what needs the photos of a result where one was taken out of the visit since.

    Raises
    ------
    PhotoTakenOutError
    """
    for photo in outcome.photos:
        if not photo.path.is_file():
            raise PhotoTakenOutError(photo.name)
