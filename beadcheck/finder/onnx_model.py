"""A network shipped with the package, loaded once and run by OpenCV."""

import threading
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files

import cv2
import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True)
class OnnxModel:
    """OpenCV keeps a network's input inside it, so one thread at a time may ask."""

    net: cv2.dnn.Net
    lock: threading.Lock = field(default_factory=threading.Lock)

    def answer(self, codes: NDArray[np.float32]) -> NDArray[np.float32]:
        """Return a copy of what the network makes of (1, C, H, W) contiguous values."""
        with self.lock:
            self.net.setInput(codes)
            return np.array(self.net.forward(), dtype=np.float32)


@cache
def shipped_model(file: str) -> OnnxModel:
    """Load a model of this package by its file name."""
    model = (files("beadcheck.finder") / file).read_bytes()
    return OnnxModel(net=cv2.dnn.readNetFromONNX(np.frombuffer(model, dtype=np.uint8)))
