"""What is found on a machine, and how the players and voices behave."""

import sys

import pytest
from PySide6.QtCore import QObject

from benchassist.ui.sound.outlets import (
    PLAYERS,
    VOICES,
    Machine,
    Outlets,
    filled,
    find,
    imports,
    returns,
)
from benchassist.ui.sound.players import (
    BEATS,
    MOST_FAILURES,
    MOST_RUNNING,
    Bell,
    CommandPlayer,
    WindowsPlayer,
    player_of,
)
from benchassist.ui.sound.speaker import AGAIN_MS, Speaker
from benchassist.ui.sound.tones import TONES
from benchassist.ui.sound.voices import CommandVoice, Silent, voice_of

NOTES = "import sys; open(sys.argv[2], 'a').write(sys.argv[1] + '|')"
FAILS = (sys.executable, "-c", "raise SystemExit(1)", "{}")


class Box:
    """A machine with some programs; ``deaf`` ones run and find no device."""

    def __init__(self, platform, *programs, deaf=(), modules=(), outputs=0):
        self.tried = []
        self._deaf = deaf
        self.machine = Machine(
            platform,
            which=lambda name: f"/bin/{name}" if name in programs else None,
            returns=self._returns,
            imports=lambda name: name in modules,
            wave_outputs=lambda: outputs,
        )

    def _returns(self, words):
        self.tried.append(words)
        return int(words[0] in self._deaf)


@pytest.fixture
def owner(qapp):
    return QObject()


@pytest.mark.parametrize(
    ("box", "player", "voice"),
    [
        (Box("linux", "paplay", "aplay", "espeak-ng"), "paplay", "espeak-ng"),
        (Box("linux", "paplay", "aplay", deaf=("paplay",)), "aplay", ""),
        (Box("linux", "aplay", "spd-say", deaf=("aplay",)), "", "spd-say"),
        (Box("darwin", "afplay", "say"), "afplay", "say"),
        (Box("win32", "powershell"), "", "powershell"),
        (Box("freebsd14", "aplay"), "aplay", ""),
        (Box("linux"), "", ""),
    ],
    ids=("free", "no server", "no device", "mac", "windows", "bsd", "bare"),
)
def test_the_first_that_really_plays_is_taken(box, player, voice, tmp_path):
    found = find(tmp_path, box.machine)

    assert found.player[:1] == ((player,) if player else ())
    assert found.voice[:1] == ((voice,) if voice else ())


def test_a_player_is_tried_on_silence(tmp_path):
    box = Box("linux", "aplay")
    find(tmp_path, box.machine)

    assert box.tried == [("aplay", "-q", str(tmp_path / "silence.wav"))]
    assert (tmp_path / "silence.wav").stat().st_size > 44


def test_windows_has_sound_only_where_it_knows_an_output(tmp_path):
    assert find(tmp_path, Box("win32", outputs=1).machine).winsound
    assert not find(tmp_path, Box("win32", outputs=0).machine).winsound
    assert not find(tmp_path, Box("linux", outputs=1).machine).winsound


def test_a_command_has_one_place_for_its_file_or_its_words():
    for table in (PLAYERS, VOICES):
        for commands in table.values():
            for words in commands:
                assert "".join(words).count("{}") == 1
    assert filled(("say", "{}"), "E X") == ("say", "E X")


def test_a_command_that_is_missing_or_fails_is_no_player():
    assert returns((sys.executable, "-c", "")) == 0
    assert returns((sys.executable, "-c", "raise SystemExit(3)")) == 3
    assert returns(("no-such-program-here",)) == -1


def test_a_module_is_there_only_if_it_can_be_imported():
    assert imports("wave")
    assert not imports("no_such_module_here")


def test_the_best_of_what_was_found_plays(owner, tmp_path):
    assert isinstance(player_of(Outlets(), tmp_path, owner), Bell)
    assert isinstance(player_of(Outlets(winsound=True), tmp_path, owner), WindowsPlayer)
    assert player_of(Outlets(player=("aplay", "{}")), tmp_path, owner).name == "aplay"
    assert isinstance(voice_of(Outlets(), owner), Silent)
    assert voice_of(Outlets(voice=("say", "{}")), owner).name == "say"


