"""What is done by holding for two seconds, never by the pedal or a tap."""

from __future__ import annotations

from benchassist.domain.commands.base import Command
from benchassist.domain.commands.box import ConfirmLoad, ConfirmSubmerged, TellRunEnd
from benchassist.domain.commands.coat import OpenLampSession, TellCoatState
from benchassist.domain.commands.correction import Correct
from benchassist.domain.commands.coupon import (
    BoxCoupon,
    EndCoupons,
    ExplainCoupon,
    LeaveCoupon,
    TellCouponBox,
)
from benchassist.domain.commands.intake import (
    ChangePart,
    ChooseEquipment,
    ChooseLot,
    StepBack,
)
from benchassist.domain.commands.late import EnterLate
from benchassist.domain.commands.people import HandOver, SetLevel, TakeOver
from benchassist.domain.commands.recall import OpenRecall, SignDay
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
    CheckThing,
    CloseLot,
    FileSpectrum,
    FileThing,
    FillGlycerine,
    FitWorkingCurve,
    RetireThing,
    ShowGlasses,
)
from benchassist.domain.commands.stages import ConfirmFlip, HoldPart, ResumePart
from benchassist.domain.commands.store import SetCodeShape, SetLimit, TellDark
from benchassist.domain.commands.upkeep import (
    FillBath,
    ReadBox,
    RotateBaths,
    SeeGlycerine,
    SetKeeping,
    SetNitrogen,
)

# What is done by holding for two seconds, never by the pedal or a tap: whatever a
# record rests on that nobody but a hand and an eye can know. Choosing a part, coming
# back and reading are taps, because nothing is stated by them.
HELD: frozenset[type[Command]] = frozenset(
    {
        ChangePart,
        ChooseEquipment,
        ChooseLot,
        StepBack,
        CloseLot,
        SetCodeShape,
        ConfirmLoad,
        ConfirmSubmerged,
        TellRunEnd,
        ConfirmFlip,
        Correct,
        EnterLate,
        HoldPart,
        ResumePart,
        OpenLampSession,
        TellCoatState,
        FillBath,
        RotateBaths,
        SetKeeping,
        SetNitrogen,
        SeeGlycerine,
        ReadBox,
        FileThing,
        RetireThing,
        CheckThing,
        FillGlycerine,
        FileSpectrum,
        ShowGlasses,
        FitWorkingCurve,
        BoxCoupon,
        EndCoupons,
        ExplainCoupon,
        LeaveCoupon,
        TellCouponBox,
        AcceptGate,
        OpenDeviation,
        CloseDeviation,
        OpenRecall,
        SignDay,
        ReleasePart,
        ScrapPart,
        KeepPart,
        SetLimit,
        TellDark,
        TakeOver,
        HandOver,
        SetLevel,
        ReportMishap,
    }
)


def held(command: object) -> bool:
    """Return whether a command is done by a hold; so is a check that failed."""
    if isinstance(command, RecordCheck):
        return not command.passed
    return type(command) in HELD
