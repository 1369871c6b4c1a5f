"""Change this part: a draft in rows, and what it will change, before it is held."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.events import EquipmentChosen, LotChosen
from benchassist.domain.library import Recipe, Variant
from benchassist.domain.outcome import Refusal
from benchassist.domain.preview import Preview, preview
from benchassist.domain.shelf import LotRole, fitting, offered
from benchassist.domain.state import WET, Bench, Part, Ready
from benchassist.domain.words import Typed, sentences
from benchassist.ui.actions import OpenPage
from benchassist.ui.present import variants
from benchassist.ui.present.fill import Gap, held
from benchassist.ui.present.intake_words import due_from, due_words, good_to
from benchassist.ui.present.sheet import (
    FillIn,
    GoTo,
    Sheet,
    SheetLine,
    SheetRow,
    Turn,
    WayStage,
    turned,
    way_lines,
)
from benchassist.ui.present.shown import TONES
from benchassist.ui.present.variants import (
    FINISH_WORDS,
    FINISHES,
    boxes,
    coats,
    stains,
)
from benchassist.ui.view import Option
from benchassist.ui.words import say
from benchassist.value import replace, value

Act = Literal["change", "back", "leave", "join"]
COVERS = ("glycerine", "nitrogen")
AGAIN = ("", "wash", "rinse")
WHEN = say("Promised for: 15:00, or with a day: Fri 14:00, 2026-05-15 14:00")
MORE = ("stains", "stain_lot", "print_lot", "cover", "hold", "faces", "basket", "back")
FIRST = ("coats", "finish", "coat_lot", "lamp", "box", "vessel", "again", "due")
NAMES = variants.NAMES | {
    "again": say("One more"),
    "due": say("Promised for"),
    "stains": say("Stain passes"),
    "hold": say("Held between"),
    "faces": say("Faces"),
    "basket": say("Basket"),
    "back": say("One stage back"),
}


@value
class ChangeDraft:
    """What a hand has chosen so far for one part; nothing of it is written.

    ``act`` is what is held in the end: the change, one stage back from the one that is
    number ``at`` of its way, out of a basket or into one with ``other``. ``more`` shows
    the second rows.
    """

    command: cm.ChangePart
    act: Act = "change"
    at: int = 0
    other: str = ""
    more: bool = False
    framed: str = "coats"
    error: str = ""


def begun(part: str) -> ChangeDraft:
    """Return the draft of a part of which nothing is changed yet."""
    return ChangeDraft(cm.ChangePart(part, ""))


def done(bench: Bench, draft: ChangeDraft, did: object, now: Instant) -> ChangeDraft:
    """Return the draft after a hand turned a row, typed into one, or went on."""
    draft = replace(draft, error="")
    match did:
        case GoTo(step="more"):
            rows = FIRST if draft.more else MORE
            return replace(draft, more=not draft.more, framed=rows[0])
        case Turn(row=row, by=by):
            look = Look(bench, replace(draft, framed=row), now)
            return _turned(look, row, by) if by else look.draft
        case FillIn(row=row, value=typed):
            return _typed(draft, row, typed, now)
        case _:
            return draft


@value
class Look:
    """A draft, the bench it is made on, and the time."""

    bench: Bench
    draft: ChangeDraft
    now: Instant

    @property
    def part(self) -> Part:
        """Return the part that is changed, as it is."""
        return self.bench.parts[self.draft.command.part]

    def printed(self, row: str) -> str:
        """Return the day by which a row's lot is judged: of a print, its printing."""
        return self.part.printed if row == "print_lot" else ""

    @property
    def variant(self) -> Variant:
        """Return the variant the part would go on with."""
        return self.draft.command.variant or self.part.variant

    @property
    def recipe(self) -> Recipe:
        """Return the part's recipe."""
        return self.bench.recipe_of(self.part)


def _typed(draft: ChangeDraft, row: str, typed: str, now: Instant) -> ChangeDraft:
    if row == "reason":
        return replace(draft, command=replace(draft.command, reason=typed))
    try:
        due = due_from(typed, now)
    except ValueError as error:
        return replace(draft, error=str(error), framed="due")
    return _with(replace(draft, framed="due"), due=due)


def _with(draft: ChangeDraft, **values: object) -> ChangeDraft:
    return replace(draft, command=replace(draft.command, **values), act="change")


def _turned(look: Look, row: str, by: int) -> ChangeDraft:
    draft = look.draft
    if row == "due":
        return draft  # it is typed
    if row == "back":
        act: Act = "change" if draft.act == "back" else "back"
        return replace(draft, act=act, at=look.part.at)
    if row == "basket":
        return _basket(look, by)
    if row == "again":
        return _with(draft, again=turned(AGAIN, draft.command.again, by))
    if row in VARIANTS:
        variant = replace(look.variant, **VARIANTS[row](look, by))
        return _with(draft, variant=variant)
    was = getattr(draft.command, row) or getattr(look.part, row)
    return _with(draft, **{row: turned(choices(look, row), was, by)})