def test_nobody_is_sure_that_a_bell_is_heard():
    bell = Bell()

    for beat in BEATS:
        bell.play(beat)
    assert not bell.sure


def test_a_player_plays_the_named_file(owner, tmp_path, qtbot):
    told = tmp_path / "told"
    words = (sys.executable, "-c", NOTES, "{}", str(told))
    player = CommandPlayer(words, tmp_path, owner)

    player.play("due")
    qtbot.waitUntil(told.exists, timeout=20_000)
    qtbot.waitUntil(lambda: told.read_text().endswith("|"))
    player.close()

    assert told.read_text() == f"{tmp_path / 'due.wav'}|"


def test_a_player_that_fails_again_and_again_is_not_believed(owner, tmp_path, qtbot):
    player = CommandPlayer(FAILS, tmp_path, owner)
    for number in range(1, MOST_FAILURES + 1):
        player.play("due")
        qtbot.waitUntil(lambda n=number: player._failures == n, timeout=20_000)

    assert not player.sure


def test_a_player_that_is_gone_raises_nothing(owner, tmp_path, qtbot):
    player = CommandPlayer(("no-such-program-here", "{}"), tmp_path, owner)
    for _ in range(MOST_FAILURES):
        player.play("due")

    qtbot.waitUntil(lambda: not player.sure, timeout=20_000)


def test_a_player_that_hangs_is_neither_fed_nor_believed(owner, tmp_path):
    words = (sys.executable, "-c", "import threading; threading.Event().wait()", "{}")
    player = CommandPlayer(words, tmp_path, owner)

    for _ in range(MOST_RUNNING + MOST_FAILURES):
        player.play("due")
    running = len(player._running)
    player.close()

    assert running == MOST_RUNNING
    assert not player.sure
    assert len(player._running) == 0


def test_a_voice_says_lines_one_after_the_other(owner, tmp_path, qtbot):
    told = tmp_path / "told"
    voice = CommandVoice((sys.executable, "-c", NOTES, "{}", str(told)), owner)

    voice.say("one")
    voice.say("two")
    running = len(voice._running)
    qtbot.waitUntil(
        lambda: told.exists() and told.read_text() == "one|two|", timeout=20_000
    )
    voice.close()

    assert running == 1


@pytest.fixture
def speaker(owner, qtbot):
    made = []

    def open_(machine):
        speaker = Speaker(machine, owner)
        made.append(speaker)
        return speaker

    yield open_
    for each in made:
        each.close()


def asked(qtbot, speaker, now):
    with qtbot.waitSignal(speaker.asked, timeout=20_000):
        speaker.look(now)


def test_a_speaker_knows_nothing_until_it_has_asked(speaker, clock, qtbot):
    made = speaker(Box("linux", "aplay", "espeak-ng").machine)
    before = made.on
    asked(qtbot, made, clock.now())

    assert before is None
    assert made.on
    assert made.names == ("aplay", "espeak-ng")


def test_a_machine_without_a_device_is_off_and_asked_again(speaker, clock, qtbot):
    deaf = ["aplay"]
    made = speaker(Box("linux", "aplay", deaf=deaf).machine)
    asked(qtbot, made, clock.now())
    off, names = made.on, made.names
    made.play("due")
    made.say("E X 1. Dry. Go on.")
    deaf.clear()  # a headset is plugged in
    clock.advance(AGAIN_MS)
    asked(qtbot, made, clock.now())

    assert off is False
    assert names == ("", "")
    assert made.on


def test_a_fault_of_the_search_is_off_and_no_traceback(speaker, clock, qtbot):
    def broken(_words):
        raise MemoryError

    made = speaker(
        Machine("linux", which=str, returns=broken, imports=lambda _name: False)
    )
    asked(qtbot, made, clock.now())

    assert made.on is False


def test_the_tones_are_taken_away_at_the_end(owner, clock, qtbot):
    made = Speaker(Box("linux", "aplay").machine, owner)
    asked(qtbot, made, clock.now())
    files = list(made._folder.iterdir())
    made.close()

    assert {path.stem for path in files} == set(TONES)
    assert not made._folder.exists()
