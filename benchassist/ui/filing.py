"""Files read by a worker while the window is open: libraries, photos, print files."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from benchassist.domain.shape import MOST_OUTLINE, PartShape
from benchassist.value import value

if TYPE_CHECKING:
    from benchassist.mesh import Shape
    from benchassist.mesh.reading import Unit


# Where print files of this run lie, by digest: a record keeps no file and no path.
READ: dict[str, Path] = {}


def read_file(path: Path) -> object:
    """Return the command that files what stands in a library file."""
    from benchassist.library_file import read_library  # noqa: PLC0415 - pydantic

    return read_library(path)


def keep_photo(path: Path, store: Path) -> str:
    """Keep a photo, bare of metadata, beside a journal, and return its digest."""
    from benchassist.photo import keep, read_photo  # noqa: PLC0415 - Pillow

    photo = read_photo(path)
    keep(photo, store)
    return photo.digest


def read_print(path: Path, unit: Unit) -> PartShape:
    """Return what a print file says of its part."""
    from benchassist.mesh import read_shape  # noqa: PLC0415 - trimesh

    shape = shape_of(read_shape(path, unit), unit)
    READ[shape.digest] = path
    return shape


def shape_of(shape: Shape, unit: str) -> PartShape:
    """Return a shape as it stands on a record: rounded, with an outline to draw."""
    outline = _thinned(shape.outline_mm)
    return PartShape(
        digest=shape.digest,
        unit=unit,
        area_mm2=round(shape.area_mm2, 2),
        volume_mm3=round(shape.volume_mm3, 2),
        watertight=shape.watertight,
        width_mm=round(shape.width_mm, 3),
        depth_mm=round(shape.depth_mm, 3),
        height_mm=round(shape.height_mm, 3),
        outline_mm=tuple((round(x, 2), round(y, 2)) for x, y in outline),
    )


def _thinned(
    outline: Sequence[tuple[float, float]],
) -> Sequence[tuple[float, float]]:
    step = -(-len(outline) // MOST_OUTLINE)
    return outline[:: max(1, step)]


@value
class Found:
    """A photo as it lies beside the journal: its bytes, or what is amiss with it."""

    digest: str
    data: bytes = b""
    amiss: str = ""


def photos(digests: Sequence[str], store: Path) -> tuple[Found, ...]:
    """Return photos by their digests; one that is missing or altered says so."""
    return tuple(_photo(digest, store) for digest in digests)


def _photo(digest: str, store: Path) -> Found:
    from benchassist.files import read_whole  # noqa: PLC0415 - few have photos
    from benchassist.photo import FOLDER, whole  # noqa: PLC0415

    amiss = whole(store, digest)
    if amiss:
        return Found(digest, amiss=amiss)
    return Found(digest, read_whole(store / FOLDER / f"{digest}.jpg"))
