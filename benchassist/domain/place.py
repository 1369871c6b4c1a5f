"""The frozen place: what was being done, where and with what, before a break.

The cue is written down before the break, because it is the cue seen just before an
interruption that shortens the way back (Altmann and Trafton 2004, Proc. Cognitive
Science Society 26; abstract read). This module knows no state and no clock.
"""

from __future__ import annotations

from typing import Literal

from benchassist.clock import Instant
from benchassist.domain.words import clock, face_words, listed, span
from benchassist.value import value

Cover = Literal["", "cover", "hood"]

COVERS: dict[Cover, str] = {
    "": "",
    "cover": "Cover it: dark, dust-free.",
    "hood": "Cover it with a dark hood that touches nothing.",
}


@value
class Place:
    """Where the work stood, as it was frozen.

    ``spot`` of ``of`` counts on ``face``, ``number`` on the whole coat, all from 1;
    0 where nobody was tacking. ``wet_spots`` are the numbers of the spots that lie
    brushed and not tacked, ``wet`` the parts with a wet coat and ``in_alcohol``
    those in a wash bath. ``lit_ms`` is the light the broken spot had.
    """

    part: str = ""
    title: str = ""
    stage: str = ""
    layer: str = ""
    segment: int = 0
    face: str = ""
    spot: int = 0
    of: int = 0
    number: int = 0
    lamp: str = ""
    lit_ms: int = 0
    wet_ms: int = 0
    wet_spots: tuple[int, ...] = ()
    wet: tuple[str, ...] = ()
    in_alcohol: tuple[str, ...] = ()
    cover: Cover = ""


@value
class Away:
    """The operator is away since ``since``; ``place`` waits as it was left."""

    since: Instant
    place: Place


def where(place: Place) -> str:
    """Return in one sentence what waits and where."""
    if not place.part:
        return "Nothing was in hand."
    at = f"{place.part}: {place.title}"
    if not place.number:
        return f"{at}."
    return f"{at}, {face_words(place.face)}, spot {place.number}."


def card(place: Place) -> tuple[str, ...]:
    """Return the lines of the resume card, the most urgent first."""
    lines = [where(place)]
    if place.number:
        lines.append(f"Patch {place.segment}, {place.lamp or 'no lamp'} in hand.")
    if place.wet_spots:
        lines.append(
            f"Still wet: {span(place.wet_spots)}, {clock(place.wet_ms)} so far."
        )
    if place.lit_ms:
        lines.append("The spot that was broken off starts whole.")
    if place.cover:
        lines.append(COVERS[place.cover])
    others = tuple(code for code in place.wet if code != place.part)
    if others:
        lines.append(f"Also wet: {listed(others)}.")
    if place.in_alcohol:
        lines.append(f"In alcohol: {listed(place.in_alcohol)}.")
    return tuple(lines)
