"""Fix a record: which part, what was told, what it really was, why; then hold.

Nothing is written before the hold, and what will change is shown before it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain.correction.decide import Decided
from benchassist.domain.correction.effects import Effect, effects
from benchassist.domain.correction.gathered import line_beside
from benchassist.domain.correction.told import Told, tellings
from benchassist.domain.outcome import Refusal
from benchassist.domain.route import Stage
from benchassist.domain.stages import STAGES
from benchassist.domain.state import Bench, Closed, Part
from benchassist.domain.truth import Line, Record, field_of
from benchassist.domain.words import clock, listed, sentences
from benchassist.ui.present.shown import day_of
from benchassist.ui.words import say
from benchassist.value import replace, value

SHELF = say("a reading, a lot's expiry, glycerine")
A_PAGE = 8  # [tiles] beside the ninth, which turns the page
PARTS = 6  # [tiles] beside more parts, another part, and the shelf
NEVER = say("Say why first")
ONE_ANSWER = (ev.GONE, "passed")  # fields with one other answer, which is not asked
WHYS = {
    # what sort of telling: the reasons that come first, short enough for two columns
    "lot": (say("Wrong bottle"), say("Label misread"), say("Typed wrong")),
    "count": (say("Misread"), say("Typed wrong"), say("Lifted early")),
    "done": (say("Not done yet"), say("Wrong key"), say("Wrong part")),
    "other": (say("Typed wrong"), say("Misread"), say("Wrong one")),
}
SORTS = {
    "lot": "lot", "print_lot": "lot", "coat_lot": "lot", "stain_lot": "lot",
    "lot.expires": "lot", "low": "count", "count": "count", "elapsed_ms": "count",
    "reading": "count", ev.GONE: "done",
}  # fmt: skip
CHOICES = {
    # field: shelf that it is chosen from
    "lot": "lots", "print_lot": "lots", "coat_lot": "lots", "stain_lot": "lots",
    "lamp": "lamps", "box": "boxes", "vessel": "vessels",
}  # fmt: skip


@value
class Fix:
    """How far a correction has been told: part, entry, field, value, why.

    ``page`` turns the list of entries; ``text`` None means that it was not told yet;
    ``shelf`` says that it is no part's entry but a reading, a lot or a filling.
    """

    part: str = ""
    seq: int = 0
    field: str = ""
    text: str | None = None
    why: str = ""
    page: int = 0
    shelf: bool = False

    def back(self) -> Fix | None:
        """Return one step before, None at the first."""
        if self.text is not None and self.field not in ONE_ANSWER:
            return replace(self, text=None, why="")
        if self.seq:
            return replace(self, seq=0, field="", text=None, why="")
        if self.page:
            return replace(self, page=self.page - 1)
        return Fix() if self.part or self.shelf else None

    @property
    def command(self) -> cm.Correct:
        """Return the correction as it stands."""
        return cm.Correct(self.seq, self.field, self.text or "", self.why)


@value
class Choice:
    """A tile: its words, an example, and how far the correction is told with it.

    ``ask`` is asked for where it has to be typed; ``struck`` is shown struck through.
    """

    text: str
    line: str
    then: Fix
    ask: str = ""


@value
class Preview:
    """The last step: what was written, what it really was, why, what will change."""

    was: str
    now: str
    whys: tuple[Choice, ...]
    why: str
    effects: tuple[Effect, ...]
    hold: str
    below: str
    command: cm.Correct | None


@value
class FixView:
    """A step of the page: its title is a question; tiles, or the last step."""

    title: str
    line: str
    choices: tuple[Choice, ...] = ()
    empty: str = ""
    preview: Preview | None = None


NOTHING = FixView(
    say("Fix a record"),
    "",
    empty=say("Nobody told this by hand: there is nothing to put right."),
)


def which_part(bench: Bench, step: Fix) -> FixView:
    """Return the step that asks of which part; those worked on last come first."""
    parts = sorted(bench.parts.values(), key=lambda p: p.entered.wall_ms, reverse=True)
    first = [part for part in parts if part.code == bench.focus]
    ordered = (*first, *(part for part in parts if part.code != bench.focus))
    shown = ordered[step.page * PARTS :][:PARTS]
    choices = [
        Choice(part.code, _standing(bench, part), Fix(part.code)) for part in shown
    ]
    if len(ordered) > (step.page + 1) * PARTS:
        choices.append(Choice(say("More parts"), "", replace(step, page=step.page + 1)))
    older = Choice(
        say("Another part"),
        say("released on an earlier day"),
        Fix(),
        ask=say("Its code"),
    )
    return FixView(
        say("Fix a record: of which part?"),
        say("what was written stays readable"),
        (*choices, older, Choice(say("The shelf"), SHELF, Fix(shelf=True))),
    )


def of_the_shelf(bench: Bench, step: Fix, record: Record, now: Instant) -> FixView:
    """Return the step that asks which reading, lot or filling was told wrong."""
    lots = dict.fromkeys(
        lot
        for part in bench.in_flight
        for lot in (part.print_lot, part.coat_lot, part.stain_lot)
        if lot
    )
    named = (
        *(("LampReadingTaken", "lamp", code) for code in bench.readings),
        *(("LotReceived", "lot", code) for code in lots),
        *(("GlycerineFilled", "vessel", code) for code in bench.fills),
    )
    found = []
    for kind, subject, code in named:
        entry = record.last_of(kind, subject, code)
        if entry is None:
            continue
        line = line_beside(record, entry)
        for told in tellings(entry.event):
            text = f"{_shown(told, line) or 'none'}; {_when(entry, now)}"
            then = Fix("", entry.seq, told.field, shelf=True)
            found.append(Choice(f"{code}, {told.says}", text, then))
    shown = _paged(found, step, say("More"))
    empty = "" if shown else say("Nothing of the shelf is on this record yet.")
    title = say("Fix a record: which reading, lot or filling?")
    return FixView(title, say("parts are judged again"), shown, empty)


def _paged(found: list[Choice], step: Fix, more: str) -> tuple[Choice, ...]:
    """Return the tiles of a step's page; the last turns it while there are more."""
    shown, left = found[step.page * A_PAGE :], len(found) - (step.page + 1) * A_PAGE
    if left <= 0:
        return tuple(shown)
    turned = replace(step, page=step.page + 1)
    return *shown[:A_PAGE], Choice(more, say("{left} more", left=left), turned)


