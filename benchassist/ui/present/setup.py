"""The set-up page: what this station is like, and a key to change each of it."""

from __future__ import annotations

from benchassist.ui.actions import (
    LearnPedal,
    OpenPage,
    SetUp,
    TrySounds,
)
from benchassist.ui.settings import MM_PER_PIXEL, SPACE_KEY, Settings
from benchassist.ui.view import Option, TableView
from benchassist.ui.words import say
from benchassist.value import value


class MeasureError(ValueError):
    """What was measured is not the length of a bar; the text says what to do."""


@value
class Station:
    """What the machine says of itself; ``player`` and ``voice`` name what it has."""

    folder: str
    mm_per_pixel: float
    player: str = ""
    voice: str = ""


def setup(settings: Settings, station: Station, amiss: str = "") -> TableView:
    """Return the set-up page: each line says what is and what its key makes of it.

    ``amiss`` says why a change could not be kept.
    """
    told = say("Data folder: {folder}", folder=station.folder)
    if settings.sound and not station.player:
        told = say("This machine plays no sound: watch the screen. {told}", told=told)
    return TableView(say("Set-up"), (), (), told, _options(settings, station), amiss)


def _options(settings: Settings, station: Station) -> tuple[Option, ...]:
    other = "light" if settings.theme != "light" else "dark"
    theme = "dark" if other == "light" else "light"
    learned = "" if settings.pedal_key == SPACE_KEY else say(" and a learned key")
    again = say("measure again") if settings.mm_per_pixel else say("never measured")
    still = settings.reduced_motion
    return (
        Option(
            say("Theme: {theme}", theme=theme),
            "1",
            SetUp("theme", other),
            line=say("change to {other}", other=other),
        ),
        Option(
            say("Pedal is space{learned}", learned=learned),
            "2",
            LearnPedal(),
            line=say("learn another key"),
        ),
        Option(
            say("Pixel: {mm_per_pixel:.3f} mm", mm_per_pixel=station.mm_per_pixel),
            "3",
            OpenPage("ruler"),
            line=again,
        ),
        _switch(say("Sound"), "4", "sound", settings.sound, station.player),
        Option(
            say("Try the sound"),
            "5",
            TrySounds(),
            line=say("three sounds, and a line if it speaks"),
        ),
        _switch(say("Voice"), "6", "voice", settings.voice, station.voice),
        Option(
            say("Bars in quarters") if still else say("Bars glide"),
            "7",
            SetUp("reduced_motion", not still),
            line=say("let them glide") if still else say("move them in quarters"),
        ),
        Option(
            say("Learning"),
            "8",
            OpenPage("learning"),
            line=say("how much the bench explains"),
        ),
        Option(
            say("The record"),
            "9",
            OpenPage("record"),
            line=say("back-up, texts, read-only"),
        ),
    )


def _switch(what: str, key: str, field: str, on: bool, by: str) -> Option:  # noqa: FBT001 - what a switch is
    """Return a switch and what it is now; ``by`` plays it, if anything does."""
    told = say("{what} on", what=what) if on else say("{what} off", what=what)
    off = say("{by}: switch off", by=by or say("none here"))
    line = off if on else say("switch on")
    return Option(told, key, SetUp(field, not on), line=line)


def mm_per_pixel(bar_px: int, typed: str) -> float:
    """Return the pixel size in mm of a screen on which a bar was measured.

    Raises
    ------
    MeasureError
        If ``typed`` is no length that a bar of ``bar_px`` pixels can have.
    """
    low, high = (round(bar_px * each) for each in MM_PER_PIXEL)
    try:
        size = float(typed.replace(",", ".")) / bar_px
    except ValueError as error:
        msg = say(
            "“{typed}” is not a length. Use digits only, such as 262.5.", typed=typed
        )
        raise MeasureError(msg) from error
    if not MM_PER_PIXEL[0] <= size <= MM_PER_PIXEL[1]:
        msg = say(
            "The bar cannot be {typed} mm long; measure it between {low} and {high}.",
            typed=typed,
            low=low,
            high=high,
        )
        raise MeasureError(msg)
    return size
