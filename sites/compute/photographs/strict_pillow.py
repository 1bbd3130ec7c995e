"""Holds Pillow's process-wide switches at strict values while a photograph is being read."""

import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager

from PIL import Image, ImageFile

_switches_lock = threading.Lock()


class _Switches:
    """Counts the readers: the first to come saves the switches, the last to go puts them back.

    Other libraries set them for the whole process (WeasyPrint lets truncated images load), and a
    reader that put back what it found while another was still reading would undo it for that one.
    """

    def __init__(self) -> None:
        self._readers = 0
        self._truncated_allowed = False
        self._max_pixels: int | None = None
        self._warnings = warnings.catch_warnings()

    def hold(self, max_pixels: int) -> None:
        with _switches_lock:
            if self._readers == 0:
                self._truncated_allowed = ImageFile.LOAD_TRUNCATED_IMAGES
                self._max_pixels = Image.MAX_IMAGE_PIXELS
                self._warnings = warnings.catch_warnings()
                self._warnings.__enter__()
                # Broken metadata makes Pillow warn and go on, which is what is wanted here.
                warnings.simplefilter("ignore")
                warnings.simplefilter("error", Image.DecompressionBombWarning)
                Image.MAX_IMAGE_PIXELS = max_pixels
            Image.MAX_IMAGE_PIXELS = max(Image.MAX_IMAGE_PIXELS or 0, max_pixels)
            ImageFile.LOAD_TRUNCATED_IMAGES = False
            self._readers += 1

    def release(self) -> None:
        with _switches_lock:
            self._readers -= 1
            if self._readers == 0:
                ImageFile.LOAD_TRUNCATED_IMAGES = self._truncated_allowed
                Image.MAX_IMAGE_PIXELS = self._max_pixels
                self._warnings.__exit__(None, None, None)


_switches = _Switches()


@contextmanager
def strict_pillow(max_pixels: int) -> Iterator[None]:
    """Read photographs inside this: truncated files fail, as do more pixels than `max_pixels`.

    Safe to enter from several threads at once; the switches are as before when the last one leaves.
    """
    _switches.hold(max_pixels)
    try:
        yield
    finally:
        _switches.release()