def _standing(bench: Bench, part: Part) -> str:
    phase = part.phase
    if not isinstance(phase, Closed):
        return part.stage.title
    review = say(", under review") if bench.reviewed(part) else ""
    return f"{phase.how} {phase.at.local():%H:%M}{review}"


def which_entry(step: Fix, lines: Iterable[Line], now: Instant) -> FixView:
    """Return the step that asks what was told wrong, the last told first."""
    found = list(_told(lines, now))
    found.reverse()
    if not found:
        text = say(
            "Nothing that a hand told of {part} is on this record.", part=step.part
        )
        return FixView(say("Fix a record of {part}", part=step.part), "", empty=text)
    mine = [replace(each, then=replace(each.then, part=step.part)) for each in found]
    return FixView(
        say("{part}: what was told wrong?", part=step.part),
        say("the last told comes first"),
        _paged(mine, step, say("Told earlier")),
    )


def _told(lines: Iterable[Line], now: Instant) -> Iterator[Choice]:
    route: dict[str, Stage] = {}
    for line in lines:
        event = line.entry.event
        if isinstance(event, ev.PartTaken | ev.RouteChanged | ev.PartChanged):
            route |= {stage.key: stage for stage in event.route}
        for told in tellings(event):
            if not _offered(told, line, route):
                continue
            words = f"{_of(event, route)}, {told.says}".strip(", ")
            mark = say(", put right before") if line.by else ""
            line_told = f"{_shown(told, line)}; {_when(line.told, now)}{mark}"
            text = _only_answer(told, line)
            step = Fix("", line.told.seq, told.field, text)
            yield Choice(words[:1].upper() + words[1:], line_told, step)


def _only_answer(told: Told, line: Line) -> str | None:
    """Return the one other answer there is, None where there are several."""
    if told.field not in ONE_ANSWER:
        return None
    if told.field == ev.GONE:
        return "yes" if line.gone else "no"
    return "no" if field_of(line.entry.event, "passed") else "yes"


