"""Refusals of toes that a person placed, and of the file that lists them."""

from beadcheck.errors.base import BeadError, InputFileError


class ToesFileNotReadableError(InputFileError):
    """The file of toe points is no text."""

    code = "toes_file_not_readable"
    problem = "{file!r} cannot be read as a table of toe points ({why})."
    remedy = "Save it from the spreadsheet as CSV, UTF-8."

    def __init__(self, file: str, why: str) -> None:
        super().__init__(file, why)
        self.file, self.why = file, why


class ToesHeaderError(InputFileError):
    """The first line of the file does not name the columns."""

    code = "toes_header"
    problem = "{file}, line 1: the columns are {found}, but must be toe, x_px and y_px."
    remedy = "Let the first line read toe,x_px,y_px or, for several photos, file,toe,x_px,y_px."

    def __init__(self, file: str, found: str) -> None:
        super().__init__(file, found)
        self.file, self.found = file, found


class ToesWithoutPhotoError(InputFileError):
    """Several photos are measured, and the rows do not say whose toes they are."""

    code = "toes_without_photo"
    problem = "{file}, line 1: there is no column file, and {count} photos are measured."
    remedy = "Add the column file with each photo's name, or measure one photo alone."

    def __init__(self, file: str, count: int) -> None:
        super().__init__(file, count)
        self.file, self.count = file, count


class ToesOfNoPhotoError(InputFileError):
    """No row belongs to a photo that is measured."""

    code = "toes_of_no_photo"
    problem = "{file}: no row is about {photos}."
    remedy = "Give two points or more along a toe; the column file holds the photo's name."

    def __init__(self, file: str, photos: str) -> None:
        super().__init__(file, photos)
        self.file, self.photos = file, photos


class PhotosOfOneNameError(InputFileError):
    """Two photos from different folders share the name that the rows give."""

    code = "photos_of_one_name"
    problem = "{place}: two of the photos are called {photo}."
    remedy = "Measure them one after the other, or rename one."

    def __init__(self, place: str, photo: str) -> None:
        super().__init__(place, photo)
        self.place, self.photo = place, photo


class TooFewToePointsError(InputFileError):
    """One point shows no line."""

    code = "too_few_toe_points"
    problem = "{place}: this is the only point of the {toe} toe; a line needs two."
    remedy = "Add another point of that toe, or take this one out."

    def __init__(self, place: str, toe: str) -> None:
        super().__init__(place, toe)
        self.place, self.toe = place, toe


class ToesCrossError(InputFileError):
    """The two lines cross, so neither can be a toe all along."""

    code = "toes_cross"
    problem = "{place}: the two toes cross."
    remedy = "Check that each point carries the right toe, and that x and y are not swapped."

    def __init__(self, place: str) -> None:
        super().__init__(place)
        self.place = place


class SameToeTwiceError(InputFileError):
    """Both lines lie along one toe."""

    code = "same_toe_twice"
    problem = "{place}: both lines lie on the same side of the weld."
    remedy = "Give one line along each toe, or call all points of one toe by one name."

    def __init__(self, place: str) -> None:
        super().__init__(place)
        self.place = place


class OneToeAloneError(BeadError):
    """No weld was found, and a person placed one toe only."""

    code = "one_toe_alone"
    problem = "No weld was found, and only one toe was placed by hand."
    remedy = "Place the other toe by hand too, over the same length of the weld."


class ToesShareTooLittleError(BeadError):
    """The two toes by hand lie beside each other over too short a length."""

    code = "toes_share_too_little"
    problem = (
        "The weld's own toes were not found, and the two toes placed by hand lie opposite each "
        "other over {shared:.1f} weld widths; {needed:.1f} are needed."
    )
    remedy = "Place both toes over the same length of the weld."

    def __init__(self, shared: float, needed: float) -> None:
        super().__init__(shared, needed)
        self.shared, self.needed = shared, needed


class HandWidthError(BeadError):
    """Both toes by hand, and no weld is as narrow or as wide as they are apart."""

    code = "hand_width"
    problem = "The two toes placed by hand lie {width_mm:.1f} mm apart."
    remedy = "Place them on one weld of {least_mm:.0f} to {most_mm:.0f} mm width."

    def __init__(self, width_mm: float, least_mm: float, most_mm: float) -> None:
        super().__init__(width_mm, least_mm, most_mm)
        self.width_mm, self.least_mm, self.most_mm = width_mm, least_mm, most_mm


class ToeOffSurfaceError(BeadError):
    """A point lies where the surface is not in view."""

    code = "toe_off_surface"
    problem = "A point of a toe placed by hand lies beside the metal that the target shows."
    remedy = "Put every point on the toe itself."


class ToeAwayFromWeldError(BeadError):
    """One toe by hand lies far from the weld that was found."""

    code = "toe_away_from_weld"
    problem = "The toe placed by hand lies away from the weld that was found."
    remedy = "Place both toes by hand, over the same length of the weld."


class ToesOnOneSideError(BeadError):
    """Both toes by hand lie on one side of the weld that was found."""

    code = "toes_on_one_side"
    problem = "Both toes placed by hand lie on the same side of the weld."
    remedy = "Place one line along each toe, or name the points of one toe alike."
