"""Find the files the program ships, installed or in a checkout.

Knows where the two data folders lie and nothing of what is in them.
A wheel carries them under ``benchassist/_data``; in a checkout, and so in an
editable install, they lie beside the package.
"""

from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Literal, TypeAlias

FolderName: TypeAlias = Literal["resources", "demo_cases"]


class MissingAssetError(FileNotFoundError):
    """A file that belongs to the program is not where it should be."""


@cache
def folder(name: FolderName) -> Traversable:
    """Return one of the program's data folders.

    Parameters
    ----------
    name
        Which folder.

    Returns
    -------
    Traversable
        The folder; within a zipped wheel it has no path on disk.

    Raises
    ------
    MissingAssetError
        If this copy of the program came without the folder.
    """
    package = files("benchassist")
    installed = package.joinpath("_data", name)
    if installed.is_dir():
        return installed
    if isinstance(package, Path) and (package.parent / "pyproject.toml").is_file():
        beside = package.parent / name
        if beside.is_dir():
            return beside
    message = (
        f"The folder {name} is missing from this copy of Bench Assist in"
        f" {package}; install the program again."
    )
    raise MissingAssetError(message)


def read_bytes(name: FolderName, *parts: str) -> bytes:
    """Return the content of one shipped file.

    Parameters
    ----------
    name
        The data folder.
    *parts
        Path below it, one argument for each folder and the last for the file.

    Returns
    -------
    bytes
        The whole content.

    Raises
    ------
    MissingAssetError
        If the folder is missing, or the file is.
    """
    return _file(name, *parts).read_bytes()


def read_text(name: FolderName, *parts: str) -> str:
    """Return the content of one shipped text file, read as UTF-8.

    Parameters
    ----------
    name
        The data folder.
    *parts
        Path below it, one argument for each folder and the last for the file.

    Returns
    -------
    str
        The whole text.

    Raises
    ------
    MissingAssetError
        If the folder is missing, or the file is.
    """
    return _file(name, *parts).read_text(encoding="utf-8")


def _file(name: FolderName, *parts: str) -> Traversable:
    file = folder(name).joinpath(*parts)
    if not file.is_file():
        message = (
            f"The file {'/'.join((name, *parts))} is missing from this copy of"
            " Bench Assist; install the program again."
        )
        raise MissingAssetError(message)
    return file
