"""What a disk may hold after the power failed, rebuilt from a trace of system calls.

Until a file is synced, each 512 B sector that was written to it may have reached the
disk or not, whatever the order; so may a change of length, and a new or removed name
until its folder is synced. A sector is written whole or not at all.
"""

import re
from dataclasses import dataclass, field

SECTOR_BYTES = 512
CALLS = "openat,close,write,pwrite64,lseek,ftruncate,fsync,fdatasync,unlink,rename"
_CALL = re.compile(r"^\d+ +(\w+)\((.*)\) += (-?\d+)")
_TEXT = re.compile(r'"((?:\\x[0-9a-f]{2})*)"')


@dataclass
class File:
    """One file: what is on the disk for certain, and what is on its way."""

    name: str
    held: bytearray = field(default_factory=bytearray)
    pending: list[tuple[int, bytes | None]] = field(default_factory=list)
    named: bool = False  # its name is on the disk for certain
    removed: bool = False

    def sync(self):
        """Let everything that is on its way arrive."""
        for change in self.pending:
            _apply(self.held, *change)
        self.pending.clear()

    def after_a_cut(self, chance):
        """Return what may be found afterwards."""
        found = bytearray(self.held)
        for at, data in self.pending:
            if data is None:
                if chance.random() < 0.5:
                    _apply(found, at, None)
                continue
            for start, piece in _sectors(at, data):
                if chance.random() < 0.5:
                    _apply(found, start, piece)
        return bytes(found)


def _apply(held, at, data):
    if data is None:
        del held[at:]
        held.extend(bytes(at - len(held)))
    else:
        held.extend(bytes(max(0, at - len(held))))
        held[at : at + len(data)] = data


def _sectors(at, data):
    while data:
        size = SECTOR_BYTES - at % SECTOR_BYTES
        yield at, data[:size]
        at, data = at + size, data[size:]


class Disk:
    """The files of one folder, as one traced process after another changes them."""

    def __init__(self, folder):
        self.folder = str(folder)
        self.files = {}
        self.said = []  # lines the process wrote on its standard output
        self._open = {}
        self._at = {}

    def play(self, line):
        """Let one line of the trace happen; return whether it touched the disk."""
        found = _CALL.match(line)
        if not found or found[3].startswith("-"):
            return False
        call, told, result = found[1], found[2], int(found[3])
        texts = [bytes.fromhex(text.replace("\\x", "")) for text in _TEXT.findall(told)]
        numbers = [part.strip() for part in _TEXT.sub("", told).split(",")]
        done = getattr(self, f"_{call}", None)
        return bool(done and done(texts, numbers, result))

    def after_a_cut(self, chance):
        """Return the files that may be found, by name."""
        return {
            file.name: file.after_a_cut(chance)
            for file in self.files.values()
            if (file.named and not file.removed) or chance.random() < 0.5
        }

    def _openat(self, texts, numbers, handle):
        path = texts[0].decode()
        self._open.pop(handle, None)
        if path == self.folder:
            self._open[handle] = None
        elif path.startswith(f"{self.folder}/"):
            name = path.removeprefix(f"{self.folder}/")
            self._open[handle] = self.files.setdefault(name, File(name))
            self._at[handle] = 0
            if any("O_TRUNC" in flags for flags in numbers):
                self._open[handle].pending.append((0, None))
        return False

    def _close(self, texts, numbers, result):
        del texts, result
        self._open.pop(int(numbers[0]), None)
        return False

    def _lseek(self, texts, numbers, result):
        del texts
        self._at[int(numbers[0])] = result
        return False

    def _write(self, texts, numbers, result):
        handle = int(numbers[0])
        if handle == 1:
            self.said.append(texts[0].decode())
        file = self._open.get(handle)
        if file is None:
            return False
        file.pending.append((self._at[handle], texts[0][:result]))
        self._at[handle] += result
        return True

    def _pwrite64(self, texts, numbers, result):
        file = self._open.get(int(numbers[0]))
        if file is None:
            return False
        file.pending.append((int(numbers[3]), texts[0][:result]))
        return True

    def _ftruncate(self, texts, numbers, result):
        del texts, result
        file = self._open.get(int(numbers[0]))
        if file is None:
            return False
        file.pending.append((int(numbers[1]), None))
        return True

    def _fsync(self, texts, numbers, result):
        del texts, result
        handle = int(numbers[0])
        if handle not in self._open:
            return False
        file = self._open[handle]
        if file is not None:
            file.sync()
            return True
        for name, each in list(self.files.items()):
            each.named = True
            if each.removed:
                del self.files[name]
        return True

    _fdatasync = _fsync

    def _unlink(self, texts, numbers, result):
        del numbers, result
        name = texts[0].decode().removeprefix(f"{self.folder}/")
        if name in self.files:
            self.files[name].removed = True
        return True
