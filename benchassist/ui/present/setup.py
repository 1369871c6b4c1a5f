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
    size = say(
        "{mm_per_pixel:.3f} mm a pixel: {again}",
        mm_per_pixel=station.mm_per_pixel,
        again=again,
    )
    sound = _switch(say("Sound"), settings.sound, station.player or say("none here"))
    voice = _switch(say("Voice"), settings.voice, station.voice or say("none here"))
    still = settings.reduced_motion
    motion = (
        say("in quarters: let them glide")
        if still
        else say("glide: move them in quarters")
    )
    return (
        Option(
            say("Theme {theme}: change to {other}", theme=theme, other=other),
            "1",
            SetUp("theme", other),
        ),
        Option(
            say("Pedal is space{learned}: learn another", learned=learned),
            "2",
            LearnPedal(),
        ),
        Option(say("Screen {size}", size=size), "3", OpenPage("ruler")),
        Option(sound, "4", SetUp("sound", not settings.sound)),
        Option(say("Hear the three sounds and a line"), "5", TrySounds()),
        Option(voice, "6", SetUp("voice", not settings.voice)),
        Option(
            say("Bars {motion}", motion=motion), "7", SetUp("reduced_motion", not still)
        ),
        Option(say("Learning: levels"), "8", OpenPage("learning")),
        Option(say("The record: back-up, texts, read-only"), "9", OpenPage("record")),
    )


def _switch(what: str, on: bool, by: str) -> str:  # noqa: FBT001 - what a switch is
    return (
        say("{what} on ({by}): switch off", what=what, by=by)
        if on
        else say("{what} off: switch on", what=what)
    )


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
