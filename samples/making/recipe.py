"""What goes into a scene: everything the renderer and the truth need, drawn from a seed."""

from dataclasses import dataclass, field

from samples.making.bead import BeadStyle
from samples.making.card import Lie, Sheet
from samples.making.develop import Development
from samples.making.heat import Skin
from samples.making.weld import Ground, Undercut
from samples.making.wrap import Wrap

FLAT = Ground()


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One length of bead on a pipe, from where it starts to where it stops.

    Attributes
    ----------
    start_mm, end_mm
        Its lower and upper end along s, which may lie beyond half a turn.
    direction
        1 where it travels towards its upper end, -1 towards its lower.
    lane
        Which of the beads side by side it belongs to.
    """

    style: BeadStyle
    start_mm: float
    end_mm: float
    direction: int
    offset_mm: float = 0.0
    lane: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Passes:
    """How the weld is laid: one style, one or more beads side by side.

    Attributes
    ----------
    runs
        All the way round a pipe: what is laid, one over the other, in this order. The style and the
        offsets then only say how wide the whole is.
    """

    style: BeadStyle
    start_mm: float
    end_mm: float
    direction: int = 1
    offsets_mm: tuple[float, ...] = (0.0,)
    undercuts: tuple[Undercut, ...] = ()
    fillet_mm: float = 0.08
    rough_mm: float = 0.02
    runs: tuple[Run, ...] = ()


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
    bore_mm
        Of the pipe whose inside is seen; then there is no outside diameter.
    ground
        Form of the metal under the weld: flat, two parts at different heights, or a groove.
    """

    span_mm: tuple[float, float, float, float]
    thickness_mm: float
    base: str
    outside_diameter_mm: float | None = None
    bore_mm: float | None = None
    stainless: bool = False
    band_mm: float = 0.0
    band_brushed: bool = False
    rust: float = 0.0
    scratches: int = 0
    seam: bool = False
    stripe_tint: bool = False
    spatter: int = 0
    writing: tuple[tuple[str, float, float, float, bool], ...] = ()
    ground: Ground = FLAT


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Where the phone is held, and its picture's size.

    Attributes
    ----------
    roll_of
        Which direction of the metal `roll_deg` turns: "s", or "t" where the phone looks along s.
    turned_deg
        How far the phone is turned left and up from the point that it is aimed and focused at.
    """

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
    roll_of: str = "s"
    turned_deg: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A piece of a target and how it lies."""

    sheet: Sheet
    lie: Lie | Wrap


@dataclass(frozen=True, slots=True, kw_only=True)
class Magnet:
    """A round magnet that holds a sheet down; s, t, z is the middle of its foot."""

    s_mm: float
    t_mm: float
    z_mm: float
    radius_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A piece of steel of known thickness on the base metal; s, t is its middle.

    Attributes
    ----------
    kind
        "step" (what a light line is scaled by), "gauge" (one stair of a step gauge) or "token"
        (a round coin: `length_mm` is its diameter).
    """

    s_mm: float
    t_mm: float
    length_mm: float
    width_mm: float
    thickness_mm: float
    angle_deg: float = 0.0
    kind: str = "step"


@dataclass(frozen=True, slots=True, kw_only=True)
class Light:
    """A thin sheet of light, or the shadow of a rule's edge, that falls across the weld.

    Attributes
    ----------
    kind
        "laser" or "shadow".
    s_mm, t_mm
        A point of its line on the base metal.
    azimuth_deg
        Between the line on the base metal and the direction square to the weld (t).
    angle_deg
        Between the sheet and the base metal's normal; positive leans to larger s.
    reach_mm
        Distance of the projector or lamp from the point.
    sigma_mm
        Standard width of the sheet.
    power
        Brightness of the line against the scene's.
    speckle
        Contrast of the speckle, 0 to 1; `grain_px` is its grain.
    edge_mm
        Height of the rule's edge over the base metal.
    lamp_mm
        Radius of the lamp.
    """

    kind: str
    s_mm: float
    t_mm: float
    azimuth_deg: float
    angle_deg: float
    reach_mm: float
    sigma_mm: float = 0.15
    colour: tuple[float, float, float] = (1.0, 0.05, 0.02)
    power: float = 6.0
    fan_deg: float = 40.0
    speckle: float = 0.4
    grain_px: float = 0.8
    edge_mm: float = 12.0
    lamp_mm: float = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """One photo to be.

    Attributes
    ----------
    kind
        How the photo is taken: a photo kind's word.
    shot
        Number of the photo among those of one coupon; its noise differs, nothing else.
    coupon
        Name of the coupon, where several photos show it.
    viewer_azimuth
        Where the person stands (radians), where it is not where the phone is.
    rolled_deg
        How far the pipe is rolled on its bench: room and bench are turned with the phone.
    backdrop
        What stands behind a side-on pipe: a name of `lights.BACKDROPS`, or None for the room.
    """

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
    kind: str = "face"
    shot: int = 0
    coupon: str | None = None
    viewer_azimuth: float | None = None
    rolled_deg: float = 0.0
    backdrop: str | None = None
    blocks: tuple[Block, ...] = ()
    light: Light | None = None
