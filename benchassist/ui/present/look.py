"""One look at the bench: state at a time becomes a ``BenchView``."""

from __future__ import annotations

from collections.abc import Mapping

from benchassist.clock import MS, Instant
from benchassist.domain.advice import Advice, answer
from benchassist.domain.calls import Word
from benchassist.domain.ledger import owed
from benchassist.domain.light import output_share
from benchassist.domain.limits import limit
from benchassist.domain.pedal import Meaning, meaning
from benchassist.domain.runs import left_ms
from benchassist.domain.shelf import offered
from benchassist.domain.stages import STAGES
from benchassist.domain.standing import Standings
from benchassist.domain.state import Bench, Closed, Part, lamp_day_key
from benchassist.domain.words import clock
from benchassist.ui.present import hands, mishap, rows
from benchassist.ui.present.now import now_for
from benchassist.ui.present.shown import Now, day_of, percent
from benchassist.ui.present.way import way
from benchassist.ui.view import FREE, Band, Bar, BenchView, Panel, Row, Undo
from benchassist.ui.words import say, shown
from benchassist.value import replace

MARKS = {
    "demo": say("EXAMPLE"),
    "training": say("TRAINING"),
    "rehearsal": say("EXAMPLE"),
}
# What the foot does, in the words of a page's slim line; else it does nothing.
SLIM_PEDAL = {
    "away": say("says where"),
    "ready": say("starts it"),
    "loaded": say("box runs"),
    "shut": say("says why"),
    "running": say("time left?"),
    "drying": say("time left?"),
    "timer-due": say("taken out"),
    "dry-due": say("goes on"),
    "hand": say("says where"),
    "brush": say("wets brush"),
    "brushing": say("brushed"),
    "walking": say("cancels it"),
    "paused": say("goes on"),
    "wet-hold": say("says where"),
    "check": say("says which"),
}
# What a record calls evidence, as the screen says it.
SEEN = {"observed": say("seen"), "computed": say("worked out")}
PEDAL_MOST = 36  # [characters] of the PEDAL line on the smallest usual screen
LOADED, NOTHING = say("loaded"), say("nothing")
UNASKED = Advice(None, None)
UNRECORDED, UNRECORDED_SHORT = say("nothing is recorded: stop"), say("not recorded")
WALKING = ("walking", "brushing", "paused", "wet-hold", "away")


def look(
    bench: Bench,
    now: Instant,
    message: str = "",
    advice: Advice | None = None,
    heard: tuple[str, ...] = (),
    *,
    mark: str = "",
    at: Standings | None = None,
    slack: Mapping[str, int] = rows.NO_PLANS,
) -> BenchView:
    """Return what the bench shows at ``now``.

    ``advice`` may be some tenths of a second old: asking every gate for it costs
    more than the rest of a look. ``UNASKED`` stands for it at the first paint, which
    waits for no sums at all. ``heard`` says for the eye what the ear should hear.
    ``mark`` is the store's mark where it says more than the store's kind, ``at``
    where every part stands, for who asks more at this moment than this look;
    ``slack`` by how much each part makes its time, as of some seconds ago.
    """
    at = at or Standings(bench, now)
    advice = advice or answer(bench, now, at)
    summed = advice is not UNASKED
    pedal = meaning(bench, now, at)
    part = bench.focused
    shown = now_for(at)
    # Whoever has both hands on a coat sees that coat; at a card all the rest again.
    far_only = at.situation in WALKING and shown.card is None
    lamp_on, past = _lamp_on(bench, now, summed=summed)
    listed = rows.in_work(at, gates=summed, slack=slack)
    follows = rows.next_of(listed)
    word = at.word(at.about)
    return BenchView(
        status=_things(bench, now),
        right_status=lamp_on,
        mark=mark or (MARKS.get(bench.store.kind, "") if bench.store else ""),
        band=Band(word, at.about or _test(at), shown.fill, _at_right(shown, bench)),
        headline=shown.headline,
        subline=shown.subline,
        countdown=shown.countdown,
        rows=listed,
        panels=() if far_only else _panels(bench, part, shown),
        bars=() if far_only or part is None else _bars(bench, part),
        gates=() if far_only else shown.gates,
        spots=shown.spots,
        light=shown.light,
        card=shown.card,
        next_line=rows.next_words(follows),
        next_short=rows.next_words(follows, short=True),
        next_calls=follows is not None and _calls(follows, word),
        next_aside=shown.next_aside or rows.then_words(listed),
        pedal_line=_head(pedal.line),
        pedal_aside=shown.right_hint or _advised(bench, part) or _long_press(pedal),
        pedal_short=_slim_pedal(pedal),
        pedal_idle=pedal.line.startswith("nothing"),
        pedal_long=_long_act(pedal),
        slim=rows.slim(follows, _slim_pedal(pedal)),
        tags=rows.tags(bench, listed),
        way=None if far_only else way(at, slack),
        cautions=_cautions(part),
        undo=_undo(bench, now),
        message=message,
        who_when=_who_when(bench, now, offered=not far_only),
        alarms=heard,
        past=past,
        away=bench.away is not None,
        options=(
            *shown.options,
            *(() if shown.spots else hands.confirm_options(bench)),
        ),
    )


