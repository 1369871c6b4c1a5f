"""The story of a part as a page: its way on one chart, dose, with what, otherwise."""

from __future__ import annotations

from benchassist.clock import DAY_MS, HOUR_MS, MINUTE_MS, Instant
from benchassist.domain.state import Bench
from benchassist.records.story import STATEMENT, WALKING, Lane, Story
from benchassist.ui.actions import ExportDay
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.lists import ListRow, ListView
from benchassist.ui.present.shown import day_of, month
from benchassist.ui.view import Option, TableView, Tone
from benchassist.ui.words import say
from benchassist.value import value

TICKS = 9  # times named along the top, at the most
STEPS_MS = (*(n * MINUTE_MS for n in (10, 20, 30)), HOUR_MS, 3 * HOUR_MS, DAY_MS)
LANES: tuple[tuple[Lane, str], ...] = (
    ("alone", say("alone")),
    ("hands", say("hands")),
    ("box", say("box")),
)
ASK = say("The code of a part, of today or of years ago")


@value
class Which:
    """Whose story is told; ``every`` shows every entry of it."""

    code: str = ""
    every: bool = False


@value
class Piece:
    """A stretch of a lane, as shares of the whole way, with its label."""

    lane: Lane
    start: float
    end: float
    label: str


@value
class WayChart:
    """The way on one line of time: ticks, pieces by lane, marks."""

    lanes: tuple[tuple[Lane, str], ...]
    ticks: tuple[tuple[float, str], ...]
    pieces: tuple[Piece, ...]
    marks: tuple[tuple[float, str], ...]
    marks_name: str


@value
class StoryView:
    """The page; without ``chart`` the first card has everything."""

    title: str
    line: str
    right: str
    chart: WayChart | None
    cards: tuple[ListView, ...]
    foot: ListView | None
    options: tuple[Option, ...]


def asked(bench: Bench, code: str, told: str) -> StoryView:
    """Return the page while the record is read, or when it knows no such part."""
    rows = tuple(
        ListRow(part.code, bench.recipe_of(part).item_class, part.stage.title)
        for part in bench.parts.values()
    )
    title = say("Story of {code}", code=code) if code else say("Whose story?")
    card = ListView(say("ON THE BENCH"), "", rows, empty=say("No part is here today."))
    return StoryView(title, told, "", None, (card,), None, (_other(),))


def _other() -> Option:
    return Option(say("Another part"), "3", Gap(Which(), "code"), needs_text=ASK)


def view(story: Story, which: Which, now: Instant) -> StoryView:
    """Return the page of a story that was read."""
    local = story.began.local()
    day = f"{day_of(local)} {local:%Y}"
    line = ", ".join(filter(None, (story.item, day)))
    amiss = say("every entry is vouched for")
    if story.proof.amiss == WALKING:
        amiss = say("the chain is being walked")
    elif story.proof.amiss:
        amiss = say("NOT ALL OF IT is vouched for")
    write = ExportDay(now.day(), "", "story", story.part)
    options = (
        Option(say("Print, write"), "1", write),
        Option(
            say("Its way in short") if which.every else say("Every entry"),
            "2",
            Which(story.part, not which.every),
        ),
        _other(),
    )
    title = say("Story of {code}", code=story.part)
    if which.every:
        return StoryView(title, line, amiss, None, (_every(story),), None, options)
    cards = (_doses(story), _with_what(story), _otherwise(story))
    return StoryView(title, line, amiss, _chart(story), cards, _signed(story), options)


def table(story: Story) -> TableView:
    """Return every entry as a table, for the window on a record that is damaged."""
    rows = tuple(
        (
            each.when,
            each.what,
            each.how_much,
            each.who,
            say("proven") if each.proven else say("NOT proven"),
        )
        for each in story.lines
    )
    heads = (say("When"), say("What"), say("How much"), say("Who"), say("By the chain"))
    line = ", ".join(filter(None, (story.item, story.recipe, story.state)))
    told = ". ".join((line, *_proof(story)))
    title = say("Story of {code}", code=story.part)
    return TableView(title, heads, rows, say("Nothing can be read of it."), note=told)


