"""The sheet of one joint: one or two pages of PDF."""

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    KeepTogether,
    PageTemplate,
    Spacer,
    Table,
)

from beadcheck.photo import Photo
from beadcheck.report.picture import coded_jpeg, overview_picture
from beadcheck.report.profile_plot import profile_plot
from beadcheck.report.profile_sheet import telling_sections
from beadcheck.report.whole.cut import weld_cut
from beadcheck.report.wording import LengthUnit, quantity_words
from beadcheck.result import Result, concerns
from beadcheck.sheet.blocks import (
    BARE,
    advice_lines,
    fact_lines,
    finding_table,
    inspector_lines,
    missing_lines,
    since_lines,
    words,
)
from beadcheck.sheet.facts import SheetFacts, SheetPhoto
from beadcheck.sheet.pictures import fitted, png
from beadcheck.sheet.strip_figure import StripFigure
from beadcheck.sheet.type import BOLD, PLAIN, SMALL_PT
from beadcheck.sheet.values import value_table
from beadcheck.sheet.weld_strip import weld_strip
from beadcheck.sheet.whole_figures import WholeFigures, whole_weld_figures
from beadcheck.target.draw import register_faces
from beadcheck.target.ink import Paper

MARGIN_MM: Final = 13.0
HEAD_MM: Final = 9.0
FOOT_MM: Final = 8.0
MOST_PAGES: Final = 2
SMALL_PICTURE_MM: Final = 50.0
"""Smaller pictures are not worth a page saved."""
PLOT_PX: Final = 1100
MOST_PLOTS: Final = 4
TALLEST_PLOT_MM: Final = 60.0
BESIDE_FACTS: Final = 0.62
"""Most of the width that a single photo takes; the facts stand beside it."""
PICTURES_IN_A_ROW: Final = 4
GAUGE_LINES: Final = ("weld_width", "face_reinforcement", "undercut_depth")
"""What an inspector reads with gauges on any joint; others follow where limits name them."""
MOST_GAUGE_LINES: Final = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class _Room:
    """How much is put on the sheet; the next smaller one is tried where it fills three pages."""

    picture_mm: float
    plot_columns: int
    small_plots: bool
    advice: int
    with_missing: bool


ROOMS: Final = (
    _Room(picture_mm=84.0, plot_columns=2, small_plots=False, advice=3, with_missing=True),
    _Room(picture_mm=66.0, plot_columns=2, small_plots=True, advice=3, with_missing=True),
    _Room(picture_mm=50.0, plot_columns=2, small_plots=True, advice=3, with_missing=True),
    _Room(picture_mm=44.0, plot_columns=3, small_plots=True, advice=2, with_missing=True),
    _Room(picture_mm=38.0, plot_columns=4, small_plots=True, advice=1, with_missing=False),
)


def sheet_photo(photo: Photo, result: Result, photo_index: int, *, unit: LengthUnit) -> SheetPhoto:
    """Return what the sheet shows of a photo; the photo itself need not be kept."""
    overview = overview_picture(photo, result, unit=unit, photo_index=photo_index)
    return SheetPhoto(
        index=photo_index,
        overview_jpeg=coded_jpeg(overview),
        strip=weld_strip(photo, result, photo_index),
        cut=weld_cut(photo, result, photo_index),
    )


def sheet_pdf(
    result: Result,
    photos: Sequence[SheetPhoto],
    *,
    facts: SheetFacts,
    paper: Paper,
    unit: LengthUnit,
) -> bytes:
    """PDF of a result: pictures, straightened weld, sections, values, findings, advice.

    It fills one page or two; a result that wants more gets smaller pictures and less advice. Only a
    result with very many limits goes on to further pages: none of them is ever left out.
    """
    register_faces()
    plots = _plots(result, unit=unit)
    whole = whole_weld_figures(result, photos, unit=unit)
    two_pages = pages = b""
    for room in ROOMS:
        pages, count = _built(
            result, photos, plots, whole, facts=facts, paper=paper, unit=unit, room=room
        )
        if count == 1:
            return pages
        if count == MOST_PAGES and not two_pages:
            two_pages = pages
        if two_pages and room.picture_mm <= SMALL_PICTURE_MM:
            break
    return two_pages or pages


def _built(
    result: Result,
    photos: Sequence[SheetPhoto],
    plots: Sequence[bytes],
    whole: WholeFigures,
    *,
    facts: SheetFacts,
    paper: Paper,
    unit: LengthUnit,
    room: _Room,
) -> tuple[bytes, int]:
    width_mm, height_mm = paper.size_mm
    inner_mm = width_mm - 2 * MARGIN_MM
    buffer = io.BytesIO()
    document = BaseDocTemplate(
        buffer,
        pagesize=(width_mm * mm, height_mm * mm),
        title=" ".join(each for each in ("Weld sheet", facts.coupon) if each),
        author=facts.taken_by or "beadcheck",
        creator="beadcheck",
        invariant=1,
    )
    frame = Frame(
        MARGIN_MM * mm,
        (MARGIN_MM + FOOT_MM) * mm,
        inner_mm * mm,
        (height_mm - 2 * MARGIN_MM - HEAD_MM - FOOT_MM) * mm,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )

    def furnish(canvas: Canvas, _document: BaseDocTemplate) -> None:
        _draw_furniture(canvas, result, width_mm=width_mm, height_mm=height_mm)

    document.addPageTemplates([PageTemplate(frames=[frame], onPage=furnish)])
    document.build(
        _story(result, photos, plots, whole, facts=facts, unit=unit, room=room, inner_mm=inner_mm),
    )
    return buffer.getvalue(), document.page


