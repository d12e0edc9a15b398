"""What a coupon file holds: the coupon, its passes, and the photos of each pass."""

from dataclasses import dataclass, field

from beadcheck.coupon import (
    IN_THE_GROOVE,
    Coupon,
    DepthBy,
    Groove,
    PanelTimes,
    PassDepth,
    Polarity,
    Position,
    Process,
    Progression,
    PulseTimes,
    Shape,
    StripSide,
    WeldPass,
)
from beadcheck.coupon.pass_depth import STATED_U_MM
from beadcheck.coupon.pipe_sizes import parse_pipe_size
from beadcheck.coupon_file.said import NumberSaid, PassSettings
from beadcheck.errors.coupon_file import KeyNeedsKeyError, KeysContradictError
from beadcheck.errors.take import (
    HeightsNeedTargetError,
    LightNeedsReferenceError,
    PairNeedsTwoError,
)
from beadcheck.limits import DecisionRule, LengthSystem
from beadcheck.photo import PhotoKind
from beadcheck.profiles.light_line.reference import U_STEP_MM, KnownStep, LightAngle
from beadcheck.quantity import COVERAGE_FACTOR

PixelPoint = tuple[float, float]
"""x and y in the upright photo, px."""

ANGLE_EXPANDED_DEG = 2.0
"""U of an angle that is said alone: set by hand with a protractor (an estimate)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoPart:
    """A photo, or the several of a pair.

    Attributes
    ----------
    files
        Paths from the folder of the coupon file, with slashes.
    step_at_px
        Where the step lies in the first of them.
    toes
        Path of a file of toes placed by hand.
    clock_deg
        Clock position that a photo without a strip shows.

    Raises
    ------
    SettingError
        Its kind cannot be measured so.
    """

    files: tuple[str, ...]
    kind: PhotoKind = PhotoKind.FACE
    step: NumberSaid | None = None
    step_at_px: PixelPoint | None = None
    light_angle: NumberSaid | None = None
    along_px: tuple[PixelPoint, PixelPoint] | None = None
    toes: str | None = None
    without_target: bool = False
    clock_deg: float | None = None

    def __post_init__(self) -> None:
        if self.kind is PhotoKind.PAIR and len(self.files) < 2:
            raise PairNeedsTwoError(len(self.files))
        if self.kind is not PhotoKind.PAIR and len(self.files) != 1:
            raise KeysContradictError("files", f'kind = "{self.kind}"', "only a pair has several")
        if self.kind is not PhotoKind.FACE and self.without_target:
            raise HeightsNeedTargetError(self.kind.value)
        if self.step is not None and self.light_angle is not None:
            raise KeysContradictError("step_mm", "light_angle_deg", "either one scales the heights")
        if self.step is not None and self.kind not in (PhotoKind.LIGHT_LINE, PhotoKind.PAIR):
            raise KeyNeedsKeyError("step_mm", 'kind = "light-line" or "pair"')
        if self.light_angle is not None and self.kind is not PhotoKind.LIGHT_LINE:
            raise KeyNeedsKeyError("light_angle_deg", 'kind = "light-line"')
        if self.step_at_px is not None and self.step is None:
            raise KeyNeedsKeyError("step_at_px", "step_mm")
        if self.kind is PhotoKind.LIGHT_LINE and self.step is None and self.light_angle is None:
            raise LightNeedsReferenceError
        _ = (self.known_step, self.known_angle)

    @property
    def known_step(self) -> KnownStep | None:
        """Step that scales the heights."""
        if self.step is None:
            return None
        expanded = self.step.expanded_uncertainty
        u_mm = U_STEP_MM if expanded is None else expanded / COVERAGE_FACTOR
        return KnownStep(thickness_mm=self.step.value, u_thickness_mm=u_mm)

    @property
    def known_angle(self) -> LightAngle | None:
        """Angle of the light that scales the heights."""
        if self.light_angle is None:
            return None
        expanded = self.light_angle.expanded_uncertainty or ANGLE_EXPANDED_DEG
        return LightAngle(angle_deg=self.light_angle.value, u_angle_deg=expanded / COVERAGE_FACTOR)


@dataclass(frozen=True, slots=True, kw_only=True)
class PassPart:
    """One pass.

    Attributes
    ----------
    name
        By which it is told from the others; pass, layer and bead in words where nothing else is
        said.
    filler
        Electrode or wire, in the user's words.
    depth
        How far below the surface the toes of a pass in the groove lie, in mm.
    signed
        Who signed the hold point before or after this pass; None where nobody did.
    """

    name: str
    weld_pass: WeldPass | None = None
    layer: int | None = None
    bead: int | None = None
    beads: int | None = None
    process: Process | None = None
    polarity: Polarity | None = None
    filler: str | None = None
    settings: PassSettings = field(default_factory=PassSettings)
    depth: NumberSaid | None = None
    signed: str | None = None
    photos: tuple[PhotoPart, ...] = ()

    def __post_init__(self) -> None:
        self.settings.refuse_unfit(self.process)
        for key, count in (("layer", self.layer), ("bead", self.bead), ("beads", self.beads)):
            if count is not None and self.weld_pass is WeldPass.FIT_UP:
                raise KeysContradictError(key, 'pass = "fit-up"', "nothing is welded yet")
        if self.depth is not None and self.weld_pass not in IN_THE_GROOVE:
            raise KeyNeedsKeyError("depth_mm", 'pass = "root", "second" or "fill"')
        _ = self.pass_depth

    @property
    def pass_depth(self) -> PassDepth | None:
        """Depth as entered, with its standard uncertainty."""
        if self.depth is None:
            return None
        expanded = self.depth.expanded_uncertainty
        return PassDepth(
            depth_mm=self.depth.value,
            u_depth_mm=STATED_U_MM if expanded is None else expanded / COVERAGE_FACTOR,
            by=DepthBy.ENTERED,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class JointPart:
    """Shape, size, joint and position; what is not said is None.

    Attributes
    ----------
    pipe_size
        As written, such as "NPS 8 SCH 60".

    Raises
    ------
    SettingError
        They contradict each other.
    """

    shape: Shape | None = None
    pipe_size: str | None = None
    outside_diameter_mm: float | None = None
    wall_mm: float | None = None
    bore_mm: float | None = None
    position: Position | None = None
    progression: Progression | None = None
    strip_side: StripSide | None = None
    groove_width_mm: float | None = None
    groove: Groove | None = None

    def __post_init__(self) -> None:
        sizes = {"pipe_size": self.pipe_size, "outside_diameter_mm": self.outside_diameter_mm}
        given = [key for key, value in sizes.items() if value is not None]
        if len(given) == 2:
            raise KeysContradictError(given[0], given[1], "the size names a diameter")
        if self.shape is Shape.PLATE and given:
            raise KeysContradictError(given[0], 'shape = "plate"', "a plate has none")
        if self.pipe_size is not None:
            parse_pipe_size(self.pipe_size)

    @property
    def is_pipe(self) -> bool:
        """Whether it is a pipe, as far as is said; a plate unless said."""
        return self.pipe_size is not None or self.outside_diameter_mm is not None

    def coupon(self, part: PassPart) -> Coupon:
        """Coupon with one of its passes under the camera.

        Raises
        ------
        KeyNeedsKeyError
            A pipe without a diameter, or a pipe's position on a plate.
        """
        if self.shape is Shape.PIPE and not self.is_pipe:
            raise KeyNeedsKeyError('shape = "pipe"', "pipe_size or outside_diameter_mm")
        if not self.is_pipe and self.position in (
            Position.FIXED_HORIZONTAL,
            Position.FIXED_INCLINED,
        ):
            raise KeyNeedsKeyError(
                f'position = "{self.position}"', "pipe_size or outside_diameter_mm"
            )
        if self.bore_mm is not None and not self.is_pipe:
            raise KeyNeedsKeyError("bore_mm", "pipe_size or outside_diameter_mm")
        size = None if self.pipe_size is None else parse_pipe_size(self.pipe_size)
        diameter_mm, wall_mm = self.outside_diameter_mm, self.wall_mm
        if size is not None:
            diameter_mm = size.outside_diameter_mm
            wall_mm = size.wall_thickness_mm if wall_mm is None else wall_mm
        pulse = part.settings.pulse
        return Coupon(
            shape=Shape.PIPE if self.is_pipe else Shape.PLATE,
            outside_diameter_mm=diameter_mm,
            wall_thickness_mm=wall_mm,
            bore_mm=self.bore_mm,
            process=part.process,
            polarity=part.polarity,
            position=self.position,
            progression=self.progression,
            weld_pass=part.weld_pass,
            layer=part.layer,
            bead=part.bead,
            beads=part.beads,
            groove_width_mm=self.groove_width_mm,
            strip_side=self.strip_side,
            pulse=pulse if isinstance(pulse, PulseTimes) else None,
            panel_times=pulse if isinstance(pulse, PanelTimes) else None,
            groove=self.groove,
            root_gap_range_mm=None if self.groove is None else self.groove.root_gap_range_mm,
            depth=part.pass_depth,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class CouponFile:
    """A coupon with its passes, as its file says it; what is not said is None.

    Attributes
    ----------
    name, person
        What the coupon is called; nickname or number of who welds it.
    procedure, target
        Paths from the folder of the file.
    limits
        Name of a shipped limit set, or a path from the folder of the file.
    use_camera
        Whether stored calibrations of phones are used.
    sectors
        In how many sectors of the clock a weld of several photos is told.
    """

    name: str
    person: str | None = None
    procedure: str | None = None
    joint: JointPart = field(default_factory=JointPart)
    limits: str | None = None
    guard: DecisionRule | None = None
    units: LengthSystem | None = None
    target: str | None = None
    print_scale_mm: float | None = None
    use_camera: bool = True
    sectors: int | None = None
    passes: tuple[PassPart, ...] = ()
