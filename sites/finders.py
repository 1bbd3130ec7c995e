"""Static files from installed packages: the few named here, and nothing else of them."""

import importlib.util
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.staticfiles.finders import BaseFinder
from django.core.files.storage import FileSystemStorage, Storage
from whitenoise.storage import CompressedManifestStaticFilesStorage

from sites import fonts

# Address under static/ -> package and file in it.
PACKAGE_FILES = {
    "vendor/bootstrap.min.css": ("bootstrap", "css/bootstrap.min.css"),
    "vendor/bootstrap.bundle.min.js": ("bootstrap", "js/bootstrap.bundle.min.js"),
    # Named by the two above; the manifest refuses a reference to a file that is not there.
    "vendor/bootstrap.min.css.map": ("bootstrap", "css/bootstrap.min.css.map"),
    "vendor/bootstrap.bundle.min.js.map": ("bootstrap", "js/bootstrap.bundle.min.js.map"),
    "vendor/htmx.min.js": ("django_htmx", "static/django_htmx/htmx-2.min.js"),
}


class ModuleManifestStorage(CompressedManifestStaticFilesStorage):
    """File names carry their digest, also inside ES modules' own imports."""

    support_js_module_import_aggregation = True


class ListedFinder(BaseFinder):
    """Serves a fixed list of files from wherever they lie."""

    def files(self) -> dict[str, Path]:
        raise TypeError(f"{type(self).__name__} lists no files")

    def find(self, path: str, find_all: bool = False, **kwargs: Any) -> Any:
        file = self.files().get(path)
        if file is None:
            return []
        return [str(file)] if find_all else str(file)

    def list(self, ignore_patterns: Any) -> Iterator[tuple[str, Storage]]:
        for path, file in self.files().items():
            yield path, _OneFile(path, file)


class PackageFileFinder(ListedFinder):
    def files(self) -> dict[str, Path]:
        return {path: package_file(*place) for path, place in PACKAGE_FILES.items()}


class FontFinder(ListedFinder):
    """The text face, made once into the build folder from the font package."""

    def files(self) -> dict[str, Path]:
        return {
            f"fonts/{file.name}": file for file in fonts.web_fonts(settings.BUILD_DIR / "fonts")
        }


class _OneFile(FileSystemStorage):
    """The storage of one listed file, which may have another name where it lies."""

    def __init__(self, path: str, file: Path) -> None:
        super().__init__(location=file.parent)
        self.listed = {path: file.name}
        self.prefix = ""

    def path(self, name: str) -> str:
        return super().path(self.listed.get(name, name))


def package_file(package: str, path: str) -> Path:
    """Return where an installed package keeps `path`. Raises FileNotFoundError if it does not."""
    spec = importlib.util.find_spec(package)
    folders = list(spec.submodule_search_locations or []) if spec else []
    for folder in folders:
        file = Path(folder) / path
        if file.is_file():
            return file
    raise FileNotFoundError(f"the package {package} has no file {path}")
