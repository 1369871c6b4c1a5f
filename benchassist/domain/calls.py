"""Every call for hands, one row each: sound, NEXT, band, list and people read this.

A row's condition is where a part stands (a card, a bath and a box by their mode). The
row says the state in a word, what hands do, what ends the call, what is heard and how
grave it is, and whether being late harms. While a brush is wet or a spot is lit only
what would be harmed before that patch has to end may call; the rest calls after it.
The words are common practice, no source.
"""

from __future__ import annotations

from typing import Literal, get_args

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.queue import need
from benchassist.domain.state import WET, Bench
from benchassist.value import replace, value

BenchSituation = Literal[
    "locked", "away", "handed", "coupon-light", "coupon-lit", "coupon", "none"
]
Situation = Literal[
    BenchSituation,
    "two-due",
    "check",
    "told",
    "closed",
    "ready",
    "loaded",
    "shut",
    "card",
    "running",
    "drying",
    "timer-due",
    "dry-due",
    "run-due",
    "hand",
    "brush",
    "brushing",
    "walking",
    "paused",
    "wet-hold",
    "on-hold",
    "scrap",
    "sign",
]
Word = Literal["WAIT", "DO", "HOLD", "STOP", "ASK", "DONE"]
Act = Literal[
    "take out",
    "go on",
    "tell the run's end",
    "tack",
    "look",
    "resume",
    "start",
    "work by hand",
    "wet the brush",
    "load the box",
    "start the box",
    "submerge",
    "turn over",
    "put on hold",
    "check",
    "scrap or keep",
    "leave",
]
Reason = Literal[
    "wet coat", "alcohol", "tacked coat", "hold", "box", "appointment", "next"
]
OF_BENCH: frozenset[str] = frozenset(get_args(BenchSituation))


@value
class Call:
    """What hands are called for while a condition holds.

    ``act`` is None where nothing is asked. ``ends`` are the commands that end it; the
    condition passing of itself ends it, too. ``line`` is what a row of the list says
    and ``far`` what the far line says where that is shorter. ``due`` and ``late`` are
    said aloud, ``stop`` is where a gate is shut; a row without them is silent, and
    ``state`` is what a hand-over says. ``patient`` is told of twice only. ``harms``
    says that being late harms the part, so that it may call while a brush is wet;
    ``in_hand`` that hands are on it, and so need no time to get there. ``reason`` is
    why it comes when it does, where the condition alone says it. ``quick`` takes
    seconds and then runs alone, ``gated`` asks the gates first, ``waits`` asks
    nothing of anybody yet.
    """

    word: Word
    act: Act | None = None
    ends: tuple[type[cm.Command], ...] = ()
    line: str = "{title}"
    far: str = ""
    due: str = ""
    late: str = ""
    stop: str = ""
    state: str = "Waits"
    reason: Reason | None = None
    patient: bool = False
    harms: bool = False
    in_hand: bool = False
    quick: bool = False
    gated: bool = False
    waits: bool = False


def _wet(
    word: Word, act: Act, ends: tuple[type[cm.Command], ...], line: str, far: str = ""
) -> Call:
    """Return the row of a coat that is wet: in hand, and never kept waiting."""
    late = f"Wet limit. {act.capitalize()} now."
    return Call(
        word,
        act,
        ends,
        line,
        far,
        late=late,
        state="Wet coat",
        reason="wet coat",
        harms=True,
        in_hand=True,
    )


