"""The part has room in its vessel, and the vessel in the chamber."""

from benchassist.clock import Instant
from benchassist.domain.gates.verdict import Ask, Gate, Verdict, passed
from benchassist.domain.size import room_for
from benchassist.domain.state import Bench


def check(bench: Bench, ask: Ask, now: Instant) -> Verdict:
    """Judge the heights, where vessel and part were measured."""
    del now
    room = room_for(bench, [bench.parts[code] for code in ask.together])
    if room is None:
        return passed("Its vessel was not measured: look that it is covered.")
    vessel, box = ask.part.vessel, ask.part.box
    numbers = (
        ("needed_mm", round(room.fit.needed_mm, 1)),
        ("vessel_mm", room.vessel_mm),
        ("chamber_mm", room.chamber_mm),
    )
    scope = f"{ask.part.code} in {vessel}, {box}"
    if not room.fit.fits_chamber:
        told = f"{vessel} is {room.vessel_mm:g} mm high; {box} takes 5 mm less than"
        told = f"{told} {room.chamber_mm:g}."
        return Verdict("marginal", told, numbers, "Take a lower vessel.", scope)
    if not room.fit.fits_vessel and room.sure:
        told = f"{vessel} needs {room.fit.needed_mm:.0f} mm, it has {room.vessel_mm:g}."
        remedy = "Take a higher vessel, or lay it lower: 5 mm over it."
        return Verdict("marginal", told, numbers, remedy, scope)
    return Verdict(
        "pass", f"{room.fit.needed_mm:.0f} mm of {room.vessel_mm:g}.", numbers
    )


GATE = Gate(
    "vessel-room",
    "Room in the vessel",
    acceptable=True,
    check=check,
    why=(
        "What stands out of the glycerine is cured in air, and what touches the "
        "chamber's roof is shaded or scuffed."
    ),
)
