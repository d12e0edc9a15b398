"""Pack photos with known weld faces into one file, for the finder to learn from.

    python calibration/finder/photo_set.py renders SET ... --split SET --out FOLDER/renders.npz
    python calibration/finder/photo_set.py real PHOTOS --out FOLDER/real.npz
    python calibration/finder/photo_set.py bare FOLDER ... --out FOLDER/bare.npz

`renders` takes sets of `python -m samples.making set`; `real` takes a folder with the photographs
that `real_welds.json` labels; `bare` takes pictures without any weld. Photos are shrunk to
`--longest` pixels and kept as JPEG, the share of weld in each pixel beside them. Held-out scenes
of `--split` sets and held-out groups of real photographs are marked as judging only.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray
from real_welds import RealPhoto, read_labels
from render_set import HELD_OUT, read_toes, scene_number, split_photos

JPEG_QUALITY: Final = 88
SUB_PIXEL_BITS: Final = 4
STEP_WIDTHS: Final = 0.5
"""Places of a weld that crops are laid around lie this many widths apart."""
PICTURE_ENDINGS: Final = {".jpg", ".jpeg", ".png"}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PackedPhoto:
    """One photo as it is kept.

    Attributes
    ----------
    jpeg
        The picture's file.
    weld, known
        (H, W) uint8: share of each pixel that is weld face in 255ths, and 255 where that is known.
    body
        (N, 4) places on the welds: x, y, direction of the weld in radians, its width in px.
    judging
        Whether it only judges.
    """

    name: str
    jpeg: bytes
    weld: NDArray[np.uint8]
    known: NDArray[np.uint8]
    body: NDArray[np.float64]
    judging: bool


def save_photos(photos: Sequence[PackedPhoto], path: Path) -> None:
    """Write photos into one archive of NumPy's."""
    arrays: dict[str, NDArray[np.generic]] = {
        "names": np.array([photo.name for photo in photos]),
        "judging": np.array([photo.judging for photo in photos]),
    }
    for number, photo in enumerate(photos):
        arrays[f"jpeg{number}"] = np.frombuffer(photo.jpeg, dtype=np.uint8)
        arrays[f"weld{number}"], arrays[f"known{number}"] = photo.weld, photo.known
        arrays[f"body{number}"] = photo.body
    np.savez_compressed(path, allow_pickle=False, **arrays)


def packed(
    name: str,
    picture: NDArray[np.uint8],
    *,
    faces: Sequence[NDArray[np.float64]],
    unknown: Sequence[NDArray[np.float64]],
    zone: NDArray[np.float64] | None,
    body: NDArray[np.float64],
    longest: int,
    judging: bool,
) -> PackedPhoto:
    """Shrink a photo and draw its labels; outlines are (N, 2) pixels of the full photo."""
    height, width = picture.shape[:2]
    scale = min(1.0, longest / max(height, width))
    size = (round(width * scale), round(height * scale))
    small = cv2.resize(picture, size, interpolation=cv2.INTER_AREA)
    scales = np.array([size[0] / width, size[1] / height])

    def cover(outlines: Sequence[NDArray[np.float64]]) -> NDArray[np.uint8]:
        # Drawn at four times the size and averaged: shares of pixels, not whole ones.
        fine = np.zeros((4 * size[1], 4 * size[0]), np.uint8)
        for outline in outlines:
            corners = ((outline + 0.5) * scales * 4 - 0.5) * 2**SUB_PIXEL_BITS
            cv2.fillPoly(fine, [np.round(corners).astype(np.int32)], 255, shift=SUB_PIXEL_BITS)
        return np.asarray(cv2.resize(fine, size, interpolation=cv2.INTER_AREA), np.uint8)

    known = 255 - cover(unknown)
    if zone is not None:
        known = np.minimum(known, cover([zone]))
    _, file = cv2.imencode(".jpg", small, [cv2.IMWRITE_JPEG_QUALITY, JPEG_QUALITY])
    placed = body.copy()
    if placed.size:
        placed[:, :2] = (body[:, :2] + 0.5) * scales - 0.5
        placed[:, 3] *= scale
    return PackedPhoto(
        name=name,
        jpeg=file.tobytes(),
        weld=cover(faces),
        known=np.asarray(known, np.uint8),
        body=placed,
        judging=judging,
    )


