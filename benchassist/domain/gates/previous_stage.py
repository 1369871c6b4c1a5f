"""A stage begins only when the part is at it and nothing runs on the part."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.state import Bench, Ready


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge that all parts that go together stand ready at the same stage."""
    for code in ask.together:
        part = bench.parts[code]
        if part.stage.kind != ask.stage.kind or part.stage.side != ask.stage.side:
            return failed(
                f"{code} is at {part.stage.title}, not at {ask.stage.title}.",
                f"Finish {part.stage.title} of {code}, or leave it out.",
            )
        if not isinstance(part.phase, Ready):
            return failed(
                f"{part.stage.title} of {code} was not confirmed yet.",
                "Confirm it first.",
            )
    return passed("The stage before is confirmed.")


GATE = Gate(
    "previous-stage",
    "Stage before",
    acceptable=False,
    check=check,
    why=(
        "Each stage trusts the one before: half a wash or half a cure shows "
        "only later, under the coat."
    ),
)
