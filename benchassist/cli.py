"""The command line: one word per thing a person may ask for.

Every complaint is one plain sentence on standard error with exit code 2; a
traceback is a fault of the program, never an answer.
"""

from __future__ import annotations

import argparse
import ctypes
import json
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from benchassist import __version__
from benchassist.cli_record import add_to
from benchassist.plain import PlainError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from benchassist.domain.events import StoreKind
    from benchassist.journal.reading import Reader
    from benchassist.session import Session

BAD_INPUT = 2
USUAL_SPEED = 10.0  # times real time, of a training bench
PLAYED = (0.01, 1e6)  # of a rehearsal: slower never ends, faster is no wait at all
SPEEDS = (1.0, 60.0)  # slower trains nothing; faster a spot is over in one look
XCB_LIBRARIES = ("libxcb-cursor.so.0", "libxcb-icccm.so.4", "libxcb-keysyms.so.1")


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code."""
    words = list(sys.argv[1:] if argv is None else argv)
    # A record names operators and cases: what is made here is its owner's alone.
    os.umask(0o077)
    if words[:1] == ["calc"]:
        from benchassist.calculators.run import main as calc  # noqa: PLC0415

        return calc(words[1:], sys.stdin, sys.stdout, sys.stderr)
    asked = _parser().parse_args(words)
    try:
        return int(asked.run(asked))
    except PlainError as error:
        return _say(str(error))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="benchassist",
        description="Finishing bench assistant for 3D-printed resin restorations.",
    )
    parser.add_argument("--version", action="version", version=__version__)
    _where(parser)
    parser.add_argument(
        "--speed",
        type=float,
        default=argparse.SUPPRESS,
        metavar="N",
        help=f"with --training: times real time, {USUAL_SPEED:g} by default",
    )
    parser.add_argument(
        "--words",
        type=Path,
        default=argparse.SUPPRESS,
        metavar="FILE",
        help="another language: a translation of the window's words (.qm)",
    )
    parser.set_defaults(run=_open)
    words = parser.add_subparsers(title="commands", metavar="COMMAND")

    add = words.add_parser("import", help="file a library of materials and recipes")
    add.add_argument("file", type=Path)
    _where(add)
    add.set_defaults(run=_import)

    export = words.add_parser("export", help="write a day's log as CSV and JSON Lines")
    export.add_argument("--day", required=True, help="local day, YYYY-MM-DD")
    export.add_argument("--out", required=True, type=Path, help="folder to write to")
    export.add_argument(
        "--amends",
        type=int,
        metavar="SEQ",
        help="only what was put right since the report up to this entry",
    )
    _where(export)
    export.set_defaults(run=_export)

    cards = words.add_parser("cards", help="write a paper card of each part in flight")
    cards.add_argument("parts", nargs="*", metavar="PART", help="only these parts")
    cards.add_argument("--out", required=True, type=Path, help="folder to write to")
    _where(cards)
    cards.set_defaults(run=_cards)

    labels = words.add_parser("labels", help="tray and bag labels of parts, to print")
    labels.add_argument("parts", nargs="*", metavar="PART", help="only these parts")
    labels.add_argument("--out", required=True, type=Path, help="folder to write to")
    _where(labels)
    labels.set_defaults(run=_labels)

    rehearse = words.add_parser("rehearse", help="run a script of timed commands")
    rehearse.add_argument("script", help="a file, or the name of a shipped script")
    rehearse.add_argument("--headless", action="store_true", help="without a window")
    rehearse.add_argument("--speed", type=float, help="times real time")
    _where(rehearse)
    rehearse.set_defaults(run=_rehearse)

    pedal = words.add_parser("pedal", help="what the pedal means in every state")
    pedal.add_argument("--table", action="store_true", help="print the table")
    pedal.set_defaults(run=_pedal)

    gates = words.add_parser("gates", help="every gate, and whether a hand may accept")
    gates.set_defaults(run=_gates)

    schema = words.add_parser("schema", help="the JSON Schema of a library file")
    schema.set_defaults(run=_schema)

    add_to(words, _where, data_folder)
    words.add_parser("calc", help="the computation on its own: benchassist calc")
    return parser


def _where(parser: argparse.ArgumentParser) -> None:
    place = parser.add_mutually_exclusive_group()
    suppress = argparse.SUPPRESS
    place.add_argument(
        "--demo", action="store_true", default=suppress, help="the invented practice"
    )
    place.add_argument(
        "--training", action="store_true", default=suppress, help="a bench to train on"
    )
    place.add_argument(
        "--data", type=Path, default=suppress, metavar="DIR", help="another data folder"
    )


def _say(sentence: str) -> int:
    print(f"benchassist: {sentence}", file=sys.stderr)
    return BAD_INPUT


def _kind(asked: argparse.Namespace) -> StoreKind:
    if getattr(asked, "training", False):
        return "training"
    return "demo" if getattr(asked, "demo", False) else "real"


def data_folder(asked: argparse.Namespace) -> Path:
    """Return the folder of the journal that was asked for."""
    from platformdirs import user_data_path  # noqa: PLC0415 - only some commands ask

    chosen = getattr(asked, "data", None)
    if isinstance(chosen, Path):
        return chosen
    own, kind = user_data_path("benchassist", appauthor=False), _kind(asked)
    if kind == "demo":
        from benchassist.clock import RealClock  # noqa: PLC0415

        # One demo a day: the invented day always ends now.
        return own / "demo" / RealClock().now().day()
    return own / ("training" if kind == "training" else "bench")


def _open(asked: argparse.Namespace) -> int:
    kind, speed = _kind(asked), getattr(asked, "speed", None)
    if speed is None:
        speed = USUAL_SPEED if kind == "training" else 1.0
    elif kind != "training":
        return _say("--speed goes with --training: a bench at work has the real time.")
    slowest, fastest = SPEEDS
    if not slowest <= speed <= fastest:
        return _say(f"--speed is {slowest:g} to {fastest:g} times real time.")
    missing = _no_screen()
    if missing:
        return _say(missing)
    if hasattr(asked, "words"):
        from benchassist.ui.tongue import speak  # noqa: PLC0415 - before the window

        if not speak(asked.words):
            return _say(f"{asked.words} is no translation: give a file ending in .qm.")
    from benchassist.app import run  # noqa: PLC0415 - Qt only where a window is

    return run(data_folder(asked), kind=kind, speed=speed)


def _no_screen() -> str:
    """Return why no window can open, or an empty string."""
    if not sys.platform.startswith("linux") or "QT_QPA_PLATFORM" in os.environ:
        return ""
    if not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        return (
            "there is no screen here; start it from a desktop session, or use "
            "“benchassist rehearse SCRIPT --headless”."
        )
    for name in XCB_LIBRARIES:
        try:
            ctypes.CDLL(name)
        except OSError:
            return f"the system library {name} is missing; run “bash .ci/setup”."
    if not os.environ.get("WAYLAND_DISPLAY") and not _answers():
        return (
            f"the screen {os.environ['DISPLAY']} does not answer; start it from a"
            " desktop session."
        )
    return ""


def _answers() -> bool:
    """Return whether the X screen can be reached: Qt aborts where it cannot."""
    xcb = ctypes.CDLL("libxcb.so.1")
    xcb.xcb_connect.restype = ctypes.c_void_p
    xcb.xcb_connect.argtypes = (ctypes.c_char_p, ctypes.c_void_p)
    xcb.xcb_connection_has_error.argtypes = (ctypes.c_void_p,)
    xcb.xcb_disconnect.argtypes = (ctypes.c_void_p,)
    connection = xcb.xcb_connect(None, None)
    try:
        return not xcb.xcb_connection_has_error(connection)
    finally:
        xcb.xcb_disconnect(connection)


def _import(asked: argparse.Namespace) -> int:
    from benchassist.library_file import read_library  # noqa: PLC0415

    command = read_library(asked.file)
    session = _session(asked)
    outcome = session.handle(command, "hand")
    session.close()
    if outcome.refusal:
        return _say(f"{asked.file}: {outcome.refusal.message} Nothing was filed.")
    print(f"Filed {len(outcome.entries)} entries from {asked.file}.")
    return 0


def _session(asked: argparse.Namespace) -> Session:
    from benchassist.clock import RealClock, zone_name  # noqa: PLC0415
    from benchassist.rehearsal.demo import make  # noqa: PLC0415
    from benchassist.session import Session  # noqa: PLC0415
    from benchassist.stores import bench_clock, open_store  # noqa: PLC0415

    folder, kind, real = data_folder(asked), _kind(asked), RealClock()
    make(folder, kind, real)
    journal = open_store(folder, kind)
    return Session.open(
        journal,
        bench_clock(journal, real),
        kind=kind,
        station="bench",
        zone=zone_name(),
    )


def _export(asked: argparse.Namespace) -> int:
    from benchassist.records.export import AlteredError, export_day  # noqa: PLC0415
    from benchassist.stores import reading  # noqa: PLC0415

    try:
        with reading(data_folder(asked)) as journal:
            if asked.amends is not None:
                return _amend(journal, asked)
            for path in export_day(journal, asked.day, asked.out):
                print(path)
    except AlteredError as error:
        for path in error.paths:
            print(path)
        return _say(str(error))
    except OSError as error:
        return _say(str(error))
    return 0


def _amend(journal: Reader, asked: argparse.Namespace) -> int:
    from benchassist.records.export import export_amendment  # noqa: PLC0415

    paths = export_amendment(journal, asked.day, asked.amends, asked.out)
    for path in paths:
        print(path)
    if not paths:
        print(f"Nothing of {asked.day} was put right since entry {asked.amends}.")
    return 0


def _cards(asked: argparse.Namespace) -> int:
    from benchassist.clock import RealClock  # noqa: PLC0415
    from benchassist.stores import paper  # noqa: PLC0415

    now = RealClock().now()
    paths, amiss = paper(data_folder(asked), asked.out, now, asked.parts)
    for path in paths:
        print(path)
    return _say(amiss) if amiss else 0


def _labels(asked: argparse.Namespace) -> int:
    from benchassist.clock import RealClock  # noqa: PLC0415
    from benchassist.records.card import Printed  # noqa: PLC0415
    from benchassist.records.labels import write_labels  # noqa: PLC0415
    from benchassist.stores import last_state, latest, reading  # noqa: PLC0415

    with reading(data_folder(asked)) as journal:
        known = last_state(journal)
        printed = Printed(latest(journal, RealClock().now()), known.seq)
    print(write_labels(known.bench, asked.out, printed, asked.parts))
    return 0


def _rehearse(asked: argparse.Namespace) -> int:
    from benchassist.rehearsal import rehearse, rehearse_in  # noqa: PLC0415
    from benchassist.ui.present import rehearsed  # noqa: F401, PLC0415 - a topic more

    folder = getattr(asked, "data", None)
    if _kind(asked) != "real":
        return _say(
            "a rehearsal makes a store of its own: leave --demo, --training out."
        )
    slowest, fastest = PLAYED
    if asked.speed is not None and not slowest <= asked.speed <= fastest:
        return _say(f"--speed is {slowest:g} to {fastest:g} times real time.")
    if not asked.headless:
        missing = _no_screen()
        if missing:
            return _say(missing)
        from benchassist.app import run_rehearsal  # noqa: PLC0415

        return run_rehearsal(asked.script, asked.speed or 60.0, folder)
    if folder is None:
        record = rehearse(asked.script, speed=asked.speed)
    else:
        record = rehearse_in(folder, asked.script, speed=asked.speed)
    print(json.dumps(record, indent=2, sort_keys=True, ensure_ascii=False))
    return 0


def _pedal(asked: argparse.Namespace) -> int:
    del asked
    from benchassist.domain.pedal import TABLE  # noqa: PLC0415

    rows = [("State", "Short press", "Long press (1.5 s)", "The pedal must never")]
    rows += [
        (row.title, row.short_text, row.long_text, row.never) for row in TABLE.values()
    ]
    _print_table(rows)
    return 0


def _gates(asked: argparse.Namespace) -> int:
    del asked
    from benchassist.domain.gates import GATES  # noqa: PLC0415

    rows = [("Gate", "Title", "May a hand accept it?", "What it judges")]
    rows += [
        (
            gate.code,
            gate.title,
            "a warning, with a reason" if gate.acceptable else "never",
            (gate.check.__doc__ or "").split("\n", maxsplit=1)[0],
        )
        for gate in GATES.values()
    ]
    _print_table(rows)
    return 0


def _schema(asked: argparse.Namespace) -> int:
    del asked
    from benchassist.library_file import library_schema  # noqa: PLC0415

    print(json.dumps(library_schema(), indent=2))
    return 0


def _print_table(rows: Sequence[Sequence[str]]) -> None:
    widths = [max(len(row[n]) for row in rows) for n in range(len(rows[0]))]
    for row in rows:
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        print("  ".join(cells).rstrip())
