"""What a document may bring in while it is printed: files named beforehand, and nothing else."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from weasyprint.urls import URLFetcher, URLFetcherResponse

TYPES = {".css": "text/css", ".svg": "image/svg+xml", ".jpg": "image/jpeg", ".ttf": "font/ttf"}
END_OF_JPEG = b"\xff\xd9"


class RefusedError(ValueError):
    """The document asked for something it was not given."""


class GivenFilesFetcher(URLFetcher):  # type: ignore[misc]  # the library has no types
    """Serves the addresses it was given and remembers which others were asked for."""

    def __init__(self, files: Mapping[str, Path]) -> None:
        super().__init__(allowed_protocols=("photo", "font", "style"), allow_redirects=False)
        self.files = files
        self.refused: list[str] = []

    def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
        """Return the file of `url`. Raises RefusedError for any address not given."""
        path = self.files.get(url)
        if path is None or not path.is_file():
            self.refused.append(url)
            raise RefusedError(f"{url} is not a part of this document")
        data = path.read_bytes()
        # The layout library draws what there is of half a photograph: we would rather say so.
        if url.startswith("photo:") and not data.endswith(END_OF_JPEG):
            self.refused.append(url)
            raise RefusedError(f"{url} is not a whole photograph")
        kind = TYPES.get(path.suffix, "application/octet-stream")
        return URLFetcherResponse(url, data, {"Content-Type": kind})
