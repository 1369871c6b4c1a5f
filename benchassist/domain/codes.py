"""One rule for every code that a hand gives: a part, an operator, a lot, a lamp.

A code is one word of plain letters, digits and a few marks, never a person's name and
never a birth date: it stands in a record that nothing is deleted from and, large, on
a screen that anybody can read. A practice may set the shape its own codes have. The
rule is a fence against habit, not proof: a name that looks like a code passes.
"""

from __future__ import annotations

import re
from typing import Literal

from benchassist.domain import teeth
from benchassist.domain.outcome import Refusal
from benchassist.domain.state import Bench

CodeKind = Literal["part", "operator", "prescriber", "lot", "equipment", "tooth"]

LONGEST = 24  # characters that fit the band at its size
SHORT = 8  # characters of a tooth or a span of teeth
SURNAME = 4  # letters behind a title that are read as one
PEOPLE = ("part", "operator", "prescriber")  # where a name would stand for a person
EXAMPLES: dict[CodeKind, str] = {
    "part": "EX-41",
    "operator": "OP-1",
    "prescriber": "EX-P2",
    "lot": "EX-LT-C2",
    "equipment": "EX-LM-A",
    "tooth": "12",
}
CALLED: dict[CodeKind, str] = {
    "part": "a case code",
    "operator": "an operator code",
    "prescriber": "a prescriber code",
    "lot": "a lot",
    "equipment": "a code",
    "tooth": "a tooth",
}
_WORD = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9._/+#-]*[A-Za-z0-9])?")
_SPLIT = re.compile(
    r"[._/+#-]+|(?<=[a-z])(?=[A-Z])|(?<=[A-Za-z])(?=[0-9])|(?<=[0-9])(?=[A-Za-z])"
)
_TITLES = frozenset(
    (
        *("dr", "dra", "prof", "mr", "mrs", "ms", "miss", "mx", "sir"),
        *("herr", "frau", "mme", "mlle", "monsieur", "sig", "sra", "srta"),
    )
)
_NAME = re.compile(r"[A-Z][a-z]{2,}")
_DATES = (
    re.compile(
        r"(?<!\d)(?P<y>(?:19|20)\d\d)[._/-]?(?P<m>\d\d)[._/-]?(?P<d>\d\d)(?!\d)"
    ),
    re.compile(
        r"(?<!\d)(?P<d>\d\d?)[._/-](?P<m>\d\d?)[._/-](?P<y>(?:19|20)\d\d)(?!\d)"
    ),
    re.compile(r"(?<!\d)(?P<d>\d\d?)[./](?P<m>\d\d?)[./](?P<y>\d\d)(?!\d)"),
    re.compile(r"(?<!\d)(?P<d>\d\d)(?P<m>\d\d)(?P<y>(?:19|20)\d\d)(?!\d)"),
    re.compile(r"(?<!\d)(?P<m>\d\d?)/(?P<d>\d\d?)/(?P<y>(?:19|20)\d\d)(?!\d)"),
)
_SIGNS = {"#": "[0-9]", "@": "[A-Za-z]", "*": "[A-Za-z0-9._/+#-]*"}


def amiss(bench: Bench, kind: CodeKind, code: str, *, year: int = 0) -> Refusal | None:
    """Return why ``code`` is none, with how to write it; None when it is one.

    Parameters
    ----------
    bench
        What the practice has set as the shape of its codes.
    kind
        What the code names.
    code
        As it was typed or scanned.
    year
        The year it is now: a date of this year is a day's number, not a birth.
    """
    shape = bench.code_shapes.get(kind, "")
    why = _why(kind, code, year) or _unlike(shape, code)
    if not why:
        return None
    example = as_shape(shape) if shape else EXAMPLES[kind]
    # What may be somebody's name is not said again, neither on the screen nor aloud.
    told = why if kind in PEOPLE else f"{why} Not taken: {shown(code)}."
    return Refusal("code", told, remedy=f"Write it like {example}.")


def shown(code: str) -> str:
    """Return what was typed as it can be shown: no control signs, not endless."""
    plain = "".join(
        each if each.isprintable() and each.isascii() else "?"
        for each in code[:LONGEST]
    )
    return f"“{plain}”" + (" …" if len(code) > LONGEST else "")


def tooth_amiss(bench: Bench, tooth: str) -> str:
    """Return why a tooth is not written so: two digits, or as the practice set."""
    shape = bench.code_shapes.get("tooth", "")
    if not shape:
        return teeth.amiss(tooth)
    if not is_short(tooth):
        return f"A tooth has at most {SHORT} plain signs."
    return _unlike(shape, tooth)


