"""Small wrong changes to a module, one at a time, to see whether its tests notice.

A mutant is a module with one operator, number, condition, refusal or statement changed. Words
(messages, names, docstrings), annotations and decorators are left alone: no load hangs on them.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass
from pathlib import Path

COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
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
REVERSED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.GtE,
    ast.LtE: ast.Gt,
    ast.Gt: ast.LtE,
    ast.GtE: ast.Lt,
}
COUNTED: dict[type[ast.operator], type[ast.operator]] = {
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
RENAMED = {
    "min": "max",
    "max": "min",
    "minimum": "maximum",
    "maximum": "minimum",
    "any": "all",
    "all": "any",
    "argmin": "argmax",
    "sin": "cos",
    "cos": "sin",
}
DROPPED_CALLS = frozenset({"abs", "sqrt", "round", "float", "sorted", "hypot", "log", "exp"})
FLOAT_FACTOR = 1.25
UNCHANGED = -1


@dataclass(frozen=True, slots=True)
class Mutant:
    """One wrong change.

    Parameters
    ----------
    path : Path
        Of the module.
    line : int
        Where.
    number : int
        Which of the module's mutants.
    what : str
        The change in words.
    """

    path: Path
    line: int
    number: int
    what: str


Change = Callable[[ast.AST], ast.AST]


def mutants_of(path: Path) -> list[Mutant]:
    """Every mutant of a module, in the order of its source."""
    sites = _sites(ast.parse(path.read_text(encoding="utf-8")))
    return [Mutant(path, line, number, what) for number, (line, what, _, _) in enumerate(sites)]


def unchanged(path: Path) -> Mutant:
    """The control: a module as it is, which every test must let live."""
    return Mutant(path, 0, UNCHANGED, "nothing")


def mutated(mutant: Mutant) -> ast.Module:
    """The module's tree with the one change made."""
    tree = ast.parse(mutant.path.read_text(encoding="utf-8"))
    if mutant.number == UNCHANGED:
        return tree
    _, _, node, change = list(_sites(tree))[mutant.number]
    new = _Swap(node, change).visit(tree)
    return ast.fix_missing_locations(new)


class _Swap(ast.NodeTransformer):
    def __init__(self, target: ast.AST, change: Change) -> None:
        self.target, self.change = target, change

    def visit(self, node: ast.AST) -> ast.AST:
        if node is self.target:
            return ast.copy_location(self.change(deepcopy(node)), node)
        return super().visit(node)


Site = tuple[int, str, ast.AST, Change]


def _sites(tree: ast.Module) -> Iterator[Site]:
    for node in _walk(tree):
        for what, change in _changes(node):
            yield node.lineno, what, node, change  # type: ignore[attr-defined]


def _walk(node: ast.AST) -> Iterator[ast.AST]:
    """Everything a number can come from; not words, annotations, imports or decorators."""
    if isinstance(node, ast.Import | ast.ImportFrom | ast.JoinedStr):
        return
    yield node
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list", "type_params", "exc", "cause"):
            continue
        if isinstance(node, ast.Assign) and _is_names(node):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST):
                yield from _walk(child)


def _is_names(node: ast.Assign) -> bool:
    return any(isinstance(target, ast.Name) and target.id == "__all__" for target in node.targets)


def _changes(node: ast.AST) -> Iterator[tuple[str, Change]]:
    if isinstance(node, ast.Compare) and len(node.ops) >= 1:
        yield from _compare_changes(node)
    elif isinstance(node, ast.BinOp | ast.AugAssign) and type(node.op) in COUNTED:
        yield _named("arithmetic", node, _set("op", COUNTED[type(node.op)]()))
    elif isinstance(node, ast.BoolOp):
        other: ast.boolop = ast.Or() if isinstance(node.op, ast.And) else ast.And()
        yield _named("and/or", node, _set("op", other))
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        yield _named("sign or not", node, lambda old: old.operand)  # type: ignore[attr-defined]
    elif isinstance(node, ast.Constant):
        yield from _constant_changes(node)
    elif isinstance(node, ast.Call):
        yield from _call_changes(node)
    elif isinstance(node, ast.If | ast.While | ast.IfExp):
        yield _named("condition turned round", node.test, _negated_test, node)
    elif isinstance(node, ast.comprehension) and node.ifs:
        return
    else:
        yield from _statement_changes(node)


def _compare_changes(node: ast.Compare) -> Iterator[tuple[str, Change]]:
    for place, op in enumerate(node.ops):
        for table in (COMPARED, REVERSED):
            if type(op) in table:
                yield _named("comparison", node, _set_op(place, table[type(op)]()))


def _constant_changes(node: ast.Constant) -> Iterator[tuple[str, Change]]:
    value = node.value
    if isinstance(value, bool):
        yield _named("truth", node, _set("value", not value))
    elif isinstance(value, int):
        yield _named("number + 1", node, _set("value", value + 1))
    elif isinstance(value, float):
        new = value * FLOAT_FACTOR if value else 1.0
        yield _named("number × 1.25", node, _set("value", new))


def _call_changes(node: ast.Call) -> Iterator[tuple[str, Change]]:
    name = node.func.attr if isinstance(node.func, ast.Attribute) else ""
    name = node.func.id if isinstance(node.func, ast.Name) else name
    if name in RENAMED:
        yield _named("another function", node, lambda old: _renamed(old, RENAMED[name]))
    if name in DROPPED_CALLS and node.args:
        yield _named("function left out", node, lambda old: old.args[0])  # type: ignore[attr-defined]


def _statement_changes(node: ast.AST) -> Iterator[tuple[str, Change]]:
    if isinstance(node, ast.Raise):
        yield _named("refusal left out", node, lambda _old: ast.Pass())
    elif isinstance(node, ast.Return) and node.value is not None:
        is_none = isinstance(node.value, ast.Constant) and node.value.value is None
        if not is_none:
            yield _named("returns nothing", node, _set("value", ast.Constant(None)))
    elif _is_act(node):
        yield _named("statement left out", node, lambda _old: ast.Pass())


def _is_act(node: ast.AST) -> bool:
    if isinstance(node, ast.Expr):
        return isinstance(node.value, ast.Call | ast.Yield)
    return isinstance(node, ast.Break | ast.Continue)


def _named(
    what: str, shown: ast.AST, change: Change, _node: ast.AST | None = None
) -> tuple[str, Change]:
    text = " ".join(ast.unparse(shown).split())
    return f"{what}: {text[:70]}", change


def _set(name: str, value: object) -> Change:
    def change(old: ast.AST) -> ast.AST:
        setattr(old, name, value)
        return old

    return change


def _set_op(place: int, op: ast.cmpop) -> Change:
    def change(old: ast.AST) -> ast.AST:
        old.ops[place] = op  # type: ignore[attr-defined]
        return old

    return change


def _negated_test(old: ast.AST) -> ast.AST:
    old.test = ast.UnaryOp(ast.Not(), old.test)  # type: ignore[attr-defined]
    return old


def _renamed(old: ast.AST, name: str) -> ast.AST:
    func = old.func  # type: ignore[attr-defined]
    if isinstance(func, ast.Attribute):
        func.attr = name
    else:
        func.id = name
    return old
