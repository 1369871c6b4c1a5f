"""Looks at an invented bench, one for each state, with words as long as they get."""

from dataclasses import replace
from math import exp

from benchassist.ui.present.physics.plot import Line, Plot
from benchassist.ui.view import (
    Band,
    Bar,
    BenchView,
    Card,
    Countdown,
    Field,
    FormView,
    GateRow,
    LampRow,
    LightCheck,
    Option,
    Panel,
    Row,
    Slim,
    SpotMap,
    TableView,
    Tag,
    Undo,
)

STATUS = ("Thu 14 May 10:37", "OP-1", "EX-LM-A 96 %", "EX-BX-1 running", "sound on")
LIGHT_SO_FAR = "Keep eyewear on. Lamp 6:40 today."
CAUTION = "Every part in flight: fit on the model only; not for a mouth until released."

ROWS = (
    Row(
        "EX-22",
        "splint",
        "brush coat 1",
        "0:52",
        "DO",
        0.35,
        focused=True,
        key="F1",
        now=True,
        chip="for 15:00",
        chip_short="15:00",
        tray=1,
    ),
    Row(
        "EX-24",
        "crown",
        "what did the box show?",
        "no hurry",
        "ASK",
        0.7,
        key="F3",
        now=True,
        far="enter count",
        tray=3,
    ),
    Row(
        "EX-23",
        "3 crowns",
        "wash 2",
        "1:14",
        "WAIT",
        0.5,
        key="F2",
        next=True,
        tray=2,
    ),
    Row(
        "EX-31", "denture", "first half, side A", "3:41", "WAIT", 0.8, key="F4", tray=4
    ),
    Row("EX-25", "veneer", "covered, on hold", "23 h", "HOLD", 0.95, key="F5", tray=5),
)
MANY_ROWS = (
    Row(
        "EX-20",
        "3 crowns",
        "wash 2, lift out",
        "late 0:42",
        "DO",
        1.0,
        focused=True,
        late=True,
        key="F9",
        now=True,
        tray=9,
    ),
    *(replace(row, focused=False) for row in ROWS[:2]),
    Row("EX-28", "splint", "refine", "no hurry", "DO", key="F8", now=True, fill=0.0),
    Row(
        "EX-30",
        "try-in",
        "check and sign",
        "now",
        "ASK",
        0.0,
        now=True,
        chip="misses 11:00",
        chip_short="misses 11:00",
    ),
    Row("EX-32", "crown", "coat 1: lot expiry", "no hurry", "STOP", 0.0, now=True),
    *ROWS[2:],
    Row("EX-26", "veneer", "dry", "9:02", "WAIT", 0.4, key="F6", tray=6),
    Row("EX-27", "veneer", "dry", "9:02", "WAIT", 0.4, key="F7", tray=7),
    Row("EX-29", "splint", "dry", "11:40", "WAIT", 0.2, key="F10", tray=10),
    Row("EX-33", "splint", "covered, coat 1 tacked", "5 h", "HOLD", 0.1, key="F11"),
    Row("EX-34", "splint", "second half", "21:04", "WAIT", 0.1, key="F12", tray=12),
    Row("EX-35", "bridge", "disinfect", "24:04", "WAIT", 0.1, key="Shift+F1"),
)
TAGS = (
    Tag(1, "EX-22", "DO", "0:52", 0.35, needed=True, front=True),
    Tag(2, "EX-23", "WAIT", "1:14", 0.5),
    Tag(3, "EX-24", "ASK", "no hurry", 0.7, needed=True),
    Tag(4, "EX-31", "WAIT", "3:41", 0.8),
    Tag(5, "EX-25", "HOLD", "23 h", 0.9),
    Tag(6, "EX-20", "DO", "late", 1.0, needed=True, late=True),
    *(Tag(number) for number in range(7, 13)),
)
PANELS = (
    Panel(
        "LIGHT CHECK, EX-22",
        "PASS",
        "good",
        ("coat: 11 s a spot, EX-LM-A", "box and vessel: pass"),
    ),
    Panel(
        "OWED, EX-22",
        "",
        "plain",
        ("body 700 of 1400 seen", "coat 1: 26 of 60, then 700 owed"),
    ),
)
BARS = (
    Bar("body, side A", 0.5, 0.5, "700 of 1400", "observed"),
    Bar("body, side B", 0.31, 0.57, "between 430 and 800 of 1400", "assumed"),
    Bar("stain 1", 1.0, 1.0, "whole", "paced"),
    Bar("coat 1", 0.43, 0.43, "26 of 60 spots", "paced"),
    Bar("coat 1, submerged", 0.0, 1.0, "0 to 700 of 700: not known", "assumed"),
)
GATES = (
    GateRow(
        "Light check, this lamp",
        "PASS",
        "11 s a spot for 4.2 J/cm², measured spectrum.",
        "good",
    ),
    GateRow(
        "Light check, box and vessel", "PASS", "The box reaches every layer.", "good"
    ),
    GateRow(
        "Dry before coat",
        "WAIT",
        "3:20 of 5:00. Cover the part and come back.",
        "attention",
    ),
    GateRow("Lot expiry", "PASS", "EX-LOT-0417 until 2027-03.", "good"),
    GateRow(
        "Glycerine count",
        "STOP",
        "4 uses and 2 parts make 6; the limit is 5. Change it by hand.",
        "stop",
    ),
    GateRow("Lamp reading", "PASS", "Read at 09:02 today.", "good"),
)

