"""Sections across welds whose shape is known exactly, and profiles as a photo would give them."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, grey_closing, grey_dilation

from beadcheck.profiles import Profile, ProfileMethod
from beadcheck.quantity import Component, Scope

Floats = NDArray[np.float64]

FINE_MM = 0.01
REACH_MM = 22.0


@dataclass(frozen=True, kw_only=True)
class Shape:
    """A weld's section; lengths in mm, angles in degrees."""

    kind: str = "arc"  # arc, parabola, flat, twin, hollow, groove, none
    width: float = 10.0
    height: float = 2.0
    flank_deg: float = 40.0  # of the kind "flat"
    toe_radius: float = 0.5
    undercut: tuple[float, float] = (0.0, 0.0)
    undercut_width: float = 1.0
    undercut_v: bool = False
    step: float = 0.0
    bend_deg: float = 0.0
    dip: float = 0.4  # of the kind "groove": in the middle third; below zero it is a crown


def heights_mm(shape: Shape, x: Floats) -> Floats:
    """Exact heights at places of an even fine grid; zero is the mean of both base lines."""
    half = shape.width / 2.0
    inside = np.abs(x) <= half
    u = np.clip(x / half, -1.0, 1.0)
    cap = np.zeros_like(x)
    if shape.kind == "parabola":
        cap = shape.height * (1.0 - u**2)
    elif shape.kind == "arc":
        radius = (half**2 + shape.height**2) / (2.0 * shape.height)
        cap = np.sqrt(np.maximum(radius**2 - (u * half) ** 2, 0.0)) - (radius - shape.height)
    elif shape.kind == "flat":
        slope = math.tan(math.radians(shape.flank_deg))
        cap = np.minimum(slope * (half - np.abs(x)), shape.height)
        cap = gaussian_filter1d(np.where(inside, cap, 0.0), 0.02 / FINE_MM)
    elif shape.kind == "twin":
        cap = shape.height * (1.0 - u**4) * (1.0 - 0.15 * np.cos(2.0 * np.pi * u) ** 2)
    elif shape.kind == "hollow":
        cap = -shape.height * (1.0 - u**2) ** 0.5
    elif shape.kind == "groove":
        wall = math.tan(math.radians(shape.flank_deg))
        floor = -shape.height - shape.dip * np.maximum(0.0, 1.0 - (3.0 * u) ** 2)
        cap = np.maximum(-wall * (half - np.abs(x)), floor)
    cap = np.where(inside, cap, 0.0)
    if shape.toe_radius > 0.0 and shape.kind != "none":
        cap = _filleted(cap, shape.toe_radius)
    left, right = -0.5 * shape.step, 0.5 * shape.step
    base = np.interp(x, [-half, half], [left, right])
    bend = math.tan(math.radians(shape.bend_deg) / 2.0)
    base = base + bend * (np.maximum(0.0, np.abs(x) - half))
    z = base + cap
    for depth, outward in zip(shape.undercut, (-1.0, 1.0), strict=True):
        if depth > 0.0:
            w = shape.undercut_width
            along = np.abs(x - outward * (half + 0.5 * w)) / (0.5 * w)
            groove = (
                np.maximum(0.0, 1.0 - along)
                if shape.undercut_v
                else np.where(along < 1.0, 0.5 + 0.5 * np.cos(np.pi * along), 0.0)
            )
            z = z - depth * groove
    return z


def _filleted(z: Floats, radius: float) -> Floats:
    """Profile whose hollow corners a ball of this radius has rounded."""
    reach = round(radius / FINE_MM)
    offsets = FINE_MM * np.arange(-reach, reach + 1)
    ball = np.sqrt(np.maximum(radius**2 - offsets**2, 0.0)) - radius
    return grey_closing(z, structure=ball)