def _offered(told: Told, line: Line, route: dict[str, Stage]) -> bool:
    """Return whether a telling is worth a tile: not what ends by itself."""
    event = line.entry.event
    if line.gone and told.field != ev.GONE:
        return False
    if isinstance(event, ev.StageEnded):
        stage = route.get(event.stage)
        mode = STAGES[stage.kind].mode if stage else ""
        timed = mode == "soak"
        return timed if told.field == "elapsed_ms" else mode in ("soak", "hand", "dry")
    if isinstance(event, ev.SpotTacked):
        return True
    return told.field == ev.GONE or bool(_plain(told, line))


def _of(event: ev.Event, route: dict[str, Stage]) -> str:
    """Return what a telling is about, in a few words."""
    told = ""
    match event:
        case ev.StageEnded(stage=stage):
            told = route[stage].title.lower() if stage in route else stage
        case (
            ev.SpotTacked(layer=layer, spot=spot)
            | ev.BrushWetted(layer=layer, first=spot)
        ):
            told = say(
                "{replace}, spot {spot}", replace=layer.replace("-", " "), spot=spot + 1
            )
        case ev.DoseCredited(run=run) | ev.RunEndObserved(run=run):
            told = say("run {removeprefix}", removeprefix=run.removeprefix("R-"))
        case ev.FlipConfirmed(side=side):
            told = say("to side {side}", side=side)
        case ev.CheckRecorded(check=check):
            told = check
        case ev.EquipmentChosen(role=role):
            told = role
        case _:
            pass
    return told


def _shown(told: Told, line: Line) -> str:
    if told.field == ev.GONE:
        return say("did not happen") if line.gone else say("it happened")
    return _plain(told, line)


def _plain(told: Told, line: Line) -> str:
    event = line.entry.event
    found = field_of(event, told.field)
    if told.field == "elapsed_ms":
        return clock(int(found))
    if told.field == "low" and getattr(event, "high", found) != found:
        return say(
            "{found} to {getattr}", found=found, getattr=getattr(event, "high", found)
        )
    if isinstance(found, bool):
        return "passed" if found else "failed"
    return f"{found:g}" if isinstance(found, float) else str(found)


def _when(entry: ev.Entry, now: Instant) -> str:
    local = entry.at.local()
    day = "" if entry.at.day() == now.day() else f"{day_of(local)} "
    return say(
        "{day}{local:%H:%M} by {operator}",
        day=day,
        local=local,
        operator=entry.operator or "nobody",
    )


def what_really(bench: Bench, step: Fix, line: Line, now: Instant) -> FixView:
    """Return the step that asks what it really was."""
    told = _told_of(line, step.field)
    if told is None:
        return NOTHING
    title = say(
        "{whose}, {title}: what was it really?",
        whose=_whose(step, line),
        title=_title(line, told),
    )
    said = say(
        "written: {shown}, {when}", shown=_shown(told, line), when=_when(line.told, now)
    )
    return FixView(title, said, tuple(_answers(bench, step, told, line)))


def _whose(step: Fix, line: Line) -> str:
    """Return whom an entry is about: the part, or the thing on the shelf."""
    match line.told.event:
        case ev.LampReadingTaken(lamp=code) | ev.GlycerineFilled(vessel=code):
            return code
        case ev.LotReceived(lot=lot):
            return lot.code
        case _:
            return step.part


def _told_of(line: Line, field: str) -> Told | None:
    found = tellings(line.entry.event)
    return next((each for each in found if each.field == field), None)


def _title(line: Line, told: Told) -> str:
    about = _of(line.entry.event, {})
    return f"{about}, {told.says}".strip(", ")