def _calls(follows: Row, word: Word) -> bool:
    """Say whether NEXT calls: late, or hands are needed while the front one waits."""
    return follows.late or (word == "WAIT" and follows.now)


def _test(at: Standings) -> str:
    """Return the coupon test in front, if one is."""
    test = at.bench.coupon
    return test.coupon.id if test and at.situation.startswith("coupon") else ""


def _cautions(part: Part | None) -> tuple[str, ...]:
    """Return the usual cautions of a part's stage; what is scrapped goes nowhere."""
    phase = part.phase if part else None
    if part is None or (isinstance(phase, Closed) and phase.how == "scrapped"):
        return ()
    return STAGES[part.stage.kind].cautions


def unrecorded(view: BenchView) -> BenchView:
    """Return a view whose foot says that nothing is recorded, while that is so."""
    return replace(
        view,
        pedal_line=UNRECORDED,
        pedal_short=UNRECORDED_SHORT,
        pedal_aside=say("note by hand what runs"),
        slim=replace(view.slim, pedal=UNRECORDED_SHORT),
    )


def _who_when(bench: Bench, now: Instant, *, offered: bool) -> tuple[str, ...]:
    local = now.local()
    when = f"{day_of(local)}  {local:%H:%M}"
    who = bench.operator or say("no operator")
    if bench.unconfirmed:
        who = (
            say("still {who}? key O", who=who)
            if offered
            else say("still {who}?", who=who)
        )
    return when, who


def _things(bench: Bench, now: Instant) -> tuple[str, ...]:
    told = []
    part = bench.focused
    if part and part.lamp in bench.lamps:
        read = part.lamp in bench.readings
        share = percent(output_share(bench, part.lamp)) if read else say("not read")
        told.append(f"{part.lamp} {share}")
    for box in (bench.boxes[code] for code in offered(bench, "box")):
        run = next((run for run in bench.runs.values() if run.box == box.code), None)
        tabs = bench.coupon
        if tabs and tabs.boxed and tabs.coupon.box == box.code:
            state = say("coupon inside")
        elif run is None:
            state = LOADED if box.code in bench.loads else FREE
        else:
            left = left_ms(run, box, now)
            state = (
                say("runs {clock}", clock=clock(left)) if left > 0 else say("ended?")
            )
        told.append(f"{box.code} {state}")
    return tuple(told)


def _lamp_on(bench: Bench, now: Instant, *, summed: bool) -> tuple[str, bool]:
    """Return the light of the day in words, and whether it is past a limit."""
    part = bench.focused
    lamp = bench.lamp_session.lamp if bench.lamp_session else ""
    if part is not None and STAGES[part.stage.kind].mode == "coat":
        lamp = part.lamp
    if lamp and summed:
        # The sums need numpy, which the first paint does not wait for.
        from benchassist.ui.present.physics.eyes import (  # noqa: PLC0415
            status_line,
        )

        return status_line(bench, now, lamp)
    lit = bench.lamp_on_ms.get(lamp_day_key(bench.operator, now.day()), 0)
    return say("Keep eyewear on. Lamp {clock} today.", clock=clock(lit)), False


