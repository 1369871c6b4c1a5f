"""Whatever comes from outside, mutated at random: refused in a sentence, or taken whole.

Scans, library files, spectra, print files and photos are cut, doubled, shuffled and
salted with what parsers stumble over. ``trial`` lets the program read one and raises
where anything but a sentence comes of it, where what was taken cannot be written down
and read back, or where a refusal left a trace. Seeded; no mutation is a file of anybody.
"""

from __future__ import annotations

import random
import tempfile
from io import BytesIO
from pathlib import Path

import numpy as np
import trimesh
from PIL import Image

from benchassist import assets
from benchassist.domain import commands as cm
from benchassist.domain.decide import decide
from benchassist.domain.evolve import after
from benchassist.domain.outcome import Refusal
from benchassist.journal.codec import CODEC
from benchassist.library_file import LibraryError, read_library
from benchassist.mesh import MeshError, read_shape
from benchassist.photo import PhotoError, read_photo
from benchassist.scan.hibc import check_character
from benchassist.spectra_file import SpectrumFileError, read_spectrum
from benchassist.ui.present.forms import FormError
from benchassist.ui.present.shelf import bottle_of
from tests.domain.builders import Desk

LONGEST = 1200  # characters of what is said, a library's several faults included
SALT = (
    *(b"\x00", b"\xff\xfe", b"\x1d", b"\n", b"\r\n", b'"', b"'", b"<", b"&", b"]]>"),
    *(b"nan", b"inf", b"-inf", b"1e999", b"-1", b"0", b"9" * 30, b"0x10", b"1_000"),
    *(b"true", b"null", b"{}", b"[]", b"\xe2\x80\xae", b"\xc3\x28", b"../..", b"#"),
    *(b"\xed\xa0\x80", b"1979-13-45", b"=1+1", b"%s%n", b"\x1b[2J", "ß".encode()),
)


def scans():
    """Return good scans of every form that is read."""
    hibc = ("+A123BJC5D6E7", "+A99912345/$$52001510X3", "+A99912345/20366A1")
    return [
        b"]d201095060001343521729022810LOT-A42\x1d21SN0007",
        b"010950600013435210LOT-A42\x1d17290200",
        b"(01)09506000134352(17)290228(10)LOT-A42",
        b"6291041500213",
        b"PART:EX-41",
        *((text + check_character(text)).encode() for text in hibc),
    ]


def libraries():
    """Return a whole library, and each of its tables alone."""
    whole = assets.read_text("demo_cases", "practice.toml")
    tables = whole.split("\n[[")
    return [whole.encode(), *(f"[[{each}".encode() for each in tables[1:12])]


def spectra():
    """Return the shipped examples of every form that is read."""
    names = ("ex_gv_04.jdx", "ex_lm_d.csv", "ex_lm_e.spdx")
    return [assets.read_bytes("demo_cases", "spectra", name) for name in names]


def meshes():
    """Return a small part in every form that is read."""
    box = trimesh.creation.box((8.0, 10.0, 12.0))
    kinds = (box.export(file_type=kind) for kind in ("stl", "obj", "3mf"))
    return [found.encode() if isinstance(found, str) else found for found in kinds]


def photos():
    """Return a small picture in every form that is read."""
    drawn = np.random.default_rng(3).integers(0, 255, (24, 32, 3), dtype=np.uint8)
    out = []
    for kind in ("JPEG", "PNG", "WEBP", "BMP", "TIFF"):
        held = BytesIO()
        Image.fromarray(drawn).save(held, kind)
        out.append(held.getvalue())
    return out


def mutated(data: bytes, draw: random.Random) -> bytes:
    """Return ``data`` after one to five cuts, doublings, flips or grains of salt."""
    found = bytearray(data)
    for _ in range(draw.randint(1, 5)):
        at = draw.randrange(len(found) + 1)
        much = min(len(found) - at, int(draw.expovariate(1 / 12)) + 1)
        match draw.randrange(6):
            case 0:
                del found[at : at + much]
            case 1:
                found[at:at] = found[at : at + much] * draw.randint(1, 3)
            case 2 if found:
                found[at % len(found)] ^= 1 << draw.randrange(8)
            case 3:
                found[at : at + much] = draw.choice(SALT)
            case 4:
                found[at:at] = draw.choice(SALT)
            case _:
                back = draw.randrange(len(found) + 1)
                found[at : at + much] = found[back : back + much]
    return bytes(found)


