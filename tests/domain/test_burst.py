"""A scanner's keys are read together; a hand's are handed on, each and in order."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchassist.domain.burst import GAP_MS, PAUSE_MS, Burst, Scanned, Stroke
from benchassist.domain.pedal_guard import Edge


def stroke(text, ms, *, down=True, pedal=False, repeat=False, passed=False):
    name = {"\r": "Enter", " ": "Space", "\t": "Tab"}.get(text, text.upper())
    edge = Edge(down, ms, ms, repeat=repeat)
    return Stroke(name, text, edge, pedal=pedal, passed=passed)


def fed(strokes):
    state, out = Burst(), []
    for each in strokes:
        state, answers = state.takes(each)
        out += answers
    return state, out


def typed(text, *, apart=4, start=1000, held=2):
    """Every key down and up, ``apart`` ms from key to key."""
    return [
        stroke(c, start + n * apart + lift, down=not lift, pedal=c == " ")
        for n, c in enumerate(text)
        for lift in (0, held)
    ]


def downs(out):
    return [each.name for each in out if isinstance(each, Stroke) and each.edge.down]


def test_a_scan_comes_out_whole_and_nothing_else_does():
    state, out = fed(typed("PART:EX-41\r"))

    assert out == [Scanned("PART:EX-41")]
    assert state == Burst()


def test_a_space_in_a_scan_is_no_press_of_the_pedal():
    _, out = fed(typed("LOT A 7\r"))

    assert out == [Scanned("LOT A 7")]


def test_a_press_of_the_pedal_alone_waits_for_nothing():
    _, out = fed(typed(" "))

    assert [each.pedal for each in out] == [True, True]


@pytest.mark.parametrize("key", ["\r", "\t"])
def test_enter_alone_waits_for_nothing(key):
    _, out = fed([stroke(key, 1000)])

    assert len(out) == 1


def test_a_hands_key_is_handed_on_by_the_next_look():
    state, out = fed([stroke("N", 1000)])
    assert out == []

    state, out = state.settled()

    assert downs(out) == ["N"]
    assert state.strokes == ()


def test_a_hands_key_is_handed_on_by_its_own_release():
    _, out = fed([stroke("N", 1000), stroke("N", 1090, down=False)])

    assert [each.edge.down for each in out] == [True, False]


def test_three_keys_of_a_rolling_hand_are_three_keys():
    state, out = fed(typed("NED", apart=GAP_MS))

    assert downs([*out, *state.settled()[1]]) == ["N", "E", "D"]


def test_a_fast_typist_types_keys():
    """Fifty milliseconds from key to key, 20 a second."""
    state, out = fed(typed("NEXTDAY", apart=50, held=40))

    assert downs([*out, *state.settled()[1]]) == list("NEXTDAY")


def test_enter_behind_two_fast_keys_is_a_hands():
    _, out = fed(typed("12\r"))

    assert downs(out) == ["1", "2", "Enter"]


def test_a_bouncing_key_is_no_scanner():
    state, out = fed(typed("NNNNNN", apart=5))

    assert Scanned not in map(type, [*out, *state.settled()[1]])


def test_a_scanner_that_stops_to_think_is_not_cut():
    late = typed("0952\r", start=1000 + PAUSE_MS)
    _, out = fed([*typed("PART"), *late])

    assert out == [Scanned("PART0952")]


def test_a_scan_without_enter_ends_by_silence():
    state, out = fed(typed("PART:EX-41"))
    assert out == []

    assert state.settled()[1] == (Scanned("PART:EX-41"),)


def test_a_key_still_down_when_the_scan_is_over_comes_up_unheard():
    state, out = fed([*typed("PART:E")[:-1], stroke("\r", 1030)])
    assert out == [Scanned("PART:E")]

    state, first = state.takes(stroke("E", 1035, down=False))
    _, second = state.takes(stroke("\r", 1036, down=False))

    assert (first, second) == ((), ())


def test_keys_that_a_list_has_already_are_watched_and_not_repeated():
    keys = [stroke(c, 1000 + 4 * n, passed=True) for n, c in enumerate("PART")]
    _, out = fed([*keys, stroke("\r", 1016)])
    assert out == [Scanned("PART")]

    state, out = fed(keys[:2])
    assert state.settled()[1] == ()


def test_the_separator_of_a_label_stays_in_it():
    _, out = fed(typed("0109\x1d10\r"))

    assert out == [Scanned("0109\x1d10")]


@given(
    st.lists(st.tuples(st.sampled_from("NCAP123 \r"), st.integers(1, 400)), max_size=30)
)
def test_no_key_is_lost_and_none_is_made(keys):
    """What comes out, scans spelled out, is what went in."""
    ms, strokes = 1000, []
    for text, apart in keys:
        ms += apart
        strokes.append(stroke(text, ms, pedal=text == " "))
    state, out = fed(strokes)
    out += state.settled()[1]

    told = "".join(each.text for each in out)
    ended = sum(isinstance(each, Scanned) for each in out)
    went_in = "".join(text for text, _ in keys)
    assert told.replace("\r", "") == went_in.replace("\r", "")
    assert went_in.count("\r") - told.count("\r") <= ended


def test_a_slow_scanner_is_known_by_the_sign_in_front():
    """Our own labels begin with a sign that no key of the window is."""
    _, out = fed(typed("*PART:EX-41\r", apart=120))

    assert out == [Scanned("*PART:EX-41")]


@pytest.mark.parametrize("sign", ["?", "+", "-", "A", "7"])
def test_a_sign_that_is_a_key_waits_no_longer_than_a_letter(sign):
    state, _ = fed([stroke(sign, 1000)])

    assert state.wait_ms == GAP_MS


def test_an_unused_sign_alone_is_a_hand_s_all_the_same():
    state, out = fed([stroke("*", 1000), stroke("N", 1900)])

    assert downs([*out, *state.settled()[1]]) == ["*", "N"]
