"""What a script may expect of time over a boot: what is sure, and the most."""

from __future__ import annotations

from benchassist.clock import MS
from benchassist.domain.sure import asked
from benchassist.rehearsal.expect import Facts, Scene, Words, part_named, topic


@topic("spent")
def _spent(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    """Answer with how long a part is at what it waits for."""
    phase, now = part_named(scene, which).phase, scene.session.now()
    since = getattr(phase, "since", getattr(phase, "wet_since", now))
    return {"sure_s": now.since(since) // MS, "most_s": now.most_since(since) // MS}


@topic("dark")
def _dark(scene: Scene, which: Words, named: dict[str, str]) -> Facts:
    """Answer with how long the machine was off before this boot."""
    bench, dark = scene.session.bench, scene.session.bench.dark
    if dark is None:
        return {"asked": "no"}
    low, high = dark.span
    return {
        "asked": "yes" if asked(bench, scene.session.now()) else "no",
        "low_s": low / MS,
        "high_s": high / MS,
        "said_s": dark.said[-1] / MS if dark.said else "none",
    }
