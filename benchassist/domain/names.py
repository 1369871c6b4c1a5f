"""What in a free text reads like a person: said before it is kept, never forbidden.

A record is read by visitors and kept for ten years. The rules are a net of wide mesh:
a title, two capitalised words side by side, a day of birth, a telephone number.
"""

from __future__ import annotations

import re
from itertools import pairwise

from benchassist.domain.codes import SURNAME, born, is_title

_WORDS = re.compile(r"[^\W\d_]+(?:[-'][^\W\d_]+)*\.?|\S")
_PHONE = re.compile(r"(?<![\w.])(?:\+|0)\d(?:[\s/-]?\d){6,}")


def person_in(text: str, *, year: int = 0) -> str:
    """Return one sentence on what reads like a person, or nothing.

    ``year`` is the year it is now: a day of this year is no birth.
    """
    words = _WORDS.findall(text)
    for before, word in pairwise(words):
        if is_title(before) and word[:1].isupper() and len(word) >= SURNAME:
            return "That reads like a title and a name: write a code."
        if _capital(before) and _capital(word):
            return "Two capitalised words read like a name: write a code."
    if born(text, year):
        return "That reads like a day of birth: leave it out."
    if _PHONE.search(text):
        return "That reads like a telephone number: leave it out."
    return ""


def _capital(word: str) -> bool:
    return len(word) > 1 and word[0].isupper() and word[1:].islower()
