"""Which tests pass when what they look through is empty, read off their syntax."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping

KEEP = {"sorted", "list", "tuple", "set", "frozenset", "reversed", "enumerate", "dict", "iter"}
"""Calls that have as many members as what they are given, or none only if it has none."""
FULL = {"range", "str", "count", "pairwise"}
EMPTY = (ast.List, ast.Tuple, ast.Set, ast.Dict)
COMPREHENSIONS = (ast.ListComp, ast.SetComp, ast.DictComp, ast.GeneratorExp)
FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef)
CHECKS = {"raises", "warns", "fail"}
"""Checks of pytest that are calls."""
Names = Mapping[str, ast.expr]
"""Values by the name they are bound to once."""


def hollow(sources: Mapping[str, str]) -> list[str]:
    """Return "module.test" of each test that says nothing when a collection it computes is empty, in order.

    Each of its checks stands in a loop over something that may be empty, or is one of ``all(…)``, ``not any(…)`` and
    "no fault" over it. A loop over a written collection, or over a constant that is one, always runs. A helper that
    checks counts as a check of its own.

    Args:
        sources: Text of every module by its dotted name.
    """
    trees = {module: ast.parse(text) for module, text in sources.items()}
    constants = {module: _bound(tree.body) for module, tree in trees.items()}
    helpers = {module: _checking(tree) for module, tree in trees.items()}
    found = []
    for module, tree in trees.items():
        names, checking = dict(constants[module]), set(helpers[module])
        for other in _conftests(module, trees):
            checking |= helpers[other]
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom) and node.module in trees:
                for alias in node.names:
                    own = alias.asname or alias.name
                    if alias.name in constants[node.module]:
                        names[own] = constants[node.module][alias.name]
                    if alias.name in helpers[node.module]:
                        checking.add(own)
        found += [f"{module}.{test.name}" for test in _tests(tree) if _is_hollow(test, names, checking)]
    return found


def _conftests(module: str, known: Mapping[str, ast.Module]) -> Iterator[str]:
    """Yield the modules whose fixtures a module of tests may ask for."""
    *folders, _ = module.split(".")
    for count in range(1, len(folders) + 1):
        name = ".".join((*folders[:count], "conftest"))
        if name in known:
            yield name


def _tests(tree: ast.Module) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(tree):
        # What must fail does not pass on nothing.
        if (
            isinstance(node, FUNCTIONS)
            and node.name.startswith("test_")
            and not any("xfail" in ast.unparse(mark) for mark in node.decorator_list)
        ):
            yield node


def _checking(tree: ast.Module) -> set[str]:
    """Return the helpers of a module that check something outside loops."""
    return {
        node.name
        for node in ast.walk(tree)
        if isinstance(node, FUNCTIONS) and not node.name.startswith("test_") and any(_asserts(node.body))
    }


def _asserts(body: list[ast.stmt]) -> Iterator[bool]:
    for node in body:
        if isinstance(node, ast.Assert):
            yield True
        elif not isinstance(node, ast.For):
            for field in ("body", "orelse", "finalbody"):
                yield from _asserts(getattr(node, field, []))


def _is_hollow(test: ast.FunctionDef | ast.AsyncFunctionDef, names: Names, checking: set[str]) -> bool:
    reading = _Reading({**names, **_bound(test.body)}, _gathered(test), checking)
    reading.follow(test)
    checks = list(reading.checks(test.body, runs=True))
    return bool(checks) and not any(checks)


def _bound(body: list[ast.stmt]) -> dict[str, ast.expr]:
    """Return what each name is bound to, of those bound once in these statements and the blocks of ``with``."""
    found: dict[str, list[ast.expr]] = {}
    for node in body:
        for inner in ast.walk(node):
            if isinstance(inner, ast.Assign):
                for target in inner.targets:
                    several = isinstance(target, ast.Tuple) and isinstance(inner.value, ast.Tuple)
                    pairs = zip(target.elts, inner.value.elts, strict=False) if several else [(target, inner.value)]
                    for one, value in pairs:
                        if isinstance(one, ast.Name):
                            found.setdefault(one.id, []).append(value)
            elif isinstance(inner, ast.AnnAssign) and isinstance(inner.target, ast.Name) and inner.value is not None:
                found.setdefault(inner.target.id, []).append(inner.value)
    return {name: values[0] for name, values in found.items() if len(values) == 1}


def _gathered(test: ast.AST) -> dict[str, list[ast.expr]]:
    """Return, by name of a list that begins empty, the collections of the loops in which it is added to."""
    found: dict[str, list[ast.expr]] = {}

    def walk(node: ast.AST, loops: list[ast.expr]) -> None:
        if isinstance(node, ast.For):
            loops = [*loops, node.iter]
        target: ast.expr | None = None
        if isinstance(node, ast.AugAssign):
            target = node.target
        elif (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and node.func.attr in {"append", "extend", "add", "update"}
        ):
            target = node.func.value
        if isinstance(target, ast.Name):
            found.setdefault(target.id, []).extend(loops)
        for child in ast.iter_child_nodes(node):
            walk(child, loops)

    walk(test, [])
    return found


class _Reading:
    """What one test checks, each told with whether it is checked whatever the collections hold."""

    def __init__(self, names: Names, gathered: Mapping[str, list[ast.expr]], checking: set[str]) -> None:
        self.names, self.gathered, self.checking = names, gathered, checking
        self.members: set[str] = set()

    def follow(self, test: ast.AST) -> None:
        """Learn what the loops over what is never empty call its members: who answers for it answers for them."""
        for node in ast.walk(test):
            if isinstance(node, (ast.For, ast.comprehension)) and self.full(node.iter):
                self.members |= {one.id for one in ast.walk(node.target) if isinstance(one, ast.Name)}

    def checks(self, body: list[ast.stmt], *, runs: bool) -> Iterator[bool]:
        for node in body:
            if isinstance(node, FUNCTIONS):
                continue
            if isinstance(node, ast.Assert):
                yield runs and self.says(node.test)
            elif isinstance(node, ast.For):
                yield from self.checks(node.body, runs=runs and self.full(node.iter))
            else:
                yield from (runs for one in self._calls(node) if one)
                for field in ("body", "orelse", "finalbody"):
                    yield from self.checks(getattr(node, field, []), runs=runs)

    def _calls(self, node: ast.stmt) -> Iterator[bool]:
        """Yield True for each check that is a call: a helper that asserts, or ``pytest.raises``."""
        if isinstance(node, ast.With):
            own = [item.context_expr for item in node.items]
        else:
            own = [node.value] if isinstance(node, ast.Expr) else []
        for one in own:
            if isinstance(one, ast.Call) and (_called(one) in self.checking or _called(one) in CHECKS):
                yield True

    def says(self, test: ast.expr) -> bool:
        """Tell whether an assertion fails when a collection it may look through is empty."""
        if isinstance(test, ast.BoolOp) and isinstance(test.op, ast.And):
            return any(self.says(one) for one in test.values)
        if isinstance(test, ast.Call) and isinstance(test.func, ast.Name) and test.func.id == "all" and test.args:
            return self.full_within(test.args[0])
        if isinstance(test, ast.UnaryOp) and isinstance(test.op, ast.Not):
            inner = test.operand
            if isinstance(inner, ast.Call) and isinstance(inner.func, ast.Name) and inner.func.id == "any":
                return self.full_within(inner.args[0])
            return self.full_within(inner)
        if isinstance(test, ast.Compare) and len(test.ops) == 1 and isinstance(test.ops[0], ast.Eq | ast.LtE):
            left, right = test.left, test.comparators[0]
            if isinstance(test.ops[0], ast.LtE):
                return self.full_within(left)
            if _is_empty(left):
                return self.full_within(right)
            if _is_empty(right):
                return self.full_within(left)
        return True

    def full_within(self, node: ast.expr) -> bool:
        """Tell whether what is picked from is never empty, and True for what is not seen to be picked from anything."""
        if isinstance(node, ast.Name):
            loops = self.gathered.get(node.id, [])
            value = self.names.get(node.id)
            if value is not None and not _is_empty(value):
                return self.full_within(value)
            return all(self.full(one) for one in loops)
        if isinstance(node, COMPREHENSIONS):
            return all(self.full(one.iter) for one in node.generators)
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Sub | ast.BitAnd):
            return self.full_within(node.left) and (isinstance(node.op, ast.Sub) or self.full_within(node.right))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in KEEP and node.args:
            return self.full_within(node.args[0])
        return True

    def full(self, node: ast.expr, depth: int = 0) -> bool:
        """Tell whether a collection is seen to hold something."""
        if depth > 8:
            return False
        below = depth + 1
        if isinstance(node, (ast.List, ast.Tuple, ast.Set)):
            return any(not isinstance(one, ast.Starred) or self.full(one.value, below) for one in node.elts)
        if isinstance(node, ast.Dict):
            return any(key is not None for key in node.keys) or any(self.full(one, below) for one in node.values)
        if isinstance(node, ast.Constant):
            return bool(node.value)
        if isinstance(node, ast.JoinedStr):
            return True
        if isinstance(node, (ast.Attribute, ast.Subscript)):
            root: ast.expr = node
            while isinstance(root, (ast.Attribute, ast.Subscript)):
                root = root.value
            if not isinstance(root, ast.Name):
                return False
            table = self.names.get(root.id)
            rows = table.values if isinstance(table, ast.Dict) and isinstance(node, ast.Subscript) else []
            return root.id in self.members or (bool(rows) and all(self.full(one, below) for one in rows))
        if isinstance(node, ast.Name):
            if node.id in self.members:
                return True
            # A fixture that checks stands for what it gives.
            given = node.id in self.checking and node.id not in self.names
            return given or (node.id in self.names and self.full(self.names[node.id], below))
        if isinstance(node, COMPREHENSIONS):
            return all(not one.ifs and self.full(one.iter, below) for one in node.generators)
        if isinstance(node, ast.BinOp):
            return any(self.full(one, below) for one in (node.left, node.right))
        if isinstance(node, ast.Call):
            return self._full_call(node, below)
        return False

    def _full_call(self, node: ast.Call, depth: int) -> bool:
        name = _called(node)
        if isinstance(node.func, ast.Attribute) and name in {"items", "keys", "values"}:
            return self.full(node.func.value, depth)
        if name in self.checking:
            return True
        if isinstance(node.func, ast.Name) and any(
            isinstance(one, ast.Name) and one.id in self.members for one in node.args
        ):
            return True
        if name in KEEP:
            return bool(node.args) and self.full(node.args[0], depth)
        if name == "zip":
            strict = any(one.arg == "strict" and getattr(one.value, "value", False) is True for one in node.keywords)
            asked = [self.full(one, depth) for one in node.args]
            return any(asked) if strict else all(asked)
        if name in {"product", "chain"}:
            asked = [self.full(one, depth) for one in node.args]
            return all(asked) if name == "product" else any(asked)
        return name in FULL


def _called(node: ast.Call) -> str:
    return node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")


def _is_empty(node: ast.expr) -> bool:
    """Tell whether an expression is written as an empty collection."""
    if isinstance(node, (ast.List, ast.Tuple, ast.Set)):
        return not node.elts
    if isinstance(node, ast.Dict):
        return not node.keys
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "set" and not node.args
