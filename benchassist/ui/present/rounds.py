"""Opening and closing as short routes: one check a screen, then the day's signature."""

from __future__ import annotations

from typing import Literal

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.closing import account, closing_left, hurries
from benchassist.domain.kept import OVERNIGHT
from benchassist.domain.light import output_share
from benchassist.domain.limits import limit_on
from benchassist.domain.routines import ROUTINES, Due, When, due, things
from benchassist.domain.state import Bench
from benchassist.domain.words import listed
from benchassist.ui.actions import ExportDay
from benchassist.ui.present.day_end import (
    HASH_SHOWN,
    adds,
    anchor,
    counts,
    night,
    otherwise,
    until,
)
from benchassist.ui.present.fill import Gap
from benchassist.ui.present.lists import CardsView, ListRow, ListView, Mark
from benchassist.ui.present.rows import kind_words
from benchassist.ui.present.shown import day_of, percent
from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.value import replace, value

Route = Literal["", "open", "close", "rest"]
ROUTES: dict[Route, tuple[When, ...]] = {
    "open": ("open",),
    "close": ("close",),
    "rest": ("week", "month", "year"),
}
NAMES: dict[Route, str] = {
    "open": say("Open the bench"),
    "close": say("Close the day"),
    "rest": say("Week, month, year"),
}
WHENS: dict[When, str] = {
    "open": say("at opening"),
    "close": say("at closing"),
    "week": say("every week"),
    "month": say("every month"),
    "year": say("every year"),
}
NIGHTS = ("Covered and dark, in its tray", "Under glycerine, held down", "Dry, bagged")
KEPT_DOWN = say("pedal kept down: good, next")
GOES_FIRST = say("common practice; your own rules and local codes go first")


@value
class Round:
    """Which route a hand is on, and the checks it put off meanwhile."""

    route: Route = ""
    later: tuple[tuple[str, str], ...] = ()


@value
class ReadIt:
    """A lamp's reading, as typed into its check."""

    lamp: str
    typed: str = ""


def view(bench: Bench, at: Round, now: Instant) -> CardsView:
    """Return the page where a hand is."""
    if not at.route:
        return _choose(bench, now)
    ahead = _ahead(bench, at, now)
    if ahead:
        return _check(bench, at, ahead, now)
    if at.route == "close":
        return _sign(bench, now)
    return _over(bench, at, now)


# --- which route -------------------------------------------------------------------


def _choose(bench: Bench, now: Instant) -> CardsView:
    asked = due(bench, now)
    rows = tuple(
        replace(row, right=f"{WHENS[each.routine.when]}, {row.right}")
        for each in asked
        for row in (ListRow(named(each), "", *_late(each)),)
    )
    options = [
        Option(f"{NAMES[route]}: {_count(bench, route, now)}", str(n), Round(route))
        for n, route in enumerate(ROUTES, start=1)
    ]
    last = bench.signed
    signed = (
        (
            ListRow(say("Day"), last.day),
            ListRow(say("By"), last.who, f"{last.at.local():%H:%M}"),
            ListRow(
                say("Entry"), str(last.head), last.hash[:HASH_SHOWN] or say("in memory")
            ),
        )
        if last
        else ()
    )
    return CardsView(
        say("Open, close"),
        GOES_FIRST,
        "",
        ListView(
            say("LAST DAY SIGNED"), "", signed, empty=say("No day was signed here yet.")
        ),
        ListView(
            say("DUE, THE LONGEST OVERDUE FIRST"),
            str(len(asked)) if asked else "",
            rows,
            empty=say("Everything is looked at. The next ones come tomorrow."),
        ),
        tuple(options),
    )


def _count(bench: Bench, route: Route, now: Instant) -> str:
    left = len(due(bench, now, *ROUTES[route]))
    return say("{left} due", left=left) if left else say("all done")


def named(each: Due) -> str:
    """Return a check with the thing it is of."""
    return f"{each.thing}: {each.routine.title}" if each.thing else each.routine.title


def _place(each: Due) -> tuple[str, str]:
    return each.routine.code, each.thing


