"""What every form's words and values share."""

from __future__ import annotations

from collections.abc import Mapping

from benchassist.ui.words import say

Choices = tuple[tuple[str, str], ...]
GS_SHOWN = "|"  # what a scan field shows for the group separator: no label has it
NONE: Choices = (("", "none"),)


class FormError(ValueError):
    """A form's value cannot be used; the text says which and what to do."""


def codes(known: Mapping[str, str]) -> Choices:
    """Return codes with their titles as what a field offers."""
    return tuple(
        (code, code if title in ("", code) else f"{code}  {title}")
        for code, title in known.items()
    )


def number(label: str, typed: str) -> float:
    """Return a number as typed, with a comma or a point.

    Raises
    ------
    FormError
        If it is none.
    """
    try:
        return float(typed.replace(",", "."))
    except ValueError as error:
        msg = say("{label}: “{typed}” is not a number.", label=label, typed=typed)
        raise FormError(msg) from error
