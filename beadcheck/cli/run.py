"""One run of ``beadcheck measure``: measure, write, show."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import Final

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn

from beadcheck.cli.sheet import SheetOrder, shown_photos, write_sheet
from beadcheck.cli.streams import put, shown, tell
from beadcheck.errors.bead import NoWeldFoundError
from beadcheck.errors.target import NoMarkerError
from beadcheck.errors.work import WorkDiedError, WorkTooLongError
from beadcheck.pipeline import MeasuredTake, Request, joined, measure_each, with_depth_seen
from beadcheck.report.folder import OutputFolder, output_folder
from beadcheck.report.table import result_table
from beadcheck.report.take_files import add_take
from beadcheck.report.whole.cut import WeldCut, weld_cuts
from beadcheck.report.whole.drawn import drawn_whole_weld
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result, result_to_json
from beadcheck.sheet import SheetPhoto

FLAGS_THAT_HELP: Final = {
    NoMarkerError.code: " If the photo shows no target, use --no-target.",
    NoWeldFoundError.code: " (--along x0,y0 x1,y1, in pixels)",
    WorkTooLongError.code: " (--time-limit)",
    WorkDiedError.code: " (--jobs)",
}
"""Put to a refusal, by its code."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Showing:
    """What becomes of the result.

    Attributes
    ----------
    out
        Folder for its files, or None for none.
    sheet
        The printed sheet that is wanted, or None.
    """

    out: Path | None
    pictures: bool
    json: bool
    inch: bool
    sheet: SheetOrder | None = None

    @property
    def unit(self) -> LengthUnit:
        """Unit that people read; the result itself stays in mm."""
        return LengthUnit.INCH if self.inch else LengthUnit.MM


def measured(requests: Sequence[Request], showing: Showing) -> Result:
    """Measure the takes of one pass as one result, and write the files that were asked for."""
    names = [path.name for request in requests for path in request.photos]
    results: list[Result] = []
    pictures: list[SheetPhoto] = []
    cuts: list[WeldCut] = []
    done = 0
    folder = nullcontext() if showing.out is None else output_folder(showing.out, names)
    with folder as files:
        with _progress(len(names)) as advance:
            for take in chain.from_iterable(map(measure_each, with_depth_seen(requests))):
                results.append(take.result)
                if files is not None:
                    add_take(files, take, done, pictures=showing.pictures, unit=showing.unit)
                    cuts += weld_cuts(take, done) if showing.pictures else []
                if showing.sheet is not None:
                    pictures += shown_photos(take, done, showing.unit)
                done += len(take.photos)
                advance(take)
        result = joined(results, requests[0])
        if files is not None:
            if showing.pictures:
                _draw_whole(result, cuts, files, showing.unit)
            files.finish(result)
    if showing.sheet is not None:
        write_sheet(showing.sheet, result, pictures, showing.unit)
    return result


def show(result: Result, showing: Showing) -> None:
    """Print the result, as JSON or as a table."""
    if showing.json:
        put(result_to_json(result))
    else:
        put(shown(result_table(result, unit=showing.unit)))
    if showing.out is not None and not showing.json:
        tell(f"Written to {showing.out}.")


def _draw_whole(
    result: Result, cuts: Sequence[WeldCut], files: OutputFolder, unit: LengthUnit
) -> None:
    """Draw the weld from several photos, where they were joined."""
    drawn = drawn_whole_weld(result, cuts, unit=unit)
    if drawn is not None:
        files.add_whole_weld(drawn)


@contextmanager
def _progress(total: int) -> Iterator[Callable[[MeasuredTake], None]]:
    """Progress on standard error: a bar on a terminal, else a line for each of several photos.

    What makes a photo unusable is always said.
    """
    console = Console(stderr=True)
    if not console.is_terminal:
        yield _line_teller(total)
        return
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn())
    with Progress(*columns, TimeElapsedColumn(), console=console, transient=True) as bar:
        task = bar.add_task("Measuring", total=total)

        def advance(measured: MeasuredTake) -> None:
            for line in _refusals(measured):
                bar.console.print(line, markup=False, highlight=False)
            bar.advance(task, len(measured.photos))

        yield advance


def _line_teller(total: int) -> Callable[[MeasuredTake], None]:
    def advance(measured: MeasuredTake) -> None:
        lines = _refusals(measured)
        if not lines and total > 1:
            lines = [f"{each.path.name}: measured" for each in measured.photos]
        for line in lines:
            tell(line)

    return advance


def _refusals(measured: MeasuredTake) -> list[str]:
    """A line for a photo that is not usable, with its name; the refusal comes before warnings."""
    lines = []
    for photo in measured.result.photos:
        if not photo.usable:
            refusal = photo.problems[0]
            lines.append(refusal_words(photo.file, refusal.message, refusal.code))
    return lines


def refusal_words(file: str, message: str, code: str) -> str:
    """Why a photo was not measured, with its name, and which flag may help."""
    message += FLAGS_THAT_HELP.get(code, "")
    return message if file in message else f"{file}: {message}"
