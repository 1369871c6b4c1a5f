"""What the sources outside ``ui`` can say, taken out of them for a translator.

``python -m tests.ui.domain_words`` writes ``resources/words/domain.js``, which the
window reads where a language is chosen and Qt's ``lupdate`` takes in; a test fails
when it is stale. A text that nobody can be shown (a key, a name in code) is left out
where its look tells.
"""

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path

import benchassist

PACKAGE = Path(benchassist.__file__).parent
FILE = PACKAGE.parent / "resources" / "words" / "domain.js"
# Whose words never come to the window: it itself, the command line, the play of scripts.
ELSEWHERE = {"ui", "rehearsal", "app.py", "cli.py", "cli_record.py", "folds.py"}
HEAD = "// Written by python -m tests.ui.domain_words: not to be changed by hand.\n"


def found() -> list[str]:
    """Return every text that the sources can say, sorted."""
    told: set[str] = set()
    for file in PACKAGE.rglob("*.py"):
        if file.relative_to(PACKAGE).parts[0] not in ELSEWHERE:
            told |= set(said_in(ast.parse(file.read_text("utf-8"))))
    return sorted(filter(is_shown, set(map(plain, told))))


def plain(text: str) -> str:
    """Return a text with the names of its fields alone: no form, none without a name, no edges."""
    named = re.sub(r"\{(\w+)[:!][^}]*\}", r"{\1}", text)
    return named.replace("{}", "{text}").strip()


def said_in(tree: ast.Module) -> Iterator[str]:
    """Yield the texts of a module, the fields of each named by what fills them."""
    hidden: set[ast.AST] = set()
    for node in ast.walk(tree):
        if node in hidden:
            continue
        match node:
            case ast.Expr(value=ast.Constant() as docstring):
                hidden.add(docstring)
            case ast.JoinedStr() | ast.BinOp(op=ast.Add()):
                if text := joined(node, hidden, []):
                    yield text
            case ast.Constant(value=str(text)):
                yield text


def joined(node: ast.AST, hidden: set[ast.AST], names: list[str]) -> str:
    """Return a text put together from pieces, or nothing where none of them is one."""
    match node:
        case ast.Constant(value=str(text)):
            hidden.add(node)
            return text
        case ast.JoinedStr(values=values):
            hidden.add(node)
            return "".join(joined(each, hidden, names) for each in values)
        case ast.BinOp(left=left, op=ast.Add(), right=right):
            hidden.add(node)
            return joined(left, hidden, names) + joined(right, hidden, names)
    name = name_of(node)
    names.append(name)
    many = names.count(name)
    return f"{{{name}{many if many > 1 else ''}}}"


def name_of(node: ast.AST) -> str:
    """Return what a translator may know a field by."""
    match node:
        case ast.FormattedValue(value=of) | ast.Starred(value=of):
            return name_of(of)
        case ast.Name(id=name) | ast.Attribute(attr=name):
            return name.strip("_")
        case ast.Call(func=ast.Attribute(attr="join"), args=[of, *_]):
            return name_of(of)
        case ast.Call(func=of) | ast.Subscript(value=of):
            return name_of(of)
    return "text"


def is_shown(text: str) -> bool:
    """Say whether a text can be meant for eyes: words, and nothing that only code has."""
    own = re.sub(r"\{\w+\}", " ", text)
    if not re.search(r"[^\W\d_]{2,}", own):
        return False
    return not re.search(
        r"_|::|\\|^EX-\S+$|^-|[\w)]/\w|</|^[A-Z][a-z]+([A-Z][a-z]+)+$|[<>=@#$%^|~\\]\w|^[a-z]+(-[a-z]+)+$(?<!try-in)|^\W*\.\w+$|\n|\(\?|"
        r"\b(?:SELECT|PRAGMA|INSERT|CREATE|WHERE|ORDER|BEGIN|utf-?8)\b",
        own,
    )


def written() -> str:
    """Return the file's text."""
    lines = (
        f'qsTranslate("", {json.dumps(text, ensure_ascii=False)});' for text in found()
    )
    return HEAD + "\n".join(lines) + "\n"


if __name__ == "__main__":
    FILE.parent.mkdir(exist_ok=True)
    FILE.write_text(written(), "utf-8")
