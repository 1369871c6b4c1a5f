"""Faults that come from outside: files, folders, names, sticks, other users."""

import io
import json
import os
import shutil
import signal
import subprocess
import sys
import threading
from contextlib import contextmanager, suppress
from functools import partial

from benchassist import assets
from benchassist.calculators.run import main as calc
from benchassist.clock import RealClock
from benchassist.domain import commands as cm
from benchassist.journal.errors import JournalError
from benchassist.journal.files import DATABASE
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.library_file import LibraryError
from benchassist.library_file.reading import parse_library, read_library
from benchassist.records import export
from benchassist.records.export import ExportError, export_day
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.rehearsal.script import ScriptError, load_script
from benchassist.session import Session
from benchassist.spectra_file import SpectrumFileError, read_spectrum
from benchassist.ui.present.look import look
from tests.faults.at_rest import truth
from tests.faults.row import Found, can_mount, injected, original, pull_out, small_disk

NOBODY = 65534
WITHIN_S = 20  # [s] nothing from outside may take longer
DEEP = 100_000


@contextmanager
def in_time():
    """Raise where something takes longer than it may."""

    def late(*_):
        raise TimeoutError

    old = signal.signal(signal.SIGALRM, late)
    signal.alarm(WITHIN_S)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, old)


# --- files that somebody hands over --------------------------------------------------------


def pipe(made):
    os.mkfifo(made / "x.toml")
    return made / "x.toml"


def device(made):
    (made / "x.toml").symlink_to("/dev/zero")
    return made / "x.toml"


def too_long(made):
    with (made / "x.toml").open("wb") as file:
        file.truncate(17 * 2**20)
    return made / "x.toml"


def written(text, name="x.toml"):
    def make(made):
        (made / name).write_text(text, "utf-8")
        return made / name

    return make


def lots_deep(levels, wide):
    """Return a library of lots whose parents each have parents, and so on."""
    lines = ['[[lots]]\ncode = "L-0"\nmaterial = "EX-RS-C"\n']
    for n in range(1, levels + 1):
        parents = ", ".join(
            f'{{ lot = "L-{n - 1}", fraction = {1 / wide} }}' for _ in range(wide)
        )
        lines.append(
            f'[[lots]]\ncode = "L-{n}"\nmaterial = "EX-RS-C"\nparents = [{parents}]\n'
        )
    return "".join(lines)


FILES = {
    "a pipe": pipe,
    "a device without an end": device,
    "a file of 17 MiB": too_long,
    "a name with a NUL": lambda made: made / "no\0name.toml",
    "tables a hundred thousand deep": written("a=" + "[" * DEEP),
    "keys a hundred thousand deep": written("a." * DEEP + "b=1"),
    "lots 24 levels deep, two parents each": written(lots_deep(24, 2)),
    "bytes that are no text": lambda made: _bytes(made, b"\xff\xfe\x00"),
    "an empty file": written(""),
    "a folder in its place": lambda made: made,
}


def _bytes(made, data):
    (made / "x.toml").write_bytes(data)
    return made / "x.toml"


def library(make, chance, made):
    """Hand a hostile file over as a library, and as a script."""
    del chance
    path = make(made)
    with in_time():
        try:
            load_script(path)
            return Found("SILENT")
        except ScriptError as error:
            said = str(error)
    try:
        with in_time():
            filed = read_library(path)
    except LibraryError as error:
        return Found("said at once", str(error))
    # It is a library, if an odd one: filing it ends soon, one way or the other.
    practice = cm.FileLibrary() if filed == cm.FileLibrary() else shipped_library()
    session = Session.open(
        MemoryJournal(), RealClock(), kind="rehearsal", station="EX", zone="UTC"
    )
    with in_time():
        session.handle(practice)
        outcome = session.handle(filed)
        look(session.bench, session.now())
    refusal = outcome.refusal
    return Found("said at once", refusal.message if refusal else said)


def shipped_library():
    """Return the invented practice, so that a library's materials are on file."""
    read = partial(assets.read_text, "demo_cases")
    return parse_library(read("practice.toml"), name="practice.toml", beside=read)


def calculator(text, chance, made):
    """Hand hostile JSON to a calculator."""
    del chance, made
    told, out = io.StringIO(), io.StringIO()
    with in_time():
        code = calc(["eyes"], io.StringIO(text), out, told)
    return Found("said at once", told.getvalue() if code else "")


def long_field(chance, made):
    """Hand over a spectrum with a field of a million letters."""
    del chance
    path = made / "x.csv"
    path.write_text('nm,value\n400,"' + "9" * 1_000_000 + '"\n', "utf-8")
    with in_time():
        try:
            read_spectrum(path)
        except SpectrumFileError as error:
            return Found("said at once", str(error))
    return Found("SILENT", "")


# --- where a store and an export may lie ---------------------------------------------------

ODD = (
    "Zähne und Kronen",
    "a b  c",
    "~",
    "日本",
    "x" * 200,
    "-rf",
    "50%20",
    "'quoted\"",
)


def odd_folder(chance, made):
    """Keep a store, an export and a backup in folders with odd names."""
    folder = shutil.copytree(original(), made / chance.choice(ODD) / "store")
    session = Session(Journal.open(folder), RealClock())
    session.close()
    out = made / chance.choice(ODD)
    with ReadOnlyJournal.open(folder) as journal:
        paths = export_day(journal, truth()[2], out)
    there = all(path.parent == out and path.stat().st_size for path in paths)
    return Found("done", "", lost=int(not there))


def home_folder(chance, made):
    """Export to ``~/x``, which no shell has made out."""
    del chance
    home, os.environ["HOME"] = os.environ.get("HOME", ""), str(made)
    try:
        with ReadOnlyJournal.open(original()) as journal:
            paths = export_day(journal, truth()[2], type(made)("~/x"))
    finally:
        os.environ["HOME"] = home
    return Found("done", "", lost=int(paths[0].parent != made / "x"))


