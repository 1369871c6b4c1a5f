"""How long hands may take, in words, and what would end together."""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.advice import Task
from benchassist.domain.queue import NEVER_MS
from benchassist.domain.stagger import collision
from benchassist.domain.state import Bench, Part
from benchassist.domain.words import clock, late, minutes, spare
from benchassist.ui.view import Panel
from benchassist.ui.words import say


def before_harm(task: Task) -> str:
    """Return how long hands may take until being late harms, or is too late."""
    if task.slack_ms >= NEVER_MS // 2:
        return say("no limit")
    if task.reason == "appointment":
        if task.slack_ms < 0:
            return say("{long} late for its time", long=minutes(-task.slack_ms))
        return say("{long} to its time", long=spare(task.slack_ms))
    return late(-task.slack_ms) if task.slack_ms < 0 else clock(task.slack_ms)


def together(bench: Bench, part: Part, now: Instant) -> tuple[Panel, ...]:
    """Return a warning when what is about to begin would end with something else."""
    found = collision(bench, part, now)
    if found is None:
        return ()
    line = say("with {other} at {at:%H:%M}", other=found.other, at=found.at.local())
    offered = say("start in {wait_s} s to keep them apart", wait_s=found.wait_s)
    return (
        Panel(say("BOTH WOULD END"), say("TOGETHER"), "attention", (line, offered)),
    )
