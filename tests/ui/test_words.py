"""Every word of the window is said, can be taken out for a translator, and is ours."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import PySide6
import pytest
from defusedxml import ElementTree

import benchassist
from benchassist.ui import tongue, words
from tests.ui import domain_words
from tests.ui.measures import known_words

UI = Path(benchassist.__file__).parent / "ui"
FILES = sorted(UI.rglob("*.py"))
TOOLS = Path(PySide6.__file__).parent
# What the tool for translators is told: the look-up takes the English and no context.
SAID_BY = ("-tr-function-alias", "tr+=say")

# Calls whose words nobody sees.
UNSEEN = {
    *("getattr", "setattr", "property", "setProperty", "setObjectName", "read_text"),
    *("compile", "sub", "fullmatch", "search", "findall", "startswith", "endswith"),
    *("split", "rsplit", "join", "strip", "rstrip", "lstrip", "removeprefix"),
    *("removesuffix", "partition", "rpartition", "strftime", "get", "pop", "Signal"),
    *("TypeVar", "import_module", "say", "count", "index", "find", "replace"),
}
# Files that show nothing: the players of sound, the report of a fault, fonts.
MUTE = {"sound/outlets.py", "sound/players.py", "sound/voices.py", "faults.py"} | {
    "theme.py"
}
# What reads like words and is a value: it stands in the record, or code compares it.
VALUES = frozenset(
    (
        *("as IFU", "validated here", "off-IFU, accepted by prescriber"),
        *("wet and clean", "set or dusty", "wiped off", "not sure", "use as is"),
        *("second half later the same day", "died with the PC", "another box lamp"),
        *("glycerine later", "one basket", "each alone", "by hand", "paper card"),
        *("denture base", "cheek side", "front neighbour", "tongue side"),
        *(
            "back neighbour",
            "biting side",
            "tack-free after rinsing",
            "fit and contacts",
        ),
        *("Wash 1", "Wash 2", "design class", "not set", "tacky at the end"),
        *("tip cleaned", "tip changed", "thrown away", "not today", "will not"),
        *("set on the day page", "chosen on the tack page", "every prompt"),
        *("gates only", "popup open", "not in front", "retire bath", "full run"),
        *("life counter", "new lamp", "kept operator", "kept-new meter"),
        *("pages are made once they are attached to a bench", "Bench Assist"),
        *("ask prescriber", "not here", "Covered and dark, in its tray"),
        "training: the exercise is over",
        *("Under glycerine, held down", "Dry, bagged", "place N", "place ", "part "),
        *(
            "place Esc",
            "row ",
            "key ",
            "Shift+F",
            "Shift F",
            "check ",
            "retire ",
            "lamp ",
            "material ",
            "box ",
        ),
    )
)


def literals(tree):
    """Yield each text of a module that a hand might see: no docstring, key or call."""
    hidden = {each for node in ast.walk(tree) for each in hidden_by(node)}
    for node in ast.walk(tree):
        if node in hidden:
            continue
        if isinstance(node, ast.JoinedStr):
            pieces = [part.value for part in node.values if _is_text(part)]
            hidden |= set(node.values)
            yield node.lineno, "…".join(pieces), True
        elif _is_text(node):
            yield node.lineno, node.value, False


def hidden_by(node):
    """Return what a node of a module does not show: what it compares, names, asks."""
    found = ()
    match node:
        case ast.Expr() | ast.MatchValue():
            found = (node.value,)
        case ast.Call() if _name(node) in UNSEEN:
            found = node.args
        case ast.Compare():
            sides = (node.left, *node.comparators)
            found = (*sides, *(e for side in sides for e in getattr(side, "elts", ())))
        case ast.Dict():
            found = node.keys
        case ast.Subscript():
            found = (node.slice, *getattr(node.slice, "elts", ()))
        case ast.arg() | ast.AnnAssign() if node.annotation:
            found = ast.walk(node.annotation)
    return found


def _name(call):
    return getattr(call.func, "attr", getattr(call.func, "id", ""))


def _is_text(node):
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def reads_like_words(text, joined):
    """Say whether a text is meant to be read: two words, or one beside what it holds."""
    if re.search(r"[@<>{};#]|px\b|::|\.(?:csv|json|svg|txt|qss)", text):
        return False
    if joined:
        return bool(re.search(r"(?<![\w.-])[^\W\d_]{3,}(?![\w./-])", text))
    return bool(re.search(r"[^\W\d_]{2,},? [^\W\d_]{2,}|^[A-Z][a-z]{2,}[?.:]?$", text))


NAMES = {"Left", "Right", "Down", "Enter", "Esc", "Tab", "Backtab"}


def unsaid(file):
    """Return the texts of a file that are shown without the look-up."""
    tree = ast.parse(file.read_text("utf-8"))
    return [
        (line, text)
        for line, text, joined in literals(tree)
        if reads_like_words(text, joined)
        and text not in VALUES
        and text not in NAMES
        and not text.endswith("Page")
    ]


@pytest.mark.parametrize(
    "file",
    [file for file in FILES if file.relative_to(UI).as_posix() not in MUTE],
    ids=lambda file: file.relative_to(UI).as_posix(),
)
def test_whatever_is_shown_is_said(file):
    assert not unsaid(file)


def test_a_new_widget_with_words_of_its_own_is_found(tmp_path):
    file = tmp_path / "new.py"
    file.write_text(
        '"""A widget."""\n'
        'label.setText("Two words")\n'
        'label.setText(f"{n} left over")\n'
        'label.setText(say("Said well", n=1))\n'
        'box.setObjectName("two words")\n'
    )

    assert [text for _, text in unsaid(file)] == ["Two words", " left over"]


# --- for a translator ---------------------------------------------------------------


def said():
    """Return every English text that the look-up is asked for, by the sources."""
    found = set()
    for file in FILES:
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "say":
                first = node.args[0]
                if isinstance(first, ast.Constant):
                    found.add(first.value)
    return found


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory):
    """Return the file that Qt's own tool takes out of the sources."""
    path = tmp_path_factory.mktemp("words") / "window.ts"
    files = (*map(str, FILES), str(domain_words.FILE))
    run = [str(TOOLS / "lupdate"), *files, *SAID_BY, "-ts", str(path)]
    subprocess.run(run, check=True, capture_output=True, timeout=600)
    return path


