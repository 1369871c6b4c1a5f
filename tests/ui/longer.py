"""A second language that does not exist: each word 40 % longer, and marked as said.

It has to be chosen before the first module of the window is imported, as any other.
"""

import re

from benchassist.ui.foreign import Reader, texts
from benchassist.ui.words import look_up_by

MARK = "ö"  # what a said word ends in; no English word of ours does
ABBREVIATED = 3  # [letters] at most, such as IFU
LONGER = 0.4  # [ratio] of a word's letters


def longer(text):
    """Return ``text`` with each of its words longer and marked; fields stay."""
    pieces = re.split(r"(\{[^}]*\})", text)
    return "".join(
        piece if piece.startswith("{") else re.sub(r"[^\W\d_]{2,}", _marked, piece)
        for piece in pieces
    )


def _marked(found):
    word = found[0]
    # An abbreviation has no accent on its capitals, in any language we know of.
    mark = MARK.upper() if word.isupper() and len(word) > ABBREVIATED else MARK
    return word + mark * max(1, round(LONGER * len(word)))


def speak():
    """Say everything so from now on."""
    look_up_by(longer, Reader(longer, texts()).shown)
