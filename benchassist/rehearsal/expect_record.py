"""What a script may expect of the record: the day that was signed."""

from __future__ import annotations

from benchassist.rehearsal.expect import Facts, Scene, Words, topic


@topic("signed")
def _signed(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    del which, named
    found = scene.session.bench.signed
    if found is None:
        raise ValueError("no day was signed yet")
    return {"day": found.day, "who": found.who, "head": found.head}