@pytest.mark.slow  # once, in the checkout
def test_qt_s_own_tool_finds_every_text_that_is_said(catalogue):
    found = {
        message.findtext("source")
        for message in ElementTree.parse(catalogue).iter("message")
    }

    assert said() <= found
    assert set(domain_words.found()) <= found
    assert len(found) > 4000


def test_fields_are_named_and_filled():
    for text in said():
        fields = re.findall(r"\{([^}]*)\}", text)
        names = [re.split(r"[:!]", field)[0] for field in fields]

        assert all(name.isidentifier() or not name for name in names), text


CHILD = """
import sys
from pathlib import Path
from benchassist.ui import tongue
assert tongue.speak(Path(sys.argv[1]))
from benchassist.ui.places import PLACES
from benchassist.ui.words import say, shown
print(PLACES[0].title)
print(say("{part}: dry, go on", part="EX-1"))
print(say("never heard of"))
print(shown("dry 3 min more"))
"""


@pytest.mark.slow  # once, in the checkout
def test_a_translation_made_with_qt_s_tools_is_what_the_window_says(
    catalogue, tmp_path
):
    tree = ElementTree.parse(catalogue)
    told = {"New parts": "Neue Teile", "dry {minutes} more": "noch {minutes} trocknen"}
    for message in tree.iter("message"):
        source, told_by = message.findtext("source"), message.find("translation")
        if source in told:
            told_by.text = told[source]
            told_by.attrib.pop("type", None)
    path, made = tmp_path / "xx.ts", tmp_path / "xx.qm"
    tree.write(path, encoding="utf-8", xml_declaration=True)
    run = [str(TOOLS / "lrelease"), str(path), "-qm", str(made)]
    subprocess.run(run, check=True, capture_output=True, timeout=300)

    child = subprocess.run(
        [sys.executable, "-c", CHILD, str(made)],
        check=True, capture_output=True, text=True, timeout=300,
    )  # fmt: skip

    assert child.stdout.split("\n")[:4] == [
        "Neue Teile", "EX-1: dry, go on", "never heard of", "noch 3 min trocknen"
    ]  # fmt: skip


def test_a_file_that_is_no_translation_is_refused(tmp_path):
    file = tmp_path / "not.qm"
    file.write_bytes(b"not a translation")

    assert not tongue.speak(file)
    assert words.say("as it is") == "as it is"


def test_a_text_that_holds_braces_is_shown_as_it_is():
    assert words.say("what {} was") == "what {} was"
    assert words.say("{n:.1f} mm of {n}", n=1) == "1.0 mm of 1"


# --- ours ---------------------------------------------------------------------------

# What the screen said before, by one reason: unclear, tempting, or no shop English.
BEFORE = (
    *("IN FLIGHT", "BY HARM", "dry is over", "tell how the box ended"),
    *("Load card", "Submerge card", "Claim the station", "unconfirmed: claim"),
    *("Import your recipes first", "By hand:", "Advisors", "what this layer absorbs"),
    *("use as is", "Sign: complete", "off: typing", "All three are so"),
    *("Both are so", "tell by hand", "Tell by hand", "nothing is credited"),
    *("hold the card by hand", "how long", "out of disinfect,", "place is frozen"),
    *("So it was", "It was otherwise", "Nobody can know", "Box broke off"),
    *("no key passes this", "made for this lamp's own band", "sensitises for life"),
    *("Of its photons", "cool enough to handle", "starts the box", "over 1 h"),
    *("fully cured", "biocompatible", "certified"),
)
KEPT = {"How long", "how long"}  # "How long was the computer off?" asks what it says


@pytest.mark.parametrize("old", [each for each in BEFORE if each not in KEPT])
def test_the_screen_says_it_as_it_was_decided(old):
    assert not [text for text in said() if old in text]


def test_nothing_is_called_safe():
    assert not [text for text in said() if re.search(r"\bsafe\b", text)]


def test_the_words_that_pass_without_being_said_are_those_of_the_files():
    assert "resin" in known_words()
    assert "eyewear" not in known_words()
    assert "stirred" not in known_words()
