"""The limits that gates use, with their defaults, units and sources.

A new store files every one of these as a ``LimitSet`` event; from then on the
journal alone says what a limit is. No settings file can change a verdict.
"""

from __future__ import annotations

from benchassist.clock import Instant
from benchassist.domain.state import Bench
from benchassist.value import value

# Of hands and machine, not of resin.
OWN_TIME = ("stall_ms", "undo_s", "heartbeat_s", "idle_s", "quiet_s")
CP = "common practice, no source"
# J Prosthet Dent, postwashing with contaminated ethanol: the abstract's finding.
BATH = "5 % resin in ethanol lowered conversion, hardness and accuracy (published)"
ASSUMED = "assumed: measure it at your bench"


@value
class Limit:
    """A limit's default with unit and source; ``tighten`` allows only one way.

    A limit marked ``down`` may be lowered by a practice but never raised above
    its default, ``up`` the other way round, ``free`` either way. ``by_record`` is how
    far a validation record of the practice may take it (0: not at all).
    """

    code: str
    title: str
    default: float
    unit: str
    source: str
    tighten: str = "free"
    by_record: float = 0


LIMITS: dict[str, Limit] = {
    limit.code: limit
    for limit in (
        Limit(
            "light_pass_factor", "seconds needed / planned for PASS", 1, "", CP, "down"
        ),
        Limit("light_marginal_factor", "… for MARGINAL", 3, "", CP, "down"),
        Limit("declared_band", "spread of a declared spectrum", 0.25, "", "assumption"),
        Limit("lamp_reading_age_h", "oldest lamp reading", 24, "h", CP, "down"),
        Limit("lamp_floor", "lamp output out of service below", 0.7, "", CP, "up"),
        Limit(
            "glycerine_immersions",
            "part-immersions of one fill",
            5,
            "",
            CP,
            "down",
            by_record=20,
        ),
        Limit("accept_days", "a thing is accepted for", 90, "d", "our own", "down"),
        Limit("heartbeat_s", "heartbeat to disk", 5, "s", "our own choice"),
        Limit(
            "stall_ms", "gap of the ticks that counts as a stall", 2000, "ms", "our own"
        ),
        Limit("quiet_s", "a due sound rests after a long press", 120, "s", CP),
        Limit("front_desk_s", "front desk told before a due time", 1800, "s", CP),
        Limit("undo_s", "undo line after a start", 10, "s", "our own choice"),
        Limit("dose_notice", "notice at this share of the whole dose", 1.5, "", CP),
        Limit("dose_stop", "deviation above this share", 2.0, "", CP, "down"),
        Limit(
            "transmittance_floor",
            "least of the light through a vessel",
            0.7,
            "",
            CP,
            "up",
        ),
        Limit("late_wet_s", "wet coat: harm after", 120, "s", CP, "down"),
        Limit("late_alcohol_s", "part in alcohol past its maximum", 0, "s", CP),
        Limit("late_tacked_s", "tacked coat in open air: harm after", 1200, "s", CP),
        Limit("late_box_s", "box finished: harm after", 300, "s", CP),
        Limit("hold_limit_s", "hold between halves", 8 * 3600, "s", CP),
        Limit("coats_max", "coats on one part, rework included", 3, "", CP),
        Limit("hands_ready_s", "glove change and walk", 20, "s", CP),
        Limit("bath_percent", "resin in a wash bath, by mass", 5, "%", BATH, "down"),
        Limit("reworks_max", "reworks before scrap is asked", 2, "", CP, "down"),
        Limit("calls_per_h", "calls away in an hour", 7, "1/h", ASSUMED),
        Limit("call_s", "a call away takes on average", 58, "s", ASSUMED),
        Limit("walk_in_min", "hands kept free for who comes in", 30, "min", ASSUMED),
        Limit("idle_s", "operator unconfirmed after", 600, "s", CP, "down"),
        Limit("stagger_s", "two ends this close collide", 60, "s", CP),
        Limit("room_celsius", "room and glycerine", 23, "°C", CP),
        Limit("glycerine_percent", "glycerine in the vessels, by mass", 99.5, "%", CP),
        Limit(
            "glycerine_least",
            "glycerine left in a fill, by mass",
            95,
            "%",
            CP,
            "up",
        ),
        Limit("box_warn", "box light, of its first reading: warned", 0.9, "", CP, "up"),
        Limit("box_floor", "box light: out of use below", 0.8, "", CP, "up"),
        Limit("coat_um", "thickness of one coat", 25, "µm", CP),
        Limit("beam_mm", "useful beam of a lamp, not its tip", 8, "mm", CP),
        Limit("spot_overlap", "overlap of neighbouring spots", 0.25, "", CP),
        Limit("tip_mm", "tip of a lamp, across", 10, "mm", ASSUMED),
        Limit(
            "tip_cold_share",
            "light at a tip's coldest spot, of its mean",
            0.8,
            "",
            ASSUMED,
        ),
        Limit("tip_near_mm", "nearest that a tip is held", 1, "mm", CP),
        Limit("tip_far_mm", "farthest that a tip is held", 5, "mm", CP),
        Limit(
            "tip_source_mm",
            "virtual source behind the tip",
            45,
            "mm",
            "most collimated published: Meyer, Ernst, Willershausen 2002; "
            "measure the loss at a distance",
        ),
        Limit(
            "coat_rates",
            "rates of the coat model: 0 measured and slow, 1 measured, 2 slow, 3 own",
            0,
            "",
            "resources/data/rate_sets.csv",
        ),
        Limit("kp_percent", "own propagation, of the measured", 100, "%", ASSUMED),
        Limit("kt_percent", "own termination, of the measured", 100, "%", ASSUMED),
        Limit("nitrogen_percent", "oxygen left by meter, 0: none", 0, "%", ASSUMED),
        Limit("chamber_l", "room to be flushed, 0: unknown", 0, "L", ASSUMED),
        Limit("nitrogen_l_min", "flow of nitrogen, 0: unknown", 0, "L/min", ASSUMED),
        Limit("eye_distance_mm", "from the lit part to the eye", 300, "mm", ASSUMED),
        Limit("hand_distance_mm", "from the tip to the hand", 50, "mm", ASSUMED),
        Limit("part_reflectance", "light that a part throws back", 0.5, "", ASSUMED),
        *(
            Limit(f"hands_{kind}_s", f"hands at {title}", seconds, "s", CP)
            for kind, title, seconds in (
                ("supports", "supports", 600),
                ("refine", "refining", 600),
                ("fit", "fit on the model", 300),
                ("clean", "cleaning", 120),
                ("abrade", "abrading and cleaning", 180),
                ("mount", "mounting, within cleaning", 0),
                ("assess", "looking it over", 120),
                ("polish", "polishing", 600),
                ("checks", "the checks", 180),
            )
        ),
    )
}


