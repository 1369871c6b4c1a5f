"""The commands that look after the record: backup, check, and the ways on after damage.

Each says in one sentence what it did; a complaint is one sentence too, with exit 2.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

BAD_INPUT = 2
Where = Callable[[argparse.Namespace], Path]
Words = Any  # argparse's own type for subcommands has no public name


def add_to(
    words: Words, choice: Callable[[argparse.ArgumentParser], None], where: Where
) -> None:
    """Add the commands; ``choice`` adds that of a store, ``where`` is its folder."""

    def command(name: str, tells: str, act: Callable[..., int]) -> Words:
        made = words.add_parser(name, help=tells)
        choice(made)
        made.set_defaults(run=partial(act, where=where))
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


def run(act: Callable[[Path], str], folder: Path) -> int:
    """Do an act on the record in ``folder`` and say what came of it."""
    from benchassist.journal.errors import JournalError  # noqa: PLC0415

    try:
        print(act(folder))  # noqa: T201 - a command line prints
    except JournalError as error:
        print(f"benchassist: {error}", file=sys.stderr)  # noqa: T201
        return BAD_INPUT
    return 0


def _backup(asked: argparse.Namespace, where: Where) -> int:
    from benchassist.recovery import backup  # noqa: PLC0415

    return run(lambda folder: backup(folder, asked.out), where(asked))


def _check(asked: argparse.Namespace, where: Where) -> int:
    from benchassist.recovery import RecoveryError, in_words, rebuild_index  # noqa: PLC0415

    def check(folder: Path) -> str:
        done = rebuild_index(folder) if asked.rebuild_index else ""
        told, well = in_words(folder)
        if not well:
            raise RecoveryError(told)
        return f"{done} {told}".strip()

    return run(check, where(asked))


def _restore(asked: argparse.Namespace, where: Where) -> int:
    from benchassist.recovery import restore  # noqa: PLC0415

    return run(lambda folder: restore(folder, asked.source), where(asked))


def _go_on(asked: argparse.Namespace, where: Where) -> int:
    from benchassist.clock import RealClock  # noqa: PLC0415
    from benchassist.recovery import go_on, go_on_anew  # noqa: PLC0415

    act = go_on_anew if asked.new_store else go_on
    return run(lambda folder: act(folder, asked.reason, RealClock()), where(asked))


def _salvage(asked: argparse.Namespace, where: Where) -> int:
    from benchassist.recovery import salvage  # noqa: PLC0415

    return run(lambda folder: salvage(folder, asked.out), where(asked))


def _blank(asked: argparse.Namespace, where: Where) -> int:
    from benchassist.clock import RealClock  # noqa: PLC0415
    from benchassist.recovery import blank  # noqa: PLC0415

    numbers, why = tuple(asked.entries), asked.reason
    return run(lambda folder: blank(folder, numbers, why, RealClock()), where(asked))
