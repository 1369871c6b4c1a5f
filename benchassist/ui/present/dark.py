"""How long was the machine off? Asked once, and only where the answer matters."""

from __future__ import annotations

from benchassist.clock import DAY_MS, MINUTE_MS
from benchassist.domain import commands as cm
from benchassist.domain.dark import Dark
from benchassist.domain.standing import Standings
from benchassist.domain.sure import asked
from benchassist.domain.words import clock, minutes
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.shown import Now
from benchassist.ui.view import Card, Option
from benchassist.ui.words import say
from benchassist.value import replace

# Where a hand is free to answer: no wet coat, and no other card that is held.
ASKED_AT = frozenset(
    {"running", "drying", "timer-due", "dry-due", "ready", "shut", "hand"}
)
BESIDE = frozenset({"away", "on-hold"})  # cards of a break, which this belongs to


def with_question(shown: Now, at: Standings) -> Now:
    """Return what is shown with the question on its card, if it is to be asked."""
    free = at.situation in ASKED_AT and shown.card is None
    if not (free or (at.situation in BESIDE and shown.card is not None)):
        return shown
    dark = asked(at.bench, at.now)
    if dark is None:
        return shown
    mine = _card(dark)
    if shown.card is None:
        return replace(shown, card=mine)
    both = replace(
        shown.card,
        lines=(*shown.card.lines, *mine.lines),
        options=(*shown.card.options, *mine.options),
    )
    return replace(shown, card=both)


def _card(dark: Dark) -> Card:
    low, high = dark.bounds
    options = [
        Option(
            say("Another time: type the minutes"),
            "2",
            Gap(cm.TellDark("minutes"), "minutes"),
            hold=True,
            needs_text=say("Minutes off, such as 6, or 5-10"),
        ),
        Option(say("Not sure"), "3", cm.TellDark("not sure"), hold=True),
    ]
    if dark.said:
        off = dark.said[-1]
        # The hour it opened at by today's clock, should it have been set since.
        opened = dark.before.plus(off)
        told = say(
            "Off {before:%H:%M}–{opened:%H:%M} by the clock, {about}. Right?",
            before=dark.before.local(),
            opened=opened.local(),
            about=_about(off),
        )
        yes = Option(
            say("Right, {about}", about=_about(off)),
            "1",
            cm.TellDark("clocks"),
            hold=True,
        )
        options.insert(0, yes)
    else:
        told = say(
            "Off since {before:%H:%M}. The clock does not say how long.",
            before=dark.before.local(),
        )
    return Card(
        say("How long was the computer off?"),
        (
            told,
            say(
                "Until it is told, waits count {clock} of it, limits {most}.",
                clock=clock(low),
                most=_most(high),
            ),
        ),
        tuple(options),
    )


def _about(ms: int) -> str:
    """Return a time to the minute, as two readings of a clock on the wall differ."""
    whole = round(ms / MINUTE_MS)
    return say("{whole} min", whole=whole) if whole > 1 else minutes(ms)


def _most(ms: int) -> str:
    return say("a day, for nobody knows") if ms >= DAY_MS else clock(ms)
