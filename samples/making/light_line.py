"""The truth of a light line: where the sheet meets the top, and where that is in the picture."""

from typing import Any

import numpy as np

from samples.making.light_sheet import LightSheet, sheet_of
from samples.making.noise import Floats
from samples.making.rounding import rounded
from samples.making.top import On, Top

STEP_T_MM = 0.1
SEARCH_S_MM = 0.02
REACH_S_MM = 14.0
REST_MM = 0.01  # a crossing that leaves more than this is the side of a block


def light_line(top: Top) -> dict[str, Any] | None:
    """The line of the scene's light, every 0.1 mm across the weld; None without a light."""
    scene, shape = top.stage.scene, top.stage.shape
    light = scene.light
    if light is None:
        return None
    sheet = sheet_of(light, shape)
    span = scene.metal.span_mm
    t = np.arange(np.ceil(span[2] / STEP_T_MM), np.floor(span[3] / STEP_T_MM)) * STEP_T_MM
    s = crossings_mm(top, sheet, t)
    z, on = top.look(s, t)
    xyz = shape.xyz_mm(np.stack([s, t, z], axis=-1))
    there = np.isfinite(s) & (s > span[0]) & (s < span[1])
    lit, open_view = np.zeros((2, len(t)), dtype=bool)
    lit[there] = top.free(xyz[there], sheet.source_mm)
    open_view[there] = top.free(xyz[there], top.stage.camera.eye_mm)
    px = top.stage.camera.project(xyz)
    in_view = there & open_view & top.stage.camera.inside(np.nan_to_num(px, nan=-9.0))
    truth: dict[str, Any] = {
        "kind": light.kind,
        "sheet_point_mm": rounded(sheet.point_mm),
        "sheet_normal": rounded(sheet.normal, 7),
        "projector_mm": rounded(sheet.source_mm),
        "angle_from_normal_deg": abs(light.angle_deg),
        "azimuth_deg": light.azimuth_deg,
        "sigma_mm": light.sigma_mm if light.kind == "laser" else None,
        "lamp_radius_mm": light.lamp_mm if light.kind == "shadow" else None,
        "t_mm": rounded(t),
        "s_mm": rounded(s),
        "z_mm": rounded(z),
        "line_px": rounded(px),
        "on": [On(k).name.lower() for k in on],
        "lit": lit.astype(int).tolist(),
        "in_view": in_view.astype(int).tolist(),
        "residual_mm": rounded(np.nanmax(np.abs(sheet.off_mm(xyz)))),
    }
    if top.stage.weld is not None:
        truth |= _at_the_bead(top, s, t, np.where(there, z, np.nan), on)
    return truth


def crossings_mm(top: Top, sheet: LightSheet, t_mm: Floats) -> Floats:
    """Where along s the sheet meets the top at each t: the crossing nearest to the source.

    Sides of blocks, which stand upright, have no crossing; NaN.
    """
    shape = top.stage.shape
    middle = shape.stz_mm(sheet.point_mm)
    slope = (sheet.along @ shape.turn(middle[0], np.array([1.0, 0.0, 0.0]))) / (
        sheet.along @ shape.turn(middle[0], np.array([0.0, 1.0, 0.0]))
    )
    first = middle[0] + slope * (t_mm - middle[1])
    found = np.full(len(t_mm), np.nan)
    offsets = np.arange(-REACH_S_MM, REACH_S_MM, SEARCH_S_MM)
    for k in range(len(t_mm)):
        s = first[k] + offsets
        z = top.height_mm(s, np.full_like(s, t_mm[k]))
        xyz = shape.xyz_mm(np.stack([s, np.full_like(s, t_mm[k]), z], axis=-1))
        off = sheet.off_mm(xyz)
        before = np.flatnonzero((off[:-1] <= 0) != (off[1:] <= 0))
        part = off[before] / (off[before] - off[before + 1])
        roots = s[before] + part * SEARCH_S_MM
        heights = top.height_mm(roots, np.full_like(roots, t_mm[k]))
        points = shape.xyz_mm(np.stack([roots, np.full_like(roots, t_mm[k]), heights], axis=-1))
        true = np.abs(sheet.off_mm(points)) < REST_MM
        if true.any():
            nearness = (points[true] - sheet.point_mm) @ sheet.towards
            found[k] = roots[true][int(np.argmax(nearness))]
    return found


def _at_the_bead(top: Top, s: Floats, t: Floats, z: Floats, on: Floats) -> dict[str, Any]:
    weld = top.stage.weld
    assert weld is not None  # noqa: S101  (the caller asks only where there is one)
    low, high = weld.toes_mm(np.nan_to_num(s, nan=1e6))
    bead = on == On.BEAD
    crossing = np.interp(np.arange(len(t)), *_known(s))
    toes = []
    for toe in weld.toes_mm(crossing):
        change = np.flatnonzero(np.diff(np.sign(t - toe)))
        toes.append(float(t[change[0]]) if len(change) else np.nan)
    over = z - np.where(bead, _join(weld.ground.height_mm, low, high, t), 0.0)
    return {
        "toe_lo_t_mm": rounded(toes[0]),
        "toe_hi_t_mm": rounded(toes[1]),
        "max_height_mm": rounded(np.nanmax(over[bead]) if bead.any() else np.nan),
        "min_height_mm": rounded(np.nanmin(over[bead]) if bead.any() else np.nan),
    }


def _known(values: Floats) -> tuple[Floats, Floats]:
    index = np.flatnonzero(np.isfinite(values))
    return index.astype(np.float64), values[index]


def _join(ground: Any, low: Floats, high: Floats, t: Floats) -> Floats:
    """Height of the line that joins the toes on the ground."""
    at_low, at_high = ground(low), ground(high)
    return np.asarray(at_low + (t - low) / (high - low) * (at_high - at_low))