def _every(story: Story) -> ListView:
    rows = tuple(
        ListRow(
            each.when,
            say("{what}; {how_much}", what=each.what, how_much=each.how_much)
            if each.how_much
            else each.what,
            each.who if each.proven else say("{who}, NOT PROVEN", who=each.who),
            "quiet" if each.proven else "stop",
        )
        for each in story.lines
    )
    right = say("{many} of them", many=len(rows))
    return ListView(say("ITS WAY"), right, rows, below=_proof(story))


def _proof(story: Story) -> tuple[str, ...]:
    if story.proof.amiss == WALKING:
        return (WALKING,)
    return (" ".join(filter(None, (story.proof.told, story.proof.amiss))),)


def _doses(story: Story) -> ListView:
    rows = []
    for each in story.doses:
        if not each.owed:
            told = say("none owed: an earlier visit")
            rows.append(ListRow(each.layer, "", told, "quiet"))
            continue
        tone: Tone = "good" if each.low >= each.owed else "attention"
        share = min(1.0, each.low / each.owed)
        seen = each.how in {"", "seen"}
        told = each.words if seen else f"{each.words}, {each.how}"
        rows.append(ListRow(each.layer, "", told, tone, share=share))
    empty = say("No run of the box is owed.")
    unit = next((each.unit for each in story.doses), "")
    head = say("{unit}, of owed", unit=unit)
    return ListView(say("DOSE"), head, tuple(rows), empty=empty)


def _with_what(story: Story) -> ListView:
    by = ((say("recipe"), story.recipe), (say("followed"), story.status))
    told = (pair for pair in (*by, *story.with_what) if pair[1])
    return ListView(say("WITH WHAT"), "", tuple(ListRow(*pair) for pair in told))


def _otherwise(story: Story) -> ListView:
    rows = [ListRow(when, told, "", "attention") for when, told in story.otherwise]
    rows += [
        ListRow(each.when, say("put right: {what}", what=each.what), "", "attention")
        for each in story.put_right
    ]
    unproven = sum(not each.proven for each in story.lines)
    below = (say("{many} entries are not vouched for.", many=unproven),)
    return ListView(
        say("NOT AS PLANNED"),
        str(len(rows)) if rows else "",
        tuple(rows),
        empty=say("Nothing: no deviation, nothing put right, nothing late."),
        below=below if unproven else (),
    )


def _signed(story: Story) -> ListView:
    how, when, who = story.closed
    if not how:
        told = say("In work: {state}. Fit on the model only.", state=story.state)
        return ListView(say("NOT SIGNED"), "", (), below=(told, *_proof(story)))
    right = f"{who}, {when}"
    statement = (STATEMENT,) if how == "released" else ()
    head = say("SIGNED") if how == "released" else say("SCRAPPED")
    below = (*statement, *_proof(story))
    review = say("under review: {state}", state=story.state)
    if "review" in story.state:
        below = (review, *below)
    return ListView(head, right, (), below=below)


def _chart(story: Story) -> WayChart:
    whole = story.until_ms
    pieces = tuple(
        Piece(each.lane, each.start_ms / whole, each.end_ms / whole, each.label)
        for each in story.spans
    )
    marks = tuple((at / whole, told) for at, told in story.marks)
    return WayChart(LANES, tuple(_ticks(story)), pieces, marks, say("marks"))


def _ticks(story: Story) -> list[tuple[float, str]]:
    """Return the round times of the way, or its days where it took longer."""
    began, whole = story.began, story.until_ms
    local = began.local()
    into = (local.hour * 60 + local.minute) * MINUTE_MS + local.second * 1000
    step = next((ms for ms in STEPS_MS if whole / ms <= TICKS), DAY_MS)
    every = step * (1 + int(whole / step) // TICKS)
    times = [
        (ms, began.plus(ms).local()) for ms in range(-into % step or step, whole, every)
    ]
    return [
        (ms / whole, month(at) if step == DAY_MS else f"{at:%H:%M}") for ms, at in times
    ]
