"""Who needs hands next, in words: the NEXT line, what comes then, and collisions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchassist.domain.advice import HARMED, Task
from benchassist.domain.queue import NEVER_MS
from benchassist.domain.stagger import collision
from benchassist.domain.words import HOUR_MS, clock, late, minutes
from benchassist.ui.view import Panel

if TYPE_CHECKING:
    from benchassist.clock import Instant
    from benchassist.domain.state import Bench, Part

WORDS = {
    "take out": "out of {title}",
    "go on": "drying is over",
    "tell the run's end": "tell how the box ended",
    "tack": "wet coat, tack it",
    "look": "look at the wet coat",
    "resume": "take from hold",
    "start": "start {title}",
    "work by hand": "{title}",
    "wet the brush": "wet the brush",
    "load the box": "load the box",
    "start the box": "start the box",
    "submerge": "submerge it",
    "turn over": "turn it over",
    "put on hold": "cover it, hold",
    "check": "check and release",
    "scrap or keep": "scrap it or keep it?",
    "leave": "{title}, ends by itself",
}


def said(bench: Bench, task: Task) -> str:
    """Return a task in words: who, what, and how long until when."""
    more = len(task.parts) - 1
    code = f"{task.part} and {more} more" if more else task.part
    told = f"{code}: {what(bench, task)}"
    if task.due_ms > 0:
        return f"{told} in {clock(task.due_ms)}"
    if task.slack_ms < 0:
        return f"{told}, {late(-task.slack_ms)}"
    if task.reason in HARMED and task.slack_ms < HOUR_MS:
        return f"{told}, {clock(task.slack_ms)} free"
    return told


def what(bench: Bench, task: Task) -> str:
    """Return what a task is, in words."""
    title = bench.parts[task.part].stage.title.lower()
    return WORDS[task.act].format(title=title)


def before_harm(task: Task) -> str:
    """Return how long hands may take until being late harms, or is too late."""
    if task.slack_ms >= NEVER_MS // 2:
        return "no limit"
    if task.reason == "appointment":
        told = "late for its time" if task.slack_ms < 0 else "to its time"
        return f"{minutes(abs(task.slack_ms))} {told}"
    return late(-task.slack_ms) if task.slack_ms < 0 else clock(task.slack_ms)


def together(bench: Bench, part: Part, now: Instant) -> tuple[Panel, ...]:
    """Return a warning when what is about to begin would end with something else."""
    found = collision(bench, part, now)
    if found is None:
        return ()
    line = f"with {found.other} at {found.at.local():%H:%M}"
    offered = f"start in {found.wait_s} s to keep them apart"
    return (Panel("BOTH WOULD END", "TOGETHER", "attention", (line, offered)),)
