"""Which stages a part goes through: absent means absent, never "0 s".

The order is the trade's usual one (common practice, no source).
"""

from collections import Counter

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from benchassist.domain import commands as cm
from benchassist.domain import library as lib
from benchassist.domain.ledger import owed
from benchassist.domain.route import RouteError, build_route
from benchassist.domain.stages import STAGES
from benchassist.value import replace
from tests.domain.builders import (
    BOXES,
    DENTURE,
    PROGRAMS,
    RECIPES,
    STEPS_100,
    Desk,
    recipe,
)

CROWN = RECIPES[0]
BOX = BOXES[0]
ANY = STEPS_100
FRONT = ["wash-1", "wash-2", "dry-box", "half-1", "supports", "refine", "fit", "clean"]
BACK = ["submerge", "half-2", "rinse", "dry-end"]


def keys(variant=None, found=CROWN, rule=ANY):
    return [stage.key for stage in build_route(found, variant or lib.Variant(), rule)]


def boxes(variant=None, found=CROWN, rule=ANY):
    stages = build_route(found, variant or lib.Variant(), rule)
    return [(s.side, s.half, s.runs, s.plan) for s in stages if s.kind == "box"]


def test_a_plain_crown_goes_the_whole_way():
    assert keys() == [*FRONT, "dry-coat", "mount", "coat-1", "coat-2", *BACK, "checks"]


def test_a_stain_that_is_skipped_is_absent_and_not_done_in_no_time():
    assert not any(key.startswith("stain") for key in keys())
    assert "stain-1" in keys(lib.Variant(stain_passes=1))


@pytest.mark.parametrize("passes", [1, 2, 3])
def test_stain_passes_come_before_the_coats_that_cover_them(passes):
    found = keys(lib.Variant(stain_passes=passes, coats=1))
    layers = [key for key in found if key.startswith(("stain", "coat"))]

    assert layers == [f"stain-{n}" for n in range(1, passes + 1)] + ["coat-1"]


@pytest.mark.parametrize(
    "variant",
    [
        lib.Variant(stain_passes=1, coats=0),
        lib.Variant(stain_passes=1, coats=0, finish="polish"),
        lib.Variant(stain_passes=2, coats=2, finish="polish"),
        lib.Variant(stain_passes=1, coats=2, finish="none"),
    ],
)
def test_a_stain_without_a_coat_over_it_is_refused(variant):
    with pytest.raises(RouteError, match="at least one coat over it"):
        keys(variant)


@pytest.mark.parametrize("coats", [1, 2, 3])
def test_one_to_three_coats_are_laid_one_after_another(coats):
    assert [
        key for key in keys(lib.Variant(coats=coats)) if key.startswith("coat")
    ] == [f"coat-{n}" for n in range(1, coats + 1)]


def test_without_a_coat_nothing_is_mounted_or_dried_for_one():
    assert keys(lib.Variant(coats=0)) == [*FRONT, "dry-cover", *BACK, "checks"]


@pytest.mark.parametrize(
    "variant",
    [
        lib.Variant(coats=4),
        lib.Variant(coats=-1),
        lib.Variant(4, 1),
        lib.Variant(-1, 1),
    ],
)
def test_more_layers_than_the_trade_lays_are_refused(variant):
    with pytest.raises(RouteError, match="0 to 3"):
        keys(variant)


def test_only_faces_that_the_recipe_names_are_coated():
    splint = RECIPES[1]

    assert "coat-1" in keys(lib.Variant(coats=1, faces=("Biting",)), splint)
    with pytest.raises(RouteError, match="no face called “Palate”"):
        keys(lib.Variant(coats=1, faces=("Biting", "Palate")), splint)


def test_where_no_face_is_coated_no_coat_is_planned():
    bare = recipe(faces=())

    assert "coat-1" not in keys(lib.Variant(coats=0), bare)
    with pytest.raises(RouteError, match="faces"):
        keys(lib.Variant(coats=1), bare)


# --- finishes and covers -------------------------------------------------------


def test_a_try_in_gets_its_whole_cure_in_one_go_and_no_coat():
    whole = lib.Variant(coats=0, finish="none")

    assert keys(whole) == [
        "wash-1",
        "wash-2",
        "dry-box",
        "cure",
        "supports",
        "refine",
        "fit",
        "checks",
    ]
    assert boxes(whole, rule=lib.CountRule(100)) == [("", 1, (4400,), 4400)]


def test_a_whole_cure_above_the_longest_run_takes_the_fewest_presses():
    assert boxes(lib.Variant(coats=0, finish="none")) == [("", 1, (3000, 1400), 4400)]


