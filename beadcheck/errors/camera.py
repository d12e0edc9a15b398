"""Refusals of a camera's calibration."""

from beadcheck.errors.base import CameraError, SettingError


class ChessboardNotFoundError(CameraError):
    """A photo that does not show the whole chessboard."""

    code = "chessboard_not_found"
    problem = "No chessboard of {columns} by {rows} inner corners can be read in this photo."
    remedy = (
        "Count the corners where four squares meet, along and across, and take the whole board "
        "into the picture, in focus and out of glare."
    )

    def __init__(self, columns: int, rows: int) -> None:
        super().__init__(columns, rows)
        self.columns, self.rows = columns, rows


class MirroredPhotoError(CameraError):
    """A photo that its file turns into its mirror image."""

    code = "mirrored_photo"
    problem = "This photo's file says that it is to be mirrored, as selfie cameras do."
    remedy = "Use the main camera, and switch mirroring off."


class OtherBoardError(CameraError):
    """A photo that shows another board than the photos before it."""

    code = "other_board"
    problem = "This photo shows another board ({board}) than the others ({usual})."
    remedy = "Take all photos of one and the same board."

    def __init__(self, board: str, usual: str) -> None:
        super().__init__(board, usual)
        self.board, self.usual = board, usual


class BoardMovedError(CameraError):
    """A photo whose board does not fit what the others say."""

    code = "board_moved"
    problem = (
        "This photo's board misses its place by {residual_px:.2f} px, the others' by "
        "{usual_px:.2f} px."
    )
    remedy = "Keep the board flat and still, hold the camera still, and retake this photo."

    def __init__(self, residual_px: float, usual_px: float) -> None:
        super().__init__(residual_px, usual_px)
        self.residual_px, self.usual_px = residual_px, usual_px


class TooFewCameraPhotosError(CameraError):
    """Not enough photos that show the board."""

    code = "too_few_camera_photos"
    problem = "{count}; {needed} are needed.{first}"
    remedy = (
        "Take {needed} photos or more of the flat board that fill the picture, each tilted another "
        "way by about 25°."
    )

    def __init__(self, usable: int, given: int, needed: int, first: str) -> None:
        super().__init__(usable, given, needed, first)
        self.usable, self.given, self.needed = usable, given, needed
        self.count = (
            f"There are {given} photos only"
            if usable == given
            else f"Only {usable} of {given} photos can be used"
        )
        self.first = f" The first that cannot: {first}" if first else ""


class MixedCamerasError(CameraError):
    """Photos that were not taken with one camera, lens and format."""

    code = "mixed_cameras"
    problem = (
        "The photos were not taken with one camera and lens: {one_file} {one}, {file} {other}."
    )
    remedy = "Give photos of one camera, at one zoom and picture size, uncropped."

    def __init__(self, one_file: str, one: str, file: str, other: str) -> None:
        super().__init__(one_file, one, file, other)
        self.one_file, self.one, self.file, self.other = one_file, one, file, other


class ViewsTooAlikeError(CameraError):
    """Photos that all look at the board from nearly one direction."""

    code = "views_too_alike"
    problem = (
        "All photos look at the board from nearly one direction, at most {spread_deg:.0f}° apart; "
        "at least {needed_deg:.0f}° are needed to tell the focal length."
    )
    remedy = (
        "Tilt the camera by 20 to 35° to the left, the right, the near and the far side of the "
        "board, a photo each."
    )

    def __init__(self, spread_deg: float, needed_deg: float) -> None:
        super().__init__(spread_deg, needed_deg)
        self.spread_deg, self.needed_deg = spread_deg, needed_deg


class CameraUnclearError(CameraError):
    """Photos from which the camera comes out too unsure to be of use."""

    code = "camera_unclear"
    problem = (
        "From these photos the {figure} is known to {uncertainty} only; at most {limit} is of use."
    )
    remedy = (
        "Take more photos of the flat board, tilted by 20 to 35° to all sides, filling the picture "
        "to its corners."
    )

    def __init__(self, figure: str, uncertainty: str, limit: str) -> None:
        super().__init__(figure, uncertainty, limit)
        self.figure, self.uncertainty, self.limit = figure, uncertainty, limit


class BoardUnevenError(CameraError):
    """Photos that no flat board explains."""

    code = "board_uneven"
    problem = (
        "The board misses its places by {residual_px:.2f} px, and at most {limit_px:.2f} px can be "
        "used."
    )
    remedy = (
        "Lay it flat on something firm, check its file or the count of its corners against the "
        "print, and retake the photos."
    )

    def __init__(self, residual_px: float, limit_px: float) -> None:
        super().__init__(residual_px, limit_px)
        self.residual_px, self.limit_px = residual_px, limit_px


class UnknownCameraError(SettingError):
    """A name that no stored camera has."""

    code = "unknown_camera"
    problem = "There is no stored camera {name!r}."
    remedy = "{known}"

    def __init__(self, name: str, names: tuple[str, ...]) -> None:
        super().__init__(name, names)
        self.name, self.names = name, names
        self.known = (
            f"Choose one of {', '.join(map(repr, names))}." if names else "None is stored yet."
        )


class CameraNameTakenError(SettingError):
    """A name that another stored camera has."""

    code = "camera_name_taken"
    problem = "Another stored camera is called {name!r} ({make} {model})."
    remedy = "Give another name."

    def __init__(self, name: str, make: str, model: str) -> None:
        super().__init__(name, make, model)
        self.name, self.make, self.model = name, make, model
