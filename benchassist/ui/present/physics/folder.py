"""What a folder offers: folders and files that may hold a spectrum, and examples."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from benchassist import assets
from benchassist.domain.state import Bench
from benchassist.spectra_file import FileSpectrum, parse_spectrum, read_spectrum
from benchassist.ui.words import say
from benchassist.value import value

ENDINGS = (".csv", ".txt", ".dx", ".jdx", ".jcamp", ".spdx", ".xml")
MOST = 400  # entries; a spectrometer's folder of one day has fewer


@value
class Entry:
    """One row: a folder, a file, or an example that the program ships."""

    kind: Literal["folder", "file", "example"]
    name: str
    path: str


@value
class Listing:
    """A folder and what it offers; ``amiss`` where it cannot be read."""

    folder: str
    entries: tuple[Entry, ...]
    amiss: str = ""


def listing(folder: str, bench: Bench) -> Listing:
    """Return what a folder offers, folders first; examples in an example store."""
    here = Path(folder).expanduser()
    examples = _examples(bench)
    up = (Entry("folder", "..", str(here.parent)),)
    try:
        found = sorted(here.iterdir(), key=lambda path: path.name.lower())[:MOST]
        folders = tuple(
            Entry("folder", path.name, str(path))
            for path in found
            if path.is_dir() and not path.name.startswith(".")
        )
        files = tuple(
            Entry("file", path.name, str(path))
            for path in found
            if path.suffix.lower() in ENDINGS and path.is_file()
        )
    except OSError as error:
        why = error.strerror or str(error)
        return Listing(
            str(here),
            (*up, *examples),
            say("{here} cannot be read ({why}).", here=here, why=why),
        )
    return Listing(str(here), (*up, *folders, *files, *examples))


def _examples(bench: Bench) -> tuple[Entry, ...]:
    if bench.store is None or bench.store.kind == "real":
        return ()
    shipped = assets.folder("demo_cases").joinpath("spectra")
    names = sorted(each.name for each in shipped.iterdir())
    return tuple(
        Entry("example", name, name) for name in names if Path(name).suffix in ENDINGS
    )


def opened(entry: Entry) -> FileSpectrum:
    """Return the spectrum in a file or example; raises SpectrumFileError."""
    if entry.kind == "example":
        data = assets.read_bytes("demo_cases", "spectra", entry.path)
        return parse_spectrum(data, name=entry.path)
    return read_spectrum(Path(entry.path))