WAIT = BenchView(
    status=STATUS,
    right_status=LIGHT_SO_FAR,
    mark="EXAMPLE",
    band=Band("WAIT", "EX-23", 0.62),
    headline="Wash 2: take out in",
    countdown=Countdown(
        "1:14",
        lines=(
            "earliest 0:44, latest 2:44",
            "basket of 3: 23, 26, 27",
            "solvent so far 3:46 of 5:00",
        ),
        fill=0.62,
    ),
    rows=ROWS,
    panels=PANELS,
    bars=BARS,
    gates=GATES,
    tags=TAGS,
    slim=Slim("EX-22", "0:52", "time left?"),
    next_line="EX-22: brush coat 1, may wait 0:52",
    next_short="EX-22: brush coat 1, 0:52",
    pedal_line="time left?",
    next_aside="EX-22 ready 11:58, due 15:00",
    cautions=(CAUTION,),
)
DO = replace(
    WAIT,
    band=Band("DO", "EX-23"),
    headline="Take the basket of 3 out of wash 2 now",
    subline="EX-23, EX-26, EX-27. Count in = count out: 3.",
    countdown=Countdown(
        "+0:42",
        "late",
        ("latest was 10:36:20", "solvent so far 5:42 of 5:00"),
        1.0,
        late=True,
    ),
    rows=MANY_ROWS,
    next_line="EX-20: wash 1, lift out, late 0:12",
    next_short="EX-20: wash 1, late 0:12",
    next_calls=True,
    pedal_line="taken out of wash 2, all 3 of the basket",
)
HOLD = replace(
    WAIT,
    band=Band("HOLD", "EX-22"),
    headline="Called away at spot 23",
    subline="Splint, coat 1, segment 3 of 8, biting face, EX-LM-A.",
    countdown=Countdown(
        "1:35",
        "away",
        ("wet 3:12 of 2:00", "ambient light 71 of 1296 klx·s"),
        1.0,
    ),
    card=Card(
        "Welcome back: look at the coat first",
        (
            "Spot 23 had 4 s of light; it starts whole.",
            "Spots 23 and 24 are still wet.",
            "The lamp in your hand was EX-LM-A.",
            "Is the coat wet and clean, or set or dusty?",
        ),
        (
            Option("wet and clean: go on at spot 23", "1", ("wet",)),
            Option("set or dusty: what now?", "2", ("set",)),
            Option("not sure", "3", ("unsure",), tone="quiet"),
        ),
    ),
    pedal_line="says where; a hand clears it",
    pedal_short="says where",
    panels=(),
)
STOP = replace(
    WAIT,
    band=Band("STOP", "EX-22"),
    headline="Do not wet the brush",
    subline="",
    countdown=None,
    light=LightCheck(
        reason="EX-LM-B will not set this coat.",
        why="Its light falls where this resin does not absorb. Initiator: by design class.",
        curves=None,
        pick="Pick up EX-LM-A",
        pick_line="11 s a spot from its reading at 09:02",
        lamps=(
            LampRow(
                "EX-LM-A",
                "11 s a spot",
                "PASS",
                "good",
                Option("pick up", "1", ("lamp", "A"), hold=True),
            ),
            LampRow(
                "EX-LM-C",
                "17 s, old reading",
                "MARGINAL",
                "attention",
                Option("pick up", "2", ("lamp", "C"), hold=True),
            ),
            LampRow("EX-LM-B", "will not set it", "FAIL", "stop"),
            LampRow("EX-LM-D", "no spectrum on file", "FAIL", "stop"),
        ),
    ),
    next_line="EX-23 out of wash 2 in 1:14",
    pedal_line="says why again",
    pedal_aside="no key passes this check; the attempt is on the record",
    cautions=(),
)
_NM = tuple(float(nm) for nm in range(340, 521, 2))
_ABSORBS = tuple(exp(-(((nm - 380) / 28) ** 2)) for nm in _NM)
_SHINES = tuple(exp(-(((nm - 448) / 14) ** 2)) for nm in _NM)
CURVES = Plot(
    "nm",
    "relative",
    (340.0, 520.0),
    (0.0, 1.05),
    lines=(
        Line(
            "both", _NM, tuple(map(min, _ABSORBS, _SHINES)), ink="attention", shade=True
        ),
        Line("the coat absorbs here", _NM, _ABSORBS, stroke="dashed", ink="measured"),
        Line("EX-LM-B shines here", _NM, _SHINES),
    ),
    y_axis=False,
)
STOP_WITH_CURVES = replace(STOP, light=replace(STOP.light, curves=CURVES))
ASK = replace(
    WAIT,
    band=Band("ASK", "EX-24"),
    headline="The box run is due: what did its counter show?",
    subline="EX-BX-1, first half, 2200 flashes planned, basket of 2.",
    countdown=None,
    card=Card(
        "End of the run in EX-BX-1",
        (
            "Planned: 2200 flashes. Read the counter, not the clock.",
            "Parts: EX-24 and EX-34, both at first half.",
        ),
        (
            Option(
                "counter 0: it ran to its end",
                "1",
                ("completed",),
                hold=True,
                tone="good",
            ),
            Option(
                "stopped early: type the counter",
                "2",
                ("stopped",),
                hold=True,
                needs_number="Flashes still on the counter of EX-BX-1",
            ),
            Option(
                "another count was set: type it",
                "3",
                ("wrong",),
                hold=True,
                needs_number="Flashes that were set",
            ),
            Option("not known", "4", ("unknown",), hold=True, tone="stop"),
        ),
    ),
    panels=(),
    pedal_line="opens this question, nothing else",
)
LOAD = replace(
    ASK,
    band=Band("DO", "EX-24"),
    headline="Load EX-BX-1 and set 2200 flashes",
    subline="First half, side A. Basket of 2: EX-24, EX-34.",
    countdown=None,
    card=Card(
        "Set on the box",
        (
            "Dry: 15:10 of 15:00 since wash 2.",
            "Set on the box = 2200 flashes.",
            "Door shut, one recipe in the box.",
        ),
        (
            Option("all three are so: start", "1", ("load",), hold=True),
            Option("not now", "Esc", ("leave",), tone="quiet"),
        ),
    ),
    pedal_line="loaded, started",
)
_STATES = ("done",) * 26 + ("now",) + ("open",) * 33
WALK = replace(
    WAIT,
    band=Band("DO", "EX-22"),
    headline="Biting face, spot 7 of 20",
    subline="Splint, peg blue tape. Coat 1, segment 4 of 8. Tip 1 to 3 mm off, never touching.",
    countdown=Countdown("6", "s left", ("of 11 s (lamp 96 %)",), 0.45),
    spots=SpotMap(
        "UPPER, 60 SPOTS",
        _STATES,
        24,
        32,
        (("outer face", 20), ("biting face", 20), ("inner face", 20)),
        "wet 0:58 of 2:00",
        0.48,
    ),
    next_line="EX-23 out of wash 2 in 1:14",
    pedal_line="this spot not done",
    next_aside="fits before EX-23 is due: segment ends in 0:52",
    cautions=(),
)
WALK_BROKEN = replace(
    WALK,
    band=Band("HOLD", "EX-22"),
    headline="Spot 23 was broken off; it starts whole",
    countdown=Countdown("11", "s a spot", ("press to go on",), 0.0),
    spots=replace(
        WALK.spots,
        title="LOWER, 60 SPOTS",
        jaw="lower",
        states=("done",) * 22 + ("broken",) + ("open",) * 37,
        first=16,
        last=24,
        wet_text="wet 2:12 of 2:00",
        wet_fill=1.0,
    ),
    pedal_line="go on; long: back one spot",
)
WALK_CROWN = replace(
    WALK,
    headline="Spot 4 of 5, near the neighbour on the left side",
    spots=SpotMap(
        "CROWN, 5 SPOTS",
        ("done",) * 3 + ("now", "open"),
        0,
        5,
        (("biting face", 1), ("round the side", 4)),
        "wet 0:40 of 2:00",
        0.33,
    ),
)
DONE = replace(
    WAIT,
    band=Band("DONE", "EX-22", right="14:06"),
    headline="Released 14:06",
    subline="splint, signed by OP-1",
    countdown=None,
    pedal_line="nothing: choose a part",
)
UNDO = replace(
    WAIT,
    headline="Wash 1: take out in",
    undo=Undo(
        "Started EX-23 wash 1, 6 s ago",
        (Option("void it by hand", "U", ("void",), hold=True),),
    ),
    message="Not counted: too soon after the last press.",
    options=(
        Option("spare", "S", ("spare",)),
        Option("part to HOLD", "P", ("hold",), hold=True),
    ),
)
EMPTY = replace(
    WAIT,
    band=Band("WAIT", ""),
    headline="Nothing is in flight",
    subline="Take a part in by hand.",
    countdown=None,
    rows=(),
    tags=tuple(Tag(number) for number in range(1, 13)),
    panels=(),
    bars=(),
    gates=(),
    cautions=(),
    next_line="nothing is due",
    pedal_line="does nothing: no part is chosen",
)
LONG = replace(
    WAIT,
    status=(
        *STATUS,
        "EX-LM-C 61 % read 3 days ago",
        "SOUND OFF: watch the screen",
        "backup 9 days old",
    ),
    mark="TRAINING",
    band=Band("WAIT", "EX-LM-2041"),
    headline="Check fit, contacts and bite on the model",
    subline="Intaglio and fissures first; cover it once it is dry, nothing harms it then.",
    countdown=Countdown(
        "+12:35",
        "h late",
        (
            "earliest 10:44, latest 12:44",
            "a line of its own that is rather long for the space beside",
        ),
        0.4,
        late=True,
    ),
    next_line="EX-2041: into glycerine, late 10:35",
    next_short="EX-2041: glycerine, late 10:35",
    pedal_line="says where; long: supports are off",
    next_aside="EX-206 ready 11:58, due 15:00, 12 min of slack, call the front desk by 14:10",
    cautions=(CAUTION, "Alcohol vapour burns: dry before the box."),
)
ALL = {
    "stop with curves": STOP_WITH_CURVES,
    "wait": WAIT,
    "do": DO,
    "hold": HOLD,
    "stop": STOP,
    "ask": ASK,
    "load": LOAD,
    "walk": WALK,
    "walk_broken": WALK_BROKEN,
    "walk_crown": WALK_CROWN,
    "undo": UNDO,
    "done": DONE,
    "empty": EMPTY,
    "long": LONG,
}

