import dataclasses
import json
import math
import subprocess
import sys
import typing
from typing import ClassVar

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchassist.clock import Instant
from benchassist.domain.events import (
    KINDS,
    Change,
    Corrected,
    DeviationOpened,
    Event,
    FreeText,
    LampReadingTaken,
    LimitSet,
    LoadConfirmed,
    PartScrapped,
    RecipeDefined,
    SpotTacked,
    StageEnded,
    StateKept,
)
from benchassist.domain.kept import BoxKept
from benchassist.domain.library import Recipe
from benchassist.journal.codec import (
    BLANKED,
    CODEC,
    NO_TEXT,
    UPCASTS,
    Codec,
    canonical,
    json_schema,
)
from benchassist.journal.errors import NewerJournalError, UnwritableEventError
from benchassist.value import value
from tests.journals.make import filled

# Hypothesis reads how a value is made from its ``__init__``, which a frozen class has
# once it was made for the first time; one whose fields all have defaults needs that.
BoxKept()


def numbers_in(value):
    if dataclasses.is_dataclass(value):
        value = tuple(getattr(value, f.name) for f in dataclasses.fields(value))
    if isinstance(value, tuple):
        for inner in value:
            yield from numbers_in(inner)
    elif isinstance(value, float):
        yield value


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_any_event_of_any_kind_is_read_back_as_it_was_or_refused(kind, data):
    event = data.draw(st.from_type(KINDS[kind]))
    finite = all(math.isfinite(number) for number in numbers_in(event))
    try:
        encoded = CODEC.encode(event)
    except UnwritableEventError:
        assert not finite
    else:
        assert finite
        assert CODEC.decode(*encoded) == event
        assert CODEC.encode(CODEC.decode(*encoded)) == encoded


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_has_a_schema_that_names_its_fields(kind):
    schema = json_schema(kind)
    names = {f.name for f in dataclasses.fields(KINDS[kind])}

    assert schema["title"] == kind
    assert schema["properties"].keys() == names
    json.dumps(schema, allow_nan=False)


def test_the_payload_is_canonical():
    event = SpotTacked("EX-K-1", "coat-1", 3, "EX-LM-A", 10_000, Instant(1, 60, 2, "b"))

    assert CODEC.encode(event).payload == (
        '{"ended":{"boot":"b","mono_ms":2,"offset_min":60,"wall_ms":1},'
        '"evidence":"paced","lamp":"EX-LM-A","layer":"coat-1","light_ms":10000,'
        '"part":"EX-K-1","spot":3}'
    )


def test_what_people_type_is_not_in_the_payload():
    encoded = CODEC.encode(PartScrapped("EX-K-1", "a crack under the coat ✓"))

    assert encoded.payload == '{"part":"EX-K-1"}'
    assert encoded.text == '{"reason":"a crack under the coat ✓"}'


def test_nothing_typed_is_no_text():
    encoded = CODEC.encode(PartScrapped("EX-K-1", ""))

    assert encoded.text is None
    assert CODEC.decode(*encoded) == PartScrapped("EX-K-1", "")


def test_a_blanked_text_reads_as_blanked():
    kind, version, payload, _ = CODEC.encode(PartScrapped("EX-K-1", "a crack"))

    assert CODEC.decode(kind, version, payload, NO_TEXT).reason == BLANKED


def test_free_text_stands_only_at_the_top_of_an_event():
    # The codec looks nowhere else, so a nested one would slip into the payload.
    def nested(hint):
        if dataclasses.is_dataclass(hint):
            hints = typing.get_type_hints(hint, include_extras=True).values()
            return any(inner == FreeText or nested(inner) for inner in hints)
        inner = typing.get_args(hint)
        return FreeText in inner or any(nested(part) for part in inner)

    for kind in KINDS.values():
        hints = typing.get_type_hints(kind, include_extras=True)
        found = {name for name, hint in hints.items() if hint == FreeText}
        deep = {
            name for name, hint in hints.items() if hint != FreeText and nested(hint)
        }
        assert not deep, f"{kind.__name__}: {deep}"
        assert found == set(CODEC.free_text(kind))


@pytest.mark.parametrize(
    "event",
    [
        LampReadingTaken("EX-LM-A", math.nan),
        LampReadingTaken("EX-LM-A", math.inf),
        LampReadingTaken("EX-LM-A", "812"),
        StageEnded("EX-K-1", "wash-1", 180.5, 1),
        StageEnded("EX-K-1", "wash-1", elapsed_ms=True, least_ms=1),
        StageEnded(None, "wash-1", 1, 1),
        StageEnded("EX-K-1", "\ud800", 1, 1),
        PartScrapped("EX-K-1", "\ud800"),
        PartScrapped("EX-K-1", 5),
        DeviationOpened("EX-D-1", "rule", ["EX-K-1"], "text"),
        StageEnded(b"EX-K-1", "wash-1", 1, 1),
    ],
)
def test_what_could_not_be_read_back_is_refused(event):
    with pytest.raises(UnwritableEventError, match="cannot be recorded"):
        CODEC.encode(event)


def test_a_kind_that_is_not_registered_is_refused():
    @value
    class Invented(Event):
        part: str

    with pytest.raises(UnwritableEventError, match="no kind"):
        CODEC.encode(Invented("EX-K-1"))