DAY_S = 24 * 3600
HANDS = "a time of hands: none, or half a working day"
SHARE = "a share"
SIZE = "no such thing at a bench is smaller or larger"
FLASH = "a box or a lamp gives light meanwhile that nobody has seen"

# What a limit may be at least and at most, and why: a number typed wrong by a factor of
# a thousand credits light that nobody watched, or keeps a gate open for ever.
BOUNDS: dict[str, tuple[float, float, str]] = {
    "light_pass_factor": (0.1, 1, "less than a tenth passes no lamp, more is too slow"),
    "light_marginal_factor": (1, 3, "marginal begins where a pass ends"),
    "declared_band": (0, 0.9, "a share, and something must be left of it"),
    "lamp_reading_age_h": (1, 24, "nobody reads a lamp every minute"),
    "lamp_floor": (0.7, 1, "a share of the lamp's baseline"),
    "glycerine_immersions": (1, 5, "one part at least goes in"),
    "accept_days": (1, 90, "a warning is looked at again within a quarter"),
    "heartbeat_s": (1, 60, "it bounds what an interrupted run can have given"),
    "stall_ms": (500, 5000, "looks come ten a second; longer is light nobody watched"),
    "quiet_s": (10, 600, "what is due is heard again while it still matters"),
    "front_desk_s": (0, DAY_S / 3, "within the working day"),
    "undo_s": (2, 30, FLASH),
    "dose_notice": (1, 2, "from the whole dose to twice it"),
    "dose_stop": (1, 2, "from the whole dose to twice it"),
    "transmittance_floor": (0.7, 1, SHARE),
    "late_wet_s": (10, 120, "wet resin gathers dust and sets in room light"),
    "late_alcohol_s": (0, 300, "alcohol goes on taking resin out"),
    "late_tacked_s": (60, 3600, "a tacked coat gathers dust"),
    "late_box_s": (30, 3600, "the box stands idle, and its part is hot at first"),
    "hold_limit_s": (600, DAY_S, "nobody knows what a longer pause does"),
    "coats_max": (1, 5, "each coat lifts the bite by 15 to 30 µm"),
    "hands_ready_s": (0, 300, "a glove is changed in minutes"),
    "bath_percent": (0.5, 5, "a fresh bath reads near 0 already"),
    "reworks_max": (0, 2, "the third rework is asked about at the latest"),
    "calls_per_h": (0, 60, "one a minute leaves no work"),
    "call_s": (0, 3600, "an hour away is a break"),
    "walk_in_min": (0, 480, "within the working day"),
    "idle_s": (60, 600, "nobody knows whose hands they are"),
    "stagger_s": (0, 600, "further apart nothing collides"),
    "room_celsius": (5, 45, "nobody works in more or less"),
    "glycerine_percent": (50, 100, "a share by mass; thinner it is no cover"),
    "glycerine_least": (95, 100, "a share by mass; thinner it lets air and oxygen in"),
    "box_warn": (0.9, 1, SHARE),
    "box_floor": (0.8, 1, SHARE),
    "coat_um": (5, 200, SIZE),
    "beam_mm": (1, 20, SIZE),
    "spot_overlap": (0, 0.9, "a share; at 1 the spots never move on"),
    "tip_mm": (1, 30, SIZE),
    "tip_cold_share": (0.01, 1, SHARE),
    "tip_near_mm": (0, 20, SIZE),
    "tip_far_mm": (0, 50, SIZE),
    "tip_source_mm": (1, 1000, SIZE),
    "coat_rates": (0, 3, "one of the four sets"),
    "kp_percent": (1, 10_000, "within two orders of what was measured"),
    "kt_percent": (1, 10_000, "within two orders of what was measured"),
    "nitrogen_percent": (0, 21, "air has 21 %"),
    "chamber_l": (0, 1000, SIZE),
    "nitrogen_l_min": (0, 200, "a bottle's valve gives no more"),
    "eye_distance_mm": (50, 2000, SIZE),
    "hand_distance_mm": (5, 1000, SIZE),
    "part_reflectance": (0, 100, "a diffuse white is 1, a mirror more, one way"),
}


def bounds_of(code: str) -> tuple[float, float, str]:
    """Return the least and the most that a limit may be, and why."""
    return BOUNDS.get(code, (0, DAY_S / 6, HANDS))


def limit(bench: Bench, code: str) -> float:
    """Return a limit as the journal has it, or its default before any was set."""
    return bench.limits.get(code, LIMITS[code].default)


OF_LAMP = {"beam_mm": "useful_mm", "tip_mm": "tip_mm", "tip_source_mm": "source_mm"}


def limit_of(bench: Bench, lamp: str, code: str) -> float:
    """Return what a lamp's own beam and tip are, else as the limit has it."""
    found = bench.lamps.get(lamp)
    own: float = getattr(found, OF_LAMP[code]) if found else 0.0
    return own or limit(bench, code)


def limit_on(bench: Bench, code: str, now: Instant) -> float:
    """Return a limit as it is today: by a validation record while that is valid."""
    found = bench.validated.get(code)
    if found is not None and now.day() <= found.until:
        return found.value
    return limit(bench, code)