def truth(shape: Shape) -> dict[tuple[str, str | None], float]:
    """What the definitions make of the exact section: toes on flank lines between 15 and 50 %."""
    x = np.arange(-REACH_MM, REACH_MM, FINE_MM)
    z = heights_mm(shape, x)
    half = shape.width / 2.0
    said: dict[tuple[str, str | None], float] = {("linear_misalignment", None): abs(shape.step)}
    bend = math.tan(math.radians(shape.bend_deg) / 2.0)
    toes = {}
    for side, sign in (("left", -1.0), ("right", 1.0)):
        base = sign * 0.5 * shape.step + bend * (sign * x - half)
        between = np.interp(x, [-half, half], [-0.5 * shape.step, 0.5 * shape.step])
        over = z - np.where(np.abs(x) <= half, between, base)
        sink = shape.kind in {"hollow", "groove"}
        climb = np.flatnonzero((sign * x <= half + 2.5) & (sign * x >= -0.1 * half))
        climb = climb if sign < 0.0 else climb[::-1]
        ratio = -over[climb] if sink else over[climb]
        highest = np.maximum.accumulate(ratio)
        passed = np.flatnonzero((highest > 0.15) & (highest - ratio > 0.15 * highest))
        top = int(ratio[: passed[0] + 1 if len(passed) else None].argmax())
        rise = ratio[top]
        low = np.flatnonzero(ratio[: top + 1] <= 0.15 * rise)[-1]
        high = np.flatnonzero(ratio[: top + 1] <= 0.50 * rise)[-1]
        part = climb[low : high + 1]
        slope, level = np.polyfit(x[part], z[part], 1)
        toes[side] = (sign * 0.5 * shape.step - bend * half - level) / (slope - sign * bend)
        flank = math.degrees(abs(math.atan(slope) - math.atan(sign * bend)))
        said["toe_angle", side] = 180.0 - flank
        outside = (sign * x >= sign * toes[side]) & (sign * x <= half + 2.5)
        said["undercut_depth", side] = max(0.0, float(-over[outside].min()))
    lines = [
        sign * 0.5 * shape.step + bend * (sign * toe - half)
        for sign, toe in ((-1.0, toes["left"]), (1.0, toes["right"]))
    ]
    chord = np.interp(x, [toes["left"], toes["right"]], lines)
    between = (x >= toes["left"]) & (x <= toes["right"])
    width = toes["right"] - toes["left"]
    near = min(max(0.12 * width, 0.8), 0.3 * width)
    inner = (x >= toes["left"] + near) & (x <= toes["right"] - near)
    said["face_reinforcement", None] = float((z - chord)[inner].max())
    said["underfill", None] = max(0.0, float((chord - z)[inner].max()))
    said["section_area", None] = float(np.trapezoid((z - chord)[between], x[between]))
    said["weld_width", None] = width
    return said


@dataclass(frozen=True, kw_only=True)
class Seen:
    """How a photo shows a section."""

    step_mm: float = 0.06
    u_mm: float = 0.02
    correlated_mm: float = 0.08
    smooth_mm: float = 0.05
    envelope_mm: float = 0.0
    tilt_deg: float = 0.0
    holes: int = 0
    reach_mm: float = 9.0
    gain: float = 0.005
    across: float = 0.002
    form_mm: float = 0.005


def profile(shape: Shape, seen: Seen, rng: np.random.Generator, *, s_mm: float = 40.0) -> Profile:
    """Profile of a section as a photo shows it, with errors drawn from what it states."""
    fine = np.arange(-REACH_MM, REACH_MM, FINE_MM)
    z = heights_mm(shape, fine)
    if seen.envelope_mm > 0.0:
        reach = round(3.0 * seen.envelope_mm / FINE_MM) + 1
        offsets = FINE_MM * np.arange(-reach, reach + 1)
        z = grey_dilation(z, structure=-(offsets**2) / (2.0 * seen.envelope_mm))
    if seen.smooth_mm > 0.0:
        z = gaussian_filter1d(z, seen.smooth_mm / FINE_MM)
    half = shape.width / 2.0 + seen.reach_mm
    x = np.arange(-half, half, seen.step_mm) + rng.uniform(0.0, seen.step_mm)
    spread = seen.correlated_mm / seen.step_mm
    noise = gaussian_filter1d(rng.standard_normal(len(x) + 200), spread)[100:-100]
    noise *= seen.u_mm * math.sqrt(max(1.0, 2.0 * math.sqrt(math.pi) * spread))
    heights = np.interp(x, fine, z) * (1.0 + seen.gain * rng.standard_normal())
    # An error of form: the middle over both sides.
    form = seen.form_mm * rng.standard_normal() * np.exp(-((x / half) ** 2) * 3.0)
    offset = rng.uniform(-3.0, 3.0)
    tilt = math.radians(seen.tilt_deg)
    measured = heights + noise + form
    places = x * (1.0 + seen.across * rng.standard_normal())
    across = places * math.cos(tilt) - measured * math.sin(tilt)
    measured = places * math.sin(tilt) + measured * math.cos(tilt)
    keep = np.concatenate([[True], np.diff(np.maximum.accumulate(across)) > 0.0])
    across, measured = across[keep], measured[keep]
    for _ in range(seen.holes):
        middle = rng.uniform(-half, half)
        measured = np.where(np.abs(across - middle) < rng.uniform(0.1, 0.5), np.nan, measured)
    return Profile(
        method=ProfileMethod.LIGHT_LINE,
        s_mm=s_mm,
        clock_deg=None,
        across_mm=across + offset,
        height_mm=measured + rng.uniform(-1.0, 1.0),
        u_height_mm=np.full(len(across), seen.u_mm),
        points_px=np.column_stack([300.0 + 17.0 * across, 200.0 - 17.0 * measured]),
        independent_mm=max(seen.step_mm, 2.0 * math.sqrt(math.pi) * seen.correlated_mm),
        smooth_mm=seen.smooth_mm,
        gain_budget=(_component("known step", seen.gain),),
        across_budget=(_component("scale across", seen.across),),
        form_budget=(_component("sheet not plane", seen.form_mm),),
        envelope_mm=seen.envelope_mm,
    )


