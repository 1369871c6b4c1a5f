"""What the rules say, in the language of the run.

Record and rules speak one language: a replay, an export and a correction never depend
on whose eyes read the screen, so nothing outside ``ui`` asks for a translation. Its
sentences are recognised here, where they are shown: each is matched with the texts
that the sources outside ``ui`` can say, plain ones and those with ``{named}`` fields,
which ``resources/words/domain.js`` holds for this and for Qt's own tool. What stands
in a field is recognised in its turn, and so are sentences in a row. Of several
readings the one holds that leaves the fewest letters unexplained; what no text
explains, a code, is shown as it is. So is what a hand typed, whatever it reads like:
whoever shows it alone marks it (``domain.words.Typed``), and a sentence that holds it
names its field ``typed``.

Loaded only where a language was chosen (``ui.tongue``).
"""

from __future__ import annotations

import json
import re
from dataclasses import fields, is_dataclass
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Any, NamedTuple

from benchassist import assets
from benchassist.domain.words import Typed
from benchassist.ui.words import Said

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

FIELD = re.compile(r"\{(\w+)\}")
WORD = re.compile(r"[^\W\d_]{2,}")
PROSE = re.compile(r"\b[^\W\d_]*[^\W\d_A-Z][^\W\d_]+")  # a word that is no code
JOINT = re.compile(
    r"(?<=[.!?…])\s+|[;:,] | \(|\)$"
)  # between sentences, and inside them
JOINING = {"and", "at", "by", "for", "in", "of", "on", "or", "to", "with"}
TYPED = "typed"  # begins the name of a field that holds what a hand typed
MOST_TEXTS = 4000  # that are kept; a day of countdowns has more than a page of words
UNSHOWN = {
    "key",
    "drawing",
    "states",
    "lane",
    "lanes",
}  # fields of a view that code compares


class Reading(NamedTuple):
    """A text in the language of the run, and how many of its letters are explained.

    ``own`` are those of the longest source: of two readings that explain as much, the
    one in fewer pieces holds.
    """

    letters: int
    own: int
    text: str


class Source:
    """A text that the rules can say, with what matches it."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.words = WORD.findall(FIELD.sub(" ", text))
        self.letters = sum(map(len, self.words))

    @cached_property
    def pattern(self) -> re.Pattern[str]:
        """What matches it; of each field the shortest text that will do."""
        pieces = FIELD.split(self.text)
        pieces[::2] = map(re.escape, pieces[::2])
        pieces[1::2] = (f"(?P<{name}>.*?)" for name in pieces[1::2])
        return re.compile("".join(pieces), re.DOTALL)


class Reader:
    """Reads what the rules say, and says it in the language of ``look_up``."""

    def __init__(self, look_up: Callable[[str], str], texts: Iterable[str]) -> None:
        self._look_up = look_up
        self._by_word: dict[str, list[Source]] = {}
        for source in map(Source, texts):
            if source.words:
                rare = max(source.words, key=len).lower()
                self._by_word.setdefault(rare, []).append(source)
        self._read = lru_cache(MOST_TEXTS)(self._read_anew)

    def told(self, text: str) -> str:
        """Return ``text`` in the language of the run; what was said or typed stays."""
        return text if isinstance(text, Said | Typed) else Said(self._read(text).text)

    def shown(self, view: Any) -> Any:  # noqa: ANN401 - any plain value
        """Return what a widget shows with its words in the language of the run.

        A field is told where it is declared as text; one that is declared as a choice
        of words, a command or a key is compared by code and stays.
        """
        if isinstance(view, str):
            return self.told(view)
        if isinstance(view, tuple) and type(view) is tuple:
            return tuple(map(self.shown, view))
        if not is_dataclass(view) or isinstance(view, type):
            return view
        made = object.__new__(type(view))
        for each in fields(view):
            value, kind = getattr(view, each.name), str(each.type)
            kept = (
                each.name in UNSHOWN
                or kind == "object"
                or (isinstance(value, str) and "str" not in kind)
            )
            made.__dict__[each.name] = value if kept else self.shown(value)
        return made

    def _read_anew(self, text: str) -> Reading:
        """Return the reading that explains the most letters."""
        best = Reading(0, 0, text)
        if not WORD.search(text):
            return best
        inner = text.strip()
        if inner != text:
            found = self._read(inner)
            return found._replace(text=text.replace(inner, found.text))
        for written, cased in _written(text):
            found = max(self._readings(written), default=best)
            if found[:2] > best[:2]:
                best = found._replace(text=cased(found.text))
        return best

    def _readings(self, text: str) -> Iterator[Reading]:
        """Yield what a text can be: a source, one but for its full stop, or a row."""
        yield from self._matches(text)
        if text.endswith("."):
            said = self._read(text[:-1])
            yield said._replace(text=f"{said.text}.")
        else:
            for said in self._matches(f"{text}."):
                yield said._replace(text=said.text.removesuffix("."))
        for joint in JOINT.finditer(text):
            before, after = text[: joint.start()], text[joint.end() :]
            one, other = self._read(before), self._read(after)
            # Half a sentence in each language reads worse than one of them.
            if _whole(before, one) and _whole(after, other):
                yield Reading(
                    one.letters + other.letters,
                    max(one.own, other.own),
                    f"{one.text}{joint[0]}{other.text}",
                )

    def _held(self, name: str, text: str) -> Reading:
        """Return what a field holds; what a hand typed is explained by that alone."""
        if name.startswith(TYPED):
            return Reading(sum(map(len, WORD.findall(text))), 0, text)
        return self._read(text)

    def _matches(self, text: str) -> Iterator[Reading]:
        known = {word.lower() for word in WORD.findall(text)} & self._by_word.keys()
        for source in (each for word in known for each in self._by_word[word]):
            if match := source.pattern.fullmatch(text):
                held = {
                    name: self._held(name, of) for name, of in match.groupdict().items()
                }
                # A joining word alone holds only what is explained together.
                if JOINING.issuperset(source.words) and not all(
                    map(_whole, match.groups(), held.values())
                ):
                    continue
                letters = source.letters + sum(each.letters for each in held.values())
                said = _filled(self._look_up(source.text), held)
                yield Reading(letters, source.letters, said)


def texts() -> Iterator[str]:
    """Yield every text that the sources outside ``ui`` can say."""
    for line in assets.read_text("resources", "words", "domain.js").splitlines():
        if line.startswith('qsTranslate("", "'):
            yield json.loads(line.removeprefix('qsTranslate("", ').removesuffix(");"))


def _filled(text: str, held: dict[str, Reading]) -> str:
    """Return a text with its fields filled; one that is not known stays in sight."""
    return FIELD.sub(
        lambda field: held[field[1]].text if field[1] in held else field[0], text
    )


def _whole(piece: str, read: Reading) -> bool:
    return read.letters > 0 or not PROSE.search(piece)


def _written(text: str) -> Iterator[tuple[str, Callable[[str], str]]]:
    """Yield how the rules may have written a text, and how to write it as shown."""
    yield text, str
    yield text[0].swapcase() + text[1:], _first(text)
    if text.isupper():
        yield text.capitalize(), str.upper
        yield text.lower(), str.upper


def _first(text: str) -> Callable[[str], str]:
    """Return what writes the first letter as that of ``text`` is written."""
    cased = str.upper if text[0].isupper() else str.lower
    return lambda told: cased(told[:1]) + told[1:]
