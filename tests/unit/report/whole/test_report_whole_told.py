"""What is told of the whole weld in tables and sentences."""

import csv
import io
import re
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader
from rich.console import Console, Group

from beadcheck.limits import Finding
from beadcheck.report.sectors_csv import sectors_csv
from beadcheck.report.whole.table import whole_weld_parts
from beadcheck.report.whole.words import whole_lines
from beadcheck.report.wording import LengthUnit
from beadcheck.sheet import SheetFacts, sheet_pdf
from beadcheck.sheet.facts import SheetPhoto
from beadcheck.sheet.whole_figures import whole_weld_figures
from beadcheck.target.ink import Paper
from beadcheck_page.orders import Outcome, WholePicture, whole_name
from beadcheck_page.show.findings import findings
from beadcheck_page.show.whole_weld import whole_weld


def test_a_terminal_of_80_letters_holds_each_sector_in_a_line(ring) -> None:
    whole = ring.whole
    console = Console(width=80, record=True, file=io.StringIO())
    console.print(Group(*whole_weld_parts(whole, LengthUnit.MM)))
    text = console.export_text()
    lines = text.splitlines()
    assert sum(" to " in line and " % " in line for line in lines) == 12
    (second,) = (line for line in lines if line.startswith("12:30 to 1:30"))
    values = [each.strip() for each in second.split("%")[1].split(" mm")]
    assert values == ["7.05 ± 0.20", "0.10 ± 0.20", "2.00 ± 0.20", ""]
    flowing = " ".join(text.split())
    assert "Weld width from 3:45 o'clock to 3:55 o'clock: beyond its limit by up to 0.30" in flowing
    assert whole.gaps[0].words in flowing
    inches = whole_lines(whole, LengthUnit.INCH)
    assert any("0.30 ± 0.10 mm (0.012 ± 0.004 in)" in line for line in inches), inches


def test_sectors_go_to_spreadsheets_with_guarded_cells(ring) -> None:
    result = ring.result
    rows = list(csv.DictReader(io.StringIO(sectors_csv(replace(result, caution="=cmd")))))
    assert [row["caution"] for row in rows[:2]] == ["'=cmd", ""]
    assert len(rows) == 11 * 3 + 1
    (unseen,) = (row for row in rows if row["sector"] == "9")
    assert (unseen["covered_percent"], unseen["value"]) == ("0", "")
    fourth = next(row for row in rows if row["sector"] == "4")
    assert (fourth["from_clock_deg"], fourth["to_clock_deg"]) == ("75.0", "105.0")
    assert float(fourth["value"]) == pytest.approx(7.15)


def test_the_sheet_shows_the_weld_flat_instead_of_photo_by_photo(ring) -> None:
    buffer = io.BytesIO()
    Image.new("RGB", (64, 48), "grey").save(buffer, format="JPEG")
    photos = [
        SheetPhoto(index=cut.photo, overview_jpeg=buffer.getvalue(), strip=None, cut=cut)
        for cut in ring.cuts
    ]
    figures = whole_weld_figures(ring.result, photos, unit=LengthUnit.MM)
    assert figures.shown == frozenset(ring.middles_mm)
    pdf = sheet_pdf(ring.result, photos, facts=SheetFacts(), paper=Paper.A4, unit=LengthUnit.MM)
    pages = PdfReader(io.BytesIO(pdf)).pages
    words = " ".join(" ".join(page.extract_text().split()) for page in pages)
    assert "The weld all the way round, from 4 photos" in words
    assert ring.whole.gaps[0].words in words
    # The flat weld, the plots, and the one picture that stands for all four photos.
    assert sum(len(page.images) for page in pages) == 3


def test_the_page_shows_the_whole_weld_before_its_photos_and_pictures_before_words(ring) -> None:
    names = [whole_name(picture, unit) for picture in WholePicture for unit in LengthUnit]
    outcome = Outcome(
        key="k",
        measured_at=datetime(2026, 5, 17, 9, 5, tzinfo=UTC),
        result=ring.result,
        takes=(),
        files={name: Path(name) for name in names},
        downloads=(),
    )
    markup = whole_weld(outcome, LengthUnit.INCH)
    addresses = re.findall(r'<img class="bc-(?:flat|chart)" src="([^"]+)" alt="[^"]{20,}"', markup)
    assert addresses == [
        "/results/k/whole-unrolled-inch.jpg",
        "/results/k/whole-round-inch.svg",
        "/results/k/whole-along-inch.svg",
    ]
    order = [
        markup.index(each) for each in (addresses[0], "Photograph here", addresses[1], "<table")
    ]
    assert order == sorted(order)
    assert markup.count('<th scope="row">') == 12
    assert "7:30 to 8:30<br>0 % seen</th><td>photograph here</td>" in markup
    without = replace(outcome, result=replace(ring.result, whole_weld=None))
    assert whole_weld(without, LengthUnit.MM) == ""


@pytest.mark.parametrize("finding", [Finding.WITHIN, Finding.OUTSIDE])
def test_the_page_tells_the_whole_first_and_folds_what_each_photo_says(ring, finding) -> None:
    (whole,) = ring.result.checks
    of_photo = replace(whole, finding=finding, value=0.5, photo=1, photos=())
    together = findings(replace(ring.result, checks=(of_photo, whole)), LengthUnit.MM)
    opened = " open" if finding is Finding.OUTSIDE else ""
    fold = f'<details class="bc-fold"{opened}>'
    alone = "<h4>ring-1.jpg</h4>"
    order = ["together</h4>", "0.90", fold, "Findings of each photo", alone, "0.50"]
    assert [together.index(each) for each in order] == sorted(map(together.index, order))
    apart = findings(replace(ring.result, checks=(of_photo, whole), whole_weld=None), LengthUnit.MM)
    assert "Findings of each photo" not in apart
    assert alone in apart
