"""The truth of a scene, as JSON: toes, stations, ripples, camera, markers."""

import json
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from samples.making.extents import body, lane_crests, range_mm, steady
from samples.making.noise import Floats
from samples.making.rounding import DECIMALS, rounded
from samples.making.stage import Stage
from samples.making.weld import Weld

Json: TypeAlias = Any

LEAST_SEEN_DEG = (
    30.0  # a pipe's surface counts as measurable where it is seen at this angle or more
)


def truth_of(stage: Stage, *, image: str) -> dict[str, Json]:
    """Everything known of a scene, with the keys that the evaluator reads."""
    scene, camera = stage.scene, stage.camera
    return {
        "image": image,
        "scene": scene.name,
        "description": scene.description,
        "tags": list(scene.tags),
        "seed": scene.seed,
        "process": scene.process,
        "lighting": scene.lighting,
        "image_size": [camera.width_px, camera.height_px],
        "camera": _camera(stage),
        "surface": {
            "kind": "flat" if stage.shape.radius_mm is None else "pipe",
            "radius_mm": stage.shape.radius_mm,
            "outside_diameter_mm": scene.metal.outside_diameter_mm,
            **({} if scene.metal.bore_mm is None else {"bore_mm": scene.metal.bore_mm}),
        },
        "card": _card(stage, 0) if stage.sheets else None,
        "cards": [_card(stage, k) for k in range(len(stage.sheets))],
        "markers": [m for k in range(len(stage.sheets)) for m in markers(stage, k)],
        "develop": {name: getattr(scene.development, name) for name in scene.development.__slots__},
        "weld": None if stage.weld is None else _weld(stage, stage.weld),
    }


def seen(stage: Stage, stz: Floats, *, least_deg: float) -> NDArray[np.bool_]:
    """Whether points of the metal lie in the picture and are seen at an angle of at least this."""
    xyz = stage.shape.xyz_mm(stz)
    px = stage.camera.project(xyz)
    towards = stage.camera.eye_mm - xyz
    towards /= np.linalg.norm(towards, axis=-1, keepdims=True)
    rise = (towards * stage.shape.normal(stz[..., 0])).sum(axis=-1)
    with np.errstate(invalid="ignore"):
        return stage.camera.inside(px) & (rise > np.sin(np.radians(least_deg)))


def _camera(stage: Stage) -> dict[str, Json]:
    camera, view = stage.camera, stage.scene.view
    cx, cy = camera.centre_px
    f = camera.focal_px
    point = stage.shape.xyz_mm(np.array([*view.at_st_mm, 0.0]))
    return {
        "K": rounded([[f, 0, cx], [0, f, cy], [0, 0, 1]]),
        "dist_k1_k2_p1_p2_k3": [camera.k1, camera.k2, 0.0, 0.0, 0.0],
        "R": [[float(v) for v in row] for row in camera.rotation],
        "t": [float(v) for v in camera.translation_mm],
        "eye_mm": rounded(camera.eye_mm),
        "target_mm": rounded(point),
        "focal_equiv_mm": camera.focal_equiv_mm,
        "distance_mm": view.distance_mm,
        "tilt_deg": view.tilt_deg,
        "px_per_mm_at_target": round(f / view.distance_mm, DECIMALS),
    }


def _card(stage: Stage, k: int) -> dict[str, Json]:
    sheet, lie = stage.sheets[k], stage.scene.laid[k].lie
    zero = None
    if sheet.clock_zero_mm is not None:
        xy = np.array([sheet.clock_zero_mm, sheet.height_mm / 2])
        zero = rounded(_oncerounded(stage, lie.stz_mm(sheet, xy))[0])
    return {
        "target_file": sheet.file.name,
        "piece": sheet.piece,
        "pose": {"s": lie.s_mm, "t": lie.t_mm, "angle": lie.angle_deg},
        "lift_mm": sheet.thickness_mm + lie.lift_mm,
        "bow_mm": lie.bow_mm,
        "print_scale": lie.print_scale,
        "ink_mm": lie.ink_mm,
        "width_mm": sheet.width_mm,
        "height_mm": sheet.height_mm,
        "dictionary": sheet.dictionary,
        "clock_zero_s_mm": zero,
        "clock_sense": sheet.clock_sense,
    }


