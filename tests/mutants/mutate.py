"""Which small faults can be put into a module, and the module with one of them."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

SCIENCE = Path(__file__).parents[2] / "coaching" / "science"
SWAPS: dict[type[ast.AST], type[ast.AST]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
    ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd, ast.And: ast.Or, ast.Or: ast.And,
}  # fmt: skip
WIDE = ("athletes/", "coaching/")
"""Modules named by their whole path guard records, and take faults of further kinds: a refusal, a call or a `not` left
out, membership and identity the other way round, what a query leaves out taken in.
"""
WIDER: dict[type[ast.AST], type[ast.AST]] = {
    **SWAPS, ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
WIDER_CALLS = {"filter": "exclude", "exclude": "filter", "any": "all", "all": "any", "min": "max", "max": "min"}
CALLS = {"maximum": "minimum", "minimum": "maximum", "exp": "expm1", "zeros": "ones", "ones": "zeros"}


@dataclass(frozen=True)
class Mutant:
    """The `place`-th fault of a module; `function` and `line` are where it lies."""

    module: str
    place: int
    function: str
    line: int
    what: str

    @property
    def name(self) -> str:
        return f"{self.module}:{self.place}"

    def __str__(self) -> str:
        return f"{self.name} {self.function} line {self.line}, {self.what}"


class _Faults(ast.NodeTransformer):
    """Counts places for a fault and puts it into the `wanted`-th of them."""

    def __init__(self, module: str, wanted: int = -1) -> None:
        self.module, self.wanted, self.wide = module, wanted, module.startswith(WIDE)
        self.found: list[Mutant] = []
        self._inside: list[str] = []

    def visit_FunctionDef(self, node: ast.FunctionDef) -> Any:  # noqa: N802 - the visitor's own spelling
        self._inside.append(node.name)
        node.body = [node.body[0], *map(self.visit, node.body[1:])] if ast.get_docstring(node) else self._all(node.body)
        self._inside.pop()
        return node

    def _all(self, body: list[ast.stmt]) -> list[ast.stmt]:
        return [self.visit(one) for one in body]

    def visit_Raise(self, node: ast.Raise) -> Any:  # noqa: N802
        if self.wide and self._here(node, "raise to pass"):
            return ast.copy_location(ast.Pass(), node)
        return node  # words of a refusal

    def visit_Expr(self, node: ast.Expr) -> Any:  # noqa: N802
        self.generic_visit(node)
        if self.wide and isinstance(node.value, ast.Call) and self._here(node, "call to pass"):
            names = {one.id for one in ast.walk(node) if isinstance(one, ast.Name)}
            # A method that asks its parents holds its class; without the word its code would not fit in its place.
            left = ast.Expr(ast.Name("super", ast.Load())) if "super" in names else ast.Pass()
            return ast.copy_location(left, node)
        return node

    def visit_UnaryOp(self, node: ast.UnaryOp) -> Any:  # noqa: N802
        self.generic_visit(node)
        return node.operand if self.wide and isinstance(node.op, ast.Not) and self._here(node, "not to it") else node

    def visit_AnnAssign(self, node: ast.AnnAssign) -> Any:  # noqa: N802
        node.value = self.visit(node.value) if node.value else None  # what a name is said to be is no number
        return node

    def _here(self, node: ast.AST, what: str) -> bool:
        if not self._inside:
            return False
        self.found.append(Mutant(self.module, len(self.found), self._inside[-1], getattr(node, "lineno", 0), what))
        return len(self.found) - 1 == self.wanted

    def _swapped(self, node: Any, op: ast.AST) -> ast.AST:
        other = (WIDER if self.wide else SWAPS).get(type(op))
        return other() if other and self._here(node, f"{type(op).__name__} to {other.__name__}") else op

    def visit_BinOp(self, node: ast.BinOp) -> Any:  # noqa: N802
        self.generic_visit(node)
        node.op = self._swapped(node, node.op)  # type: ignore[assignment]
        return node

    def visit_BoolOp(self, node: ast.BoolOp) -> Any:  # noqa: N802
        self.generic_visit(node)
        node.op = self._swapped(node, node.op)  # type: ignore[assignment]
        return node

    def visit_Compare(self, node: ast.Compare) -> Any:  # noqa: N802
        self.generic_visit(node)
        node.ops = [self._swapped(node, op) for op in node.ops]  # type: ignore[misc]
        return node

    def visit_Constant(self, node: ast.Constant) -> Any:  # noqa: N802
        number = isinstance(node.value, int | float) and not isinstance(node.value, bool)
        if number and self._here(node, f"{node.value} to {node.value + 1}"):
            return ast.copy_location(ast.Constant(node.value + 1), node)
        if self.wide and isinstance(node.value, bool) and self._here(node, f"{node.value} to {not node.value}"):
            return ast.copy_location(ast.Constant(not node.value), node)
        return node

    def visit_Call(self, node: ast.Call) -> Any:  # noqa: N802
        self.generic_visit(node)
        name = node.func.attr if isinstance(node.func, ast.Attribute) else ""
        if name in CALLS and self._here(node, f"{name} to {CALLS[name]}"):
            node.func.attr = CALLS[name]  # type: ignore[attr-defined]
        name = name or (node.func.id if isinstance(node.func, ast.Name) else "")
        if self.wide and name in WIDER_CALLS and self._here(node, f"{name} to {WIDER_CALLS[name]}"):
            setattr(node.func, "attr" if isinstance(node.func, ast.Attribute) else "id", WIDER_CALLS[name])
        return node


def mutants(module: str) -> list[Mutant]:
    """Every fault that can be put into a module, named as `filtering` or `air/sun`."""
    faults = _Faults(module)
    faults.visit(ast.parse(source(module)))
    return faults.found


def mutated(module: str, place: int) -> ast.Module:
    """The module with one fault."""
    faults = _Faults(module, place)
    tree = faults.visit(ast.parse(source(module)))
    if not 0 <= place < len(faults.found):
        raise ValueError(f"{module} has {len(faults.found)} places for a fault")
    return ast.fix_missing_locations(tree)


@cache
def source(module: str) -> str:
    folder = ROOT if module.startswith(WIDE) else SCIENCE
    return (folder / f"{module}.py").read_text(encoding="utf-8")


def modules() -> Iterator[str]:
    """Modules with code; rows of the register are data."""
    for path in sorted(SCIENCE.rglob("*.py")):
        name = path.relative_to(SCIENCE).with_suffix("").as_posix()
        if not name.endswith("__init__") and not name.startswith("quantity_rows"):
            yield name


ROOT = SCIENCE.parents[1]
FOLDERS = ("unit", "property", "reference")
OF_ALL = ("inputs", "outputs", "quantities", "versions")
"""Imported for what they hold by the tests of others; only what they name is theirs."""


def files_of(mutant: Mutant) -> list[str]:
    """The module's test files: those of its function, the others that its docstrings name, and those that import it."""
    named: dict[str, list[str]] = {}
    for node in ast.walk(ast.parse(source(mutant.module))):
        if isinstance(node, ast.FunctionDef):
            words = (ast.get_docstring(node) or "").replace(";", " ").replace(",", " ").split()
            named.setdefault(node.name, []).extend(w.rstrip(".") for w in words if w.startswith("tests/"))
    unit = f"tests/unit/test_{mutant.module.replace('/', '_')}.py"
    others = [path for paths in named.values() for path in paths]
    importing = [] if mutant.module in OF_ALL else sorted(p for p, of in imports().items() if mutant.module in of)
    found = dict.fromkeys([*named.get(mutant.function, []), unit, *others, *importing])
    return [path for path in found if path in imports()]


@cache
def imports() -> dict[str, frozenset[str]]:
    """Modules of science that each test file imports, those left out that need more than science."""
    found = {}
    helpers = {f"tests.{path.stem}": _imported(path) for path in (ROOT / "tests").glob("plain_*.py")}
    for path in sorted(p for folder in FOLDERS for p in (ROOT / "tests" / folder).glob("test_*.py")):
        names = _imported(path)
        names |= {one for helper in names & helpers.keys() for one in helpers[helper]}
        if not any(name.split(".")[0] in ("athletes", "api") or name.startswith(ABOVE) for name in names):
            own = {n.removeprefix("coaching.science.") for n in names if n.startswith("coaching.science.")}
            found[path.relative_to(ROOT).as_posix()] = frozenset(name.replace(".", "/") for name in own)
    return found


def _imported(path: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module, *(f"{node.module}.{one.name}" for one in node.names)}
    return names


ABOVE = ("coaching.usecases", "coaching.ledger", "coaching.pages", "coaching.jobs", "coaching.config")
