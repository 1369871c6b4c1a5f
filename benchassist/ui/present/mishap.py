"""What now? Pick what happened, answer at most three questions, see the branch, hold.

Nothing is written down before the hold: what would follow is shown with its numbers.
"""

from __future__ import annotations

from benchassist.domain import commands as cm
from benchassist.domain.mishaps import MISHAPS, offered
from benchassist.domain.mishaps.kind import Question
from benchassist.domain.stages import STAGES
from benchassist.domain.state import (
    Bench,
    Brushing,
    Closed,
    Part,
    Paused,
    Walking,
)
from benchassist.ui.actions import OpenPage, TellMishap
from benchassist.ui.present.fill import Gap
from benchassist.ui.view import Card, Option, Panel, TileView
from benchassist.ui.words import say
from benchassist.value import value

KEYS = "123456789"
SHORT = 3  # [lines] what a small panel holds
NO_PART = say("Choose the part it happened to first: F1 to F12.")


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
    part = in_work(bench, bench.focus)
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
    part = in_work(bench, code)
    if part is None:
        return None
    questions = MISHAPS[case.mishap].questions(bench, part, case.told)
    asked = len(case.told)
    return questions[asked] if asked < len(questions) else None


def asked(bench: Bench, code: str, case: TellMishap) -> Happened:
    """Return the page of the next question, each answer a tile.

    ``code`` is the part it was picked for, whatever came to the front meanwhile.
    """
    found = next_question(bench, code, case)
    if found is None:
        return happened(bench)
    given = [
        Option(each, key, TellMishap(case.mishap, (*case.told, each)))
        for key, each in zip(KEYS, found.options, strict=False)
    ] or _typed(found, case)
    so_far = ", ".join(each or say("not known") for each in case.told)
    return Happened(
        title=f"{code}, {MISHAPS[case.mishap].title.lower()}: {found.text}",
        line=say("so far: {so_far}", so_far=so_far) if so_far else "",
        right=say("nothing is written down yet"),
        first=None,
        tiles=tuple(TileView(option) for option in given),
        options=(Option(say("No, choose again"), "0", OpenPage("what-now")),),
    )


def _typed(found: Question, case: TellMishap) -> list[Option]:
    """Return the ways to answer with a number, or that nobody knows it."""
    asked_for = say("{text} In {unit}", text=found.text, unit=found.unit)
    typed = Gap(TellMishap(case.mishap, case.told, ""), "typed")
    unknown = TellMishap(case.mishap, (*case.told, ""))
    return [
        Option(say("Type it"), "1", typed, needs_text=asked_for),
        Option(say("Unknown"), "2", unknown),
    ]


def reported(bench: Bench, code: str, case: TellMishap) -> bool:
    """Return whether the branch that is shown has been written down."""
    found = bench.advised.get(code)
    return found is not None and (found.mishap, found.answers) == (
        case.mishap,
        case.told,
    )


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


def in_work(bench: Bench, code: str) -> Part | None:
    """Return a part that is in work."""
    part = bench.parts.get(code)
    return None if part is None or isinstance(part.phase, Closed) else part