def body_of(low: NDArray[np.float64], high: NDArray[np.float64]) -> NDArray[np.float64]:
    """(N, 4) x, y, direction and width along two toes of (M, 2) matching points each."""
    middle, widths = 0.5 * (low + high), np.hypot(*(high - low).T)
    width = float(np.median(widths))
    ahead = np.gradient(middle, axis=0)
    lengths = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(middle, axis=0).T))])
    at = np.arange(0.0, lengths[-1], STEP_WIDTHS * width)
    columns = [*middle.T, np.unwrap(np.arctan2(ahead[:, 1], ahead[:, 0]))]
    kept = np.stack([np.interp(at, lengths, column) for column in columns], axis=1)
    return np.column_stack([kept, np.full(at.size, width)])


def packed_renders(
    folders: Sequence[Path], split: Sequence[Path], longest: int
) -> Iterator[PackedPhoto]:
    """Pack every photo of some rendered sets; held-out scenes of the split sets judge."""
    for folder in folders:
        for photo in split_photos(folder, ())[0]:
            truth = json.loads(photo.with_suffix(".json").read_text(encoding="utf-8"))
            toes = read_toes(truth, only_in_view=False)
            picture = np.asarray(cv2.imread(str(photo)), np.uint8)
            yield packed(
                photo.stem,
                picture,
                faces=[] if toes is None else [toes.outline_px],
                unknown=[],
                zone=toes.zone_px if toes is not None and toes.on_pipe else None,
                body=np.empty((0, 4)) if toes is None else body_of(toes.low_px, toes.high_px),
                longest=longest,
                judging=folder in split and scene_number(photo) in HELD_OUT,
            )


def packed_real(folder: Path, longest: int) -> Iterator[PackedPhoto]:
    """Pack every labelled photograph that the folder holds."""
    for photo in read_labels():
        picture = cv2.imread(str(folder / photo.file))
        if picture is None:
            raise SystemExit(f"{photo.file} is not in {folder}.")
        yield packed(
            Path(photo.file).stem,
            np.asarray(picture, np.uint8),
            faces=[weld.outline_px for weld in photo.welds],
            unknown=[*photo.ignored_px, *(area for weld in photo.welds for area in weld.unsure_px)],
            zone=None,
            body=_real_body(photo),
            longest=longest,
            judging=photo.held_out,
        )


def _real_body(photo: RealPhoto) -> NDArray[np.float64]:
    bodies = [body_of(*weld.even_toes()) for weld in photo.welds if weld.has_toes]
    return np.concatenate(bodies) if bodies else np.empty((0, 4))


def packed_bare(folders: Sequence[Path], longest: int) -> Iterator[PackedPhoto]:
    """Pack pictures that show no weld."""
    for folder in folders:
        for file in sorted(folder.iterdir()):
            picture = cv2.imread(str(file)) if file.suffix in PICTURE_ENDINGS else None
            if picture is not None:
                yield packed(
                    file.stem,
                    np.asarray(picture, np.uint8),
                    faces=[],
                    unknown=[],
                    zone=None,
                    body=np.empty((0, 4)),
                    longest=longest,
                    judging=False,
                )


def main() -> None:
    """Read the command line and pack."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("job", choices=["renders", "real", "bare"])
    parser.add_argument("folders", type=Path, nargs="+")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument(
        "--split", type=Path, nargs="*", default=[], help="sets whose held-out scenes only judge"
    )
    parser.add_argument("--longest", type=int, default=1024)
    asked = parser.parse_args()
    if asked.job == "renders":
        photos = list(packed_renders(asked.folders, asked.split, asked.longest))
    elif asked.job == "real":
        photos = list(packed_real(asked.folders[0], asked.longest))
    else:
        photos = list(packed_bare(asked.folders, asked.longest))
    save_photos(photos, asked.out)
    print(f"{len(photos)} photos, {sum(photo.judging for photo in photos)} of them only judge")


if __name__ == "__main__":
    main()