def markers(stage: Stage, k: int) -> list[dict[str, Json]]:
    """The markers of a sheet, and whether they are in view."""
    sheet, lie = stage.sheets[k], stage.scene.laid[k].lie
    found = []
    for marker_id, corners in zip(sheet.ids, sheet.corners_mm, strict=True):
        stz = _oncerounded(stage, lie.stz_mm(sheet, corners))
        xyz = stage.shape.xyz_mm(stz)
        found.append(
            {
                "id": marker_id,
                "card": k,
                "corners_card_mm": rounded(corners),
                "corners_st_mm": rounded(stz[:, :2]),
                "corners_xyz_mm": rounded(xyz),
                "corners_px": rounded(stage.camera.project(xyz)),
                "in_view": bool(seen(stage, stz, least_deg=8).all()),
            }
        )
    return found


def _oncerounded(stage: Stage, stz: Floats) -> Floats:
    """The same points with s within half a turn of 0."""
    radius = stage.shape.radius_mm
    if radius is None:
        return stz
    turn = 2 * np.pi * radius
    middle = stz[..., 0].mean()
    return stz - np.array([turn * np.round(middle / turn), 0.0, 0.0])


def _weld(stage: Stage, weld: Weld) -> dict[str, Json]:
    s0, s1 = range_mm(stage, weld)
    s = np.round(s0 + 0.2 * np.arange(round((s1 - s0) / 0.2)), DECIMALS)
    low, high = weld.toes_mm(s)
    toe_seen = _toes_seen(stage, s, low, high, least_deg=LEAST_SEEN_DEG)
    of_steady, of_body = steady(weld, s), body(weld, s)
    open_ended = weld.turn_mm is None
    width = high - low
    lines = [np.stack([s, t, weld.ground.height_mm(t)], axis=-1) for t in (low, high)]
    stations, heights = _stations(stage, weld)
    return {
        "kind": "ripple",
        "n_beads": len(weld.beads),
        "s_range_mm": rounded((s0, s1)),
        "steady_s_range_mm": rounded(weld.steady_range_mm if open_ended else (s0, s1)),
        "body_s_range_mm": rounded(weld.body_range_mm if open_ended else (s0, s1)),
        "direction": weld.beads[0].direction,
        "fillet_mm": weld.fillet_mm,
        "toes": {
            "s_mm": rounded(s),
            "lo_t_mm": rounded(low),
            "hi_t_mm": rounded(high),
            "lo_px": rounded(stage.camera.project(stage.shape.xyz_mm(lines[0]))),
            "hi_px": rounded(stage.camera.project(stage.shape.xyz_mm(lines[1]))),
            "in_view": [int(v) for v in toe_seen],
        },
        "stations": stations,
        "width_mm": {
            "in_view": _summary(width[toe_seen & of_steady]),
            "body_in_view": _summary(width[toe_seen & of_body]),
            "all": _summary(width[of_steady]),
        },
        "height_mm": heights,
        "straightness_in_view": _straightness(s, low, high, toe_seen & of_body),
        "ripples": _ripples(stage, weld),
        "undercut": [
            {"side": u.side, "s_range_mm": [u.start_mm, u.end_mm], "depth_mm": u.depth_mm}
            for u in weld.undercuts
        ],
        "undercut_max_mm": max((u.depth_mm for u in weld.undercuts), default=0.0),
    }


def _toes_seen(
    stage: Stage, s: Floats, low: Floats, high: Floats, *, least_deg: float
) -> NDArray[np.bool_]:
    zero = np.zeros_like(s)
    return seen(stage, np.stack([s, low, zero], axis=-1), least_deg=least_deg) & seen(
        stage, np.stack([s, high, zero], axis=-1), least_deg=least_deg
    )