def _finished(look: Look, by: int) -> dict[str, object]:
    coats = look.variant.coats or look.recipe.coats or 1
    return {"finish": turned(FINISHES, look.variant.finish, by), "coats": coats}


def _faces(look: Look, by: int) -> dict[str, object]:
    ways = ("", *(face.title for face in look.recipe.faces))
    chosen = turned(ways, ", ".join(look.variant.faces), by)
    return {"faces": (chosen,) if chosen else ()}


VARIANTS: dict[str, Callable[[Look, int], dict[str, object]]] = {
    "coats": lambda look, by: {"finish": "coat", **coats(look.variant, by)},
    "stains": lambda look, by: stains(look.variant, by),
    "finish": _finished,
    "faces": _faces,
    "cover": lambda look, by: {"cover": turned(COVERS, look.variant.cover, by)},
    "hold": lambda look, _by: {"hold_between": not look.variant.hold_between},
}


def _basket(look: Look, by: int) -> ChangeDraft:
    """Turn through: as it is, out of the basket, together with another part."""
    ways: tuple[tuple[Act, str], ...] = (("change", ""),)
    if look.part.basket in look.bench.baskets:
        ways += (("leave", ""),)
    ways += tuple(("join", code) for code in _mates(look.bench, look.part))
    here = (look.draft.act, look.draft.other)
    at = ways.index(here) if here in ways else 0
    act, other = ways[(at + by) % len(ways)]
    return replace(look.draft, act=act, other=other)


def _mates(bench: Bench, part: Part) -> tuple[str, ...]:
    """Return the parts that stand ready at the same stage, not in one basket yet."""
    beside = bench.baskets.get(part.basket, (part.code,))
    return tuple(
        each.code
        for each in bench.in_flight
        if each.code not in beside
        and each.stage.key == part.stage.key
        and each.phase.kind == part.phase.kind == "ready"
    )


def choices(look: Look, row: str) -> tuple[str, ...]:
    """Return what a row of codes can be turned to."""
    bench, recipe = look.bench, look.recipe
    if row.endswith("_lot"):
        role: LotRole = row.removesuffix("_lot")  # type: ignore[assignment]
        return fitting(bench, recipe, role, look.now, look.printed(row))
    if row == "box":
        return boxes(bench, recipe)
    return offered(bench, "lamp" if row == "lamp" else "vessel")


def command_of(bench: Bench, draft: ChangeDraft) -> cm.Command:
    """Return what would be held."""
    code, why = draft.command.part, draft.command.reason
    match draft.act:
        case "back":
            return cm.StepBack(code, why)
        case "leave":
            return cm.LeaveBasket(code)
        case "join":
            beside = bench.baskets.get(bench.parts[draft.other].basket, (draft.other,))
            mine = bench.baskets.get(bench.parts[code].basket, (code,))
            return cm.FormBasket((*beside, *mine))
        case _:
            return _in_hand(bench, draft.command) or draft.command


THINGS: tuple[Literal["lamp", "box", "vessel"], ...] = ("lamp", "box", "vessel")


def _in_hand(
    bench: Bench, asked: cm.ChangePart
) -> cm.ChooseLot | cm.ChooseEquipment | None:
    """Return another bottle or lamp in mid-coat: all that may change with a wet brush.

    A box or a vessel, too, where the part goes later; none of it asks why.
    """
    part = bench.parts[asked.part]
    layer, wet = part.stage.layer, isinstance(part.phase, WET)
    role: LotRole = "stain" if layer.startswith("stain") else "coat"
    coats = layer and (wet or isinstance(part.phase, Ready))
    if coats and (lot := _alone(asked, f"{role}_lot")):
        return cm.ChooseLot(asked.part, role, lot)
    for thing in THINGS if wet else ():
        if code := _alone(asked, thing):
            return cm.ChooseEquipment(asked.part, thing, code)
    return None


def _alone(asked: cm.ChangePart, name: str) -> str:
    """Return what a change asks for in a field, where it asks for nothing else."""
    code: str = getattr(asked, name)
    bare = cm.ChangePart(asked.part, asked.reason, **{name: code})  # type: ignore[arg-type]
    return code if asked == bare else ""