def as_nobody(code, *words):
    """Run code as a user without rights; return what it printed last."""
    drop = f"import os\nif os.geteuid() == 0: os.seteuid({NOBODY})\n"
    done = subprocess.run(
        [sys.executable, "-c", IMPORTS + drop + code, *map(str, words)],
        check=False, capture_output=True, text=True,
    )  # fmt: skip
    bad = "Traceback" in done.stderr
    return "" if bad else (done.stdout.strip().splitlines() or [""])[-1]


# Before the rights are dropped: whoever runs this may keep the program to itself.
IMPORTS = """
import pathlib, sys
from benchassist.journal.errors import JournalError
from benchassist.journal.reading import ReadOnlyJournal
from benchassist.journal.writing import Journal
from benchassist.records.export import export_day, ExportError
if len(sys.argv) > 3:
    with ReadOnlyJournal.open(pathlib.Path(sys.argv[1])) as journal:
        export_day(journal, sys.argv[2], pathlib.Path(sys.argv[4]))
"""
OPENS = """
try: Journal.open(pathlib.Path(sys.argv[1])); print("")
except JournalError as error: print(error)
"""
EXPORTS = """
try:
    with ReadOnlyJournal.open(pathlib.Path(sys.argv[1])) as journal:
        export_day(journal, sys.argv[2], pathlib.Path(sys.argv[3])); print("")
except (JournalError, ExportError) as error: print(error)
"""


def other_owner(chance, made):
    """Open a store that is its owner's alone as somebody else."""
    del chance
    folder = shutil.copytree(original(), made / "store")
    made.chmod(0o755)
    folder.chmod(0o700)
    return Found("said at once", as_nobody(OPENS, folder))


def not_to_be_written(chance, made):
    """Export, as somebody else, into a folder that takes nothing."""
    del chance
    folder = shutil.copytree(original(), made / "store")
    for path in (made, folder, *folder.iterdir()):
        path.chmod(0o755)
    out = made / "out"
    out.mkdir(mode=0o555)
    said = as_nobody(EXPORTS, folder, truth()[2], out, made / "before")
    return Found("said at once", said, altered=len(list(out.iterdir())))


# --- while something is written out --------------------------------------------------------


def stick(chance, made):
    """Pull a stick out between the files of an export."""
    with small_disk(made / "stick", 8) as disk:
        out = (disk or made / "stick") / "day"
        whole, at = dict(export.EXPORTS), chance.randrange(len(export.EXPORTS))

        def pulls(form, log):
            text = form(log)
            pull_out(disk) if disk else shutil.rmtree(out, ignore_errors=True)
            return text

        name = tuple(whole)[at]
        export.EXPORTS[name] = partial(pulls, whole[name])
        try:
            with ReadOnlyJournal.open(original()) as journal:
                export_day(journal, truth()[2], out)
        except ExportError as error:
            return Found("said at once", str(error), altered=_halves(made))
        finally:
            export.EXPORTS.update(whole)
    return Found("SILENT", "")


def full_stick(chance, made):
    """Export to a disk that is too small for it."""
    del chance
    if not can_mount():
        return Found("unchanged", "nothing may be mounted here")
    with small_disk(made / "stick", 1) as disk:
        with suppress(OSError), (disk / "junk").open("wb", buffering=0) as junk:
            while True:
                junk.write(bytes(4096))
        try:
            with ReadOnlyJournal.open(original()) as journal:
                export_day(journal, truth()[2], disk / "day")
        except ExportError as error:
            return Found("said at once", str(error), altered=_halves(disk))
    return Found("SILENT", "")


def _halves(folder):
    """Return how many half-written files are left."""
    return len(list(folder.rglob("*.part")))


def parallel(chance, made):
    """Let four exports of one day write to one folder at once."""
    del chance
    start, bad = threading.Barrier(4), []

    def write():
        start.wait()
        try:
            with ReadOnlyJournal.open(original()) as journal:
                export_day(journal, truth()[2], made / "out")
        except (ExportError, JournalError) as error:
            bad.append(str(error))

    threads = [threading.Thread(target=write) for _ in range(4)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    (rows,) = (made / "out").glob("*.jsonl")
    lines = rows.read_text("utf-8").splitlines()
    whole = all(json.loads(line)["proven"] == "yes" for line in lines)
    broken = len(bad) + _halves(made) + (not whole)
    return Found("done", "", altered=broken)


def unreadable_store(chance, made):
    """Export from what is no journal."""
    folder = made / "store"
    folder.mkdir()
    (folder / DATABASE).write_bytes(chance.randbytes(5000))
    try:
        with ReadOnlyJournal.open(folder) as journal:
            export_day(journal, truth()[2], made / "out")
    except (JournalError, ExportError) as error:
        return Found("said at once", str(error))
    return Found("SILENT", "")


ONCE = {
    **{
        f"a library or script: {name}": partial(library, m) for name, m in FILES.items()
    },
    "JSON a hundred thousand deep": partial(calculator, "[" * DEEP),
    "JSON that is not whole": partial(calculator, '{"x": '),
    "a spectrum with a field of a million letters": long_field,
    "folders with odd names": odd_folder,
    "an export to ~/x": home_folder,
    "a store of another owner": other_owner,
    "an export into a folder that takes nothing": not_to_be_written,
    "a stick pulled out during an export": stick,
    "an export to a full disk": full_stick,
    "four exports at once": parallel,
    "an export from what is no journal": unreadable_store,
}
ROWS = {name: partial(injected, name, once) for name, once in ONCE.items()}