class Taken:
    """A bench that what is read comes to, and a folder that must stay as it is."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.desk = Desk()

    def scan(self, data: bytes) -> bool:
        """Hand a scan in on the form for a bottle."""
        typed = data.decode("latin-1")
        values = {"scan": typed, "material": "EX-CC", "lot": "", "expires": ""}
        try:
            command = bottle_of(values)
        except FormError as error:
            return said(error)
        return self._filed(command)

    def library(self, data: bytes) -> bool:
        """File a library."""
        try:
            command = read_library(self._file(data, "toml"))
        except LibraryError as error:
            return said(error)
        return self._filed(command)

    def spectrum(self, data: bytes) -> bool:
        """Read a spectrum, by whatever its content is."""
        try:
            found = read_spectrum(self._file(data, "csv"))
        except SpectrumFileError as error:
            return said(error)
        nm, values = np.array(found.nm), np.array(found.values)
        assert np.isfinite(values).all()
        assert (np.diff(nm) > 0).all()
        return True

    def mesh(self, data: bytes) -> bool:
        """Read a print file in the form that its beginning says."""
        kind = "3mf" if data[:2] == b"PK" else "obj" if b"v " in data[:200] else "stl"
        try:
            shape = read_shape(self._file(data, kind), "mm")
        except MeshError as error:
            return said(error)
        assert np.isfinite([shape.area_mm2, shape.height_mm]).all()
        return True

    def photo(self, data: bytes) -> bool:
        """Read a photo; what is kept of it can be opened."""
        try:
            found = read_photo(self._file(data, "jpg"))
        except PhotoError as error:
            return said(error)
        with Image.open(BytesIO(found.data)) as opened:
            assert not opened.getexif()
        return True

    def _file(self, data: bytes, kind: str) -> Path:
        path = self.folder / f"ex.{kind}"
        path.write_bytes(data)
        return path

    def _filed(self, command: cm.FileLibrary) -> bool:
        """File what was read: all of it can be written down, or nothing is."""
        bench = self.desk.bench
        decision = decide(bench, command, self.desk.now)
        if isinstance(decision, Refusal):
            assert decision.message.isprintable()
            return False
        for event in decision:
            kept = CODEC.encode(event)
            again = CODEC.decode(
                kept.kind, type(event).version, kept.payload, kept.text
            )
            assert again == event
            bench = after(bench, event, self.desk.now)
        return True


def said(error: ValueError) -> bool:
    """Return that nothing was taken, once what is said can stand on a screen."""
    told = str(error)
    assert told.strip()
    assert len(told) <= LONGEST, told[:300]
    assert all(line.isprintable() for line in told.split("\n")), repr(told[:300])
    return False


READERS = {
    # kind: where good ones come from, what reads one
    "scan": (scans, Taken.scan),
    "library": (libraries, Taken.library),
    "spectrum": (spectra, Taken.spectrum),
    "mesh": (meshes, Taken.mesh),
    "photo": (photos, Taken.photo),
}


def trials(kind: str, many: int, seed: int) -> tuple[int, int]:
    """Read ``many`` mutated inputs of a kind; return how many were refused and taken.

    Raises
    ------
    AssertionError
        With the input, where anything but a sentence came of it.
    """
    sources, read = READERS[kind]
    draw, good = random.Random(seed), sources()
    with tempfile.TemporaryDirectory() as folder:
        taken = Taken(Path(folder))
        assert any(read(taken, data) for data in good)
        bench, count = taken.desk.bench, 0
        for number in range(many):
            data = mutated(draw.choice(good), draw)
            try:
                count += read(taken, data)
            except Exception as error:
                told = f"{kind} {seed}, {number}: {type(error).__name__}: {error}"
                message = f"{told}\n{data[:400]!r}"
                raise AssertionError(message) from error
            assert taken.desk.bench is bench  # nothing is stored before it is filed
        assert len(list(taken.folder.iterdir())) <= 3
    return many - count, count