def sheet(bench: Bench, draft: ChangeDraft, now: Instant) -> Sheet:
    """Return the page: rows with was and is, the way on, the act to be held."""
    look = Look(bench, draft, now)
    command = command_of(bench, draft)
    seen = preview(bench, command, look.part.code, now)
    rows = MORE if draft.more else FIRST
    return Sheet(
        title=say("Change {code}", code=look.part.code),
        quiet=_about(bench, look.part),
        right=say("nothing is changed yet"),
        rows=tuple(_row(look, name, str(n)) for n, name in enumerate(rows, start=1)),
        lines=_lines(seen, draft, bench, now),
        options=_options(draft, command, seen),
        line=_foot(draft, seen),
        error=draft.error,
        framed=draft.framed,
    )


def _about(bench: Bench, part: Part) -> str:
    told = [bench.recipe_of(part).item_class, say("tray {tray}", tray=part.tray)]
    done = [layer.replace("-", " ") for layer in part.work if layer != part.stage.layer]
    told.append(
        say("{done} done", done=done[-1])
        if done
        else say("at {title}", title=part.stage.title.lower())
    )
    return ", ".join(told)


def _row(look: Look, name: str, key: str) -> SheetRow:
    was, will, note = _values(look, name)
    framed = look.draft.framed == name
    option = Option(NAMES[name], key, Turn(name, 1 if framed else 0))
    if name == "due":
        option = replace(option, command=Gap(FillIn("due"), "value"), needs_text=WHEN)
    differs = was != will
    return SheetRow(
        name,
        option,
        will or "none",
        was=(was or "none") if differs else "",
        note=note,
        tone="attention" if differs else "quiet",
        turns=name != "due",
    )


def _values(look: Look, name: str) -> tuple[str, str, str]:
    """Return what a row was, what it will be, and a note."""
    draft, part = look.draft, look.part
    if name in WORDS:
        tell = WORDS[name]
        return tell(part.variant), tell(look.variant), _recipe_note(look, name)
    if name == "again":
        again = draft.command.again
        return "", again, "" if again else say("wash or rinse")
    if name == "due":
        due = draft.command.due or part.due
        return due_words(part.due, look.now), due_words(due, look.now), say("type it")
    if name == "basket":
        return _basket_words(look.bench, draft, part)
    if name == "back":
        before = part.route[part.at - 1].title if part.at else "none"
        return (
            "no",
            say("to {before}", before=before) if draft.act == "back" else "no",
            "",
        )
    code = getattr(draft.command, name) or getattr(part, name)
    told = ""
    if name.endswith("lot"):
        told, _ = good_to(look.bench, code, look.now, look.printed(name))
    return getattr(part, name), code, told


def _recipe_note(look: Look, name: str) -> str:
    variant, recipe = look.variant, look.recipe
    says = {"coats": recipe.coats, "stains": recipe.stain_passes}.get(name)
    asked = {"coats": variant.coats, "stains": variant.stain_passes}.get(name)
    return "" if says == asked else say("recipe says {says}", says=says)


WORDS: dict[str, Callable[[Variant], str]] = {
    "coats": lambda each: str(each.coats) if each.finish == "coat" else "none",
    "stains": lambda each: str(each.stain_passes),
    "finish": lambda each: FINISH_WORDS[each.finish],
    "cover": lambda each: each.cover,
    "hold": lambda each: "yes" if each.hold_between else "no",
    "faces": lambda each: ", ".join(each.faces) or "all",
}


def _basket_words(bench: Bench, draft: ChangeDraft, part: Part) -> tuple[str, str, str]:
    beside = bench.baskets.get(part.basket, ())
    was = (
        say("with {list}", list=", ".join(c for c in beside if c != part.code))
        if beside
        else "alone"
    )
    if draft.act == "leave":
        return was, "alone", say("into a tray of its own")
    if draft.act == "join":
        return (
            was,
            say("with {other}", other=draft.other),
            say("same stage, both ready"),
        )
    return was, was, ""


def _lines(
    seen: Preview | Refusal, draft: ChangeDraft, bench: Bench, now: Instant
) -> tuple[SheetLine, ...]:
    if isinstance(seen, Refusal):
        part = bench.parts[draft.command.part]
        untouched = draft == replace(begun(part.code), framed=draft.framed)
        if isinstance(part.phase, WET) and untouched:
            return (
                SheetLine(say("WHILE IT IS WET"), mark="head"),
                SheetLine(say("Another bottle, lamp, box or vessel.")),
                SheetLine(say("All else once this patch is tacked or wiped.")),
            )
        if seen.code == "nothing-changed":
            return _as_it_is(bench, draft, now)
        return (
            SheetLine(say("NOT SO"), mark="head"),
            SheetLine(seen.message, tone="stop"),
            *((SheetLine(seen.remedy),) if seen.remedy else ()),
        )
    return (
        SheetLine(say("THEN ITS WAY IS"), mark="head"),
        *way_of(seen),
        *ready_of(seen, now),
        *gates_of(seen),
    )


