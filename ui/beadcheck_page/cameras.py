"""The cameras that were calibrated on the computer that serves the page."""

import logging
import os
from typing import Final

from beadcheck.camera.book import CameraBook
from beadcheck.camera.store import camera_folder, read_book
from beadcheck.errors import InputFileError

_LOG: Final = logging.getLogger(__name__)


def calibrated_cameras() -> CameraBook:
    """Return the stored cameras; a broken file is told in the log, and none is used."""
    try:
        return read_book(camera_folder(os.environ))
    except InputFileError as refusal:
        _LOG.warning("stored cameras are not used: %s", refusal)
        return CameraBook()
