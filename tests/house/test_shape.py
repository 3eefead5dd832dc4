"""The shape of the house, kept by machine; a broken rule is named with its place."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).resolve().parent.parent.parent
FILE_LINES = 400
FUNCTION_LINES = 40
ROOMS = ("fieldbook", "sync", "tests")
STATEMENTS = ast.stmt | ast.excepthandler | ast.match_case  # and what lies between them
COMPUTING = ("climate", "quantities")
TOP_LEVEL = {
    *("README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"),
    *("fieldbook", "sync", "schemas", "seed_entries", "tests"),
}
BUILD_LITTER = ("build", "dist", "*.egg-info", "__pycache__")
VAGUE_NAMES = {"utils", "util", "helpers", "helper", "manager", "common", "misc"}
UNITS = (
    *(
        "mm",
        "mm_day",
        "mm_d",
        "mm_month",
        "m",
        "m2",
        "cm",
        "km",
        "c",
        "k",
        "kpa",
        "kpa_c",
        "kpa_k",
        "pct",
        "deg",
        "rad",
    ),
    *("mj", "mj_m2", "mj_m2_day", "mj_m2_month", "mj_kg", "w_m2", "m_s", "h", "h_day", "d", "days", "s", "kg", "kg_m2"),
    *(
        "kg_m3",
        "g",
        "g_kg",
        "mg_l",
        "ml",
        "l",
        "litres",
        "l_m2",
        "l_m2_day",
        "l_day",
        "l_d",
        "ratio",
        "share",
        "fraction",
    ),
    *("index", "day_of_year", "ds_m", "ppm", "n"),
)


def python_files(*folders: str) -> Iterator[Path]:
    for folder in folders:
        yield from sorted((ROOT / folder).rglob("*.py"))


def functions(path: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    statements: list[ast.AST] = [ast.parse(path.read_text(encoding="utf-8"))]
    for node in statements:  # it grows meanwhile; in an expression there is no function of this kind
        statements.extend(child for child in ast.iter_child_nodes(node) if isinstance(child, STATEMENTS))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def public_rules() -> Iterator[tuple[str, ast.FunctionDef]]:
    """Give each public function of a computing package that takes a number with a fraction."""
    for path in python_files(*(f"fieldbook/{name}" for name in COMPUTING)):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if (
                isinstance(node, ast.FunctionDef)
                and not node.name.startswith("_")
                and any(map(takes_float, all_arguments(node)))
            ):
                yield f"{place(path)}: {node.name}", node


def code_lines(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Count the lines of a function without its docstring: long words about a function are no fault of it."""
    lines = (node.end_lineno or 0) - node.lineno + 1
    first = node.body[0]
    if isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant) and isinstance(first.value.value, str):
        lines -= (first.end_lineno or 0) - first.lineno + 1
    return lines


def all_arguments(node: ast.FunctionDef) -> list[ast.arg]:
    return [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]


def takes_float(argument: ast.arg) -> bool:
    return argument.annotation is not None and "float" in ast.unparse(argument.annotation)


def place(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def test_no_file_is_longer_than_a_person_reads_in_one_sitting() -> None:
    lines = {place(path): len(path.read_text(encoding="utf-8").splitlines()) for path in python_files(*ROOMS)}
    assert {name: count for name, count in lines.items() if count > FILE_LINES} == {}


def test_no_function_is_longer_than_a_screen() -> None:
    long = [
        f"{place(path)}: {node.name} has {length} lines"
        for path in python_files(*ROOMS)
        for node in functions(path)
        if (length := code_lines(node)) > FUNCTION_LINES
    ]
    assert long == []


def test_each_file_says_by_its_name_what_it_is() -> None:
    assert [
        place(path) for path in python_files(*ROOMS) if path.stem in VAGUE_NAMES or path.parent.name in VAGUE_NAMES
    ] == []


def test_each_module_opens_by_saying_what_it_is() -> None:
    silent = [
        place(p)
        for p in python_files("fieldbook", "sync")
        if not ast.get_docstring(ast.parse(p.read_text(encoding="utf-8")))
    ]
    assert silent == []


def test_numbers_of_a_computed_rule_are_passed_by_name() -> None:
    unnamed = [
        f"{where} ({argument.arg})"
        for where, node in public_rules()
        for argument in (*node.args.posonlyargs, *node.args.args)
        if takes_float(argument)
    ]
    assert unnamed == []


def test_the_name_of_a_number_ends_with_its_unit() -> None:
    unitless = [
        f"{where} ({argument.arg})"
        for where, node in public_rules()
        for argument in all_arguments(node)
        if takes_float(argument)
        and not any(argument.arg == unit or argument.arg.endswith(f"_{unit}") for unit in UNITS)
    ]
    assert unitless == []


def test_a_computed_rule_names_its_source_and_its_range() -> None:
    bare = [
        where
        for where, node in public_rules()
        if not all(word in (ast.get_docstring(node) or "") for word in ("Source:", "Valid:"))
    ]
    assert bare == []


def test_nothing_lies_about_in_the_hall() -> None:
    strays = [
        path.name
        for path in ROOT.iterdir()
        if not path.name.startswith(".")
        and path.name not in TOP_LEVEL
        and not any(path.match(pattern) for pattern in BUILD_LITTER)
    ]
    assert strays == []
