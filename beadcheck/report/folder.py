"""A folder with everything that came out: the result, tables, annotated pictures."""

import json
import os
import shutil
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.errors.output import FolderNotWritableError, ForeignFileError, NotAFolderError
from beadcheck.profiles.pair import HeightMap
from beadcheck.report import beads_csv as beads_table
from beadcheck.report import findings_csv as findings_table
from beadcheck.report import fit_up_csv as fit_up_table
from beadcheck.report import indications_csv as indications_table
from beadcheck.report import profiles_csv as profiles_table
from beadcheck.report import sectors_csv as sectors_table
from beadcheck.report import stations_csv as stations_table
from beadcheck.report.heights_csv import heights_csv
from beadcheck.report.picture import write_picture
from beadcheck.report.whole.drawn import WholeWeldDrawn
from beadcheck.result import Result, result_to_json

RESULT_FILE: Final = "result.json"
STATIONS_FILE: Final = "stations.csv"
FINDINGS_FILE: Final = "findings.csv"
INDICATIONS_FILE: Final = "indications.csv"
PROFILES_FILE: Final = "profiles.csv"
SECTORS_FILE: Final = "sectors.csv"
BEADS_FILE: Final = "beads.csv"
FIT_UP_FILE: Final = "fit-up.csv"
TABLES: Final = {
    STATIONS_FILE: (stations_table.HEADER, stations_table.stations_csv),
    FINDINGS_FILE: (findings_table.HEADER, findings_table.findings_csv),
    INDICATIONS_FILE: (indications_table.HEADER, indications_table.indications_csv),
    PROFILES_FILE: (profiles_table.HEADER, profiles_table.profiles_csv),
    SECTORS_FILE: (sectors_table.HEADER, sectors_table.sectors_csv),
    BEADS_FILE: (beads_table.HEADER, beads_table.beads_csv),
    FIT_UP_FILE: (fit_up_table.HEADER, fit_up_table.fit_up_csv),
}
"""Header and maker of each table."""
PICTURE_ENDING: Final = ".measured.jpg"
"""Ours alone: a file that ends so may be replaced, and is no photo to measure."""
HEIGHTS_ENDING: Final = ".heights.csv"
RELIEF_ENDING: Final = ".relief.jpg"
"""Likewise."""
UNROLLED_FILE: Final = "whole.unrolled.jpg"
ROUND_FILE: Final = "whole.round.svg"
ALONG_FILE: Final = "whole.along.svg"
WHOLE_FILES: Final = (UNROLLED_FILE, ROUND_FILE, ALONG_FILE)
"""What is drawn of a weld from several photos; ours alone as well."""


def picture_names(files: Sequence[str]) -> tuple[str, ...]:
    """Name of each photo's annotated picture; no two are alike, even where case is ignored.

    Examples
    --------
    >>> picture_names(["cap.jpg", "root.heic", "CAP.png"])
    ('cap.measured.jpg', 'root.measured.jpg', 'CAP-2.measured.jpg')
    """
    taken: set[str] = set()
    names = []
    for file in files:
        stem = name = Path(file).stem
        count = 1
        while name.casefold() in taken:
            count += 1
            name = f"{stem}-{count}"
        taken.add(name.casefold())
        names.append(name + PICTURE_ENDING)
    return tuple(names)