def test_a_whole_cure_needs_no_halves():
    one_program = lib.CountRule(programs=(4400,))

    assert boxes(lib.Variant(coats=0, finish="none"), rule=one_program) == [
        ("", 1, (4400,), 4400)
    ]
    with pytest.raises(RouteError, match="two halves"):
        keys(rule=one_program)


def test_a_polish_replaces_the_coats_and_comes_after_the_last_cure():
    found = keys(lib.Variant(finish="polish"))

    assert found == [*FRONT, "dry-cover", *BACK, "polish", "checks"]


def test_nitrogen_without_a_purge_time_is_refused():
    with pytest.raises(RouteError, match="no purge time"):
        keys(lib.Variant(cover="nitrogen"), replace(CROWN, purge_s=0))
    bare = replace(CROWN, purge_s=0)
    assert "purge" not in keys(lib.Variant(cover="glycerine"), bare)
    assert keys(lib.Variant(finish="none", cover="nitrogen"), bare)


def test_nitrogen_needs_no_vessel_no_rinse_and_no_drying_afterwards():
    found = keys(lib.Variant(coats=1, cover="nitrogen"))

    assert found[-4:] == ["coat-1", "purge", "half-2", "checks"]


def test_a_second_half_later_the_same_day_waits_on_hold_before_it():
    found = keys(lib.Variant(coats=1, hold_between=True))

    assert found[found.index("coat-1") :] == ["coat-1", "hold", *BACK, "checks"]


def test_a_part_back_from_a_mouth_gets_coats_and_the_second_half_only():
    found = keys(lib.Variant(coats=2, back_from_mouth=True))

    assert found == [
        "disinfect",
        "abrade",
        "dry-coat",
        "mount",
        "coat-1",
        "coat-2",
        *BACK,
        "checks",
    ]
    assert boxes(lib.Variant(coats=1, back_from_mouth=True)) == [("", 2, (2200,), 2200)]


@pytest.mark.parametrize(
    "variant",
    [
        lib.Variant(coats=0, back_from_mouth=True),
        lib.Variant(finish="polish", back_from_mouth=True),
        lib.Variant(coats=0, finish="none", back_from_mouth=True),
    ],
)
def test_a_part_back_from_a_mouth_is_not_cured_again_without_a_new_coat(variant):
    with pytest.raises(RouteError, match="back from a mouth"):
        keys(variant)


@pytest.mark.parametrize(
    ("refine", "abrade", "present", "absent"),
    [
        (True, True, {"refine", "abrade"}, {"clean"}),
        (True, False, {"refine", "clean"}, {"abrade"}),
        (False, True, {"abrade"}, {"refine", "clean"}),
        (False, False, {"clean"}, {"refine", "abrade"}),
    ],
)
def test_refining_and_air_abrasion_go_by_the_class_of_the_item(
    refine, abrade, present, absent
):
    found = set(keys(found=recipe(refine=refine, abrade=abrade)))

    assert present <= found
    assert not absent & found


# --- sides and counts ----------------------------------------------------------


def test_both_sides_get_their_half_with_a_turn_between():
    # 1200 a side, two sides: 600 A, flip, 600 B, then submerged 600 A, flip, 600 B.
    denture = next(each for each in RECIPES if each.id == DENTURE)
    found = keys(lib.Variant(coats=1), denture)

    assert boxes(lib.Variant(coats=1), denture) == [
        ("A", 1, (600,), 600),
        ("B", 1, (600,), 600),
        ("A", 2, (600,), 600),
        ("B", 2, (600,), 600),
    ]
    assert (
        found.index("half-1-A") + 1
        == found.index("flip-1")
        == found.index("half-1-B") - 1
    )
    assert (
        found.index("half-2-A") + 1
        == found.index("flip-2")
        == found.index("half-2-B") - 1
    )
    assert found.index("submerge") == found.index("half-2-A") - 1


def test_both_sides_of_a_whole_cure_get_the_whole():
    whole = lib.Variant(coats=0, finish="none")

    assert boxes(whole, recipe(sides=("A", "B"), total=1200)) == [
        ("A", 1, (1200,), 1200),
        ("B", 1, (1200,), 1200),
    ]


@pytest.mark.parametrize(
    ("total", "rule", "halves"),
    [
        # O2, of the practice's own invention
        (4500, lib.CountRule(500, 2500), [(2000,), (2500,)]),
        (5000, PROGRAMS, [(2000,), (3000,)]),
        (4300, lib.CountRule(500, 2500), [(2000,), (2500,)]),
    ],
)
def test_odd_counts_are_split_into_what_the_box_can_give(total, rule, halves):
    assert [
        runs for _, _, runs, _ in boxes(found=recipe(total=total), rule=rule)
    ] == halves


def test_the_instruction_s_own_counts_win_over_the_box_s():
    strict = recipe(total=4300, rule=lib.CountRule(500, 2500))

    assert [plan for *_, plan in boxes(found=strict, rule=lib.CountRule(1))] == [
        2000,
        2500,
    ]


