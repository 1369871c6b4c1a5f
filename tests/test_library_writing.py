"""The library of a bench is written as a file that another bench reads whole."""

import json
from datetime import UTC, datetime

import pytest

from benchassist import assets
from benchassist.clock import SimulatedClock
from benchassist.domain import commands as cm
from benchassist.domain import state
from benchassist.domain.library import Lamp, Lot, Material
from benchassist.library_file import (
    LibraryError,
    library_schema,
    library_text,
    parse_library,
    write_library,
)
from benchassist.rehearsal.memory import MemoryJournal
from benchassist.session import Session
from benchassist.value import replace
from tests.domain.builders import coupon

ON_FILE = ("materials", "lamps", "boxes", "vessels", "recipes", "lots", "limits")


@pytest.fixture
def opened():
    """Return a function that files a library in a new store of a kind."""

    def open_(command, kind="demo"):
        clock = SimulatedClock(datetime(2026, 5, 14, 10, tzinfo=UTC))
        book = MemoryJournal()
        session = Session.open(book, clock, kind=kind, station="bench", zone="UTC")
        outcome = session.handle(command)
        assert outcome.refusal is None, outcome.refusal
        return session.bench

    return open_


def read_back(text):
    return parse_library(text, name="library.json", beside=lambda name: 1 / 0)


def test_what_one_bench_writes_another_reads_and_has_the_same(opened):
    first = opened(practice())

    second = opened(read_back(library_text(first)))

    for kind in ON_FILE:
        assert getattr(second, kind) == getattr(first, kind), kind
    assert set(second.curves) == used_curves(first)
    assert first.readings
    assert second.readings == {}  # what a meter read is of its day, not of the file's
    assert {code: each.immersions for code, each in second.fills.items()} == {
        code: each.immersions for code, each in first.fills.items()
    }
    assert json.loads(library_text(second)) == json.loads(library_text(first))


def practice():
    text = assets.read_text("demo_cases", "practice.toml")
    return parse_library(
        text,
        name="practice.toml",
        beside=lambda name: assets.read_text("demo_cases", name),
    )


def used_curves(bench):
    things = (*bench.lamps.values(), *bench.boxes.values(), *bench.vessels.values())
    initiators = [one for each in bench.materials.values() for one in each.initiators]
    return {each.curve for each in (*things, *initiators) if each.curve}


def test_a_bench_from_labels_alone_is_written_too(opened):
    """No spectra, no meter, nothing known of its initiators."""
    lamp = Lamp("L-1", "L-1", "unknown", "", 0.0, bands=((380.0, 410.0),), mw_cm2=900.0)
    resin = Material("R-1", "R-1", "print", (), "design class", 0.0, 0.0, 0.0)
    filed = cm.FileLibrary(
        materials=(resin,), lamps=(lamp,), lots=(Lot("L7", "R-1", ""),)
    )
    bench = opened(filed, "real")

    again = opened(read_back(library_text(bench)), "real")

    assert again.lamps == bench.lamps
    assert again.materials == bench.materials
    assert again.lots == bench.lots


def test_glycerine_that_no_part_may_go_into_is_not_written(opened):
    bench = opened(practice())
    vessel, fill = next(iter(bench.fills.items()))
    for worse in ({"spoilt": "cloudy"}, {"percent": 70.0}):
        spoilt = replace(bench, fills={vessel: replace(fill, **worse)})
        assert "fills" not in json.loads(library_text(spoilt)), worse
    read = replace(bench, fills={vessel: replace(fill, percent=99.0)})
    assert json.loads(library_text(read))["fills"][0]["vessel"] == vessel


@pytest.mark.parametrize(
    ("kind", "list_", "code"),
    [
        ("lamp", "lamps", "EX-LM-A"),
        ("box", "boxes", "EX-BX-1"),
        ("vessel", "vessels", "EX-GV-01"),
        ("recipe", "recipes", "EX-RC-C"),
    ],
)
def test_what_is_retired_stays_behind_with_what_rests_on_it(opened, kind, list_, code):
    """A bench that reads the file would offer it, as if nobody had taken it away."""
    tested = coupon(
        lamp="EX-LM-A", material="EX-RS-C", box="EX-BX-1", vessel="EX-GV-01"
    )
    held = {("EX-LM-A", "EX-RS-C"): (state.Tested(tested, "2026-05-01", "2026-08-01"),)}
    bench = replace(opened(practice()), tested=held)
    whole = json.loads(library_text(bench))
    assert whole["coupons"]
    assert code in [each["code"] for each in whole[list_]]
    retired = replace(bench, retired={(kind, code): "2026-05-01"})
    found = json.loads(library_text(retired))

    rests = [*found.get("fills", []), *found.get("coupons", [])]
    assert code not in [each["code"] for each in found.get(list_, [])]
    assert [each for each in rests if code in each.values()] == []


def test_a_bottle_put_away_stays_behind_unless_a_mix_holds_it(opened):
    bench = opened(practice())
    away = replace(
        bench, closed_lots={"EX-LT-C1": "2026-05-01", "EX-LT-V1": "2026-05-01"}
    )

    lots = {each["code"] for each in json.loads(library_text(away))["lots"]}

    assert "EX-LT-C1" not in lots
    assert "EX-LT-V1" in lots


def test_what_could_not_be_read_back_is_not_written(opened, tmp_path):
    bench = opened(practice())
    recipe = next(iter(bench.recipes.values()))
    broken = replace(bench, recipes={recipe.id: replace(recipe, coats=9)})

    with pytest.raises(LibraryError) as caught:
        write_library(broken, tmp_path, "2026-05-14")

    assert "recipes[0].coats" in str(caught.value)
    assert not list(tmp_path.iterdir())


def test_the_file_says_its_form_and_no_other_form_is_read():
    with pytest.raises(LibraryError) as caught:
        read_back(json.dumps({"format": 2}))

    assert "library.json: format: expected" in str(caught.value)


def fields_without_a_word():
    schema = library_schema()
    for name, entry in [("the file", schema), *schema["$defs"].items()]:
        for field, told in entry.get("properties", {}).items():
            if not told.get("description", "").strip():
                yield f"{name}: {field}"


def test_every_field_of_the_file_is_described():
    assert list(fields_without_a_word()) == []
