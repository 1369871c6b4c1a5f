"""What somebody may wish at the bench, in the imperative.

A press, a key, a script line and a tick of the clock all end up as one of
these. Fields are plain values so that a script can write them down.
A module for each subject; users take all of them from here.
"""

from benchassist.domain.commands.base import (
    Command,
    PressPedal,
)
from benchassist.domain.commands.box import (
    ConfirmLoad,
    ConfirmSubmerged,
    StartRun,
    TellRunEnd,
)
from benchassist.domain.commands.coat import (
    BackOne,
    BreakSpot,
    GoOn,
    HoldHere,
    OpenLampSession,
    StartWalk,
    TellCoatState,
    WetBrush,
)
from benchassist.domain.commands.held import (
    HELD,
    held,
)
from benchassist.domain.commands.intake import (
    ChooseEquipment,
    ChooseLot,
    ChoosePart,
    FormBasket,
    TakeIn,
)
from benchassist.domain.commands.people import (
    CallAway,
    ClaimStation,
    ClaimThing,
    ComeBack,
    HandOver,
    Predict,
    PutDown,
    ReadHandOver,
    SetLevel,
    TakeOver,
)
from benchassist.domain.commands.release import (
    AcceptGate,
    CloseDeviation,
    KeepPart,
    OpenDeviation,
    RecordCheck,
    ReleasePart,
    ReportMishap,
    ScrapPart,
)
from benchassist.domain.commands.shelf import (
    ChangeDish,
    FileSpectrum,
    FillGlycerine,
    FitWorkingCurve,
    ReadLamp,
    RecordCoupon,
    RecordSmear,
    ShowGlasses,
)
from benchassist.domain.commands.stages import (
    ConfirmFlip,
    FinishStage,
    HoldPart,
    Quiet,
    ResumePart,
    StartStage,
    TakeOut,
    VoidStart,
)
from benchassist.domain.commands.store import (
    CreateStore,
    FileLibrary,
    NoteFault,
    NoteWallStep,
    Reopen,
    SetLimit,
    Tick,
)

__all__ = [
    "HELD",
    "AcceptGate",
    "BackOne",
    "BreakSpot",
    "CallAway",
    "ChangeDish",
    "ChooseEquipment",
    "ChooseLot",
    "ChoosePart",
    "ClaimStation",
    "ClaimThing",
    "CloseDeviation",
    "ComeBack",
    "Command",
    "ConfirmFlip",
    "ConfirmLoad",
    "ConfirmSubmerged",
    "CreateStore",
    "FileLibrary",
    "FileSpectrum",
    "FillGlycerine",
    "FinishStage",
    "FitWorkingCurve",
    "FormBasket",
    "GoOn",
    "HandOver",
    "HoldHere",
    "HoldPart",
    "KeepPart",
    "NoteFault",
    "NoteWallStep",
    "OpenDeviation",
    "OpenLampSession",
    "Predict",
    "PressPedal",
    "PutDown",
    "Quiet",
    "ReadHandOver",
    "ReadLamp",
    "RecordCheck",
    "RecordCoupon",
    "RecordSmear",
    "ReleasePart",
    "Reopen",
    "ReportMishap",
    "ResumePart",
    "ScrapPart",
    "SetLevel",
    "SetLimit",
    "ShowGlasses",
    "StartRun",
    "StartStage",
    "StartWalk",
    "TakeIn",
    "TakeOut",
    "TakeOver",
    "TellCoatState",
    "TellRunEnd",
    "Tick",
    "VoidStart",
    "WetBrush",
    "held",
]
