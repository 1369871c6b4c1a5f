"""What is to be placed, and how near things give way to far ones."""

from __future__ import annotations

from typing import NamedTuple

from benchassist.ui.page import Page
from benchassist.ui.view import BenchView
from benchassist.value import replace, value


@value
class Scene:
    """What is to be placed: the view, and what the hands have opened.

    ``drawer`` counts the drawers from 1; 0 is none.
    """

    view: BenchView
    page: Page | None
    drawer: int


class Squeeze(NamedTuple):
    """How near things give way: cautions go, then panels, then the quiet line."""

    cautions: bool = True
    panels: bool = True
    subline: bool = True


SQUEEZES = (
    Squeeze(),
    Squeeze(cautions=False),
    Squeeze(cautions=False, panels=False),
    Squeeze(cautions=False, panels=False, subline=False),
)


def structure(view: BenchView) -> tuple[BenchView, int]:
    """Return what of a look decides where things stand."""
    countdown, spots = view.countdown, view.spots
    if countdown is not None and countdown.fill is not None:
        countdown = replace(countdown, fill=0.0)
    fixed = replace(
        view,
        rows=(),
        tags=(),
        slim=type(view.slim)(),
        next_aside="",
        pedal_aside="",
        pedal_long="",
        way=view.way and type(view.way)(()),
        band=replace(view.band, fill=0.0, right=""),
        countdown=countdown,
        spots=spots and replace(spots, states=(), wet_fill=0.0, wet_text=""),
    )
    return fixed, len(view.rows)
