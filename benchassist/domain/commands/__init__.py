"""What somebody may wish at the bench, in the imperative.

A press, a key, a script line and a tick of the clock all end up as one of
these. Fields are plain values so that a script can write them down.
A module for each subject; users take all of them from here.
"""

from benchassist.domain.commands.base import *
from benchassist.domain.commands.base import (
    Command,
    PressPedal,
)
from benchassist.domain.commands.box import *
from benchassist.domain.commands.box import (
    ConfirmLoad,
    ConfirmSubmerged,
    StartRun,
    TellRunEnd,
)
from benchassist.domain.commands.coat import *
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
from benchassist.domain.commands.correction import *
from benchassist.domain.commands.correction import (
    Correct,
)
from benchassist.domain.commands.coupon import *
from benchassist.domain.commands.coupon import (
    BeginCoupon,
    BoxCoupon,
    BringCoupon,
    EndCoupons,
    ExplainCoupon,
    GoOnWithB,
    JudgeTab,
    LeaveCoupon,
    LightTab,
    ReadThrough,
    StopAfterA,
    StopTab,
    TellCouponBox,
    TypePapers,
)
from benchassist.domain.commands.day import *
from benchassist.domain.commands.day import (
    OrderPart,
    RefusePutBack,
)
from benchassist.domain.commands.held import *
from benchassist.domain.commands.held import (
    HELD,
    held,
)
from benchassist.domain.commands.intake import *
from benchassist.domain.commands.intake import (
    ChangePart,
    ChooseEquipment,
    ChooseLot,
    ChoosePart,
    FormBasket,
    LeaveBasket,
    StepBack,
    TakeIn,
)
from benchassist.domain.commands.late import *
from benchassist.domain.commands.late import (
    EnterLate,
)
from benchassist.domain.commands.people import *
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
from benchassist.domain.commands.recall import OpenRecall, SignDay
from benchassist.domain.commands.release import *
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
from benchassist.domain.commands.shelf import *
from benchassist.domain.commands.shelf import (
    ChangeDish,
    CloseLot,
    FileSpectrum,
    FillGlycerine,
    FitWorkingCurve,
    ReadLamp,
    RecordCoupon,
    RecordSmear,
    ShowGlasses,
)
from benchassist.domain.commands.stages import *
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
from benchassist.domain.commands.store import *
from benchassist.domain.commands.store import (
    AcceptDamage,
    ContinueStore,
    CreateStore,
    FileLibrary,
    NoteFault,
    NoteGap,
    NoteWallStep,
    Reopen,
    SetCodeShape,
    SetLimit,
    TellDark,
    Tick,
)
from benchassist.domain.commands.upkeep import *
from benchassist.domain.commands.upkeep import (
    DoRoutine,
    FillBath,
    HandleBottle,
    MeasureBath,
    RotateBaths,
    ServiceLamp,
    SetKeeping,
)

__all__ = [
    "HELD",
    "AcceptDamage",
    "AcceptGate",
    "BackOne",
    "BeginCoupon",
    "BoxCoupon",
    "BreakSpot",
    "BringCoupon",
    "CallAway",
    "ChangeDish",
    "ChangePart",
    "ChooseEquipment",
    "ChooseLot",
    "ChoosePart",
    "ClaimStation",
    "ClaimThing",
    "CloseDeviation",
    "CloseLot",
    "ComeBack",
    "Command",
    "ConfirmFlip",
    "ConfirmLoad",
    "ConfirmSubmerged",
    "ContinueStore",
    "Correct",
    "CreateStore",
    "DoRoutine",
    "EndCoupons",
    "EnterLate",
    "ExplainCoupon",
    "FileLibrary",
    "FileSpectrum",
    "FillBath",
    "FillGlycerine",
    "FinishStage",
    "FitWorkingCurve",
    "FormBasket",
    "GoOn",
    "GoOnWithB",
    "HandOver",
    "HandleBottle",
    "HoldHere",
    "HoldPart",
    "JudgeTab",
    "KeepPart",
    "LeaveBasket",
    "LeaveCoupon",
    "LightTab",
    "MeasureBath",
    "NoteFault",
    "NoteGap",
    "NoteWallStep",
    "OpenDeviation",
    "OpenLampSession",
    "OpenRecall",
    "OrderPart",
    "Predict",
    "PressPedal",
    "PutDown",
    "Quiet",
    "ReadHandOver",
    "ReadLamp",
    "ReadThrough",
    "RecordCheck",
    "RecordCoupon",
    "RecordSmear",
    "RefusePutBack",
    "ReleasePart",
    "Reopen",
    "ReportMishap",
    "ResumePart",
    "RotateBaths",
    "ScrapPart",
    "ServiceLamp",
    "SetCodeShape",
    "SetKeeping",
    "SetLevel",
    "SetLimit",
    "ShowGlasses",
    "SignDay",
    "StartRun",
    "StartStage",
    "StartWalk",
    "StepBack",
    "StopAfterA",
    "StopTab",
    "TakeIn",
    "TakeOut",
    "TakeOver",
    "TellCoatState",
    "TellCouponBox",
    "TellDark",
    "TellRunEnd",
    "Tick",
    "TypePapers",
    "VoidStart",
    "WetBrush",
    "held",
]
