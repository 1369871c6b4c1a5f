"""What now? Pick what happened, answer at most three questions, get the branch."""

from __future__ import annotations

from benchassist.domain.mishaps import MISHAPS, offered
from benchassist.domain.mishaps.kind import Question
from benchassist.domain.state import Bench, Closed, Part
from benchassist.ui.actions import OpenPage, TellMishap
from benchassist.ui.present.fill import Gap
from benchassist.ui.view import Option, Panel, TableView

KEYS = "123456789ABDEFG"
SHORT = 3  # [lines] what a small panel holds


def picked(bench: Bench) -> TableView:
    """Return the page on which what happened is picked."""
    part = _in_hand(bench)
    if part is None:
        return TableView(
            "What now?", (), (), "Choose the part it happened to first: F1 to F9."
        )
    options = tuple(
        Option(each.title, key, TellMishap(each.code))
        for key, each in zip(KEYS, offered(bench, part), strict=False)
    )
    if part.code in bench.advised:
        options = (*options, Option("What was advised last", "0", OpenPage("advice")))
    about = f"{part.code}, {part.stage.title}"
    return TableView(
        f"What now? {about}",
        (),
        (),
        "Pick what happened. Nothing is changed before the last answer.",
        options,
    )


def next_question(bench: Bench, case: TellMishap) -> Question | None:
    """Return the question that is asked next, or None when all are answered."""
    part = _in_hand(bench)
    if part is None:
        return None
    questions = MISHAPS[case.mishap].questions(bench, part, case.told)
    asked = len(case.told)
    return questions[asked] if asked < len(questions) else None


def question(bench: Bench, case: TellMishap, error: str = "") -> TableView:
    """Return the page of the question that is asked next."""
    found = next_question(bench, case)
    title = MISHAPS[case.mishap].title
    if found is None:
        return advice(bench)
    rows = tuple((answer or "not known",) for answer in case.told)
    if found.options:
        options = tuple(
            Option(each, key, TellMishap(case.mishap, (*case.told, each)))
            for key, each in zip(KEYS, found.options, strict=False)
        )
    else:
        typed = Gap(TellMishap(case.mishap, case.told, ""), "typed")
        unknown = TellMishap(case.mishap, (*case.told, ""))
        options = (
            Option("Type it", "1", typed, needs_text=f"{found.text} In {found.unit}"),
            Option("Nobody can know", "2", unknown),
        )
    return TableView(
        f"{title}: {found.text}",
        ("Answered so far",) if rows else (),
        rows,
        "One answer at a time.",
        options,
        note=error,
    )


def advice(bench: Bench) -> TableView:
    """Return the page of the branch that was advised for the part in hand."""
    part = _in_hand(bench)
    found = bench.advised.get(part.code) if part else None
    if part is None or found is None:
        return TableView("What now?", (), (), "Nothing was told for this part.")
    rows = tuple((str(n), step) for n, step in enumerate(found.steps, start=1))
    back = Option("Back to the bench", "Enter", OpenPage(""))
    note = "Three reworks: think of scrapping it." if found.scrap else ""
    opened = ", ".join(each.id for each in bench.open_deviations(part.code))
    if opened:
        note = f"{note} Deviation {opened} is open.".strip()
    return TableView(f"{part.code}: {found.title}", ("", "Do"), rows, "", (back,), note)


def panel(bench: Bench, part: Part) -> tuple[Panel, ...]:
    """Return the advice as a small panel, while the part is in work."""
    found = bench.advised.get(part.code)
    if found is None or isinstance(part.phase, Closed):
        return ()
    return (Panel(f"WHAT NOW: {found.title}", lines=found.steps[:SHORT]),)


def _in_hand(bench: Bench) -> Part | None:
    part = bench.focused
    return None if part is None or isinstance(part.phase, Closed) else part
