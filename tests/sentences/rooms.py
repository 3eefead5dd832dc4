"""The source as a house of modules: which name means which function, class or constant, and what encloses a line."""

from __future__ import annotations

import ast
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).resolve().parent.parent.parent
Function: TypeAlias = ast.FunctionDef | ast.AsyncFunctionDef
Scope: TypeAlias = Function | ast.ClassDef


@dataclass(frozen=True)
class Door:
    """Something that is called with sentences: a function, a method, or a class by the arguments that make it.

    Attributes:
        name: Its full name, such as `sync.shape.require_object` or `fieldbook.practices.faults.Fault`.
        takes: Its parameters in order, without the instance.
        sure: Whether the call means this one, and not merely something of the same name.
    """

    name: str
    takes: tuple[str, ...]
    sure: bool = True


@dataclass
class Module:
    """One file of the source."""

    name: str
    path: Path
    tree: ast.Module
    imports: dict[str, str] = field(default_factory=dict)
    defined: dict[str, ast.stmt] = field(default_factory=dict)  # by its name within the module, methods with a dot
    around: dict[ast.AST, ast.AST] = field(default_factory=dict)
    calls: list[ast.Call] = field(default_factory=list)
    _locals: dict[Function, dict[str, list[ast.expr]]] = field(default_factory=dict)

    def place(self, node: ast.AST) -> str:
        return f"{self.path.relative_to(ROOT).as_posix()}:{getattr(node, 'lineno', 0)}"

    def enclosing(self, node: ast.AST) -> list[tuple[str, Scope]]:
        """What a line stands in, from the inside out, each with its name within the module."""
        found: list[tuple[str, Scope]] = []
        at = self.around.get(node)
        while at is not None and not isinstance(at, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            at = self.around.get(at)
        if at is not None:
            outside = self.enclosing(at)
            found = [(".".join([name for name, _ in outside[:1]] + [at.name]), at), *outside]
        return found

    def locals_of(self, function: Function) -> dict[str, list[ast.expr]]:
        """What each local name of a function is made of: assignments, what was appended, what a loop walks over."""
        if function not in self._locals:
            names: dict[str, list[ast.expr]] = {}
            self._locals[function] = names
            for name, value in (pair for each in ast.walk(function) for pair in _made_of(each)):
                names.setdefault(name, []).append(value)
        return self._locals[function]


def _made_of(node: ast.AST) -> Iterator[tuple[str, ast.expr]]:
    match node:
        case ast.Assign(targets=[ast.Name(id=name)], value=value):
            yield name, value
        case ast.Assign(targets=[ast.Tuple(elts=names)], value=value):
            yield from ((each.id, value) for each in names if isinstance(each, ast.Name))
        case ast.AnnAssign(target=ast.Name(id=name), value=ast.expr() as value):
            yield name, value
        case ast.NamedExpr(target=ast.Name(id=name), value=value):
            yield name, value
        case ast.For(target=ast.Name(id=name), iter=value):
            yield name, value
        case ast.Call(func=ast.Attribute(value=ast.Name(id=name), attr="append" | "extend"), args=[value]):
            yield name, value


def read_module(path: Path, name: str) -> Module:
    module = Module(name, path, ast.parse(path.read_text(encoding="utf-8")))
    scopes: list[Scope] = []
    nodes: list[ast.AST] = [module.tree]
    for node in nodes:  # it grows meanwhile; looking at each node once is what takes the time
        within = [*ast.iter_child_nodes(node)]
        nodes.extend(within)
        module.around.update(dict.fromkeys(within, node))
        if isinstance(node, ast.Call):
            module.calls.append(node)
        elif isinstance(node, Scope):
            scopes.append(node)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            module.imports.update({each.asname or each.name: f"{node.module}.{each.name}" for each in node.names})
        elif isinstance(node, ast.Import):
            module.imports.update({each.asname: each.name for each in node.names if each.asname})
    for scope in scopes:
        outside = [name for name, _ in module.enclosing(scope)[:1]]
        module.defined[".".join([*outside, scope.name])] = scope
    for statement in module.tree.body:
        targets = statement.targets if isinstance(statement, ast.Assign) else [getattr(statement, "target", None)]
        for target in targets:
            if isinstance(target, ast.Name):
                module.defined[target.id] = statement
    return module


class House:
    """All modules of some packages."""

    def __init__(self, *packages: str) -> None:
        self.modules: dict[str, Module] = {}
        for path in (path for package in packages for path in sorted((ROOT / package).rglob("*.py"))):
            parts = path.relative_to(ROOT).with_suffix("").parts
            name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
            self.modules[name] = read_module(path, name)
        self._methods: dict[str, list[str]] = {}
        for module in self.modules.values():
            for name, node in module.defined.items():
                owner, _, own = name.rpartition(".")
                if isinstance(module.defined.get(owner), ast.ClassDef) and not isinstance(node, ast.ClassDef):
                    self._methods.setdefault(own, []).append(f"{module.name}.{name}")

    def find(self, full: str) -> tuple[Module, str, ast.stmt] | None:
        """Where something with this full name is defined, imports followed."""
        for _ in range(5):
            parts = full.split(".")
            for cut in range(len(parts) - 1, 0, -1):
                module, rest = self.modules.get(".".join(parts[:cut])), ".".join(parts[cut:])
                if module is None:
                    continue
                if rest in module.defined:
                    return module, rest, module.defined[rest]
                head, dot, tail = rest.partition(".")
                if head not in module.imports:
                    return None
                full = module.imports[head] + dot + tail
                break
            else:
                return None
        return None

    def named(self, module: Module, node: ast.expr) -> tuple[Module, str, ast.stmt] | None:
        """What a name, or a name of an imported module, means at the top of a module."""
        if isinstance(node, ast.Name):
            return self.find(f"{module.name}.{node.id}")
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            full = f"{module.name}.{node.value.id}.{node.attr}"
            return self.find(full) if node.value.id in module.imports or node.value.id in module.defined else None
        return None

    def methods(self, name: str) -> Iterator[tuple[Module, str, ast.stmt]]:
        for full in self._methods.get(name, ()):
            found = self.find(full)
            if found is not None:
                yield found

    def own_method(self, module: Module, call: ast.Call) -> tuple[Module, str, ast.stmt] | None:
        """The method of the same class that a call on `self` means."""
        if not isinstance(call.func, ast.Attribute) or ast.unparse(call.func.value) != "self":
            return None
        owner = [name for name, each in module.enclosing(call) if isinstance(each, ast.ClassDef)][-1]
        return self.find(f"{module.name}.{owner}.{call.func.attr}")

    def doors(self, module: Module, call: ast.Call) -> Iterator[Door]:
        """Give what a call may reach: by its name, or, for a method, all methods so called."""
        function = call.func
        if isinstance(function, ast.Attribute) and ast.unparse(function.value) == "super()":
            owner = next((each for _, each in module.enclosing(call) if isinstance(each, ast.ClassDef)), None)
            for base in owner.bases if owner else ():
                found = self.named(module, base)
                if found is not None:
                    yield from self._made(*found)
            return
        found = self.named(module, function)
        if found is None:
            found = self.own_method(module, call)
        if found is not None:
            yield from self._made(*found)
        elif isinstance(function, ast.Attribute):
            for each in self.methods(function.attr):
                yield from (replace(door, sure=False) for door in self._made(*each))

    def _made(self, module: Module, name: str, node: ast.stmt) -> Iterator[Door]:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield Door(f"{module.name}.{name}", parameters(node, method=self._is_method(module, name)))
        elif isinstance(node, ast.ClassDef):
            making = module.defined.get(f"{name}.__init__")
            if isinstance(making, ast.FunctionDef):
                yield Door(f"{module.name}.{name}", parameters(making, method=True))
                return
            fields = [
                each for each in node.body if isinstance(each, ast.AnnAssign) and isinstance(each.target, ast.Name)
            ]
            if fields:
                yield Door(f"{module.name}.{name}", tuple(ast.unparse(each.target) for each in fields))
                return
            for base in node.bases:
                found = self.named(module, base)
                if found is not None:
                    yield from self._made(*found)

    @staticmethod
    def _is_method(module: Module, name: str) -> bool:
        return isinstance(module.defined.get(name.rpartition(".")[0]), ast.ClassDef)


def parameters(node: Function, *, method: bool) -> tuple[str, ...]:
    arguments = node.args
    names = [each.arg for each in (*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs)]
    static = any(ast.unparse(each) == "staticmethod" for each in getattr(node, "decorator_list", ()))
    return tuple(names[1:] if method and not static and names else names)


def default_of(node: Function, parameter: str) -> list[ast.expr]:
    arguments = node.args
    plain = [*arguments.posonlyargs, *arguments.args]
    pairs = [*zip(reversed(plain), reversed(arguments.defaults), strict=False)]
    pairs += [(each, value) for each, value in zip(arguments.kwonlyargs, arguments.kw_defaults, strict=True) if value]
    return [value for each, value in pairs if each.arg == parameter]
