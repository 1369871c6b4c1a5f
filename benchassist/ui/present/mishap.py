"""What now? Pick what happened, answer at most three questions, see the branch, hold.

Nothing is written down before the hold: what would follow is shown with its numbers.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.domain import commands as cm
from benchassist.domain.deciders.mishaps import branch_for
from benchassist.domain.events import RouteChanged
from benchassist.domain.mishaps import MISHAPS, offered
from benchassist.domain.mishaps.kind import Branch, Question
from benchassist.domain.outcome import Refusal
from benchassist.domain.stages import STAGES
from benchassist.domain.state import (
    Bench,
    Brushing,
    Closed,
    Part,
    Paused,
    Walking,
)
from benchassist.domain.words import listed, sentences
from benchassist.ui.actions import OpenPage, TellMishap
from benchassist.ui.present.fill import Gap
from benchassist.ui.view import Card, Option, Panel, TableView, TileView
from benchassist.ui.words import say
from benchassist.value import value

if TYPE_CHECKING:
    from benchassist.clock import Instant

KEYS = "123456789"
SHORT = 3  # [lines] what a small panel holds
AHEAD = 5  # [stages] of a changed route that are named
UNTITLED = ("", "")  # columns whose titles would say nothing take no room
NO_PART = say("Choose the part it happened to first: F1 to F9.")


# What each is, in a drawing and a few words of example.
TILES: dict[str, tuple[str, str]] = {
    "touched": ("touched", say("glove, tip, wall")),
    "late": ("clock", say("past its limit")),
    "lamp-died": ("lamp", say("battery, heat, slipped off")),
    "contaminated": ("dust", say("dust, lint, powder, alcohol")),
    "dropped": ("dropped", say("floor, bath, glycerine")),
    "smeared": ("smear", say("drag marks, stain moved")),
    "floated": ("waves", say("came up in the vessel")),
    "bubbles": ("bubbles", say("on the coat, in the glycerine")),
    "wrong-program": ("box", say("another count was set")),
    "box-stopped": ("pause", say("door, power, lamp of the box")),
    "power-blip": ("power", say("a blink of the mains")),
    "over-washed": ("bottle", say("too long in alcohol")),
    "not-dry": ("drop", say("smell, a dark patch")),
    "cracked": ("crack", say("at the margin, in the wall")),
}
# What is likeliest where: the rest follows as it stands in the table of mishaps.
LIKELY: dict[str, tuple[str, ...]] = {
    "coat": ("touched", "late", "lamp-died", "contaminated", "dropped", "smeared"),
    "stain": ("smeared", "touched", "late", "lamp-died", "contaminated", "dropped"),
    "soak": ("over-washed", "dropped", "cracked"),
    "dry": ("not-dry", "dropped", "touched"),
    "submerge": ("touched", "dropped", "floated", "bubbles"),
    "box": ("box-stopped", "wrong-program", "power-blip", "not-dry"),
}
MOST_TILES = 9
WET = say("do NOT light.")


@value
class First:
    """What comes before any key: small words, large ones, and one thing more."""

    small: str
    large: str
    note: str = ""


@value
class Happened:
    """The page on which what happened is picked."""

    title: str
    line: str
    right: str
    first: First | None
    tiles: tuple[TileView, ...]
    options: tuple[Option, ...]
    empty: str = ""


def happened(bench: Bench, *, everything: bool = False) -> Happened:
    """Return what can have happened to the part in front, the likeliest first.

    Nine at most; where there are more the last tile leads to the rest.
    """
    part = _in_work(bench, bench.focus)
    if part is None:
        return Happened(say("What now?"), "", "", None, (), (), NO_PART)
    mode = STAGES[part.stage.kind].mode
    likely = LIKELY.get(part.stage.kind, LIKELY.get(mode, ()))
    found = sorted(
        offered(bench, part),
        key=lambda each: (
            likely.index(each.code) if each.code in likely else len(likely)
        ),
    )
    many = len(found) > MOST_TILES
    shown = found[: MOST_TILES - 1] if many else found
    if many and everything:
        shown = found[MOST_TILES - 1 :]
    tiles = tuple(
        TileView(
            Option(each.title, key, TellMishap(each.code)),
            TILES.get(each.code, ("other", ""))[1],
            TILES.get(each.code, ("other", ""))[0],
        )
        for key, each in zip(KEYS, shown, strict=False)
    )
    if many and not everything:
        rest = Option(say("Something else"), KEYS[-1], "all")
        more = say("{many} more", many=len(found) - len(shown))
        tiles += (TileView(rest, more, "other"),)
    options = []
    if part.code in bench.advised:
        options.append(Option(say("What was advised last"), "0", OpenPage("advice")))
    wet = isinstance(part.phase, Brushing | Walking | Paused)
    before = say("First, before any key:")
    first = First(before, say("Glove off, new glove."), WET if wet else "")
    about = f"{bench.recipe_of(part).item_class}, {part.stage.title.lower()}"
    right = say("nothing is written down yet")
    title = say("What happened to {code}?", code=part.code)
    return Happened(title, about, right, first, tiles, tuple(options))


def next_question(bench: Bench, code: str, case: TellMishap) -> Question | None:
    """Return the question that is asked next, or None when all are answered."""
    part = _in_work(bench, code)
    if part is None:
        return None
    questions = MISHAPS[case.mishap].questions(bench, part, case.told)
    asked = len(case.told)
    return questions[asked] if asked < len(questions) else None


def asked(bench: Bench, code: str, case: TellMishap, now: Instant) -> TableView:
    """Return the page of the next question, or of the branch once all are answered.

    ``code`` is the part it was picked for, whatever came to the front meanwhile.
    """
    part = _in_work(bench, code)
    if part is None:
        return TableView(say("What now?"), (), (), NO_PART)
    found = next_question(bench, code, case)
    if found is None:
        return _preview(bench, part, case, now)
    rows = tuple((answer or say("not known"),) for answer in case.told)
    if found.options:
        options = tuple(
            Option(each, key, TellMishap(case.mishap, (*case.told, each)))
            for key, each in zip(KEYS, found.options, strict=False)
        )
    else:
        typed = Gap(TellMishap(case.mishap, case.told, ""), "typed")
        unknown = TellMishap(case.mishap, (*case.told, ""))
        options = (
            Option(
                say("Type it"),
                "1",
                typed,
                needs_text=say("{text} In {unit}", text=found.text, unit=found.unit),
            ),
            Option(say("Unknown"), "2", unknown),
        )
    return TableView(
        f"{code}, {MISHAPS[case.mishap].title.lower()}: {found.text}",
        (say("Answered so far"),) if rows else (),
        rows,
        say("One answer at a time."),
        options,
    )


def _preview(bench: Bench, part: Part, case: TellMishap, now: Instant) -> TableView:
    """Return the branch as it would be taken; only the hold on it writes it down."""
    mishap = MISHAPS[case.mishap]
    found = branch_for(bench, part, mishap, case.told, now)
    anew = Option(say("No, choose again"), "0", OpenPage("what-now"))
    if isinstance(found, Refusal):
        told = sentences(found.message, found.remedy)
        return TableView(f"{part.code}: {mishap.title}", (), (), told, (anew,))
    report = Option(
        say("Yes, record it"),
        "Enter",
        cm.ReportMishap(part.code, case.mishap, case.told),
        hold=True,
        tone="attention",
    )
    rows = [(str(n), step) for n, step in enumerate(found.steps, start=1)]
    return TableView(
        f"{part.code}: {found.title}",
        UNTITLED,
        (*rows, *_ahead(found)),
        "",
        (report, anew),
        note=_follows(part, found),
    )


def _ahead(found: Branch) -> tuple[tuple[str, str], ...]:
    """Return the stages that would be ahead where a branch changes them."""
    changed = [each for each in found.events if isinstance(each, RouteChanged)]
    rows = []
    for event in changed:
        ahead = event.route[event.at :]
        titles = ", ".join(stage.title for stage in ahead[:AHEAD])
        more = (
            say(", {many} more", many=len(ahead) - AHEAD) if len(ahead) > AHEAD else ""
        )
        rows.append(("then", f"{titles}{more}."))
    return tuple(rows)


def _follows(part: Part, found: Branch) -> str:
    """Return what the hold would write down beside the steps."""
    told = [say("Nothing is written down yet.")]
    if found.rework:
        told.append(say("Rework {reworks}.", reworks=part.reworks + 1))
    if found.deviation is not None:
        told.append(say("Deviation for {list}.", list=listed(found.deviation.parts)))
    if found.scrap:
        told.append(say("Then asked: scrap or keep?"))
    return " ".join(told)


def reported(bench: Bench, code: str, case: TellMishap) -> bool:
    """Return whether the branch that is shown has been written down."""
    found = bench.advised.get(code)
    return found is not None and (found.mishap, found.answers) == (
        case.mishap,
        case.told,
    )


def advice(bench: Bench, code: str = "") -> TableView:
    """Return the page of the branch that was advised for a part, the one in front."""
    part = _in_work(bench, code or bench.focus)
    found = bench.advised.get(part.code) if part else None
    if part is None or found is None:
        return TableView(
            say("What now?"), (), (), say("Nothing was told for this part.")
        )
    rows = tuple((str(n), step) for n, step in enumerate(found.steps, start=1))
    back = Option(say("Back to the bench"), "Enter", OpenPage(""))
    opened = tuple(each.id for each in bench.open_deviations(part.code))
    many = len(opened) > 1
    note = say(
        "Deviation{it} {list} {it2} open.",
        it="s" * many,
        list=listed(opened),
        it2="are" if many else "is",
    )
    told = [note] if opened else []
    if part.scrap_asked:
        told.append(say("The bench asks: scrap it, or keep it?"))
    title = f"{part.code}: {found.title}"
    return TableView(title, UNTITLED, rows, "", (back,), " ".join(told))


def scrap_card(bench: Bench, part: Part) -> Card:
    """Return the question whether a part is scrapped or kept, each with a reason."""
    told = bench.advised.get(part.code)
    asked_for = bench.deviations.get(part.scrap_asked)
    lines = [*(told.steps[:SHORT] if told else ())]
    if asked_for is not None and not told:
        lines.append(asked_for.text)
    lines.append(
        say(
            "Deviation {scrap_asked} stays with it either way.",
            scrap_asked=part.scrap_asked,
        )
    )
    return Card(
        told.title if told else say("Scrap was advised"),
        tuple(lines),
        (
            Option(
                say("Scrap it"),
                "1",
                Gap(cm.ScrapPart(part.code, ""), "reason"),
                hold=True,
                tone="stop",
                needs_text=say("Why it is scrapped"),
            ),
            Option(
                say("Keep it"),
                "2",
                Gap(cm.KeepPart(part.code, ""), "reason"),
                hold=True,
                needs_text=say("Why it is kept, and who agreed (a code)"),
            ),
        ),
    )


def panel(bench: Bench, part: Part) -> tuple[Panel, ...]:
    """Return the advice as a small panel, while the part is in work."""
    found = bench.advised.get(part.code)
    if found is None or part.scrap_asked or isinstance(part.phase, Closed):
        return ()
    return (
        Panel(say("WHAT NOW: {title}", title=found.title), lines=found.steps[:SHORT]),
    )


def _in_work(bench: Bench, code: str) -> Part | None:
    part = bench.parts.get(code)
    return None if part is None or isinstance(part.phase, Closed) else part
