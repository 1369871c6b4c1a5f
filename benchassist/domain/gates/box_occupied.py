"""One run at a time: a box that runs takes nothing else."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, failed, passed
from benchassist.domain.state import Bench


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge whether the part's box is free."""
    box = ask.part.box
    if box not in bench.boxes:
        return failed("No curing box is chosen.", "Choose one by hand.")
    for run in bench.runs.values():
        if run.box == box:
            return failed(
                f"{box} holds {', '.join(run.parts)}; its end was not told yet.",
                "Tell by hand how that run ended.",
            )
    coupon = bench.coupon
    if coupon is not None and coupon.boxed is not None and coupon.coupon.box == box:
        return failed(
            f"{box} holds the tabs of coupon {coupon.coupon.id}.",
            "Tell by hand what the box showed for them.",
        )
    load = bench.loads.get(box)
    if load and not set(load.parts) & set(ask.together):
        return failed(
            f"{box} is loaded with {', '.join(load.parts)}.",
            "Start or clear that load first.",
        )
    return passed(f"{box} is free.")


GATE = Gate(
    "box-occupied",
    "Box free",
    acceptable=False,
    check=check,
    why=(
        "One recipe per run. Opening the box breaks another part's count, and "
        "nobody knows what it had."
    ),
)
