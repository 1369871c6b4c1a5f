"""Tell a scanner's burst of keys from a hand's, before any of them acts.

A scanner is a keyboard: outside a field its letters would open pages, its digits
answer, its spaces press the pedal, its Enter confirm. A hand needs longer from key to
key than a machine, so a printable key waits one gap; what follows it that fast is read
together. Pure: fed with the edges of all keys, it answers with what is to be done.
"""

from __future__ import annotations

from typing import TypeAlias

from benchassist.domain.pedal_guard import Edge
from benchassist.value import replace, value

# The fastest typists known make some 20 keys a second, 50 ms apart (from memory);
# scanners of keyboard type send a key every 1 to 20 ms (common practice, no source).
GAP_MS = 30
FEWEST = 4  # keys: no palm and no bouncing key types so many, of three kinds
KINDS = 3
PAUSE_MS = 300  # [ms] once a machine types, a pause so long does not end its label
USED = "?+-"  # signs that are keys of the window; no other sign is
ENDS = ("Enter", "Tab")  # what a scanner sends behind a label
SEPARATOR = "\x1d"  # GS1's, between the elements of one label


@value
class Stroke:
    """One edge of a key.

    ``name`` is spelled as options spell it, ``text`` what it types, ``key`` its own
    number. ``pedal`` says that it is the foot's; ``passed`` that a control had it
    already, so that it is only watched.
    """

    name: str
    text: str
    edge: Edge
    key: int = 0
    pedal: bool = False
    passed: bool = False


@value
class Scanned:
    """What a scanner typed, without the key that ended it."""

    text: str


Out: TypeAlias = Stroke | Scanned


@value
class Burst:
    """Keys that are not yet known to be a hand's; each edge makes the next state.

    ``eaten`` are keys of a scan that are still down: their release means nothing.
    """

    strokes: tuple[Stroke, ...] = ()
    eaten: frozenset[str] = frozenset()

    @property
    def typed(self) -> tuple[Stroke, ...]:
        """Return the keys that went down, a held key's repetitions left out."""
        return tuple(s for s in self.strokes if s.edge.down and not s.edge.repeat)

    @property
    def machine(self) -> bool:
        """Say whether no hand types like this."""
        texts = [stroke.text for stroke in self.typed]
        return len(texts) >= FEWEST and len(set(texts)) >= KINDS

    @property
    def signed(self) -> bool:
        """Say whether it begins with a sign that no key of the window is."""
        sign = self.typed[0].text if self.typed else " "
        return not (sign.isalnum() or sign.isspace() or sign in USED)

    @property
    def wait_ms(self) -> int:
        """Return for how long the next key belongs to the ones before."""
        return PAUSE_MS if self.machine or self.signed else GAP_MS

    def takes(self, stroke: Stroke) -> tuple[Burst, tuple[Out, ...]]:
        """Return the state after an edge, and what there is to do by now."""
        before: tuple[Out, ...] = ()
        state = self
        if self.strokes and stroke.edge.since(self.typed[-1].edge) > self.wait_ms:
            state, before = self.settled()
        state, after = (_down if stroke.edge.down else _up)(state, stroke)
        return state, before + after

    def settled(self) -> tuple[Burst, tuple[Out, ...]]:
        """Return the state once no more keys follow: a scan, or a hand's keys."""
        if not self.machine:
            hand = tuple(s for s in self.strokes if not s.passed)
            return replace(self, strokes=()), hand
        text = "".join(stroke.text for stroke in self.typed)
        names = {stroke.name for stroke in self.strokes}
        lifted = {stroke.name for stroke in self.strokes if not stroke.edge.down}
        eaten = self.eaten | (names - lifted)
        return Burst(eaten=frozenset(eaten)), (Scanned(text),)


def _down(state: Burst, stroke: Stroke) -> tuple[Burst, tuple[Out, ...]]:
    state = replace(state, eaten=state.eaten - {stroke.name})
    if not state.strokes:
        # The space bar waits for nothing: no label begins with a space.
        first = _types(stroke) and stroke.text != " " and not stroke.edge.repeat
        if first:
            return replace(state, strokes=(stroke,)), ()
        return state, () if stroke.passed else (stroke,)
    if _types(stroke):
        return replace(state, strokes=(*state.strokes, stroke)), ()
    machine = state.machine
    state, out = state.settled()
    if machine and stroke.name in ENDS:
        return replace(state, eaten=state.eaten | {stroke.name}), out
    return state, (*out, stroke)


def _up(state: Burst, stroke: Stroke) -> tuple[Burst, tuple[Out, ...]]:
    if stroke.name in state.eaten:
        return replace(state, eaten=state.eaten - {stroke.name}), ()
    if any(each.name == stroke.name for each in state.strokes):
        return replace(state, strokes=(*state.strokes, stroke)), ()
    return state, () if stroke.passed else (stroke,)


def _types(stroke: Stroke) -> bool:
    text = stroke.text
    return len(text) == 1 and (text.isprintable() or text == SEPARATOR)