def _panels(bench: Bench, part: Part | None, shown: Now) -> tuple[Panel, ...]:
    if part is None or bench.handed is not None:
        return shown.panels
    recipe = bench.recipe_of(part)
    record = f" ({recipe.record_no})" if recipe.record_no else ""
    status = f"{recipe.status}{record}"
    lots = [say("print {print_lot}", print_lot=part.print_lot)]
    if part.variant.finish == "coat" and part.coat_lot:
        lots.append(say("coat {coat_lot}", coat_lot=part.coat_lot))
    if part.variant.stain_passes:
        lots.append(say("stain {stain_lot}", stain_lot=part.stain_lot))
    about = Panel(
        say("RECIPE, {code}", code=part.code),
        lines=(
            say(
                "{id}, IFU {ifu_revision}",
                id=recipe.id,
                ifu_revision=recipe.ifu_revision,
            ),
            status,
            ", ".join(lots),
        ),
    )
    deviations = tuple(
        Panel(say("DEVIATION {id}", id=found.id), say("OPEN"), "stop", (found.text,))
        for found in bench.open_deviations(part.code)
    )
    told = mishap.panel(bench, part)
    return (*shown.panels, *told, *deviations, about)


def _bars(bench: Bench, part: Part) -> tuple[Bar, ...]:
    bars = []
    for account in owed(bench, part):
        if not account.owed:
            continue
        side = say(", side {side}", side=account.side) if account.side else ""
        bars.append(
            Bar(
                label=f"{account.layer.replace('-', ' ')}{side}",
                low=account.low / account.owed,
                high=account.high / account.owed,
                owed=_seen(account.low, account.high, account.owed),
                evidence=SEEN.get(account.evidence, account.evidence),
            )
        )
    for work in part.work.values():
        done = sum(1 for state in work.spots if state == "done")
        share = done / len(work.spots)
        bars.append(
            Bar(
                say("{replace}, tack", replace=work.layer.replace("-", " ")),
                share,
                share,
                say("{done} of {many} spots", done=done, many=len(work.spots)),
                work.evidence,
            )
        )
    return tuple(bars)


def _seen(low: int, high: int, of: int) -> str:
    return (
        say("{low} of {of}", low=low, of=of)
        if low == high
        else say("{low} to {high} of {of}", low=low, high=high, of=of)
    )


def _head(line: str) -> str:
    """Return a PEDAL line that its place holds; a long reason stands on the card."""
    head, reason, _ = line.partition(": ")
    return head if reason and len(line) > PEDAL_MOST else line


def _long_press(pedal: Meaning) -> str:
    long = pedal.row.long_text
    return "" if long == "nothing" else say("long press: {long}", long=long)


def _long_act(pedal: Meaning) -> str:
    return shown(pedal.row.long_text).split(",")[0]


def _slim_pedal(pedal: Meaning) -> str:
    """Return in a word or two what the foot would do."""
    return SLIM_PEDAL.get(pedal.row.situation, NOTHING)


def _at_right(shown: Now, bench: Bench) -> str:
    """Return the time, or the few words, that a page's slim line adds to the code."""
    part = bench.focused
    if part is not None and isinstance(part.phase, Closed):
        return f"{part.phase.at.local():%H:%M}"
    if shown.countdown is None:
        return part.stage.title.lower() if part else ""
    unit = shown.countdown.unit
    return f"{shown.countdown.big} s" if unit.startswith("s ") else shown.countdown.big


def _advised(bench: Bench, part: Part | None) -> str:
    found = bench.advised.get(part.code) if part else None
    return say("W, then 0: {title}", title=found.title) if found else ""


def _undo(bench: Bench, now: Instant) -> Undo | None:
    last = bench.last_start
    if last is None or now.most_since(last.at) > limit(bench, "undo_s") * MS:
        return None
    part = bench.parts.get(last.parts[0])
    if part is None or isinstance(part.phase, Closed) or part.stage.key != last.stage:
        return None
    return Undo(
        say(
            "Started {list}: {title}. Undo by hand:",
            list=", ".join(last.parts),
            title=part.stage.title,
        ),
        hands.undo_options(),
    )