def _answers(bench: Bench, step: Fix, told: Told, line: Line) -> Iterator[Choice]:
    event = line.entry.event
    shelf = CHOICES.get(told.field, "")
    if isinstance(event, ev.EquipmentChosen):
        shelf = {"lamp": "lamps", "box": "boxes", "vessel": "vessels"}[event.role]
    if told.field == "side":
        part = bench.parts.get(step.part)
        sides = bench.recipe_of(part).sides if part else ()
        for side in sides:
            if side != field_of(event, "side"):
                yield Choice(
                    say("Side {side}", side=side), "", replace(step, text=side)
                )
        return
    codes = tuple(getattr(bench, shelf)) if shelf else ()
    was = _plain(told, line)
    likely = [code for code in codes if code != was and _alike(bench, shelf, code, was)]
    for code in likely[: A_PAGE - 1]:
        yield Choice(code, "", replace(step, text=code))
    yield Choice(
        say("Type it"), told.ask, step, ask=say("{ask}, as it really was", ask=told.ask)
    )


def _alike(bench: Bench, shelf: str, code: str, was: str) -> bool:
    """Return whether a lot is of the same role as the one told; other codes all are."""
    if shelf != "lots":
        return True
    roles = []
    for each in (code, was):
        lot = bench.lots.get(each)
        material = bench.materials.get(lot.material) if lot else None
        roles.append(material.role if material else "")
    return roles[0] == roles[1] or not roles[1]


def last_step(
    bench: Bench,
    step: Fix,
    line: Line,
    decided: Decided | Refusal,
    now: Instant,
) -> FixView:
    """Return the last step: why, what will change, and what is held."""
    told = _told_of(line, step.field)
    if told is None:
        return NOTHING
    title = say(
        "Fix a record of {whose}: {title}",
        whose=_whose(step, line),
        title=_title(line, told),
    )
    if isinstance(decided, Refusal):
        text = sentences(decided.message, decided.remedy)
        return FixView(title, say("nothing is changed"), empty=text)
    found = effects(bench, decided, now)
    reasons = WHYS[SORTS.get(step.field, "other")]
    whys = (
        *(Choice(each, "", replace(step, why=each)) for each in reasons),
        Choice(say("Write why"), "", step, ask=say("Why it is put right")),
    )
    preview = Preview(
        was=_shown(told, line),
        now=_becomes(told, step, line),
        whys=whys,
        why=step.why,
        effects=found,
        hold=_held(decided)
        if step.why
        else say("{never}: 1 to {many}", never=NEVER, many=len(whys)),
        below=say("the old value, the new one, why, who and when stay on the record"),
        command=step.command if step.why else None,
    )
    return FixView(title, _when(line.told, now), preview=preview)


def _becomes(told: Told, step: Fix, line: Line) -> str:
    if told.field == ev.GONE:
        return say("it happened") if step.text == "yes" else say("did not happen")
    if told.field == "passed":
        return "failed" if field_of(line.entry.event, "passed") else "passed"
    return step.text or ""


def _held(decided: Decided) -> str:
    parts = tuple(decided.now)
    review = [part for part, shut in decided.shut.items() if shut]
    many = (
        say("{many} parts", many=len(parts))
        if len(parts) > 1
        else listed(parts) or say("the shelf")
    )
    more = say(", {list} to be assessed", list=listed(tuple(review))) if review else ""
    return say("Yes, record it: {many} judged again{more}", many=many, more=more)


def gap_of(step: Fix) -> str:
    """Return which field of a step is typed next: a part, a value, a reason."""
    if not (step.part or step.shelf):
        return "part"
    return "text" if step.text is None else "why"


def lines_of(record: Record, part: str) -> tuple[Line, ...]:
    """Return a part's history, with the lamp that was in hand at each of its walks."""
    lines = record.history(part)
    sessions: dict[int, Line] = {}
    for line in lines:
        event = line.entry.event
        if isinstance(event, ev.WalkStarted) and isinstance(
            line.told.event, ev.WalkStarted
        ):
            lamp, seq = line.told.event.lamp, line.told.seq
            found = record.last_of("LampSessionOpened", "lamp", lamp, seq)
            if found is not None:
                put_right = replace(found, event=ev.LampSessionOpened(event.lamp))
                sessions[found.seq] = Line(put_right, found, line.by)
    return tuple(sorted((*lines, *sessions.values()), key=lambda line: line.told.seq))


def line_of(step: Fix, record: Record) -> Line:
    """Return the line of the entry that a step names."""
    if not step.shelf:
        for line in lines_of(record, step.part):
            if line.told.seq == step.seq:
                return line
    return line_beside(record, record.entry(step.seq))
