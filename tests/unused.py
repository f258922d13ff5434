"""Which public names of the program nothing in the program uses, read off its syntax: what only tests call is no part of it."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping

Name = tuple[str, str]
"""Module, and the name of what it defines; "Class.method" for what a class does."""


def unused(sources: Mapping[str, str]) -> list[str]:
    """Return "module.name" of each public function, class, constant and method that no module uses, sorted.

    A use of it inside itself counts for nothing, an import that is not followed by a use neither. Methods are told by
    name alone: one that is called like another that is used is not found.

    Args:
        sources: Text of every module by its dotted name.
    """
    trees = {module: ast.parse(text) for module, text in sources.items()}
    defined = {name for module, tree in trees.items() for name in _defined(module, tree)}
    used: set[Name] = set()
    attributes: dict[str, set[Name]] = {}
    for module, tree in trees.items():
        whole = {name: other for other, name in _modules(tree, trees)}
        taken = {own: (other, name) for other, name, own in _names(tree)}
        for inside, node in _inside(tree):
            here = (module, inside)
            if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
                found = taken.get(node.id, (module, node.id))
                if found != here and not inside.startswith(f"{node.id}."):
                    used.add(found)
            elif isinstance(node, ast.Attribute):
                if isinstance(node.value, ast.Name) and node.value.id in whole:
                    used.add((whole[node.value.id], node.attr))
                attributes.setdefault(node.attr, set()).add(here)
    return sorted(f"{module}.{name}" for module, name in defined if not _is_used((module, name), used, attributes))


def _is_used(name: Name, used: set[Name], attributes: Mapping[str, set[Name]]) -> bool:
    if "." not in name[1]:
        return name in used
    return bool(attributes.get(name[1].split(".")[1], set()) - {name})


def _defined(module: str, tree: ast.Module) -> Iterator[Name]:
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            yield module, node.name
        if isinstance(node, ast.ClassDef):
            for inner in node.body:
                if isinstance(inner, ast.FunctionDef) and not inner.name.startswith("_"):
                    yield module, f"{node.name}.{inner.name}"
        targets = (
            node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
        )
        for target in targets:
            for one in ast.walk(target):
                if isinstance(one, ast.Name) and not one.id.startswith("_"):
                    yield module, one.id


def _modules(tree: ast.Module, known: Mapping[str, ast.Module]) -> Iterator[tuple[str, str]]:
    """Yield (module, what it is called here) of every module that is imported as a whole."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module is not None:
            for alias in node.names:
                if f"{node.module}.{alias.name}" in known:
                    yield f"{node.module}.{alias.name}", alias.asname or alias.name


def _names(tree: ast.Module) -> Iterator[tuple[str, str, str]]:
    """Yield (module, name, what it is called here) of everything that is imported from a module."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module is not None:
            for alias in node.names:
                yield node.module, alias.name, alias.asname or alias.name


def _inside(tree: ast.Module) -> Iterator[tuple[str, ast.AST]]:
    """Yield every node with what it stands in: "" for the module, "name", or "Class.method"."""
    for node in tree.body:
        name = getattr(node, "name", "")
        if isinstance(node, ast.ClassDef):
            for inner in ast.iter_child_nodes(node):
                own = getattr(inner, "name", None)
                for one in ast.walk(inner):
                    yield (f"{name}.{own}" if own is not None else name), one
        else:
            for one in ast.walk(node):
                yield name, one
