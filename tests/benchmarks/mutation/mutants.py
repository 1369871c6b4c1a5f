"""Small faults put into a source, one at a time: what a good test must notice.

Of the well-kept libraries one counts every operator changed into every other, which
any test notices, and takes no condition or argument away; the other rewrites a copy
of the package and draws no sample. So the faults are our own: borders, conditions,
signs, numbers, keywords, calls. Words, annotations and tables of an ``__init__`` are
not touched, nor what a kept number is rounded to.
"""

from __future__ import annotations

import ast
import hashlib
from collections import Counter
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[3]
DOMAIN = "benchassist/domain"
PACKAGES = {
    "gates": (f"{DOMAIN}/gates",),
    "deciders": (f"{DOMAIN}/deciders",),
    "evolve": (f"{DOMAIN}/evolve",),
    "ledger": tuple(
        f"{DOMAIN}/{name}.py" for name in ("ledger", "halves", "runs", "segments")
    ),
    "physics": ("benchassist/physics",),
}

_BORDERS = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
_SUMS = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
}
_TWINS = {"min": "max", "max": "min", "any": "all", "all": "any", "ceil": "floor"}
_FUNCTIONS = (ast.FunctionDef, ast.Lambda)


@dataclass(frozen=True)
class Mutant:
    """One change of one source, and the lines by which its tests are found.

    ``first`` to ``last`` are the lines of the change, from the start of its
    statement; ``at_import`` says that they run when the module is loaded.
    """

    key: str
    package: str
    path: str
    line: int
    old: str
    new: str
    start: int
    end: int
    first: int
    last: int
    at_import: bool

    def source(self) -> bytes:
        """Return the whole source with the change in it."""
        text = (ROOT / self.path).read_bytes()
        return text[: self.start] + self.new.encode() + text[self.end :]

    def __str__(self) -> str:
        """Return where it is and what it changes, in one line."""
        old, new = (" ".join(text.split()) for text in (self.old, self.new))
        return f"{self.path}:{self.line}  {old}  ->  {new}"


def every() -> list[Mutant]:
    """Return all mutants of the packages.

    A key is a digest of what is changed and in which function: a change of one
    function leaves the sample of all others as it was.
    """
    found = []
    for package, places in PACKAGES.items():
        for place in places:
            path = ROOT / place
            files = sorted(path.glob("*.py")) if path.is_dir() else [path]
            for file in files:
                found.extend(mutants_of(file, package))
    return found


def sample(count: int, seed: str) -> list[Mutant]:
    """Return ``count`` mutants; another seed draws others."""

    def drawn(mutant: Mutant) -> str:
        return hashlib.sha256(f"{seed} {mutant.key}".encode()).hexdigest()

    return sorted(every(), key=drawn)[:count]


def mutants_of(file: Path, package: str) -> Iterator[Mutant]:
    """Yield every mutant of one source file."""
    text = file.read_bytes()
    path = file.relative_to(ROOT).as_posix()
    lines = [0]
    for line in text.splitlines(keepends=True):
        lines.append(lines[-1] + len(line))
    seen: Counter[str] = Counter()
    for node, statement, where, new in _Walk(tables=file.name == "__init__.py").all(
        text
    ):
        start = lines[node.lineno - 1] + node.col_offset
        end = lines[node.end_lineno - 1] + node.end_col_offset
        old = text[start:end].decode()
        name = f"{path} {where} {old} {new}"
        seen[name] += 1
        key = hashlib.sha256(f"{name} {seen[name]}".encode()).hexdigest()[:12]
        yield Mutant(
            key,
            package,
            path,
            node.lineno,
            old,
            new,
            start,
            end,
            statement.lineno,
            node.end_lineno,
            at_import=not where.count("()"),
        )


