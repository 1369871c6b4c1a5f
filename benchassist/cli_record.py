"""The commands that look after the record: backup, check, and the ways on after damage.

Each says in one sentence what it did; a complaint is one sentence too, with exit 2.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

Where = Callable[[argparse.Namespace], Path]
Words = Any  # argparse's own type for subcommands has no public name
Act = Callable[[Path, argparse.Namespace], str]


def add_to(
    words: Words, choice: Callable[[argparse.ArgumentParser], None], where: Where
) -> None:
    """Add the commands; ``choice`` adds that of a store, ``where`` is its folder."""

    def command(name: str, tells: str, act: Act) -> Words:
        def run(asked: argparse.Namespace) -> int:
            print(act(where(asked), asked))  # noqa: T201 - a command line prints
            return 0

        made = words.add_parser(name, help=tells)
        choice(made)
        made.set_defaults(run=run)
        return made

    back = command("backup", "copy the record, and walk the copy", _backup)
    back.add_argument("--out", required=True, type=Path, help="an empty or new folder")
    check = command("check", "walk the whole record and say how it is found", _check)
    check.add_argument(
        "--rebuild-index", action="store_true", help="first make its index anew"
    )
    restore = command("restore", "put a backup in a damaged record's place", _restore)
    restore.add_argument(
        "--from", required=True, type=Path, dest="source", help="the backup's folder"
    )
    go_on = command("go-on", "go on after damage, a copy set aside", _go_on)
    go_on.add_argument("--reason", required=True, help="who decides it, and why")
    go_on.add_argument(
        "--new-store", action="store_true", help="in a new one that refers to the old"
    )
    salvage = command("salvage", "write every entry that can still be read", _salvage)
    salvage.add_argument("--out", required=True, type=Path, help="folder to write to")
    blank = command("blank", "remove what people typed in some entries", _blank)
    blank.add_argument("entries", nargs="+", type=int, metavar="ENTRY")
    blank.add_argument("--reason", required=True, help="who decides it, and why")


def _backup(folder: Path, asked: argparse.Namespace) -> str:
    from benchassist.recovery import backup  # noqa: PLC0415

    return backup(folder, asked.out)


def _check(folder: Path, asked: argparse.Namespace) -> str:
    from benchassist.readable import RecoveryError, in_words  # noqa: PLC0415
    from benchassist.recovery import rebuild_index  # noqa: PLC0415

    done = rebuild_index(folder) if asked.rebuild_index else ""
    told, well = in_words(folder)
    if not well:
        raise RecoveryError(told)
    return f"{done} {told}".strip()


def _restore(folder: Path, asked: argparse.Namespace) -> str:
    from benchassist.recovery import restore  # noqa: PLC0415

    return restore(folder, asked.source)


def _go_on(folder: Path, asked: argparse.Namespace) -> str:
    from benchassist.clock import RealClock  # noqa: PLC0415
    from benchassist.recovery import go_on, go_on_anew  # noqa: PLC0415

    act = go_on_anew if asked.new_store else go_on
    return act(folder, asked.reason, RealClock())


def _salvage(folder: Path, asked: argparse.Namespace) -> str:
    from benchassist.readable import salvage  # noqa: PLC0415

    return salvage(folder, asked.out)


def _blank(folder: Path, asked: argparse.Namespace) -> str:
    from benchassist.clock import RealClock  # noqa: PLC0415
    from benchassist.recovery import blank  # noqa: PLC0415

    return blank(folder, tuple(asked.entries), asked.reason, RealClock())