def drawn_shape(rng: np.random.Generator) -> Shape:
    """A weld's section of any usual kind, with or without undercut, step and bend."""
    kinds = ["arc", "parabola", "flat", "twin", "hollow"]
    kind = str(rng.choice(kinds, p=[0.3, 0.25, 0.25, 0.1, 0.1]))
    width, flank = rng.uniform(6.0, 16.0), rng.uniform(20.0, 60.0)
    height = rng.uniform(0.6, min(4.0, 0.3 * width))
    if kind == "hollow":
        height = rng.uniform(0.3, 1.5)
    if kind == "flat":
        height = min(height, 0.35 * width * math.tan(math.radians(flank)))
    undercut, undercut_width = (0.0, 0.0), rng.uniform(0.5, 2.0)
    if kind != "hollow" and rng.random() < 0.6:
        depth = rng.uniform(0.2, min(1.0, undercut_width))
        undercut = (depth, 0.0) if rng.random() < 0.5 else (0.0, depth)
    return Shape(
        kind=kind,
        width=width,
        height=height,
        flank_deg=flank,
        toe_radius=rng.uniform(0.2, 1.0),
        undercut=undercut,
        undercut_width=undercut_width,
        undercut_v=bool(rng.random() < 0.5),
        step=float(rng.choice([0.0, rng.uniform(-1.0, 1.0) * min(1.5, 0.6 * height)])),
        bend_deg=float(rng.choice([0.0, rng.uniform(-2.0, 2.0)])),
    )


def drawn_seen(method: ProfileMethod, rng: np.random.Generator) -> Seen:
    """How a photo of one kind may show a section."""
    if method is ProfileMethod.LIGHT_LINE:
        return Seen(
            u_mm=rng.uniform(0.015, 0.05),
            correlated_mm=rng.uniform(0.05, 0.12),
            smooth_mm=rng.uniform(0.03, 0.08),
            tilt_deg=rng.uniform(-3.0, 3.0),
            holes=int(rng.integers(0, 4)),
            reach_mm=rng.uniform(6.0, 12.0),
        )
    if method is ProfileMethod.SIDE_ON:
        return Seen(
            u_mm=rng.uniform(0.01, 0.03),
            correlated_mm=rng.uniform(0.05, 0.15),
            smooth_mm=rng.uniform(0.04, 0.10),
            envelope_mm=rng.uniform(0.0, 0.25),
            tilt_deg=rng.uniform(-2.0, 2.0),
            reach_mm=rng.uniform(6.0, 14.0),
            gain=0.004,
            form_mm=0.02,
        )
    return Seen(
        step_mm=0.15,
        u_mm=rng.uniform(0.03, 0.08),
        correlated_mm=rng.uniform(0.15, 0.3),
        smooth_mm=rng.uniform(0.15, 0.35),
        tilt_deg=rng.uniform(-1.0, 1.0),
        holes=int(rng.integers(0, 3)),
        reach_mm=rng.uniform(7.0, 10.0),
        gain=0.01,
        form_mm=0.02,
    )


def _component(source: str, u: float) -> Component:
    return Component(source=source, standard_uncertainty=u, scope=Scope.PHOTO)