class _Walk:
    """One pass over a source: every node that has a change, with its statement."""

    def __init__(self, *, tables: bool) -> None:
        self._tables = tables

    def all(self, text: bytes) -> Iterator[tuple[ast.AST, ast.stmt, str, str]]:
        yield from self._body(ast.parse(text).body, "")

    def _body(self, body: list[ast.stmt], where: str):
        for statement in body:
            yield from self._statement(statement, where)

    def _statement(self, node: ast.stmt, where: str):  # noqa: C901, PLR0912 - a case a kind
        if isinstance(node, ast.FunctionDef):
            inner = f"{where}{node.name}()"
            defaults = [*node.args.defaults, *node.args.kw_defaults]
            for default in filter(None, defaults):
                yield from self._expression(default, node, where)
            yield from self._body(node.body, inner)
            return
        if isinstance(node, ast.ClassDef):
            yield from self._body(node.body, f"{where}{node.name}.")
            return
        table = self._tables and not where
        if table or isinstance(node, ast.Raise | ast.Import | ast.ImportFrom):
            return
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            return
        if _is_act(node) and where.count("()"):
            yield node, node, where, "pass"
        if isinstance(node, ast.AugAssign) and type(node.op) in _SUMS:
            turned = ast.AugAssign(node.target, _SUMS[type(node.op)](), node.value)
            yield node, node, where, ast.unparse(turned)
        if isinstance(node, ast.If | ast.While):
            yield node.test, node, where, f"not ({ast.unparse(node.test)})"
        for name, field in ast.iter_fields(node):
            if name == "annotation":
                continue
            for each in field if isinstance(field, list) else [field]:
                if isinstance(each, ast.stmt):
                    yield from self._statement(each, where)
                elif isinstance(each, ast.ExceptHandler):
                    yield from self._body(each.body, where)
                elif isinstance(each, ast.match_case):
                    if each.guard:
                        yield from self._expression(each.guard, node, where)
                    yield from self._body(each.body, where)
                elif isinstance(each, ast.AST):
                    yield from self._expression(each, node, where)

    def _expression(self, node: ast.AST, statement: ast.stmt, where: str):
        if isinstance(node, ast.JoinedStr):
            return  # words
        if isinstance(node, ast.expr):
            for new in _changes(node):
                yield node, statement, where, f"({ast.unparse(new)})"
        if isinstance(node, ast.Lambda):
            where = f"{where}lambda()"
        below = list(ast.iter_child_nodes(node))
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "round":
            below = below[:2]  # what a kept number is rounded to
        for each in below:
            yield from self._expression(each, statement, where)


def _is_act(node: ast.stmt) -> bool:
    """Return whether a statement does something that can be left out."""
    if isinstance(node, ast.Expr):
        return isinstance(node.value, ast.Call)
    target = getattr(node, "target", None) or (getattr(node, "targets", None) or [0])[0]
    kept = isinstance(target, ast.Attribute | ast.Subscript)
    return isinstance(node, ast.AugAssign) or (isinstance(node, ast.Assign) and kept)


def _with(node: ast.expr, **fields: object) -> ast.expr:
    made = deepcopy(node)
    for name, field in fields.items():
        setattr(made, name, field)
    return made


def _changes(node: ast.expr) -> Iterator[ast.expr]:  # noqa: C901, PLR0912 - as above
    match node:
        case ast.Compare(ops=ops):
            for n, op in enumerate(ops):
                turned = [*ops[:n], _BORDERS[type(op)](), *ops[n + 1 :]]
                yield _with(node, ops=turned)
        case ast.BoolOp(op=op, values=values):
            other = ast.Or() if isinstance(op, ast.And) else ast.And()
            yield _with(node, op=other)
            for n in range(len(values)):
                left = [*values[:n], *values[n + 1 :]]
                yield _with(node, values=left) if len(left) > 1 else left[0]
        case ast.BinOp(left=left, op=op, right=right):
            if type(op) in _SUMS and not (_is_words(left) or _is_words(right)):
                yield _with(node, op=_SUMS[type(op)]())
        case ast.UnaryOp(op=ast.Not() | ast.USub(), operand=operand):
            yield operand
        case ast.Constant(value=bool(value)):
            yield ast.Constant(not value)
        case ast.Constant(value=int(value)):
            yield ast.Constant(value + 1)
        case ast.Constant(value=float(value)):
            yield ast.Constant(value * 1.5 if value else 1.0)
        case ast.IfExp(test=test):
            yield _with(node, test=ast.UnaryOp(ast.Not(), test))
        case ast.Call(func=func, keywords=keywords):
            name = ast.unparse(func)
            if name in _TWINS:
                yield _with(node, func=ast.Name(_TWINS[name]))
            if name == "replace":
                for n, keyword in enumerate(keywords):
                    if keyword.arg:
                        less = [*keywords[:n], *keywords[n + 1 :]]
                        yield _with(node, keywords=less)
        case ast.ListComp() | ast.SetComp() | ast.GeneratorExp() | ast.DictComp():
            for n, each in enumerate(node.generators):
                if each.ifs:
                    made = deepcopy(node)
                    made.generators[n].ifs = []
                    yield made
        case _:
            pass


def _is_words(node: ast.expr) -> bool:
    if isinstance(node, ast.JoinedStr):
        return True
    return isinstance(node, ast.Constant) and isinstance(node.value, str)
