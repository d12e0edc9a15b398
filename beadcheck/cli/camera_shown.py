"""What ``beadcheck camera`` prints of calibrations, for people or as JSON."""

import json
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from rich.table import Table

from beadcheck.camera import CalibratedCamera
from beadcheck.camera.calibrate import Calibration, ViewReport
from beadcheck.camera.prior import U_RECENTRED_OF_DIAGONAL, U_REFOCUSED
from beadcheck.camera.store import camera_figures
from beadcheck.cli.streams import shown
from beadcheck.quantity import COVERAGE_FACTOR


def calibration_words(done: Calibration) -> str:
    """Photos, then figures."""
    table = Table(box=None, pad_edge=False)
    table.add_column("photo")
    table.add_column("tilt", justify="right")
    table.add_column("residual", justify="right")
    table.add_column("")
    for view in done.views:
        if view.refusal is None:
            row = (f"{view.tilt_deg:.0f}°", f"{view.residual_px:.2f} px", "used")
        else:
            row = ("", "", f"left out: {view.refusal}")
        table.add_row(view.file, *row)
    return f"{shown(table)}\n\n{camera_words(done.camera)}"


def calibration_json(done: Calibration, kept: Path | None) -> str:
    """Figures, photos and the file they are kept in; u_ are standard uncertainties."""
    return _text(
        {
            **_figures(done.camera),
            "spread_deg": done.spread_deg,
            "photos": [_view(view) for view in done.views],
            "stored": None if kept is None else str(kept),
        }
    )


def _view(view: ViewReport) -> dict[str, Any]:
    refusal = view.refusal
    return {
        "file": view.file,
        "used": refusal is None,
        "residual_px": view.residual_px,
        "tilt_deg": view.tilt_deg,
        "problem": None if refusal is None else {"code": refusal.code, "message": str(refusal)},
    }


def camera_words(stored: CalibratedCamera) -> str:
    """One camera's figures."""
    known = stored.camera
    focal = f", {stored.focal_35mm_mm:g} mm equivalent" if stored.focal_35mm_mm else ""
    maker = " ".join(word for word in (stored.make, stored.model) if word)
    table = Table(box=None, pad_edge=False)
    table.add_column("figure")
    table.add_column("value", justify="right")
    table.add_column(f"U (k = {COVERAGE_FACTOR:g})", justify="right")
    for label, value, u, places in (
        ("focal length, px", known.focal_px, known.u_focal_px, 1),
        ("centre x, px", known.centre_px[0], known.u_centre_px, 1),
        ("centre y, px", known.centre_px[1], known.u_centre_px, 1),
        ("distortion k1", known.k1, known.u_k1, 4),
        ("distortion k2", known.k2, known.u_k2, 4),
    ):
        expanded = COVERAGE_FACTOR * u
        table.add_row(label, f"{value:.{places}f}", f"± {expanded:.{places}f}")
    lines = (
        stored.label,
        f"{maker or 'camera not stated'}{focal}, {stored.width_px} x {stored.height_px} px; "
        f"{stored.photo_count} photos, residual {stored.residual_px:.2f} px",
        shown(table),
        "U holds for these photos. A phone refocuses and steadies itself for each photo: in use, "
        f"{COVERAGE_FACTOR * U_REFOCUSED:.0%} of the focal length and "
        f"{COVERAGE_FACTOR * U_RECENTRED_OF_DIAGONAL:.1%} of the picture's diagonal are added.",
    )
    return "\n".join(lines)


def camera_json(stored: CalibratedCamera) -> str:
    """One camera's figures."""
    return _text(_figures(stored))


def cameras_words(cameras: Sequence[CalibratedCamera], folder: Path) -> str:
    """List of what is stored."""
    if not cameras:
        return f"No camera is stored in {folder}. Calibrate one with: beadcheck camera PHOTO…"
    table = Table(box=None, pad_edge=False)
    for heading in ("name", "make and model", "lens", "photos", "day"):
        table.add_column(heading)
    for each in cameras:
        lens = f"{each.focal_35mm_mm:g} mm" if each.focal_35mm_mm else ""
        maker, day = f"{each.make} {each.model}", each.calibrated_on.isoformat()
        table.add_row(each.name, maker, lens, str(each.photo_count), day)
    return shown(table)


def cameras_json(cameras: Sequence[CalibratedCamera]) -> str:
    """List of the figures of what is stored."""
    return _text([_figures(each) for each in cameras])


def _figures(stored: CalibratedCamera) -> dict[str, Any]:
    return {
        key: figure.isoformat() if isinstance(figure, date) else figure
        for key, figure in camera_figures(stored).items()
    }


def _text(record: object) -> str:
    return json.dumps(record, indent=2, ensure_ascii=False)