def test_a_later_version_is_said():
    with pytest.raises(NewerJournalError, match=r"StageEnded version \d is not known"):
        CODEC.decode("StageEnded", StageEnded.version + 1, "{}", None)


def test_an_old_payload_is_read_through_the_chain_of_upcasts():
    @value
    class LimitSetToday(LimitSet):
        version: typing.ClassVar[int] = 3

    def name_the_unit(old):
        return {**old, "unit": "ms"}

    def seconds_to_ms(old):
        kept = {name: value for name, value in old.items() if name != "value_s"}
        return {**kept, "value": old["value_s"] * 1000}

    codec = Codec(
        kinds={"LimitSet": LimitSetToday},
        upcasts={
            ("LimitSet", 1): name_the_unit,
            ("LimitSet", 2): seconds_to_ms,
        },
    )

    event = codec.decode(
        "LimitSet",
        1,
        '{"code":"undo_s","source":"our own choice","value_s":10}',
        '{"reason":"felt too short"}',
    )

    assert event == LimitSetToday(
        "undo_s", 10_000, "ms", "our own choice", "felt too short"
    )


def test_every_older_version_of_a_kind_has_its_upcast():
    older = {
        (kind, version)
        for kind, cls in KINDS.items()
        for version in range(1, cls.version)
    }

    assert set(UPCASTS) == older


def test_canonical_json_sorts_and_keeps_letters():
    assert canonical({"b": [1, 2.5], "a": "µ"}) == '{"a":"µ","b":[1,2.5]}'


def test_writing_waits_for_no_validator_and_reading_loads_no_numpy_and_no_qt():
    code = (
        "import sys\n"
        "from benchassist.journal.writing import Journal\n"
        "from benchassist.journal.codec import CODEC\n"
        "from benchassist.domain.events import PartChosen\n"
        "encoded = CODEC.encode(PartChosen('EX-K-1'))\n"
        "assert 'pydantic' not in sys.modules\n"
        "CODEC.decode(*encoded)\n"
        "assert not {'numpy', 'scipy', 'PySide6'} & set(sys.modules)\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def _spoilt(spoil):
    recipe = RecipeDefined(filled(Recipe))
    kind, version, payload, _ = CODEC.encode(recipe)
    assert CODEC.decode(kind, version, payload, None) == recipe
    values = json.loads(payload)
    spoil(values)
    return kind, version, json.dumps(values), None


@pytest.mark.parametrize(
    "spoil",
    [
        lambda values: values.update(more=1),
        lambda values: values["recipe"].update(more=1),
        lambda values: values["recipe"]["washes"][0].update(more=1),
        lambda values: values["recipe"].pop("example"),
        lambda values: values["recipe"]["rule"].pop("step"),
    ],
    ids=["more", "more within", "more deep within", "usual missing", "deep missing"],
)
def test_a_field_too_many_or_too_few_is_never_read_over(spoil):
    with pytest.raises(ValueError, match=r"more|example|step"):
        CODEC.decode(*_spoilt(spoil))


def test_a_typed_field_that_nobody_knows_is_refused():
    with pytest.raises(ValueError, match="remark"):
        CODEC.decode("PartScrapped", 1, '{"part":"EX-K-1"}', '{"remark":"x"}')


def test_an_event_of_text_alone_is_read_as_exactly_as_any_other():
    kept = StateKept("ab" * 32)
    encoded = CODEC.encode(kept)
    assert CODEC.decode("StateKept", 1, encoded.payload, None) == kept

    for wrong in (
        "{}",
        "[]",
        '"x"',
        '{"digest":1}',
        '{"digest":null}',
        '{"digest":"a","more":"b"}',
        "{",
    ):
        with pytest.raises(ValueError, match=r"."):
            CODEC.decode("StateKept", 1, wrong, None)


def test_an_opening_behind_a_kept_state_waits_for_no_large_import():
    told = (
        "import sys; from benchassist.journal.codec import CODEC; "
        "CODEC.decode('StateKept', 1, '{\"digest\":\"a\"}', None); "
        "assert 'pydantic' not in sys.modules"
    )

    assert subprocess.run([sys.executable, "-c", told], check=False).returncode == 0


@value
class _LoadLater(LoadConfirmed):
    version: ClassVar[int] = LoadConfirmed.version + 1


_LoadLater.__name__ = "LoadConfirmed"


def test_what_was_put_right_in_an_older_form_is_read_in_todays():
    was = Change(7, "LoadConfirmed", LoadConfirmed.version, "count", 2200, 2000)
    put_right = Corrected(7, ("EX-1",), (was,), "misread")
    stored = Codec().encode(put_right)
    later = Codec(
        KINDS | {"LoadConfirmed": _LoadLater},
        changes={
            ("LoadConfirmed", LoadConfirmed.version): lambda change: (
                change | {"field": "counts"}
            )
        },
    )
    (change,) = later.decode(*stored).changes

    assert (change.version, change.field) == (_LoadLater.version, "counts")
    assert (change.old, change.new) == (2200, 2000)
    assert Codec().decode(*stored) == put_right