@dataclass(frozen=True, slots=True, kw_only=True)
class OutputFolder:
    """A folder that results go to; until `finish`, they lie in a hidden one inside it."""

    path: Path
    staged: Path
    names: tuple[str, ...]

    def add_picture(self, index: int, bgr: NDArray[np.uint8]) -> None:
        """Stage the annotated picture of the photo of this index."""
        with said_plainly(self.path):
            write_picture(self.staged / self.names[index], bgr)

    def add_height_map(self, index: int, height_map: HeightMap) -> None:
        """Stage the heights of the pair whose first photo has this index, as a table."""
        with said_plainly(self.path):
            (self.staged / self._named(index, HEIGHTS_ENDING)).write_text(
                heights_csv(height_map), "utf-8-sig", newline=""
            )

    def add_relief(self, index: int, bgr: NDArray[np.uint8]) -> None:
        """Stage the relief of the pair whose first photo has this index."""
        with said_plainly(self.path):
            write_picture(self.staged / self._named(index, RELIEF_ENDING), bgr)

    def add_whole_weld(self, drawn: WholeWeldDrawn) -> None:
        """Stage what was drawn of the weld from several photos."""
        with said_plainly(self.path):
            if drawn.unrolled_bgr is not None:
                write_picture(self.staged / UNROLLED_FILE, drawn.unrolled_bgr)
            for name, svg in ((ROUND_FILE, drawn.round_svg), (ALONG_FILE, drawn.along_svg)):
                if svg is not None:
                    (self.staged / name).write_bytes(svg)

    def _named(self, index: int, ending: str) -> str:
        return self.names[index].removesuffix(PICTURE_ENDING) + ending

    def _of_photos(self) -> Iterator[str]:
        """Name whatever may lie here of these photos."""
        for index, name in enumerate(self.names):
            yield from (name, self._named(index, HEIGHTS_ENDING), self._named(index, RELIEF_ENDING))

    def finish(self, result: Result) -> None:
        """Write the result, and bring every file to its place, each whole."""
        with said_plainly(self.path):
            (self.staged / RESULT_FILE).write_text(result_to_json(result) + "\n", "utf-8")
            for name, (_, table) in TABLES.items():
                (self.staged / name).write_text(table(result), "utf-8-sig", newline="")
            fresh = {file.name for file in self.staged.iterdir()}
            for file in sorted(self.staged.iterdir()):
                file.replace(self.path / file.name)
            for name in (*WHOLE_FILES, *self._of_photos()):
                # What an earlier result drew does not stand beside this one.
                if name not in fresh:
                    (self.path / name).unlink(missing_ok=True)


@contextmanager
def output_folder(path: Path, files: Sequence[str]) -> Iterator[OutputFolder]:
    """Folder for the results of photos with these names, made where it is not there.

    Nothing shows in it unless `OutputFolder.finish` is reached.

    Raises
    ------
    NotAFolderError, FolderNotWritableError
        Nothing can be written there.
    ForeignFileError
        A file would be overwritten that is not a result of beadcheck.
    """
    if path.exists() and not path.is_dir():
        raise NotAFolderError(str(path))
    checks = [(RESULT_FILE, _is_our_result), *((name, _is_our_table) for name in TABLES)]
    for name, is_ours in checks:
        if (path / name).exists() and not is_ours(path / name):
            raise ForeignFileError(str(path / name))
    made = not path.exists()
    with said_plainly(path):
        path.mkdir(parents=True, exist_ok=True)
        staged = Path(tempfile.mkdtemp(prefix=".beadcheck-", dir=path))
    try:
        yield OutputFolder(path=path, staged=staged, names=picture_names(files))
    finally:
        shutil.rmtree(staged, ignore_errors=True)
        if made and not any(path.iterdir()):
            path.rmdir()


@contextmanager
def said_plainly(path: Path) -> Iterator[None]:
    """Turn the system's refusal of a folder into ours.

    Raises
    ------
    FolderNotWritableError
    """
    try:
        yield
    except OSError as error:
        reason = os.strerror(error.errno).lower() if error.errno else str(error)
        raise FolderNotWritableError(str(path), reason) from error


def _is_our_result(path: Path) -> bool:
    try:
        document = json.loads(path.read_bytes())
    except (OSError, ValueError):
        return False
    return isinstance(document, dict) and str(document.get("format")).startswith(
        "beadcheck-result/"
    )


def _is_our_table(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            start = file.read(4096).decode("utf-8-sig", errors="replace")
    except OSError:
        return False
    return start.splitlines()[:1] == [",".join(TABLES[path.name][0])]