def _late(each: Due) -> tuple[str, Literal["plain", "attention", "quiet"], Mark]:
    if not each.good:
        return say("was not good"), "attention", "amiss"
    if each.late_days is None:
        return say("never done"), "attention", "open"
    if each.late_days:
        return (
            say("{late_days} d overdue", late_days=each.late_days),
            "attention",
            "open",
        )
    return say("today"), "quiet", "open"


def _ahead(bench: Bench, at: Round, now: Instant) -> tuple[Due, ...]:
    """Return the checks still to do on a route, those put off at the end."""
    if at.route == "close":
        left = closing_left(bench, now)
    else:
        day = now.day()
        left = tuple(
            each
            for each in due(bench, now, *ROUTES[at.route])
            if not (
                (last := bench.routines.get(each.routine.code, {}).get(each.thing))
                and last.at.day() == day
            )
        )
    # In the order in which one goes round, not by age: the list has the age.
    order = {code: n for n, code in enumerate(ROUTINES)}
    return tuple(
        sorted(
            left,
            key=lambda each: (
                _place(each) in at.later,
                order[each.routine.code],
            ),
        )
    )


# --- one check ---------------------------------------------------------------------


def _check(bench: Bench, at: Round, ahead: tuple[Due, ...], now: Instant) -> CardsView:
    here = ahead[0]
    whole = sum(
        len(things(bench, each))
        for each in ROUTINES.values()
        if each.when in ROUTES[at.route]
    )
    done = whole - len(ahead)
    rows = tuple(
        ListRow(
            named(each),
            "",
            say("put off")
            if (each.routine.code, each.thing) in at.later
            else _late(each)[0],
            "quiet",
            "open",
        )
        for each in ahead[1:]
    )
    return CardsView(
        named(here),
        NAMES[at.route],
        say("{done} of {whole}", done=done + 1, whole=whole),
        ListView(
            say("LOOK NOW"),
            "",
            tuple(_facts(bench, here, now)),
            number=str(done + 1),
            words=here.routine.title,
            call=_first(bench, here),
            below=(GOES_FIRST,) if here.routine.told else (KEPT_DOWN, GOES_FIRST),
        ),
        ListView(say("THEN"), str(len(rows)), rows, empty=say("This is the last one.")),
        _answers(bench, at, here),
        check=_place(here),
    )


def _facts(bench: Bench, here: Due, now: Instant) -> list[ListRow]:
    """Return what the record knows of the thing that is looked at."""
    rows = []
    if here.thing:
        rows.append(ListRow(say("Which"), here.thing))
    last = bench.routines.get(here.routine.code, {}).get(here.thing)
    if last is not None:
        told = say("good") if last.good else say("not good")
        rows.append(
            ListRow(
                say("Last"), last.at.day(), told, "plain" if last.good else "attention"
            )
        )
    else:
        rows.append(ListRow(say("Last"), say("never")))
    per = here.routine.per
    if per == "lamp" and here.thing in bench.readings:
        share = percent(output_share(bench, here.thing))
        rows.append(
            ListRow(say("Reading"), say("{share} of its baseline", share=share))
        )
    if per == "vessel" and (fill := bench.fills.get(here.thing)):
        most = int(limit_on(bench, "glycerine_immersions", now))
        rows.append(
            ListRow(
                say("Glycerine"),
                say(
                    "{lot}, {immersions} of {most}",
                    lot=fill.lot,
                    immersions=fill.immersions,
                    most=most,
                ),
            )
        )
    if per == "bath" and (bath := bench.baths.get(here.thing)):
        rows.append(ListRow(say("Filled"), bath.filled.day(), f"{bath.litres:g} L"))
    if per == "part" and (part := bench.parts.get(here.thing)):
        rows.append(ListRow(say("Tray"), str(part.tray), kind_words(bench, part)))
        rows.append(ListRow(say("At"), part.stage.title, until(bench, part, now)))
    return rows


def _first(bench: Bench, here: Due) -> tuple[str, ...]:
    """Return what has to be done with a part before it can stay."""
    part = bench.parts.get(here.thing) if here.routine.per == "part" else None
    if part is not None and hurries(part):
        return (
            say("{code} is in {title}.", code=part.code, title=part.stage.title),
            say("That must not wait."),
        )
    return ()


