"""What can be wrong with a photograph, said in the words of the person who sent it."""

from enum import StrEnum


class RefusalCode(StrEnum):
    """Why a file is not taken in; stable, so that screens and logs can tell the cases apart."""

    EMPTY = "empty"
    TOO_MANY_BYTES = "too-many-bytes"
    NOT_A_PHOTOGRAPH = "not-a-photograph"
    UNREADABLE = "unreadable"
    CAMERA_RAW = "camera-raw"
    TOO_MANY_PIXELS = "too-many-pixels"
    SIDE_TOO_LONG = "side-too-long"
    UNPACKS_TOO_LARGE = "unpacks-too-large"
    TOO_MANY_SCANS = "too-many-scans"
    UNSUPPORTED_PIXELS = "unsupported-pixels"


class PhotographError(Exception):
    """Base of everything this package raises about a file; `str()` is fit for the screen."""


class PhotographRefused(PhotographError):  # noqa: N818 (reads as the outcome it is)
    """The file is not taken in. `code` says why, `message` what is wrong and what is possible."""

    def __init__(self, code: RefusalCode, message: str) -> None:
        super().__init__(code, message)
        self.code = code
        self.message = message

    def __str__(self) -> str:
        return self.message


class PhotographDamaged(PhotographError):  # noqa: N818
    """A photograph by its first bytes that cannot be shown. The caller keeps the file as received.

    `reason` is a clause that completes "This photograph cannot be shown: ...".
    """

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason

    def __str__(self) -> str:
        return (
            f"This photograph cannot be shown: {self.reason}. The file is kept as it was received; "
            "if the camera still has the photograph, send it again."
        )