def tooth_jaw(bench: Bench, tooth: str) -> Literal["", "upper", "lower"]:
    """Return the jaw of a tooth in two digits; "" where the practice writes its own."""
    return "" if bench.code_shapes.get("tooth", "") else teeth.jaw_of(tooth)


def is_short(text: str) -> bool:
    """Return whether a tooth is written in a few plain signs, such as 12 or 12-14."""
    return len(text) <= SHORT and re.fullmatch(r"[A-Za-z0-9.,/+-]+", text) is not None


def shape_amiss(shape: str) -> str:
    """Return why a shape cannot be set, or nothing."""
    if not shape:
        return ""
    if len(shape) > LONGEST or not re.fullmatch(r"[A-Za-z0-9._/+#@*-]+", shape):
        return (
            "A shape is letters as they stand, # for a digit, @ for a letter, "
            "* for the rest."
        )
    return "" if re.search(r"[#*]", shape) else "A shape needs a # where numbers count."


def as_shape(shape: str) -> str:
    """Return an example of a shape: ``K-##`` is shown as ``K-12``."""
    digits = iter("1234567890" * LONGEST)
    return "".join(
        next(digits) if sign in "#*" else "A" if sign == "@" else sign for sign in shape
    )


def counted_on(code: str, by: int) -> str:
    """Return the code that comes ``by`` later: ``EX-41`` by 1 is ``EX-42``.

    The last run of digits counts and keeps its width; a code without one is given
    back with a number of its own.
    """
    found = re.search(r"(\d+)(\D*)$", code)
    if found is None:
        return f"{code}-{by + 1}"
    digits, rest = found.groups()
    return f"{code[: found.start()]}{int(digits) + by:0{len(digits)}d}{rest}"


def _why(kind: CodeKind, code: str, year: int) -> str:
    called = CALLED[kind]
    if not code:
        return f"{called.capitalize()} is missing."
    if len(code) > LONGEST:
        return f"{called.capitalize()} has at most {LONGEST} characters."
    if not code.isascii() or not code.isprintable():
        return (
            f"{called.capitalize()} is plain letters and digits only: no accents, no "
            "hidden or look-alike signs."
        )
    if any(each.isspace() for each in code):
        return f"{called.capitalize()} is one word, never a name."
    if not _WORD.fullmatch(code):
        return f"{called.capitalize()} begins and ends with a letter or a digit."
    return _person(kind, code, year)


def _person(kind: CodeKind, code: str, year: int) -> str:
    tokens = [token for token in _SPLIT.split(code) if token]
    words = [token for token in tokens if token.isalpha()]
    titled = any(token.lower() in _TITLES and token != token.upper() for token in words)
    longest = max((len(token) for token in words), default=0)
    led = bool(words) and words[0].lower() in _TITLES and longest >= SURNAME
    if titled or led:
        return f"{CALLED[kind].capitalize()} carries no title and no name."
    if sum(bool(_NAME.fullmatch(token)) for token in words) > 1:
        return "Two capitalised words look like a name; a code never is one."
    if kind in PEOPLE:
        if born(code, year):
            return "That looks like a birth date; a code never holds one."
        if not any(each.isdigit() for each in code):
            return f"{CALLED[kind].capitalize()} has a number in it, so no name is one."
    return ""


def is_title(word: str) -> bool:
    """Return whether a word, with or without its dot, is a title before a name."""
    return word.lower().removesuffix(".") in _TITLES


def born(code: str, year: int) -> bool:
    """Return whether a past year's calendar day stands in a code."""
    for pattern in _DATES:
        for found in pattern.finditer(code):
            told = int(found["y"])
            short = len(found["y"]) == 2  # noqa: PLR2004 - a year in two digits
            if short:
                told += 2000 if told <= year % 100 else 1900
            day, month = int(found["d"]), int(found["m"])
            if 1 <= day <= 31 and 1 <= month <= 12 and told < (year or 9999):  # noqa: PLR2004
                return True
    return False


def _unlike(shape: str, code: str) -> str:
    if not shape:
        return ""
    pattern = "".join(_SIGNS.get(sign, re.escape(sign)) for sign in shape)
    if re.fullmatch(pattern, code):
        return ""
    return f"This practice writes its codes as {shape} (# a digit, @ a letter)."