def _as_it_is(bench: Bench, draft: ChangeDraft, now: Instant) -> tuple[SheetLine, ...]:
    """Return the way as it stands: the preview of an act that changes nothing of it."""
    part = bench.parts[draft.command.part]
    later = replace(draft.command, due=now.plus(86_400_000), reason="…")
    seen = preview(bench, later, part.code, now)
    if isinstance(seen, Refusal):
        return (SheetLine(sentences(seen.message, seen.remedy), tone="stop"),)
    return (SheetLine(say("ITS WAY IS"), mark="head"), *way_of(seen))


def way_of(seen: Preview) -> tuple[SheetLine, ...]:
    """Return the last stage done, and all that is ahead."""
    behind = [step for step in seen.way if step.state == "done"]
    shown = [*behind[-1:], *(step for step in seen.way if step.state != "done")]
    return way_lines(
        tuple(WayStage(step.title, step.takes_ms, step.state) for step in shown)
    )


def ready_of(seen: Preview, now: Instant) -> tuple[SheetLine, ...]:
    """Return when it would be ready, and its coats together."""
    out = [SheetLine("", mark="line")]
    was, will = seen.ready_was.local(), seen.ready.local()
    told = f"{was:%H:%M}"
    if seen.ready != seen.ready_was:
        told = say("{told} becomes {will:%H:%M}", told=told, will=will)
    if seen.due:
        told = say(
            "{told}, for {due_words}", told=told, due_words=due_words(seen.due, now)
        )
    late = seen.due is not None and seen.ready.since(seen.due) > 0
    out.append(SheetLine(say("Ready"), told, tone="attention" if late else "plain"))
    if seen.um != seen.um_was:
        low, high = seen.um_was
        more = say(
            "{low} to {high} µm becomes {um} to {um2} µm",
            low=low,
            high=high,
            um=seen.um[0],
            um2=seen.um[1],
        )
        out.append(SheetLine(say("Coats"), more, tone="attention"))
    return tuple(out)


def gates_of(seen: Preview) -> tuple[SheetLine, ...]:
    """Return the gates that would answer otherwise."""
    return tuple(
        SheetLine(gate.gate, gate.sentence, tone=TONES[gate.will])
        for gate in seen.gates
    )


def _options(
    draft: ChangeDraft, command: cm.Command, seen: Preview | Refusal
) -> tuple[Option, ...]:
    other = say("First rows") if draft.more else say("More rows")
    turn = Option(other, "0", GoTo("more"))
    acts = Option(say("Hold, scrap …"), "9", OpenPage("acts"))
    if isinstance(seen, Refusal):
        return turn, acts
    if hasattr(command, "reason") and not command.reason:
        why = Option(
            say("{words}: say why", words=_words(seen, draft)),
            "Enter",
            Gap(FillIn("reason"), "value"),
            tone="attention",
            needs_text=say("Why? It stays on the record."),
        )
        return why, turn, acts
    return (
        held(_words(seen, draft), command),
        turn,
        acts,
    )


def _words(seen: Preview, draft: ChangeDraft) -> str:
    match draft.act:
        case "back":
            return say("Go back one stage")
        case "leave":
            return say("Take it out of its basket")
        case "join":
            return say("Put it with {other}", other=draft.other)
        case _:
            event = seen.events[0]
            if isinstance(event, LotChosen):
                return say("The bottle in hand is {lot}", lot=event.lot)
            if isinstance(event, EquipmentChosen):
                return say("From now on {code}", code=event.code)
            changes = getattr(event, "changes", ())
            told = ", ".join(f"{what} {will or 'none'}" for what, _, will in changes)
            return say("Change it: {told}", told=told)


def _foot(draft: ChangeDraft, seen: Preview | Refusal) -> str:
    if isinstance(seen, Refusal):
        return say("Left and right change the framed row; a digit frames another.")
    why = draft.command.reason
    told = (
        say("why: {why}; ", why=Typed(why))
        if why and draft.act in ("change", "back")
        else ""
    )
    return say(
        "{told}what is done stays done; who changed it stays on the record", told=told
    )


def taken(bench: Bench, draft: ChangeDraft) -> bool:
    """Return whether what was drafted is on the record, so that a new one begins."""
    part = bench.parts.get(draft.command.part)
    asked = draft.command
    if part is None:
        return False
    if draft.act != "change":
        beside = bench.baskets.get(part.basket, ())
        return {
            "back": part.at != draft.at,
            "leave": not beside,
            "join": draft.other in beside,
        }[draft.act]
    things = ("print_lot", "coat_lot", "stain_lot", *THINGS, "due")
    given = [name for name in things if getattr(asked, name)]
    if asked.again or not (given or asked.variant):
        return bool(asked.again) and part.stage.key.startswith(f"{asked.again}-more")
    same = all(getattr(part, name) == getattr(asked, name) for name in given)
    return same and asked.variant in (None, part.variant)
