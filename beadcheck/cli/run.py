"""One run of ``beadcheck measure``: measure, write, show."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn

from beadcheck.cli.streams import put, shown, tell
from beadcheck.errors.target import NoMarkerError
from beadcheck.pipeline import MeasuredPhoto, Request, join, measure_each
from beadcheck.report.folder import OutputFolder, output_folder
from beadcheck.report.picture import annotated_picture
from beadcheck.report.table import result_table
from beadcheck.report.wording import LengthUnit
from beadcheck.result import Result, result_to_json


@dataclass(frozen=True, slots=True, kw_only=True)
class Showing:
    """What becomes of the result; `out` is the folder for its files, or None for none."""

    out: Path | None
    pictures: bool
    json: bool
    inch: bool

    @property
    def unit(self) -> LengthUnit:
        """Unit that people read; the result itself stays in mm."""
        return LengthUnit.INCH if self.inch else LengthUnit.MM


def measured_and_shown(request: Request, showing: Showing) -> Result:
    """Measure the photos, write the files that were asked for, and print the result."""
    names = [path.name for path in request.photos]
    results: list[Result] = []
    folder = nullcontext() if showing.out is None else output_folder(showing.out, names)
    with folder as files:
        with _progress(len(names)) as advance:
            for measured in measure_each(request):
                results.append(measured.result)
                if files is not None and showing.pictures:
                    _draw(measured, files, len(results) - 1, showing.unit)
                advance(measured)
        result = join(results)
        if files is not None:
            files.finish(result)
    if showing.json:
        put(result_to_json(result))
    else:
        _print_table(result, showing)
    return result


def _draw(measured: MeasuredPhoto, files: OutputFolder, index: int, unit: LengthUnit) -> None:
    if measured.photo is not None:
        files.add_picture(index, annotated_picture(measured.photo, measured.result, unit=unit))


def _print_table(result: Result, showing: Showing) -> None:
    put(shown(result_table(result, unit=showing.unit)))
    if showing.out is not None:
        tell(f"Written to {showing.out}.")


@contextmanager
def _progress(total: int) -> Iterator[Callable[[MeasuredPhoto], None]]:
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

        def advance(measured: MeasuredPhoto) -> None:
            for line in _refusals(measured):
                bar.console.print(line, markup=False, highlight=False)
            bar.advance(task)

        yield advance


def _line_teller(total: int) -> Callable[[MeasuredPhoto], None]:
    def advance(measured: MeasuredPhoto) -> None:
        lines = _refusals(measured)
        if not lines and total > 1:
            lines = [f"{measured.path.name}: measured"]
        for line in lines:
            tell(line)

    return advance


def _refusals(measured: MeasuredPhoto) -> list[str]:
    """A line for a photo that is not usable, with its name; the refusal comes before warnings."""
    lines = []
    for photo in measured.result.photos:
        if not photo.usable:
            refusal = photo.problems[0]
            message = refusal.message
            if refusal.code == NoMarkerError.code:
                message += " If the photo shows no target, use --no-target."
            lines.append(message if photo.file in message else f"{photo.file}: {message}")
    return lines