RUN_DUE = Call(
    "ASK",
    "tell the run's end",
    (cm.TellRunEnd,),
    line="what did the box show?",
    far="enter count",
    due="Box run over. Look.",
    state="Box",
    reason="box",
    quick=True,
)
# The condition, and for some the mode or state that tells two apart.
CALLS: dict[tuple[str, str], Call] = {
    ("locked", ""): Call("HOLD"),
    ("away", ""): Call("HOLD"),
    ("handed", ""): Call("ASK"),
    ("coupon-light", ""): Call("DO"),
    ("coupon-lit", ""): Call("DO"),
    ("coupon", ""): Call("ASK"),
    ("none", ""): Call("DO"),
    ("closed", ""): Call("DONE"),
    ("shut", ""): Call("STOP", stop="Stop. See the screen."),
    ("shut", "coat"): Call("STOP", stop="Stop. Do not brush."),
    # --- wet: in hand already ---
    ("brushing", ""): _wet(
        "DO", "tack", (cm.StartWalk, cm.HoldHere), "{layer} wet, patch {patch}"
    ),
    ("walking", ""): _wet(
        "DO", "tack", (cm.BreakSpot, cm.HoldHere), "{layer} wet, patch {patch}"
    ),
    ("paused", ""): _wet("HOLD", "look", (cm.GoOn, cm.BackOne), "{layer} paused, wet"),
    ("wet-hold", ""): _wet(
        "HOLD",
        "look",
        (cm.TellCoatState,),
        "look at the wet {layer}",
        "look, {layer} wet",
    ),
    # --- what runs out ---
    ("running", ""): Call(
        "WAIT", line="{title}, ends by itself", state="Submerged", waits=True
    ),
    ("running", "soak"): Call(
        "WAIT", "take out", (cm.TakeOut,), state="{kind}", quick=True, waits=True
    ),
    ("running", "box"): Call(
        "WAIT",
        "tell the run's end",
        (cm.TellRunEnd,),
        state="Box",
        reason="box",
        quick=True,
        waits=True,
    ),
    ("drying", ""): Call(
        "WAIT",
        "go on",
        (cm.FinishStage,),
        line="dry",
        state="Dries",
        quick=True,
        waits=True,
    ),
    ("timer-due", ""): Call(
        "DO",
        "take out",
        (cm.TakeOut,),
        line="{title}, lift out",
        due="{kind} over. Take out.",
        late="Late. Take out now.",
        state="{kind}",
        harms=True,
        quick=True,
    ),
    ("dry-due", ""): Call(
        "DO",
        "go on",
        (cm.FinishStage,),
        line="dry, go on",
        due="Dry. Go on.",
        state="Dries",
        patient=True,
        quick=True,
    ),
    ("run-due", ""): RUN_DUE,
    ("run-due", "stopped"): replace(RUN_DUE, due="Box stopped. Check it."),
    ("on-hold", ""): Call(
        "HOLD",
        "resume",
        (cm.ResumePart,),
        line="covered, on hold",
        far="on hold",
        late="Hold time is up. Go on now.",
        state="On hold",
        reason="hold",
        harms=True,
        waits=True,
    ),
    # --- what a hand or foot begins ---
    ("ready", ""): Call(
        "DO", "start", (cm.StartStage,), line="start {title}", quick=True, gated=True
    ),
    ("loaded", ""): Call(
        "DO",
        "start the box",
        (cm.StartRun,),
        line="start the box",
        quick=True,
        gated=True,
    ),
    ("brush", ""): Call(
        "DO", "wet the brush", (cm.WetBrush,), line="brush {layer}", gated=True
    ),
    ("hand", ""): Call("DO", "work by hand", (cm.FinishStage,)),
    ("card", "coat"): Call(
        "ASK",
        "wet the brush",
        (cm.OpenLampSession,),
        line="lamp and eyewear, {layer}",
        far="lamp, eyewear",
        gated=True,
    ),
    ("card", "box"): Call(
        "ASK",
        "load the box",
        (cm.ConfirmLoad,),
        line="set on the box",
        quick=True,
        gated=True,
    ),
    ("card", "submerge"): Call(
        "ASK",
        "submerge",
        (cm.ConfirmSubmerged,),
        line="into the glycerine",
        far="into glycerine",
        quick=True,
        gated=True,
    ),
    ("card", "flip"): Call(
        "ASK",
        "turn over",
        (cm.ConfirmFlip,),
        line="turn it over",
        state="Turn it",
        reason="box",
        quick=True,
    ),
    ("card", "hold"): Call(
        "ASK", "put on hold", (cm.HoldPart,), line="cover it", quick=True
    ),
    ("scrap", ""): Call(
        "ASK", "scrap or keep", (cm.ScrapPart, cm.KeepPart), line="scrap or keep?"
    ),
    ("sign", ""): Call(
        "ASK", "check", (cm.RecordCheck, cm.ReleasePart), line="check and sign"
    ),
}
# A tacked coat in the open gathers dust, whatever its part is at: what then calls.
TACKED = Call(
    "ASK",
    line="tacked coat: cover it",
    far="cover it",
    late="Tacked coat. Cover it.",
    state="Tacked coat",
    harms=True,
)
# What takes seconds and then runs alone; what the gates are asked for first.
QUICK = frozenset(row.act for row in CALLS.values() if row.quick)
GATED = frozenset(row.act for row in CALLS.values() if row.gated)


def call_for(asked: str, mode: str) -> Call:
    """Return the row of a condition; ``mode`` tells two of one name apart."""
    return CALLS.get((asked, mode)) or CALLS[asked, ""]


def may_call(row: Call, harm_ms: int, hands_ms: int, wet_ms: int | None) -> bool:
    """Say whether hands may be called now for what is harmed in ``harm_ms``.

    ``hands_ms`` is what hands take to get there, ``wet_ms`` how long a wet coat may
    still stay wet, the most a patch in hand can take; None where no coat is wet. Then
    only what harms earlier may call.
    """
    if wet_ms is None or row.in_hand:
        return True
    return row.harms and harm_ms - hands_ms < wet_ms


def wet_ms(bench: Bench, now: Instant) -> int | None:
    """Return how long hands are bound to what is wet or lit, at the most; or None.

    Past the wet limit it binds nobody: whatever waited calls.
    """
    wet = (
        need(bench, part, now).harm_ms
        for part in bench.in_flight
        if isinstance(part.phase, WET)
    )
    left = [each for each in wet if each > 0]
    test = bench.coupon
    if test is not None and test.lit is not None:
        lit = test.light_ms - now.since(test.lit)
        left += [lit] if lit > 0 else []
    return max(left, default=None)
