"""Release waits for the ledger, the checks and every open deviation."""

from benchassist.clock import Instant
from benchassist.domain.gates.lot_expiry import expired_at_printing
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.ledger import owed
from benchassist.domain.state import Bench, Part
from benchassist.domain.words import layer_words


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge whether a part may be signed as complete."""
    part = ask.part
    for account in owed(bench, part):
        if account.low < account.owed:
            side = f" side {account.side}" if account.side else ""
            return failed(
                f"{account.layer}{side}: {account.low} of {account.owed} confirmed.",
                "Give the rest and tell how the run ended.",
                ("low", account.low),
                ("owed", account.owed),
            )
    for work in part.work.values():
        done = sum(1 for state in work.spots if state == "done")
        if done < len(work.spots) and not _assessed(bench, part, work.layer):
            return failed(
                f"{work.layer}: {done} of {len(work.spots)} spots tacked.",
                f"Open a deviation that names {work.layer} and its spots, and have it"
                " assessed: after the second half no spot is lit any more.",
                ("done", done),
                ("spots", len(work.spots)),
            )
    return _record(bench, part) or passed(
        "Ledger closed, checks done, no open deviation."
    )


def _assessed(bench: Bench, part: Part, layer: str) -> bool:
    """Return whether spots that a layer lacks were assessed by hand, under its name.

    A spot told unlit when the part had its second half cannot be made up for.
    """
    names = (layer, layer_words(layer))
    return any(
        part.code in found.parts
        and found.decision == "use as is"
        and "spot" in found.text
        and any(name in found.text for name in names)
        for found in bench.deviations.values()
    )


def _record(bench: Bench, part: Part) -> Verdict | None:
    """Return what the part's record still lacks."""
    if not part.print_lot:
        return failed(
            "The print lot is not known.",
            "Look at the print job and choose the lot by hand.",
        )
    last = expired_at_printing(bench, part.print_lot, part.printed)
    known = any(
        part.code in found.parts and part.print_lot in found.text
        for found in bench.deviations.values()
    )
    if last and not known:
        return failed(
            f"Lot {part.print_lot} had expired on {last}; printed on {part.printed}.",
            "Open a deviation that names the lot, and have it assessed.",
        )
    open_ones = bench.open_deviations(part.code)
    if open_ones:
        return failed(
            f"Deviation {open_ones[0].id} is open: {open_ones[0].text}",
            "Assess it by hand first.",
        )
    wanted = bench.checks_of(part)
    for name in wanted:
        if not part.checks.get(name, False):
            told = "failed" if name in part.checks else "was not done"
            return failed(f"The check “{name}” {told}.", "Do the check by hand.")
    return None


GATE = Gate(
    "release-ready",
    "Ready for release",
    acceptable=False,
    check=check,
    why=("What leaves without its whole count leaches monomer into somebody's mouth."),
)
