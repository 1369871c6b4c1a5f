"""A label scanned where nothing is filled in: whose it is, and what that leads to.

Our own label brings its part to the front. A bottle's says what it is and offers it to
the part in front. While resin is wet or a lamp is lit nothing moves: it is only said.
"""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain import commands as cm
from benchassist.domain.layer import lot_for
from benchassist.domain.shelf import allowed
from benchassist.domain.standing import Standing
from benchassist.domain.state import WET, Bench, Closed, Part, Walking
from benchassist.scan import Label, ScanError, read
from benchassist.ui.present.rows import doing
from benchassist.ui.present.shown import weekday
from benchassist.ui.words import say
from benchassist.value import value


@value
class Meant:
    """What a scan comes to: one sentence; and a command, or a form to fill with it.

    ``take`` is done at once, ``offer`` is shown to be held first; ``form`` is opened
    with ``text`` in its scan field.
    """

    said: str
    take: cm.Command | None = None
    offer: cm.Command | None = None
    form: str = ""
    text: str = ""


def meant(bench: Bench, text: str, now: Instant) -> Meant:
    """Return what a scan outside a field is about."""
    try:
        label = read(text)
    except ScanError as error:
        return Meant(str(error))
    return _part(bench, label.part, now) if label.part else _bottle(bench, label, text)


def _busy(bench: Bench) -> str:
    """Return what may not be left now: wet resin, or a lamp that is lit."""
    wet = next((each for each in bench.in_flight if isinstance(each.phase, WET)), None)
    if wet is not None:
        lit = isinstance(wet.phase, Walking)
        return say(
            "{code} {it}",
            code=wet.code,
            it=say("is being lit") if lit else say("is wet"),
        )
    lit_tab = bench.coupon is not None and bench.coupon.lit is not None
    return say("a coupon is being lit") if lit_tab else ""


def _part(bench: Bench, code: str, now: Instant) -> Meant:
    part = bench.parts.get(code)
    if part is None:
        return Meant(
            say("{code} is not on this bench: look at the label again.", code=code)
        )
    phase = part.phase
    if isinstance(phase, Closed):
        return Meant(
            say(
                "{code} was {how} at {weekday} {at:%H:%M}.",
                code=code,
                how=phase.how,
                weekday=weekday(phase.at.local()),
                at=phase.at.local(),
            )
        )
    told = say(
        "{code}, tray {tray}: {doing}.",
        code=code,
        tray=part.tray,
        doing=doing(Standing(bench, part, now))[0],
    )
    busy = _busy(bench)
    if busy and not isinstance(phase, WET):
        return Meant(say("{told} It stays behind: {busy}.", told=told, busy=busy))
    if bench.focus == code:
        return Meant(told)
    return Meant(told, take=cm.ChoosePart(code))


def _bottle(bench: Bench, label: Label, text: str) -> Meant:
    busy = _busy(bench)
    lot = bench.lots.get(label.lot)
    if lot is None:
        named = (
            say("Lot {lot}", lot=label.lot) if label.lot else say("This bottle's lot")
        )
        if busy:
            return Meant(
                say(
                    "{named} is not on the shelf. Take it in later: {busy}.",
                    named=named,
                    busy=busy,
                )
            )
        return Meant(
            say("{named} is not on the shelf yet.", named=named),
            form="bottle",
            text=text,
        )
    material = bench.materials.get(lot.material)
    title = material.title if material else lot.material
    told = f"{lot.code}: {title}"
    return _in_hand(bench, lot.code, told, busy)


def _in_hand(bench: Bench, lot: str, told: str, busy: str) -> Meant:
    part = bench.focused
    role = _role(bench, part, lot) if part else ""
    if part is None or not role:
        return Meant(f"{told}.")
    if lot == lot_for(part, part.stage.layer or role):
        return Meant(
            say(
                "{told}. It is on record for {code} as it is.",
                told=told,
                code=part.code,
            )
        )
    if busy:
        return Meant(
            say(
                "{told}. Another bottle for {code}: key C; {busy}.",
                told=told,
                code=part.code,
                busy=busy,
            )
        )
    return Meant(
        f"{told}.",
        offer=cm.ChooseLot(part.code, role, lot),  # type: ignore[arg-type] # a role
    )


def _role(bench: Bench, part: Part, lot: str) -> str:
    """Return as what the part in front may still get a bottle, "" if as nothing."""
    recipe, material = bench.recipe_of(part), bench.lots[lot].material
    layers = [stage.layer for stage in part.route[part.at :] if stage.layer]
    for role in ("coat", "stain"):
        wanted = allowed(recipe, role)
        fits = material in wanted if wanted else _filed_as(bench, material) == role
        if fits and any(layer.startswith(role) for layer in layers):
            return role
    return ""


def _filed_as(bench: Bench, material: str) -> str:
    found = bench.materials.get(material)
    return found.role if found else ""
