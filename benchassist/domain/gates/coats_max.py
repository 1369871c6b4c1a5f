"""Every coat thickens the part: contacts close and bites rise."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.limits import limit
from benchassist.domain.state import Bench


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge the coats that set on the part, those stripped again included."""
    part, layer = ask.part, ask.stage.layer
    if not layer.startswith("coat") or layer in part.work:
        return passed("No new coat.")
    after, most = part.coats + 1, int(limit(bench, "coats_max"))
    if after <= most:
        return passed(f"Coat {after} of at most {most}.", ("coats", after))
    return Verdict(
        "marginal",
        f"Coat {after} of at most {most}, reworks included.",
        (("coats", after), ("most", most)),
        "Ask the prescriber: contacts and bite; or scrap it.",
        scope=f"{part.code}, coat {after}",
    )


GATE = Gate(
    "coats-max",
    "Number of coats",
    acceptable=True,
    check=check,
    why=("Each coat adds some 15 to 30 µm: it closes a contact and raises a bite."),
)