def _answers(bench: Bench, at: Round, here: Due) -> tuple[Option, ...]:
    """Return what may be said of a check, a digit each."""
    code, thing = here.routine.code, here.thing
    later = Option(say("Later"), "4", Round(at.route, (*at.later, (code, thing))))
    if code == OVERNIGHT:
        nights = tuple(
            Option(
                say(told), str(n), cm.DoRoutine(code, good=True, thing=thing, note=told)
            )
            for n, told in enumerate(NIGHTS, start=1)
        )
        other = Gap(cm.DoRoutine(code, good=True, thing=thing), "note")
        asked = say("Where {thing} stays over night", thing=thing)
        return (*nights, later, Option(say("Elsewhere"), "5", other, needs_text=asked))
    amiss = Gap(cm.DoRoutine(code, good=False, thing=thing), "note")
    if code == "lamp-reading" and thing in bench.lamps:
        asked = say("{thing}: what the meter shows", thing=thing)
        good = Option(
            say("Type the reading"), "1", Gap(ReadIt(thing), "typed"), needs_text=asked
        )
    else:
        good = Option(
            say("Good"), "1", cm.DoRoutine(code, good=True, thing=thing), tone="good"
        )
    return (
        good,
        Option(
            say("Something is amiss"),
            "2",
            amiss,
            tone="attention",
            needs_text=say("What is amiss, a few words, no names"),
        ),
        Option(
            say("Not here"),
            "3",
            cm.DoRoutine(code, good=True, thing=thing, note="not here"),
        ),
        later,
    )


def _over(bench: Bench, at: Round, now: Instant) -> CardsView:
    """Return the end of a route that is not signed."""
    open_ones = due(bench, now, *ROUTES[at.route])
    rows = tuple(ListRow(named(each), "", *_late(each)) for each in open_ones)
    return CardsView(
        say("{route}: done", route=NAMES[at.route]),
        "",
        "",
        ListView(
            say("IN WORK"),
            "",
            tuple(night(bench, now)),
            empty=say("Nothing is in work."),
        ),
        ListView(say("NOT GOOD"), "", rows, empty=say("Everything was good.")),
        (Option(say("Back to the routes"), "1", Round()),),
    )


# --- the signature -----------------------------------------------------------------


def _sign(bench: Bench, now: Instant) -> CardsView:
    found = account(bench, now)
    last = bench.signed
    signed = last is not None and last.day == found.day
    title = say("The day is signed") if signed else NAMES["close"]
    local = now.local()
    line = f"{day_of(local)}, {bench.operator}"
    right = say("it must add up, or be explained")
    if signed and last is not None:
        right = say(
            "{who} {last:%H:%M}, entry {head}",
            who=last.who,
            last=last.at.local(),
            head=last.head,
        )
    options = []
    if not found.hurry and not found.untold:
        told = (
            say("Sign it again, with what came since")
            if signed
            else say("I close the day: {operator}", operator=bench.operator)
        )
        options.append(
            Option(
                told,
                "1",
                Gap(cm.SignDay(), "signed"),
                hold=True,
                tone="attention",
                needs_text=say("Your own code closes the day"),
            )
        )
    options.append(Option(say("Write the day"), "2", ExportDay(found.day, "")))
    options.append(Option(say("Back to the routes"), "3", Round()))
    return CardsView(
        title,
        line,
        right,
        ListView(
            say("DOES IT ADD UP?"),
            "",
            tuple(adds(bench, found, now)),
            below=anchor(bench, found.day),
        ),
        ListView(
            say("STILL IN THE LAB TONIGHT"),
            str(found.held + found.carried),
            tuple(night(bench, now)),
            empty=say("No part stays over night."),
            below=tuple(otherwise(found)),
            call=(say("{listed} must not wait.", listed=listed(found.hurry)),)
            if found.hurry
            else (),
        ),
        tuple(options),
        counts(found),
        ("", ""),
    )
