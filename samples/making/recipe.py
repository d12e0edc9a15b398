"""What goes into a scene: everything the renderer and the truth need, drawn from a seed."""

from dataclasses import dataclass, field

from samples.making.bead import BeadStyle
from samples.making.card import Lie, Sheet
from samples.making.develop import Development
from samples.making.heat import Skin
from samples.making.weld import Undercut


@dataclass(frozen=True, slots=True, kw_only=True)
class Passes:
    """How the weld is laid: one style, one or more beads side by side."""

    style: BeadStyle
    start_mm: float
    end_mm: float
    direction: int = 1
    offsets_mm: tuple[float, ...] = (0.0,)
    undercuts: tuple[Undercut, ...] = ()
    fillet_mm: float = 0.08
    rough_mm: float = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal:
    """The coupon: its shape, finish and marks.

    Attributes
    ----------
    base
        A name of `finish.BASES`.
    band_mm
        Half width of the cleaned band along the weld; 0 for none.
    stripe_tint
        Heat tint along s though there is no weld (the back of a plate).
    """

    span_mm: tuple[float, float, float, float]
    thickness_mm: float
    base: str
    outside_diameter_mm: float | None = None
    stainless: bool = False
    band_mm: float = 0.0
    band_brushed: bool = False
    rust: float = 0.0
    scratches: int = 0
    seam: bool = False
    stripe_tint: bool = False
    spatter: int = 0
    writing: tuple[tuple[str, float, float, float, bool], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Where the phone is held, and its picture's size."""

    width_px: int
    height_px: int
    focal_equiv_mm: float
    at_st_mm: tuple[float, float]
    distance_mm: float
    tilt_deg: float
    tilt_towards_deg: float
    roll_deg: float
    k1: float = 0.0
    k2: float = 0.0
    centre_shift_px: tuple[float, float] = (0.0, 0.0)
    lens_mm: float = 1.2
    focus_off_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A piece of a target and how it lies."""

    sheet: Sheet
    lie: Lie


@dataclass(frozen=True, slots=True, kw_only=True)
class Magnet:
    """A round magnet that holds a sheet down; s, t, z is the middle of its foot."""

    s_mm: float
    t_mm: float
    z_mm: float
    radius_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """One photo to be."""

    name: str
    seed: int
    description: str
    process: str | None
    metal: Metal
    view: View
    skin: Skin
    lighting: str
    table: str
    development: Development
    passes: Passes | None = None
    laid: tuple[Laid, ...] = ()
    magnets: tuple[Magnet, ...] = ()
    rods: int = 0
    tags: tuple[str, ...] = field(default=())
