"""How the bench says times and counts, in one place."""

from __future__ import annotations

from datetime import date

from benchassist.clock import HOUR_MS, MINUTE_MS, MS


class Typed(str):
    """What a hand typed, which no screen says otherwise, in whatever language."""

    __slots__ = ()


def clock(ms: float) -> str:
    """Return ``1:14`` or ``2:03:20``; a started second counts as a whole one."""
    seconds = -(-int(max(0, ms)) // MS)
    hours, rest = divmod(seconds, 3600)
    minutes_, seconds = divmod(rest, 60)
    if hours:
        return f"{hours}:{minutes_:02}:{seconds:02}"
    return f"{minutes_}:{seconds:02}"


def minutes(ms: float) -> str:
    """Return ``9 min`` above one minute and a half, ``2 h 05 min`` above as many hours.

    Below both it is seconds.
    """
    if ms > 1.5 * HOUR_MS:
        hours, rest = divmod(-(-int(ms) // MINUTE_MS), 60)
        return f"{hours} h {rest:02} min"
    if ms > 1.5 * MINUTE_MS:
        return f"{-(-int(ms) // MINUTE_MS)} min"
    return f"{-(-int(max(0, ms)) // MS)} s"


def spare(ms: float) -> str:
    """Return how long there is still, never longer than there is."""
    return minutes(int(ms) // MINUTE_MS * MINUTE_MS if ms > 1.5 * MINUTE_MS else ms)


def ago(hours: float) -> str:
    """Return how long ago something was, to the minute."""
    return f"{minutes(hours * HOUR_MS)} ago"


def late(ms: float) -> str:
    """Return ``+0:42 late``."""
    whole = int(max(0, ms)) // MS * MS
    return f"+{clock(whole)} late"


def unit_word(unit: str, count: int) -> str:
    """Return the word for a box's counts."""
    if unit == "flash":
        return "flash" if count == 1 else "flashes"
    return "s"


def layer_words(layer: str) -> str:
    """Return a layer as it is called in a sentence: ``coat 2``, ``coat 2 again``."""
    name, again, _ = layer.replace("-", " ").partition(" again")
    return f"{name}{again}"


# What a side is to whoever holds the part; "inner" is the fitting surface to them.
FACES = {"outer": "cheek side", "inner": "tongue side", "biting": "biting side"}


def face_words(face: str) -> str:
    """Return a face as it is called at the bench: ``cheek side``, ``mesial``."""
    return FACES.get(face.lower(), face.lower())


def sentences(*parts: str) -> str:
    """Return parts as sentences in a row, each ended by one full stop."""
    told = [part.strip() for part in parts if part.strip()]
    ended = [part if part[-1] in ".!?…" else f"{part}." for part in told]
    return " ".join(part[0].upper() + part[1:] for part in ended)


def listed(codes: tuple[str, ...]) -> str:
    """Return codes in a row: ``EX-23, EX-26 and EX-27``."""
    if len(codes) < 2:  # noqa: PLR2004 - one is not a list
        return "".join(codes)
    return f"{', '.join(codes[:-1])} and {codes[-1]}"


def span(numbers: tuple[int, ...]) -> str:
    """Return spots by their numbers: ``spots 23 and 24`` or ``spots 17 to 24``."""
    if len(numbers) == 1:
        return f"spot {numbers[0]}"
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:  # noqa: PLR2004
        return f"spots {numbers[0]} to {numbers[-1]}"
    return f"spots {listed(tuple(str(number) for number in numbers))}"


def is_day(text: str) -> bool:
    """Return whether a text is a day as all are written here, ``YYYY-MM-DD``.

    Days are compared as texts, so that no other way to write one will do.
    """
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False
