"""A new kind of event, command, stage or gate is one file and one line in one table."""

import ast
import pkgutil
import re
from pathlib import Path
from types import ModuleType
from typing import get_args

import pytest

import benchassist
from benchassist.domain import commands as cm
from benchassist.domain import events as ev
from benchassist.domain import gates, stages
from benchassist.domain.calls import CALLS, Situation, Word
from benchassist.domain.decide import deciders
from benchassist.domain.deciders import stages as first
from benchassist.domain.deciders.table import decides
from benchassist.domain.evolve import HANDLERS
from benchassist.domain.gates import GATES
from benchassist.domain.gathered import gathered
from benchassist.domain.limits import LIMITS
from benchassist.domain.outcome import Refusal
from benchassist.domain.pedal import TABLE
from benchassist.domain.stages import STAGES
from benchassist.value import replace

ASKED_AT_INTAKE = {"example-data"}


def modules_of(package, *, but):
    return {each.name for each in pkgutil.iter_modules(package.__path__)} - {but}


def test_every_kind_of_event_has_its_handler_and_no_handler_is_left_over():
    assert set(HANDLERS) == set(ev.KINDS.values())


def test_every_command_but_the_press_has_its_decider_and_none_is_left_over():
    # A press has no decider: the pedal table turns it into another command.
    assert set(deciders()) == set(cm.Command.__subclasses__()) - {cm.PressPedal}


def test_a_table_with_two_deciders_for_one_command_is_not_made():
    second = ModuleType("second")
    second.also = decides(cm.TakeOut)(lambda bench, command, now: ())

    with pytest.raises(ValueError, match="also: TakeOut has one"):
        gathered({"first": first, "second": second})


def test_every_file_of_a_stage_kind_has_its_line_in_the_table():
    assert {name.replace("_", "-") for name in modules_of(stages, but="kind")} == set(
        STAGES
    )


def test_every_file_of_a_gate_has_its_line_in_the_table():
    assert {name.replace("_", "-") for name in modules_of(gates, but="verdict")} == set(
        GATES
    )


@pytest.mark.parametrize("kind", STAGES.values(), ids=lambda kind: kind.name)
def test_every_gate_and_limit_that_a_stage_kind_names_exists(kind):
    assert set(kind.gates) <= set(GATES)
    assert not kind.harm or kind.harm in LIMITS


def test_every_gate_is_asked_somewhere():
    asked = {code for kind in STAGES.values() for code in kind.gates}

    assert asked | ASKED_AT_INTAKE == set(GATES)


def test_every_limit_has_a_title_and_says_where_it_is_from():
    assert all(limit.title and limit.source for limit in LIMITS.values())
    assert {limit.tighten for limit in LIMITS.values()} <= {"up", "down", "free"}


def situations():
    """Return every situation, those nested in another literal included."""
    return {
        text for each in get_args(Situation) for text in (get_args(each) or (each,))
    }


def test_the_pedal_table_has_a_row_for_every_situation_and_no_other():
    assert situations() == set(TABLE)


def test_every_situation_but_those_of_the_foot_has_a_word_and_every_word_is_used():
    named = {asked for asked, _ in CALLS}
    assert named == situations() - {"two-due", "check", "told"}
    assert {row.word for row in CALLS.values()} == set(get_args(Word))


def codes_of_refusals():
    """Yield the first word of every refusal that is made anywhere in the package."""
    for path in Path(benchassist.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            made = isinstance(node, ast.Call) and getattr(node.func, "id", "")
            if (
                made == "Refusal"
                and node.args
                and isinstance(node.args[0], ast.Constant)
            ):
                yield node.args[0].value


def test_a_refusal_is_kept_by_a_code_that_no_wording_changes():
    codes = set(codes_of_refusals()) | set(GATES)

    assert len(codes) > 100
    assert {
        code for code in codes if not re.fullmatch(r"[a-z]+(-[a-z]+)*", code)
    } == set()


@pytest.mark.parametrize("package", [cm, ev])
def test_events_and_commands_are_listed_where_they_are_written_alone(package):
    assert not hasattr(package, "__all__")  # a module is handed on whole, by one line


def test_a_hold_is_asked_for_what_derives_from_it_and_for_a_check_that_failed():
    check = cm.RecordCheck("EX-1", "inspection")

    assert not cm.held(check)
    assert cm.held(replace(check, passed=False))
    assert cm.held(cm.ScrapPart("EX-1", "cracked"))
    assert not cm.held(cm.PressPedal())


def test_a_refusal_says_in_one_breath_what_is_amiss_and_what_to_do():
    assert Refusal("hot", "BX-1 is hot.", (), "Wait.").sentence == "BX-1 is hot. Wait."
    assert Refusal("hot", "BX-1 is hot.").sentence == "BX-1 is hot."
