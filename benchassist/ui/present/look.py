"""One look at the bench: state at a time becomes a ``BenchView``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.domain.advice import Advice, answer
from benchassist.domain.ledger import owed
from benchassist.domain.light import output_share
from benchassist.domain.limits import limit
from benchassist.domain.pedal import Meaning, meaning
from benchassist.domain.runs import left_ms
from benchassist.domain.stages import STAGES
from benchassist.domain.standing import Standings
from benchassist.domain.state import Bench, Closed, Part, lamp_day_key
from benchassist.domain.words import clock
from benchassist.ui.present import hands, mishap, rows
from benchassist.ui.present.now import now_for
from benchassist.ui.present.shown import Now, percent
from benchassist.ui.view import Band, Bar, BenchView, Panel, Row, Undo
from benchassist.value import replace

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.calls import Word

MS = 1000
MARKS = {"demo": "EXAMPLE", "training": "TRAINING", "rehearsal": "EXAMPLE"}
# What the foot does, in the words of a page's slim line; else it does nothing.
SLIM_PEDAL = {
    "away": "says where",
    "ready": "starts it",
    "loaded": "box runs",
    "shut": "says why",
    "running": "time left?",
    "drying": "time left?",
    "timer-due": "taken out",
    "dry-due": "goes on",
    "hand": "says where",
    "brush": "wets brush",
    "brushing": "brushed",
    "walking": "cancels it",
    "paused": "goes on",
    "wet-hold": "says where",
}
# What a record calls evidence, as the screen says it.
SEEN = {"observed": "seen", "computed": "worked out"}
PEDAL_MOST = 36  # [characters] of the PEDAL line on the smallest usual screen
UNASKED = Advice(None, None)
UNRECORDED, UNRECORDED_SHORT = "nothing is recorded: stop", "not recorded"
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
    missing: frozenset[str] = frozenset(),
) -> BenchView:
    """Return what the bench shows at ``now``.

    ``advice`` may be some tenths of a second old: asking every gate for it costs
    more than the rest of a look. ``UNASKED`` stands for it at the first paint, which
    waits for no sums at all. ``heard`` says for the eye what the ear should hear.
    ``mark`` is the store's mark where it says more than the store's kind, ``at``
    where every part stands, for who asks more at this moment than this look;
    ``missing`` the parts that will not make their time, as of some seconds ago.
    """
    at = at or Standings(bench, now)
    advice = advice or answer(bench, now, at)
    summed = advice is not UNASKED
    pedal = meaning(bench, now, at)
    part = bench.focused
    shown = now_for(at)
    # Whoever has both hands on a coat sees that coat; at a card all the rest again.
    far_only = at.situation in WALKING and shown.card is None
    lamp_on = _lamp_on(bench, now, summed=summed)
    listed = rows.in_work(at, gates=summed, missing=missing)
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
        slim=rows.slim(follows, _slim_pedal(pedal)),
        tags=rows.tags(bench, listed),
        cautions=STAGES[part.stage.kind].cautions if part else (),
        undo=_undo(bench, now),
        message=message,
        who_when=_who_when(bench, now, offered=not far_only),
        alarms=heard,
        past="PAST" in lamp_on,
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


def unrecorded(view: BenchView) -> BenchView:
    """Return a view whose foot says that nothing is recorded, while that is so."""
    return replace(
        view,
        pedal_line=UNRECORDED,
        pedal_short=UNRECORDED_SHORT,
        pedal_aside="note by hand what runs",
        slim=replace(view.slim, pedal=UNRECORDED_SHORT),
    )


def _who_when(bench: Bench, now: Instant, *, offered: bool) -> tuple[str, ...]:
    local = now.local()
    when = f"{local:%a} {local.day} {local:%b}  {local:%H:%M}"
    who = bench.operator or "no operator"
    if bench.unconfirmed:
        who = f"still {who}? key O" if offered else f"still {who}?"
    return when, who


def _things(bench: Bench, now: Instant) -> tuple[str, ...]:
    told = []
    part = bench.focused
    if part and part.lamp in bench.lamps:
        told.append(f"{part.lamp} {percent(output_share(bench, part.lamp))}")
    for box in bench.boxes.values():
        run = next((run for run in bench.runs.values() if run.box == box.code), None)
        tabs = bench.coupon
        if tabs and tabs.boxed and tabs.coupon.box == box.code:
            state = "coupon inside"
        elif run is None:
            state = "loaded" if box.code in bench.loads else "free"
        else:
            left = left_ms(run, box, now)
            state = f"runs {clock(left)}" if left > 0 else "ended?"
        told.append(f"{box.code} {state}")
    return tuple(told)


def _lamp_on(bench: Bench, now: Instant, *, summed: bool) -> str:
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
    return f"Keep eyewear on. Lamp {clock(lit)} today."


def _panels(bench: Bench, part: Part | None, shown: Now) -> tuple[Panel, ...]:
    if part is None or bench.handed is not None:
        return shown.panels
    recipe = bench.recipe_of(part)
    record = f" ({recipe.record_no})" if recipe.record_no else ""
    status = f"{recipe.status}{record}"
    lots = [f"print {part.print_lot}"]
    if part.variant.finish == "coat" and part.coat_lot:
        lots.append(f"coat {part.coat_lot}")
    if part.variant.stain_passes:
        lots.append(f"stain {part.stain_lot}")
    about = Panel(
        f"RECIPE, {part.code}",
        lines=(f"{recipe.id}, IFU {recipe.ifu_revision}", status, ", ".join(lots)),
    )
    deviations = tuple(
        Panel(f"DEVIATION {found.id}", "OPEN", "stop", (found.text,))
        for found in bench.open_deviations(part.code)
    )
    told = mishap.panel(bench, part)
    return (*shown.panels, *told, *deviations, about)


def _bars(bench: Bench, part: Part) -> tuple[Bar, ...]:
    bars = []
    for account in owed(bench, part):
        if not account.owed:
            continue
        side = f", side {account.side}" if account.side else ""
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
                f"{work.layer.replace('-', ' ')}, tack",
                share,
                share,
                f"{done} of {len(work.spots)} spots",
                work.evidence,
            )
        )
    return tuple(bars)


def _seen(low: int, high: int, of: int) -> str:
    return f"{low} of {of}" if low == high else f"{low} to {high} of {of}"


def _head(line: str) -> str:
    """Return a PEDAL line that its place holds; a long reason stands on the card."""
    head, reason, _ = line.partition(": ")
    return head if reason and len(line) > PEDAL_MOST else line


def _long_press(pedal: Meaning) -> str:
    long = pedal.row.long_text
    return "" if long == "nothing" else f"long press: {long}"


def _slim_pedal(pedal: Meaning) -> str:
    """Return in a word or two what the foot would do."""
    return SLIM_PEDAL.get(pedal.row.situation, "nothing")


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
    return f"what now: {found.title} (W, then 0)" if found else ""


def _undo(bench: Bench, now: Instant) -> Undo | None:
    last = bench.last_start
    if last is None or now.most_since(last.at) > limit(bench, "undo_s") * MS:
        return None
    part = bench.parts.get(last.parts[0])
    if part is None or isinstance(part.phase, Closed) or part.stage.key != last.stage:
        return None
    return Undo(
        f"Started {', '.join(last.parts)}: {part.stage.title}. Undo by hand:",
        hands.undo_options(),
    )