def _stations(stage: Stage, weld: Weld) -> tuple[list[dict[str, Json]], dict[str, Json]]:
    first, last = weld.steady_range_mm if weld.turn_mm is None else range_mm(stage, weld)
    s = np.arange(np.ceil(first), np.floor(last) + 0.5)
    low, high = weld.toes_mm(s)
    t = np.arange(np.floor(np.nanmin(low)) - 0.5, np.ceil(np.nanmax(high)) + 0.5, 0.1)
    height = weld.sharp_mm(s, t)
    mid = (low + high) / 2
    in_view = _toes_seen(stage, s, low, high, least_deg=LEAST_SEEN_DEG)
    rows = []
    for k, station in enumerate(s):
        inside = (t > low[k]) & (t < high[k])
        rows.append(
            {
                "s": float(station),
                "width": rounded(high[k] - low[k]),
                "lo_t": rounded(low[k]),
                "hi_t": rounded(high[k]),
                "h_max": rounded(height[inside, k].max()),
                "h_mid": rounded(np.interp(mid[k], t, height[:, k])),
                "in_view": bool(in_view[k]),
            }
        )
    of_body = body(weld, s) & in_view
    tops = np.array([row["h_max"] for row in rows])
    return rows, {
        "body_in_view_station_max": _summary(tops[of_body]),
        "all_station_max": _summary(tops),
    }


def _straightness(
    s: Floats, low: Floats, high: Floats, where: NDArray[np.bool_]
) -> dict[str, Json]:
    result: dict[str, Json] = {}
    for name, line in (("centre", (low + high) / 2), ("lo", low), ("hi", high)):
        if where.sum() < 10:
            result[name] = None
            continue
        fit = np.polyfit(s[where], line[where], 1)
        off = line[where] - np.polyval(fit, s[where])
        result[name] = {
            "rms_mm": rounded(off.std()),
            "max_abs_mm": rounded(np.abs(off).max()),
            "range_mm": rounded(np.ptp(off)),
            "slope_deg": rounded(np.degrees(np.arctan(fit[0]))),
        }
    return result


def _ripples(stage: Stage, weld: Weld) -> list[dict[str, Json]]:
    rows = []
    for lane, style in enumerate(weld.lanes):
        s, t = lane_crests(weld, lane, around_mm=stage.scene.view.at_st_mm[0])
        z = _crest_heights(weld, s, t)
        stz = np.stack([s, t, z], axis=-1)
        flat = np.stack([s, t, np.zeros_like(s)], axis=-1)
        in_view = seen(stage, flat, least_deg=LEAST_SEEN_DEG)
        of_body = body(weld, s)
        gaps = np.diff(s)
        both = in_view[1:] & in_view[:-1]
        rows.append(
            {
                "bead": lane,
                "crest_s_mm": rounded(s),
                "crest_t_mm": rounded(t),
                "crest_px": rounded(stage.camera.project(stage.shape.xyz_mm(stz))),
                "in_view": [int(v) for v in in_view],
                "spacing_in_view_mm": _summary(gaps[both]),
                "spacing_body_in_view_mm": _summary(gaps[both & of_body[1:] & of_body[:-1]]),
                "spacing_all_mm": _summary(gaps),
                "amplitude_mm": style.ripple_mm,
                "pitch_parameter_mm": style.pitch_mm,
            }
        )
    return rows


def _crest_heights(weld: Weld, s: Floats, t: Floats) -> Floats:
    return np.array(
        [weld.sharp_mm(np.array([a]), np.array([b]))[0, 0] for a, b in zip(s, t, strict=True)]
    )


def _summary(values: Floats) -> dict[str, Json]:
    if len(values) == 0:
        return {"n": 0, "mean": None, "sd": None, "min": None, "max": None}
    return {
        "n": len(values),
        "mean": rounded(values.mean()),
        "sd": rounded(values.std()),
        "min": rounded(values.min()),
        "max": rounded(values.max()),
    }


def write_json(path: Path, truth: dict[str, Json]) -> None:
    """Write a truth file."""
    path.write_text(json.dumps(truth, separators=(",", ":")) + "\n", encoding="utf-8")
