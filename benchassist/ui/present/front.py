"""The part in front: what it is, its gates in words, and the screen of a shut one."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from benchassist.clock import MS
from benchassist.domain.commands import AcceptGate
from benchassist.domain.gates import is_open
from benchassist.domain.gates.verdict import Gate, Verdict
from benchassist.domain.knowledge import TESTED_HERE
from benchassist.domain.stages import STAGES
from benchassist.domain.standing import Standing
from benchassist.ui.present import people, walk
from benchassist.ui.present.bottle import another
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.light import light_view
from benchassist.ui.present.rows import kind_words
from benchassist.ui.present.shown import TONES, Now, big_clock
from benchassist.ui.view import Card, Countdown, GateRow, Option, Panel, Tone
from benchassist.ui.words import say
from benchassist.value import replace

OF_BOTTLE = ("lot-expiry", "bottle-stirred")  # gates that another bottle may open


class Front:
    """The part in front, where it stands, with the bench around it and the time."""

    def __init__(self, at: Standing) -> None:
        self.at, self.bench, self.part, self.now = at, at.bench, at.part, at.now

    def subline(self) -> str:
        """Return the quiet line under the headline: what part this is."""
        part = self.part
        basket = self.bench.basket_of(part)
        jaws = {self.bench.parts[code].jaw for code in basket}
        jaw = walk.JAWS.get(part.jaw, "") if len(jaws) == 1 else ""
        words = f"{jaw} {kind_words(self.bench, part, len(basket))}".strip()
        told = say("{kind_words}, tray {tray}", kind_words=words, tray=part.tray)
        return f"{told}: {', '.join(basket)}" if len(basket) > 1 else told


def some(lines: Iterable[str]) -> tuple[str, ...]:
    """Return the lines that say anything."""
    return tuple(filter(None, lines))


def shut(front: Front) -> Now:
    """Return the screen of a gate that is shut; there has to be one."""
    bench, part = front.bench, front.part
    assert front.at.shut is not None  # noqa: S101 - whoever asks has looked
    gate, verdict = front.at.shut
    if front.at.after:
        return _after(front, gate, verdict)
    coat = STAGES[part.stage.kind].mode == "coat"
    card = _accept(front, gate, verdict)
    lamps = gate.code == "light-check"
    light = light_view(bench, part, verdict, front.now) if lamps else None
    told = some([verdict.sentence, verdict.remedy])
    return Now(
        say("Do not wet the brush")
        if coat
        else say("Not yet: {sentence}", sentence=verdict.sentence),
        front.subline() if light is None else "",
        gates=gate_rows(front),
        light=light,
        card=card,
        right_hint=say("by hand, with a reason")
        if card
        else say("nobody can accept this by hand"),
        options=another(part) if gate.code in OF_BOTTLE else (),
        panels=(
            *(() if light or card else (_gate_panel(gate, verdict, told[not coat :]),)),
            *people.why(bench, gate),
        ),
    )


def _after(front: Front, gate: Gate, verdict: Verdict) -> Now:
    """Return the screen of a brush that waits until another part is seen to."""
    left_s = dict(verdict.numbers).get("left_s", 0.0)
    told = (verdict.sentence, verdict.remedy)
    return Now(
        say("Brush after {after}", after=front.at.after),
        front.subline(),
        Countdown(*big_clock(round(left_s * MS)), told) if left_s else None,
        gates=gate_rows(front),
        right_hint="" if left_s else verdict.remedy,
        panels=people.why(front.bench, gate),
    )


def _gate_panel(gate: Gate, verdict: Verdict, lines: tuple[str, ...]) -> Panel:
    level = verdict.level
    return Panel(gate.title.upper(), level.upper(), TONES[level], lines)


def _accept(front: Front, gate: Gate, verdict: Verdict) -> Card | None:
    if not gate.acceptable or not verdict.scope or verdict.level != "marginal":
        return None
    accept = AcceptGate(gate.code, front.part.code, "")
    option = Option(
        say("Accept here"),
        "8",
        Gap(accept, "reason"),
        hold=True,
        tone="attention",
        needs_text=say("Why this is accepted for this part"),
    )
    lasting = _for_thing(front, verdict, accept)
    options = (option, lasting) if lasting else (option,)
    return Card(gate.title, some([verdict.sentence, verdict.remedy]), options)


ACCEPT_FOR = timedelta(days=30)  # offered; a script may give any day within the limit


def _for_thing(front: Front, verdict: Verdict, accept: AcceptGate) -> Option | None:
    """Return the way to take a warning for its things, on every part until a day."""
    if not verdict.thing:
        return None
    until = front.now.local().date() + ACCEPT_FOR
    things = " with ".join(verdict.thing.split(", ")[:2])
    return Option(
        say("Accept {days} days", days=ACCEPT_FOR.days),
        "9",
        Gap(replace(accept, until=until.isoformat()), "reason"),
        hold=True,
        tone="attention",
        needs_text=say(
            "Why {things} is accepted for every part until {until}",
            things=things,
            until=until,
        ),
    )


def gate_rows(front: Front) -> tuple[GateRow, ...]:
    """Return every gate of the stage that has something to say, with its verdict."""
    out = []
    for gate, verdict in front.at.verdicts:
        if not verdict.sentence:
            continue
        taken = verdict.level != "pass" and is_open(
            front.bench, gate, verdict, front.now
        )
        word = say("ACCEPTED") if taken else told(verdict.level, verdict.badge)
        tone: Tone = "plain" if taken else TONES[verdict.level]
        out.append(GateRow(gate.title, word, verdict.sentence, tone))
    return tuple(out)


def told(level: str, badge: str) -> str:
    """Return a verdict in one word, and never a plain one for what was tested here."""
    word = level.upper()
    if badge != TESTED_HERE:
        return word
    return say("{word} {badge}", word=word, badge=badge)