def test_a_count_no_box_can_give_is_refused_in_one_sentence():
    with pytest.raises(RouteError, match="does not fit under the longest run"):
        keys(rule=lib.CountRule(500, 400))


def test_the_bounds_of_a_wash_are_the_recipe_s():
    first, second, dry = build_route(CROWN, lib.Variant(), ANY)[:3]

    assert (first.title, first.min_s, first.max_s) == ("Wash 1", 120, 300)
    assert (second.min_s, second.max_s) == (60, 180)
    assert (dry.min_s, dry.max_s) == (900, 0)


def test_two_sides_of_one_name_still_have_stages_of_their_own():
    twins = keys(found=recipe(sides=("A", "A")))

    assert [key for key in twins if key.startswith("half-1")] == [
        "half-1-A",
        "half-1-A-2",
    ]


# --- every route ---------------------------------------------------------------

VARIANTS = st.builds(
    lib.Variant,
    stain_passes=st.integers(0, 3),
    coats=st.integers(0, 3),
    finish=st.sampled_from(("coat", "polish", "none")),
    cover=st.sampled_from(("glycerine", "nitrogen")),
    hold_between=st.booleans(),
    back_from_mouth=st.booleans(),
)
COVERED = {
    "cover": st.sampled_from(("glycerine", "nitrogen")),
    "hold_between": st.booleans(),
}
ALLOWED = st.one_of(
    st.builds(
        lib.Variant,
        stain_passes=st.integers(0, 3),
        coats=st.integers(1, 3),
        back_from_mouth=st.booleans(),
        **COVERED,
    ),
    st.builds(lib.Variant, coats=st.just(0), **COVERED),
    st.builds(lib.Variant, finish=st.just("polish"), **COVERED),
    st.just(lib.Variant(coats=0, finish="none")),
)
RULES = st.sampled_from(
    (
        None,
        lib.CountRule(),
        lib.CountRule(100, 3000),
        lib.CountRule(500, 2500),
        PROGRAMS,
    )
)
SECONDS = st.sampled_from((0, 60))
WASHES = st.lists(st.just(lib.BathStep("Bath", 30, 90)), max_size=3).map(tuple)
FOUND = st.builds(
    recipe,
    code=st.just("EX-RC-ANY"),
    washes=WASHES,
    sides=st.sampled_from((("",), ("A", "B"))),
    total=st.integers(2000, 6000),
    rule=RULES,
    faces=st.sampled_from(
        ((), (lib.SpotFace("Outer", 1),), (lib.SpotFace("Outer", 11),))
    ),
    refine=st.booleans(),
    abrade=st.booleans(),
    dry_before_box_s=SECONDS,
    dry_before_coat_s=SECONDS,
    degas_s=SECONDS,
    purge_s=SECONDS,
    rinse_s=SECONDS,
    dry_after_rinse_s=SECONDS,
)


@settings(max_examples=150, deadline=None)
@given(FOUND, VARIANTS)
def test_a_route_is_refused_or_whole(found, variant):
    try:
        route = build_route(found, variant, ANY)
    except RouteError:
        return

    assert max(Counter(stage.key for stage in route).values()) == 1
    assert {stage.kind for stage in route} <= set(STAGES)
    assert route[-1].kind == "checks"
    layers = [stage.layer for stage in route if stage.layer]
    assert (
        len([each for each in layers if each.startswith("stain")])
        == variant.stain_passes
    )
    assert not variant.stain_passes or layers[-1].startswith("coat")
    for side in found.sides:
        given_to = [
            stage for stage in route if stage.kind == "box" and stage.side == side
        ]
        plan = sum(stage.plan for stage in given_to)
        assert variant.back_from_mouth or plan >= found.total
        assert all(sum(stage.runs) == stage.plan > 0 for stage in given_to)


@settings(max_examples=60, deadline=None)
@given(FOUND, ALLOWED, st.sampled_from(("BX-1", "BX-WARM")))
def test_no_route_has_a_dead_end(found, variant, box):
    """Whatever is taken in is released by its own commands alone."""
    assume(found.faces or variant.finish != "coat" or not variant.coats)
    assume(found.purge_s or variant.cover != "nitrogen" or variant.finish == "none")
    desk = Desk()
    desk.must(cm.FileLibrary(recipes=(found,)))
    desk.take(recipe=found.id, variant=variant, box=box)
    desk.do(cm.AcceptGate("count-excess", "EX-1", "nearest setting"))

    part = desk.work(most=900)

    assert part.phase.how == "released"
    assert all(each.low >= each.owed for each in owed(desk.bench, part))
    assert desk.bench.runs == desk.bench.loads == {}
