"""A photo of a part or a shelf, made fit to be kept: small, and without metadata.

A telephone writes into a picture where and when it was taken and by whose device.
Whatever comes in is decoded, turned upright, made smaller and written anew by Pillow,
so that only pixels stay. Kept beside the journal under the SHA-256 of what is kept.
"""

from __future__ import annotations

import warnings
from hashlib import sha256
from io import BytesIO
from pathlib import Path

from benchassist.files import folder_for, quiet, read_whole, write_whole
from benchassist.value import value

FOLDER = "photos"
MOST_PIXELS = 100_000_000  # no camera at a bench has more; a bomb has
LONGEST_PX = 2000  # a margin of 0.1 mm is seen on a picture of a whole arch
QUALITY = 88  # [%] of JPEG: above it files grow and nothing more is seen
FORMATS = ("JPEG", "PNG", "WEBP", "BMP", "TIFF")


class PhotoError(ValueError):
    """A photo that is not taken; its text is the sentence for the screen."""


@value
class Photo:
    """What is kept of a photo: its JPEG bytes and their SHA-256."""

    digest: str
    data: bytes

    @property
    def name(self) -> str:
        """Return the file's name in the folder of photos."""
        return f"{self.digest}.jpg"


def read_photo(path: Path) -> Photo:
    """Return a photo without its metadata.

    Raises
    ------
    PhotoError
        If it cannot be read or is no photo.
    """
    try:
        data = read_whole(path)
    except OSError as error:
        msg = f"{path.name!r} cannot be opened ({error.strerror}): choose a photo."
        raise PhotoError(msg) from None
    from PIL import Image, ImageOps  # noqa: PLC0415 - only who adds a photo waits

    try:
        with warnings.catch_warnings(), quiet("PIL"):
            warnings.simplefilter("error")  # a bomb is first only warned of
            with Image.open(BytesIO(data), formats=FORMATS) as opened:
                _check_pixels(opened.width * opened.height)
                upright = ImageOps.exif_transpose(opened).convert("RGB")
    except Exception as error:  # noqa: BLE001 - a decoder fails in as many ways as files do
        msg = (
            f"{path.name!r} is no photo that can be read ({type(error).__name__}):"
            " save it as JPEG or PNG."
        )
        raise PhotoError(msg) from None
    upright.thumbnail((LONGEST_PX, LONGEST_PX))
    # Only the pixels: a new picture has no metadata to write.
    bare = Image.frombytes("RGB", upright.size, upright.tobytes())
    out = BytesIO()
    bare.save(out, "JPEG", quality=QUALITY)
    kept = out.getvalue()
    return Photo(sha256(kept).hexdigest(), kept)


def whole(store: Path, digest: str) -> str:
    """Return what is amiss with a photo beside a journal, or nothing."""
    try:
        data = read_whole(store / FOLDER / f"{digest}.jpg")
    except OSError:
        return "is missing from the store"
    changed = sha256(data).hexdigest() != digest
    return "was altered since it was kept" if changed else ""


def copy_beside(source: Path, target: Path) -> tuple[int, tuple[str, ...]]:
    """Copy the photos beside one journal to beside another; those there stay.

    Returns how many are there then, and the digests of those that are not whole.

    Raises
    ------
    OSError
        If a folder refuses.
    """
    names = sorted(path.stem for path in (source / FOLDER).glob("*.jpg"))
    amiss = []
    for digest in names:
        if whole(source, digest):
            amiss.append(digest)
        path = folder_for(target / FOLDER) / f"{digest}.jpg"
        if not path.exists():
            write_whole(path, read_whole(source / FOLDER / path.name))
    return len(names), tuple(amiss)


def _check_pixels(pixels: int) -> None:
    if pixels > MOST_PIXELS:
        msg = f"{pixels} pixels"
        raise ValueError(msg)


def keep(photo: Photo, store: Path) -> Path:
    """Write a photo beside a journal, once, and return its file.

    Raises
    ------
    PhotoError
        If the folder refuses.
    """
    try:
        path = folder_for(store / FOLDER) / photo.name
        return path if path.exists() else write_whole(path, photo.data)
    except OSError as error:
        msg = f"The photo cannot be kept ({error.strerror}): free some space."
        raise PhotoError(msg) from error