def _story(
    result: Result,
    photos: Sequence[SheetPhoto],
    plots: Sequence[bytes],
    whole: WholeFigures,
    *,
    facts: SheetFacts,
    unit: LengthUnit,
    room: _Room,
    inner_mm: float,
) -> list[Flowable]:
    story: list[Flowable] = []
    missing = [Spacer(0, 1.5 * mm), *missing_lines(result)] if room.with_missing else []
    if len(photos) == 1:
        picture = fitted(photos[0].overview_jpeg, BESIDE_FACTS * inner_mm, room.picture_mm)
        beside_mm = inner_mm - picture.drawWidth / mm - 4.0
        # The room beside the picture is free, and so most sheets are one page.
        lines = [*fact_lines(result, facts, unit, columns=1), *missing]
        missing = []
        widths = [picture.drawWidth + 4.0 * mm, beside_mm * mm]
        story.append(Table([[picture, lines]], colWidths=widths, style=BARE))
    else:
        story += [*fact_lines(result, facts, unit, columns=2), Spacer(0, 2 * mm)]
        story += _pictures(photos, room=room, inner_mm=inner_mm)
    story += whole.flat(inner_mm)
    for each in photos:
        if each.strip is not None and each.index not in whole.shown:
            story += [Spacer(0, 2 * mm), StripFigure(each.strip, unit=unit)]
    story += finding_table(result, unit)
    story += value_table(result, unit)
    story += whole.plotted(inner_mm, small=room.small_plots)
    story += _plotted(plots, room=room, inner_mm=inner_mm)
    story += advice_lines(result, room.advice, unit)
    story += since_lines(facts)
    return [*story, *missing, *inspector_lines(result, _gauge_lines(result))]


def _pictures(photos: Sequence[SheetPhoto], *, room: _Room, inner_mm: float) -> list[Flowable]:
    """Overviews, side by side where there are several."""
    if not photos:
        return []
    columns = min(len(photos), PICTURES_IN_A_ROW)
    cell_mm = inner_mm / columns - 2.0
    pictures = [
        [fitted(each.overview_jpeg, cell_mm, room.picture_mm), words(f"Photo {each.index + 1}")]
        for each in photos
    ]
    return [_in_columns(pictures, columns, inner_mm)]


def _plots(result: Result, *, unit: LengthUnit) -> list[bytes]:
    """PNG files of the telling sections of each take, with their limits drawn in."""
    plots: list[bytes] = []
    done: set[int] = set()
    for index in range(len(result.photos)):
        here = [each for each in result.profiles if concerns(each, index) and id(each) not in done]
        done |= {id(each) for each in here}
        checks = [each for each in result.checks if concerns(each, index)]
        plots += [
            png(profile_plot(each.profile, checks, unit=unit, width_px=PLOT_PX, lead=each.why))
            for each in (telling_sections(here) if here else ())
        ]
    return plots[:MOST_PLOTS]


def _plotted(plots: Sequence[bytes], *, room: _Room, inner_mm: float) -> list[Flowable]:
    if not plots:
        return []
    columns = min(room.plot_columns, len(plots))
    width_mm = min(inner_mm / columns, 0.6 * inner_mm) - 3.0
    cells: list[list[Flowable]] = [[fitted(plot, width_mm, TALLEST_PLOT_MM)] for plot in plots]
    return [Spacer(0, 2 * mm), KeepTogether([_in_columns(cells, columns, inner_mm)])]


def _in_columns(cells: Sequence[list[Flowable]], columns: int, inner_mm: float) -> Table:
    rows = [list(cells[k : k + columns]) for k in range(0, len(cells), columns)]
    rows[-1] += [[]] * (columns - len(rows[-1]))
    return Table(rows, colWidths=[inner_mm / columns * mm] * columns, style=BARE)


def _gauge_lines(result: Result) -> tuple[str, ...]:
    """What the inspector's own readings are asked for."""
    named = [check.name for check in result.checks]
    names = dict.fromkeys([*GAUGE_LINES, *named])
    return tuple(quantity_words(name) for name in names)[:MOST_GAUGE_LINES]


def _draw_furniture(canvas: Canvas, result: Result, *, width_mm: float, height_mm: float) -> None:
    """Head and foot of every page."""
    canvas.setViewerPreference("PrintScaling", "None")
    top_mm = height_mm - MARGIN_MM
    canvas.setFont(BOLD, 14)
    canvas.drawString(MARGIN_MM * mm, (top_mm - 5.0) * mm, "Weld sheet")
    canvas.setFont(PLAIN, SMALL_PT)
    right = (width_mm - MARGIN_MM) * mm
    canvas.drawRightString(right, (top_mm - 5.0) * mm, f"page {canvas.getPageNumber()}")
    canvas.setLineWidth(0.9)
    canvas.line(MARGIN_MM * mm, (top_mm - 7.0) * mm, right, (top_mm - 7.0) * mm)
    foot = (MARGIN_MM + 3.0) * mm
    canvas.drawString(
        MARGIN_MM * mm, foot, "A practice aid: the final judgement is a qualified inspector's."
    )
    canvas.drawRightString(right, foot, result.made_with)
