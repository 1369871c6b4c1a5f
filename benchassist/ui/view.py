"""What one look at the bench shows, as plain values.

Widgets are given these and look nothing up; ``present`` makes them from state
and time. An ``Option`` carries the command it stands for, opaque to the widget.
No Qt here, so that every screen's words can be tested without a window.
"""

from __future__ import annotations

from dataclasses import field
from typing import Any, Literal

from benchassist.domain.calls import Word
from benchassist.ui.words import say
from benchassist.value import replace, value

FREE = say("free")
Tone = Literal["plain", "attention", "good", "stop", "quiet"]


@value
class Band:
    """The state band: a word, its shape, the part's code, time passed (0 to 1).

    ``right`` is the time, or the few words, that the slim line of a page adds.
    """

    word: Word
    code: str
    fill: float = 0.0
    right: str = ""


@value
class Countdown:
    """The large digits and the lines beside them; ``big`` is "1:14" or "6".

    Without ``fill``, the share of the time that passed, there is no bar: nothing ends.
    """

    big: str
    unit: str = ""
    lines: tuple[str, ...] = ()
    fill: float | None = None
    late: bool = False


@value
class Option:
    """Something a hand may choose: one key or tap, or a hold of 2 s.

    ``line`` says quietly what it is or does, where it stands on a tile.
    """

    text: str
    key: str
    command: object
    hold: bool = False
    tone: Tone = "plain"
    needs_number: str = ""
    needs_text: str = ""
    line: str = ""

    def same_act(self, other: Option | None) -> bool:
        """Say whether ``other`` is the same act; its words may name another minute."""
        if other is None:
            return False
        return self == replace(other, text=self.text, line=self.line)


@value
class TileView:
    """A tile: what it chooses, an example, a drawing by name, the example's tone."""

    option: Option
    line: str = ""
    drawing: str = ""
    tone: Tone = "quiet"


@value
class Card:
    """A card to be answered by hand: statements, then options."""

    title: str
    lines: tuple[str, ...]
    options: tuple[Option, ...]


@value
class Row:
    """A part in work in the list, and ``others`` that go through it together.

    ``now`` says that hands are needed, so that ``right`` is how long it may wait;
    else it is when it is due. ``chip`` is its appointment, a time of day, and
    ``chip_short`` without the word where a narrow row has no room for it. ``next``
    marks the row that the NEXT line says, in the words of ``far`` where ``line`` is
    too long for it. ``after`` is the part that has to be seen to before.
    """

    code: str
    klass: str
    line: str
    right: str
    word: Word
    fill: float
    focused: bool = False
    late: bool = False
    key: str = ""
    others: tuple[str, ...] = ()
    now: bool = False
    chip: str = ""
    chip_short: str = ""
    next: bool = False
    far: str = ""
    tray: int = 0
    after: str = ""


@value
class Tag:
    """A tray on the rail: its number, the part in it and where that stands.

    ``code`` is empty where the tray is free. ``needed`` says that hands are needed,
    ``late`` that being late has begun to harm, ``front`` that it is in front.
    """

    tray: int
    code: str = ""
    word: Word = "WAIT"
    right: str = FREE
    fill: float = 0.0
    needed: bool = False
    late: bool = False
    front: bool = False
    fresh: bool = False


@value
class WayStop:
    """One stage of a part's way, by name."""

    name: str
    state: Literal["done", "now", "ahead"]


@value
class Way:
    """All stages of a part's way in order; ``right`` says when it will be ready."""

    stops: tuple[WayStop, ...]
    right: str = ""


@value
class Slim:
    """What the slim line of a page says of NEXT and of the foot, in a word or two."""

    next_code: str = ""
    next_right: str = ""
    pedal: str = ""


@value
class Panel:
    """A small near panel: title, verdict word and a few lines."""

    title: str
    verdict: str = ""
    tone: Tone = "plain"
    lines: tuple[str, ...] = ()


@value
class Bar:
    """One bar of the dose ledger; low and high as shares of what is owed."""

    label: str
    low: float
    high: float
    owed: str
    evidence: str


@value
class GateRow:
    """One gate: its title, verdict word and reason."""

    title: str
    verdict: str
    reason: str
    tone: Tone


@value
class SpotMap:
    """The spots of one segment and the whole coat.

    ``states`` holds one of ``done``, ``now``, ``open``, ``broken`` per spot of
    the coat; ``first`` and ``last`` (exclusive) bound this segment. A ``jaw``
    that is known turns the arch; the patient's right stays at the left.
    """

    title: str
    states: tuple[str, ...]
    first: int
    last: int
    faces: tuple[tuple[str, int], ...]
    wet_text: str = ""
    wet_fill: float = 0.0
    jaw: Literal["", "upper", "lower"] = ""


@value
class LampRow:
    """A lamp on the bench and what the light check says of it for this layer."""

    code: str
    line: str
    verdict: str
    tone: Tone
    option: Option | None = None


@value
class LightCheck:
    """The screen of the light check: reason, curves and the lamps that would do."""

    reason: str
    why: str
    curves: Any  # a plot of `present.physics`, which imports this; None: no spectrum
    pick: str
    pick_line: str
    lamps: tuple[LampRow, ...]


@value
class Undo:
    """The line after a start: what was started, and the hand action that voids it."""

    text: str
    options: tuple[Option, ...]


@value
class BenchView:
    """One look at the bench.

    ``who_when`` is the time and the operator, ``alarms`` what must not be overlooked
    (no sound; something due), ``status`` what equipment does; ``away`` that
    nobody is there, ``past`` that the
    light so far, in ``right_status``, is past a limit. ``next_aside`` and
    ``pedal_aside`` are near words beside the far lines, the short forms are for a
    narrow screen; ``pedal_long`` is what a long press does; ``pedal_idle``
    that the foot does nothing at all; ``next_calls`` turns NEXT straw.
    """

    status: tuple[str, ...]
    right_status: str
    mark: str
    band: Band
    headline: str
    subline: str = ""
    countdown: Countdown | None = None
    rows: tuple[Row, ...] = ()
    panels: tuple[Panel, ...] = ()
    bars: tuple[Bar, ...] = ()
    gates: tuple[GateRow, ...] = ()
    spots: SpotMap | None = None
    light: LightCheck | None = None
    card: Card | None = None
    next_line: str = ""
    pedal_line: str = ""
    next_aside: str = ""
    next_calls: bool = False
    next_short: str = ""
    pedal_aside: str = ""
    pedal_short: str = ""
    pedal_long: str = ""
    pedal_idle: bool = False
    slim: Slim = Slim()
    tags: tuple[Tag, ...] = ()
    way: Way | None = None
    cautions: tuple[str, ...] = ()
    undo: Undo | None = None
    message: str = ""
    options: tuple[Option, ...] = field(default=())
    who_when: tuple[str, ...] = ()
    alarms: tuple[str, ...] = ()
    past: bool = False
    away: bool = False


@value
class Field:
    """One field of a form page; ``rule`` says how what is typed is read."""

    name: str
    label: str
    kind: Literal["choice", "text", "number", "check", "scan"]
    value: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    help: str = ""
    rule: str = ""


@value
class FormView:
    """A form for the hands: intake, a lamp reading, a glycerine change."""

    name: str
    title: str
    fields: tuple[Field, ...]
    submit: str
    note: str = ""
    error: str = ""


@value
class TableView:
    """A plain table page with an empty state that says what to do next."""

    title: str
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    empty: str
    options: tuple[Option, ...] = ()
    note: str = ""