FORM = FormView(
    "intake",
    "Take a part in",
    (
        Field("part", "Code on the peg", "text", "EX-41"),
        Field(
            "recipe",
            "Recipe",
            "choice",
            "C",
            (("C", "EX-RC-C r2, crown, as IFU"), ("S", "EX-RC-S r1, splint")),
        ),
        Field(
            "print_lot",
            "Print lot",
            "choice",
            "1",
            (("1", "EX-LOT-0417"), ("2", "EX-LOT-0391")),
        ),
        Field("coat_lot", "Coat lot", "choice", "1", (("1", "EX-LOT-0502"),)),
        Field(
            "stain",
            "Stain passes",
            "number",
            "1",
            help="0 to 3; a coat must come over them",
        ),
        Field("coats", "Coats", "number", "2"),
        Field("mouth", "Back from a mouth", "check"),
        Field("peg", "Peg", "text", "blue tape"),
    ),
    "Take it in",
    note="Codes only: no names of people.",
    error="There is a part EX-41 in flight already. Use another code.",
)
TABLE = TableView(
    "Equipment",
    ("code", "what", "state", "since"),
    (
        ("EX-BX-1", "flash box, 8 flashes a second", "running", "10:31"),
        ("EX-LM-A", "lamp, violet and blue", "96 %, read today", "09:02"),
        ("EX-GV-1", "glycerine vessel", "2 of 5 uses", "Mon 11 May"),
    ),
    "No equipment yet. Import a library file, or define a lamp.",
    (
        Option("new reading", "R", ("reading",)),
        Option("change glycerine", "G", ("change",), hold=True),
    ),
)
