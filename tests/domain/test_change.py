"""A part in flight goes on otherwise: what was done stays, what is ahead is planned."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import library as lib
from benchassist.domain.ledger import owed
from benchassist.domain.limits import limit
from benchassist.domain.outcome import Refusal
from benchassist.domain.preview import preview
from benchassist.domain.state import (
    BODY,
    Brushing,
    Closed,
    InRun,
    OnHold,
    Ready,
    Soaking,
)
from benchassist.value import replace
from tests.domain.builders import Desk, code_of, names, recipe

COATED = [
    "wash-1", "wash-2", "dry-box", "half-1", "supports", "refine", "fit",
    "clean", "dry-coat", "mount", "coat-1", "coat-2",
    "submerge", "half-2", "rinse", "dry-end", "checks",
]  # fmt: skip


def at(stage="", phase=Ready, **more):
    desk = Desk()
    desk.take(**more)
    if stage:
        desk.work(upto=stage, phase=phase)
    return desk


def change(desk, code="EX-1", reason="as the test wants it", **more):
    variant = more.pop("variant", {})
    if variant:
        more["variant"] = replace(desk.part(code).variant, **variant)
    return desk.do(cm.ChangePart(code, reason, **more))


def must(desk, **more):
    decision = change(desk, **more)
    assert not isinstance(decision, Refusal), decision
    return decision


def route(desk, code="EX-1"):
    return [stage.key for stage in desk.part(code).route]


def finish(desk, code="EX-1"):
    """Go on to the release by hand and foot; more light than planned is accepted."""
    for _ in range(400):
        if isinstance(desk.part(code).phase, Closed):
            break
        if desk.part(code).stage.kind in ("box", "submerge"):
            desk.do(cm.AcceptGate("count-excess", code, "a second half of its own"))
        desk.step(code)
    return desk.part(code)


# --- coats ----------------------------------------------------------------------


def test_a_coat_more_is_laid_after_the_last_and_before_the_cover():
    desk = at("coat-2")
    (changed,) = must(desk, variant={"coats": 3}, reason="thin at spot 14")

    assert changed.changes == (("coats", "2", "3"),)
    assert changed.reason == "thin at spot 14"
    assert route(desk) == [*COATED[:12], "coat-3", *COATED[12:]]
    assert desk.part().stage.key == "coat-2"
    assert set(desk.part().work) == {"coat-1"}  # what was done stays


def test_a_coat_less_is_never_laid():
    desk = at("coat-2")
    must(desk, variant={"coats": 1})

    assert route(desk) == [key for key in COATED if key != "coat-2"]
    assert desk.part().stage.key == "submerge"


def test_what_lies_on_the_part_is_no_choice_any_more():
    desk = at("coat-1", phase=Brushing)
    assert code_of(change(desk, variant={"coats": 1})) == "not-changeable"  # it is wet
    desk = at("submerge")
    refusal = change(desk, variant={"coats": 1})
    assert code_of(refusal) == "not-changeable"
    assert "coat 2" in refusal.message


def test_a_coat_that_comes_after_the_second_half_has_one_of_its_own():
    desk = at("checks")
    must(desk, variant={"coats": 3})
    ahead = route(desk)[16:]
    assert ahead == [
        "abrade-again", "dry-again", "coat-3", "submerge-2", "half-2-2",
        "rinse-2", "dry-end-2", "checks",
    ]  # fmt: skip

    part = finish(desk)
    newest = [each for each in owed(desk.bench, part) if each.layer == "coat-3"]
    assert [(each.owed, each.low) for each in newest] == [(2200, 2200)]
    body = next(each for each in owed(desk.bench, part) if each.layer == BODY)
    assert body.low == 6600  # all of it stays in the ledger


def test_no_coat_is_laid_over_one_that_lies_in_the_glycerine():
    desk = at("half-2")
    must(desk, variant={"coats": 3})

    keys = route(desk)
    assert keys.index("half-2") < keys.index("coat-3") < keys.index("half-2-2")


def test_polish_instead_of_the_coat_and_back_again():
    desk = at("mount")
    must(desk, variant={"finish": "polish"})
    assert route(desk) == [
        *COATED[:9], "dry-cover", "submerge", "half-2", "rinse", "dry-end", "polish",
        "checks",
    ]  # fmt: skip
    assert desk.part().stage.key == "dry-cover"

    must(desk, variant={"finish": "coat"})
    assert route(desk)[9:] == ["dry-cover", *COATED[9:]]
    assert isinstance(desk.part().phase, Soaking)  # its drying began by itself
    finish(desk)


@pytest.mark.parametrize("where", ["dry-cover", "submerge"])
def test_what_dried_for_the_box_does_not_dry_again_for_its_coat(where):
    desk = at("fit")
    must(desk, variant={"finish": "polish"})
    desk.work(upto=where)
    must(desk, variant={"finish": "coat", "coats": 1})

    assert route(desk)[8:12] == ["dry-cover", "mount", "coat-1", "submerge"]
    desk.work(upto="coat-1")
    desk.must(cm.OpenLampSession("LM-A"))
    assert isinstance(finish(desk).phase, Closed)


def test_what_was_wiped_since_it_dried_dries_again_for_its_coat():
    desk = at("submerge", variant=lib.Variant(0, 0, "polish"))
    desk.must(cm.StepBack("EX-1", "a mark"), cm.StepBack("EX-1", "a mark"))
    must(desk, variant={"finish": "coat", "coats": 1})

    assert route(desk)[7:12] == ["clean", "dry-coat", "mount", "coat-1", "submerge"]
    assert isinstance(finish(desk).phase, Closed)


def test_a_polished_part_gets_its_coat_with_a_second_half():
    desk = at("checks", variant=lib.Variant(0, 0, "polish"))
    must(desk, variant={"finish": "coat", "coats": 1})
    keys = route(desk)

    assert keys[-8:] == [
        "abrade-again", "dry-again", "coat-1", "submerge-2", "half-2-2",
        "rinse-2", "dry-end-2", "checks",
    ]  # fmt: skip
    finish(desk)


def test_the_whole_cure_becomes_two_halves_only_before_the_light():
    desk = at("dry-box", phase=Soaking, variant=lib.Variant(0, 0, "none"))
    must(desk, variant={"finish": "coat", "coats": 2})
    assert route(desk) == COATED
    assert isinstance(desk.part().phase, Soaking)  # it goes on drying
    finish(desk)

    desk = at("supports")
    assert code_of(change(desk, variant={"finish": "none"})) == "not-changeable"


def test_a_stain_goes_under_the_first_coat_or_not_at_all():
    desk = at("mount")
    must(desk, variant={"stain_passes": 1})
    keys = route(desk)
    assert keys.index("stain-1") == keys.index("coat-1") - 1

    desk = at("coat-2")
    assert code_of(change(desk, variant={"stain_passes": 1})) == "not-changeable"


def test_no_stain_is_laid_over_the_coat_that_a_part_on_hold_waits_for():
    desk = at("coat-1")
    desk.must(cm.HoldPart("EX-1", "lunch"))
    for more in ({"variant": {"stain_passes": 1}}, {"variant": {"finish": "polish"}}):
        refusal = change(desk, **more)
        assert code_of(refusal) == "not-changeable"
        assert "is on hold" in refusal.message
    must(desk, variant={"coats": 3})  # which leaves it where it is
    assert isinstance(desk.part().phase, OnHold)

    desk.must(cm.ResumePart("EX-1"))
    must(desk, variant={"stain_passes": 1})
    assert route(desk)[9:12] == ["mount", "stain-1", "coat-1"]


def test_a_polish_becomes_a_coat_with_its_stain_under_it():
    desk = at("fit", variant=lib.Variant(0, 0, "polish"))
    must(desk, variant={"finish": "coat", "coats": 1, "stain_passes": 1})
    keys = route(desk)
    assert keys.index("stain-1") == keys.index("coat-1") - 1


def test_a_coat_planned_after_the_second_half_takes_its_cure_away_with_it():
    """What was never laid needs no second second half: the part is as it was."""
    desk = at("checks")
    before = route(desk)
    must(desk, variant={"coats": 3})
    must(desk, variant={"coats": 2})
    assert route(desk) == before


def test_between_two_patches_the_faces_are_no_choice():
    """Half a coat would lie on faces that the record says were never coated."""
    desk = at("coat-1", phase=Brushing, recipe="EX-RC-SPLINT r1")
    desk.work(upto="coat-1", phase=Ready)
    refusal = change(desk, variant={"faces": ("Biting",)})
    assert code_of(refusal) == "not-changeable"
    assert "has coat 1 begun" in refusal.message


def test_only_some_faces_are_coated_from_the_next_coat_on():
    desk = at("coat-1", recipe="EX-RC-SPLINT r1")
    must(desk, variant={"faces": ("Biting",)})
    assert desk.bench.spots_of(desk.part()) == 20

    assert code_of(change(desk, variant={"faces": ("Roof",)})) == "route"


def test_the_second_half_goes_into_nitrogen_instead():
    desk = at("coat-1")
    must(desk, variant={"cover": "nitrogen"})
    assert route(desk)[12:] == ["purge", "half-2", "checks"]
    must(desk, variant={"cover": "glycerine", "hold_between": True})
    assert route(desk)[12:] == ["hold", *COATED[12:]]

    desk = at("half-2")
    assert code_of(change(desk, variant={"cover": "nitrogen"})) == "not-changeable"


# --- things ---------------------------------------------------------------------


def test_lots_lamp_box_and_vessel_are_changed_together_with_a_reason():
    desk = at("coat-2")
    given = {
        "coat_lot": "L-COAT-2", "stain_lot": "L-BLUE", "print_lot": "L-PRINT-2",
        "lamp": "LM-C", "box": "BX-2", "vessel": "GV-2",
    }  # fmt: skip
    (changed,) = must(desk, **given)
    part = desk.part()

    assert {name: getattr(part, name) for name in given} == given
    assert ("lamp", "LM-A", "LM-C") in changed.changes
    assert part.work["coat-1"].lots == ("L-COAT",)  # as it was brushed
    assert desk.entries[-1].operator == "OP-1"


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"lamp": "LM-9"}, "no-equipment"),
        ({"box": "BX-9"}, "no-equipment"),
        ({"vessel": "GV-9"}, "no-equipment"),
        ({"coat_lot": "L-9"}, "no-lot"),
        ({"coat_lot": "L-OLD"}, "lot-expiry"),
        ({"coat_lot": "L-PRINT"}, "lot-material"),
        ({"box": "BX-STEADY"}, "unit"),
        ({"lamp": "LM-A"}, "nothing-changed"),
        ({}, "nothing-changed"),
        ({"lamp": "LM-C", "reason": " "}, "no-reason"),
        ({"variant": {"coats": 4}}, "route"),
        ({"variant": {"back_from_mouth": True}}, "not-changeable"),
    ],
)
def test_what_does_not_fit_is_refused_and_nothing_is_written(more, code):
    desk = at("mount")
    before = desk.part()

    assert code_of(change(desk, **more)) == code
    assert desk.part() == before


def test_another_box_has_its_own_counts_for_what_was_not_begun():
    desk = at()
    must(desk, box="BX-500")
    runs = {stage.key: stage.runs for stage in desk.part().route if stage.runs}
    assert runs == {"half-1": (2000,), "half-2": (2500,)}

    desk = at("supports")  # the first half was given: 2200
    must(desk, box="BX-500")
    runs = {stage.key: stage.runs for stage in desk.part().route if stage.runs}
    assert runs == {"half-1": (2200,), "half-2": (2500,)}
    assert desk.part().route[13].plan == 2500


def test_in_the_box_and_under_glycerine_its_things_stay():
    desk = at("half-1", phase=InRun)
    assert code_of(change(desk, box="BX-2")) == "not-changeable"
    must(desk, lamp="LM-C")
    assert isinstance(desk.part().phase, InRun)

    desk = at("half-2")
    assert code_of(change(desk, vessel="GV-2")) == "not-changeable"


def test_a_load_card_is_held_again_for_a_part_that_changed():
    desk = at("half-1")
    desk.must(cm.ConfirmLoad(("EX-1",), "BX-1", 2200))
    must(desk, variant={"coats": 1})

    assert desk.bench.loads == {}


def test_a_promise_may_move():
    desk = at()
    due = desk.now.plus(3_600_000)
    (changed,) = must(desk, due=due)

    assert changed.changes == (("promised for", "none", "2026-05-14 09:50"),)
    assert desk.part().due == due


# --- once more ------------------------------------------------------------------


def test_one_more_wash_has_its_drying_behind_it():
    desk = at("supports")
    must(desk, again="wash")
    assert route(desk)[4:7] == ["wash-more", "dry-more", "supports"]
    solvent_ms = desk.part().solvent_ms
    desk.work(upto="supports", phase=Ready)

    assert desk.part().solvent_ms == solvent_ms + 60_000
    assert desk.part().route[5].min_s == 900  # as long as before the box
    finish(desk)


def test_a_wash_more_while_it_dries_goes_before_that_drying():
    desk = at("dry-box", phase=Soaking)
    must(desk, again="wash")

    assert route(desk)[:5] == ["wash-1", "wash-2", "wash-more", "dry-box", "half-1"]
    assert isinstance(desk.part().phase, Ready)
    desk.work(upto="half-1", phase=Ready)
    assert isinstance(desk.part().phase, Ready)


def test_a_tacked_coat_is_never_washed():
    desk = at("submerge")
    for again in ("wash", "rinse"):
        refusal = change(desk, again=again)
        assert code_of(refusal) == "not-changeable"
        assert "tacked" in refusal.message


def test_one_more_rinse_after_the_second_half():
    desk = at("checks")
    must(desk, again="rinse")
    assert route(desk)[-3:] == ["rinse-more", "dry-more", "checks"]
    finish(desk)


# --- one stage back -------------------------------------------------------------


def test_hand_work_is_gone_back_to():
    desk = at("fit")
    (back,) = desk.must(cm.StepBack("EX-1", "a strut was left"))

    assert back.stage == "refine"
    assert desk.part().stage.key == "refine"
    desk.work(upto="fit", phase=Ready)


def test_drying_gone_back_to_begins_anew_and_shuts_the_gate():
    desk = at("half-1")
    desk.must(cm.StepBack("EX-1", "a wet patch inside"))

    assert desk.part().stage.key == "dry-box"
    assert isinstance(desk.part().phase, Soaking)
    assert code_of(desk.do(cm.FinishStage("EX-1"))) == "dry-before-box"
    desk.clock.advance(900_000)
    desk.must(cm.FinishStage("EX-1"))


@pytest.mark.parametrize(
    ("stage", "told", "hold"),
    [
        ("wash-1", "first stage", False),
        ("supports", "had its count", False),
        ("coat-2", "has coat 1 on it", False),
        ("half-2", "under cover", False),
        ("submerge", "has a tacked coat", True),  # out from under its cover, in light
    ],
)
def test_there_is_no_way_back_where_something_would_be_undone(stage, told, hold):
    desk = at(stage, variant=lib.Variant(0, 2, "coat", hold_between=hold))
    refusal = desk.do(cm.StepBack("EX-1", "why"))

    assert code_of(refusal) == "not-changeable"
    assert told in refusal.message
    assert code_of(at("fit").do(cm.StepBack("EX-1", ""))) == "no-reason"


@pytest.mark.parametrize(
    ("stage", "phase", "told"),
    [
        ("wash-1", Soaking, "is busy"),
        ("half-1", InRun, "is busy"),
    ],
)
def test_a_part_that_is_busy_does_not_step_back(stage, phase, told):
    desk = at(stage, phase=phase)

    assert told in desk.do(cm.StepBack("EX-1", "why")).message


# --- the preview ----------------------------------------------------------------


def seen(desk, **more):
    variant = more.pop("variant", {})
    if variant:
        more["variant"] = replace(desk.part().variant, **variant)
    return preview(desk.bench, cm.ChangePart("EX-1", "", **more), "EX-1", desk.now)


def test_what_will_change_is_seen_before_it_is_held():
    desk = at("coat-2")
    count = len(desk.entries)
    found = seen(desk, variant={"coats": 3})

    assert [each.title for each in found.way if each.state == "new"] == ["Coat 3"]
    assert [each.state for each in found.way][:2] == ["done", "done"]
    new = next(each for each in found.way if each.state == "new")
    assert found.ready.since(found.ready_was) == new.takes_ms == 80_000
    assert (found.um_was, found.um) == ((30, 60), (45, 90))
    assert len(desk.entries) == count  # nothing is written
    nothing = seen(desk)
    assert code_of(nothing) == "nothing-changed"
    codes = ("nitrogen_l_min", "chamber_l", "nitrogen_percent")
    same = cm.SetNitrogen(*(limit(desk.bench, code) for code in codes), "own meter")
    assert code_of(preview(desk.bench, same, "EX-1", desk.now)) == "nothing-changed"
    assert isinstance(found.events[0], ev.PartChanged)


def test_a_gate_that_would_shut_is_seen_with_its_sentence():
    found = seen(at("coat-2"), lamp="LM-B")
    light = next(each for each in found.gates if each.gate == "Light check")

    assert (light.was, light.will) == ("pass", "fail")
    assert "LM-B" in light.sentence


def test_a_fourth_coat_is_told_before_it_is_asked_for():
    desk = at("coat-2")
    desk.must(cm.SetLimit("coats_max", 2, "veneers only"))
    found = seen(desk, variant={"coats": 3})
    coats = next(each for each in found.gates if each.gate == "Number of coats")

    assert coats.will == "marginal"
    assert coats.sentence == "Coat 3 of at most 2, reworks included."


def test_what_falls_away_is_seen_too_and_a_refusal_is_one():
    found = seen(at("coat-2"), variant={"coats": 1})
    assert [each.title for each in found.way if each.state == "gone"] == ["Coat 2"]

    assert code_of(seen(at("coat-2"))) == "nothing-changed"


# --- whatever is asked ----------------------------------------------------------

VARIANTS = st.builds(
    lib.Variant,
    stain_passes=st.integers(0, 2),
    coats=st.integers(0, 3),
    finish=st.sampled_from(("coat", "polish", "none")),
    cover=st.sampled_from(("glycerine", "nitrogen")),
    hold_between=st.booleans(),
)
STAGES = st.sampled_from(COATED)


@settings(deadline=None, max_examples=30, suppress_health_check=[HealthCheck.too_slow])
@given(first=VARIANTS, then=st.lists(VARIANTS, max_size=3), stage=STAGES)
def test_any_change_anywhere_leads_to_a_part_that_can_be_released(first, then, stage):
    desk = Desk()
    desk.must(cm.FileLibrary(recipes=(recipe("EX-RC-ANY", stain_passes=2),)))
    given = {"recipe": "EX-RC-ANY r1", "vessel": "GV-1"}
    if isinstance(
        desk.do(
            cm.TakeIn(
                "EX-1",
                print_lot="L-PRINT",
                coat_lot="L-COAT",
                stain_lot="L-STAIN",
                lamp="LM-A",
                box="BX-1",
                variant=first,
                reason="any",
                **given,
            )
        ),
        Refusal,
    ):
        return
    keys = route(desk)
    if stage in keys:
        desk.work(upto=stage, phase=Ready)
    for variant in then:
        done = {each.key for each in desk.part().route[: desk.part().at]}
        laid, dose = dict(desk.part().work), desk.part().exposures
        decision = desk.do(cm.ChangePart("EX-1", "any", variant))
        part = desk.part()
        assert dict(part.work) == laid
        assert part.exposures == dose
        assert done <= {each.key for each in part.route[: part.at]}
        assert len({each.key for each in part.route}) == len(part.route)
        if not isinstance(decision, Refusal):
            assert names(decision)[0] == "PartChanged"
            assert part.variant == variant
    part = finish(desk)
    coats = [layer for layer in part.work if layer.startswith("coat")]
    variant = part.variant
    assert len(coats) == (variant.coats if variant.finish == "coat" else 0)
    for account in owed(desk.bench, part):
        assert account.low >= account.owed


def test_checks_count_for_the_part_that_was_checked():
    desk = at("checks")
    desk.must(cm.RecordCheck("EX-1", "tack-free after rinsing"))
    must(desk, lamp="LM-C")  # the part itself is as it was
    assert desk.part().checks
    must(desk, variant={"coats": 3})

    assert desk.part().checks == {}
