"""The house rules that a machine can hold: doors, sizes, docstrings, sources.

Style and types are checked by ruff and mypy in ``.ci/run``.
"""

import ast
import doctest
import importlib
import inspect
import pkgutil
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any, get_type_hints

from together import together

import academy
from academy import engine, paths, units
from academy.catalog import sources
from academy.catalog.evidence import Evidenced

PACKAGE = Path(academy.__file__).parent
ROOT = PACKAGE.parent
MODULES = sorted(path for path in PACKAGE.rglob("*.py") if "versions" not in path.parts)
# create_app and the command's entry point stand in theirs
FULL_INIT = {"academy/web/__init__.py", "academy/web/cli/__init__.py"}
SECTIONS = ("Parameters", "Returns", "Raises", "Notes", "Examples")
MOST_LINES, MOST_BRANCHES = 400, 8
IMPORTABLE = {
    *("numpy", "scipy", "pint", "babel", "pydantic", "markdown_it", "sqlalchemy"),
    *("alembic", "typst", "segno", "xlsxwriter", "cryptography", "pyld", "argon2"),
    *("flask", "flask_wtf", "wtforms", "jinja2", "waitress", "numba"),
    *("werkzeug", "markupsafe", "click"),  # Flask's own parts
}


def _name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


@cache
def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


# --- doors


def test_every_door_opens_one_way_only() -> None:
    program = Path(sys.executable).with_name("lint-imports")
    found = str(program) if program.is_file() else shutil.which("lint-imports")
    assert found, "install the test extra: lint-imports is missing"
    done = subprocess.run(
        [found, "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout


def test_every_third_party_package_has_a_room_of_its_own() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    contracts = settings["tool"]["importlinter"]["contracts"]
    banned = {
        package
        for contract in contracts
        if contract["type"] == "forbidden"
        for package in contract["forbidden_modules"]
    }
    rooms = {
        path.stem if path.is_file() else path.name
        for path in PACKAGE.iterdir()
        if (path.suffix == ".py" or (path / "__init__.py").exists())
        and not path.name.startswith("__")
    }
    for contract in contracts:
        if contract["type"] == "forbidden":
            named = {
                name.removeprefix("academy.") for name in contract["source_modules"]
            }
            assert named < rooms, contract["name"]
    assert banned == IMPORTABLE - {"werkzeug", "markupsafe", "click"}


def _imported(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        if isinstance(node, ast.ImportFrom) and node.level == 0:
            yield (node.module or "").split(".")[0]


@together("path", MODULES, ids=_name)
def test_a_module_imports_nothing_but_the_house_and_its_list(path: Path) -> None:
    known = IMPORTABLE | {"academy"} | sys.stdlib_module_names
    assert set(_imported(_tree(path))) - known == set()


@together("path", sorted(PACKAGE.rglob("__init__.py")), ids=_name)
def test_package_files_are_empty(path: Path) -> None:
    if _name(path) not in FULL_INIT:
        assert path.read_text("utf-8").strip() == ""


# --- sizes


@together("path", MODULES, ids=_name)
def test_a_module_can_be_read_in_one_sitting(path: Path) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= MOST_LINES


def test_no_function_branches_more_than_it_may() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    lint = settings["tool"]["ruff"]["lint"]
    assert "C90" in lint["select"]
    assert lint["mccabe"]["max-complexity"] == MOST_BRANCHES
    program = Path(sys.executable).with_name("ruff")
    done = subprocess.run(
        [program, "check", "--select", "C901", "--no-cache", PACKAGE],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout


@together("path", MODULES, ids=_name)
def test_names_say_what_a_thing_is(path: Path) -> None:
    assert not {"utils", "helpers", "manager", "base", "common"} & set(
        path.with_suffix("").parts[len(PACKAGE.parts) :]
    )


@together("path", MODULES, ids=_name)
def test_every_module_class_and_function_says_what_it_is_for(path: Path) -> None:
    if path.name == "__init__.py" and _name(path) not in FULL_INIT:
        return
    tree = _tree(path)
    silent = [] if ast.get_docstring(tree) else ["the module"]
    silent += [
        node.name
        for node in tree.body
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
        and not node.name.startswith("_")
        and not ast.get_docstring(node)
    ]
    assert silent == []


# --- formulas


def _is_formula(thing: Any) -> bool:
    """Whether a function takes bare numbers with units and returns one."""
    if not inspect.isfunction(thing):
        return False
    signed = dict(units.signature_units(thing))
    returned = signed.pop("return", None)
    return returned is not None and any(signed.values())


def _formulas() -> list[Callable[..., Any]]:
    """Every public formula of the engine."""
    found = []
    for info in pkgutil.iter_modules(engine.__path__):
        module = importlib.import_module(f"academy.engine.{info.name}")
        found += [
            thing
            for name, thing in vars(module).items()
            if not name.startswith("_")
            and getattr(thing, "__module__", "") == module.__name__
            and _is_formula(thing)
        ]
    return found


def _section(text: str, title: str) -> str:
    """Lines under a docstring's title, up to the next one."""
    lines = text.splitlines()
    if title not in lines:
        return ""
    start = lines.index(title) + 2
    rules = (i for i in range(start, len(lines)) if re.fullmatch("-{3,}", lines[i]))
    end = next(rules, len(lines) + 1)
    return "\n".join(lines[start : end - 1]).strip()


FORMULAS = _formulas()


def _formula_name(formula: Callable[..., Any]) -> str:
    return f"{formula.__module__.rpartition('.')[2]}.{formula.__name__}"


def test_there_are_formulas_to_hold() -> None:
    assert len(FORMULAS) > 60


@together("formula", FORMULAS, ids=_formula_name)
def test_a_formula_is_explained_in_the_fixed_order(formula: Callable[..., Any]) -> None:
    lines = (inspect.getdoc(formula) or "").splitlines()
    at = [lines.index(title) for title in SECTIONS if title in lines]
    titles = [title for title in SECTIONS if title in lines]
    assert at == sorted(at)
    assert set(titles) >= {"Parameters", "Returns", "Notes", "Examples"}
    assert lines[0].endswith(".")


@together("formula", FORMULAS, ids=_formula_name)
def test_signature_and_docstring_name_the_same_units(
    formula: Callable[..., Any],
) -> None:
    text = inspect.getdoc(formula) or ""
    said = dict(
        re.findall(r"^(\w+) : \[([^\]]+)\]", _section(text, "Parameters"), re.MULTILINE)
    )
    signed = dict(units.signature_units(formula))
    returned = signed.pop("return")
    assert said == {name: unit for name, unit in signed.items() if unit is not None}
    wanted = returned if isinstance(returned, tuple) else (returned,)
    given = re.findall(r"\[([^\]]+)\]", _section(text, "Returns"))
    assert tuple(given[: len(wanted)]) == wanted


@together("formula", FORMULAS, ids=_formula_name)
def test_every_unit_of_a_signature_is_one_of_ours(formula: Callable[..., Any]) -> None:
    for unit in units.signature_units(formula).values():
        for one in unit if isinstance(unit, tuple) else (unit,):
            assert one is None or units.si_of(one) == one


@together("formula", FORMULAS, ids=_formula_name)
def test_a_formula_cites_sources_that_are_in_the_list(
    formula: Callable[..., Any],
) -> None:
    notes = _section(inspect.getdoc(formula) or "", "Notes")
    cited = set(re.findall(r"\[([a-z][a-z0-9-]+)\]", notes))
    assert cited, "no source key in the notes"
    assert cited - set(sources.load()) == set()


@together("formula", FORMULAS, ids=_formula_name)
def test_a_formula_has_an_example_that_shows_a_number(
    formula: Callable[..., Any],
) -> None:
    text = inspect.getdoc(formula) or ""
    examples = doctest.DocTestParser().get_examples(_section(text, "Examples"))
    assert any(re.search(r"\d", example.want) for example in examples)


@together("formula", FORMULAS, ids=_formula_name)
def test_no_formula_has_a_default_for_a_measured_thing(
    formula: Callable[..., Any],
) -> None:
    with_default = {
        name
        for name, parameter in inspect.signature(formula).parameters.items()
        if parameter.default is not inspect.Parameter.empty
    }
    measured = {n for n, unit in units.signature_units(formula).items() if unit}
    assert with_default & measured == set()


@together("path", sorted((PACKAGE / "engine").glob("*.py")), ids=lambda path: path.name)
def test_no_number_that_only_turns_units_stands_in_the_engine(path: Path) -> None:
    turning = {8.25, 825.0, 336.0, 1056.0, 43560.0, 5280.0, 0.3048, 0.0254, 25.4}
    turning |= {1.609344, 0.44704, 4046.8564224, 0.45359237, 60.0, 3600.0, 86400.0}
    tree = _tree(path)
    numbers = {
        float(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, int | float)
        and not isinstance(node.value, bool)
    }
    assert numbers & turning == set()


# --- content


def _entries(value: Any, where: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Tables that state a figure's evidence, at any depth."""
    if isinstance(value, dict):
        if "evidence" in value and "value" in value:
            yield where, value
        for key, inside in value.items():
            yield from _entries(inside, f"{where}.{key}")
    if isinstance(value, list):
        for place, inside in enumerate(value):
            yield from _entries(inside, f"{where}[{place}]")


def _figures() -> list[tuple[str, dict[str, Any]]]:
    found = []
    for path in sorted(paths.content().rglob("*.toml")):
        name = path.relative_to(paths.content()).as_posix()
        found += list(_entries(tomllib.loads(path.read_text("utf-8")), name))
    return found


FIGURES = _figures()
CLASSES = set(get_type_hints(Evidenced)["evidence"].__args__)


def test_there_are_figures_to_hold() -> None:
    assert len(FIGURES) > 100


@together("where, entry", FIGURES, ids=[w for w, _ in FIGURES])
def test_value_unit_evidence_and_source_travel_together(
    where: str, entry: dict[str, Any]
) -> None:
    assert entry.get("unit") in units.LABELS, where
    assert entry["evidence"] in CLASSES
    assert entry.get("source") in sources.load()
    if entry["evidence"] == "judgement":
        assert "low" in entry or entry.get("fixed"), "a judgement needs a range"
    assert entry.get("low", entry["value"]) <= entry["value"]
    assert entry.get("high", entry["value"]) >= entry["value"]


def test_a_source_that_was_not_read_is_never_called_published() -> None:
    unread = {key for key, source in sources.load().items() if source.seen == "no"}
    assert [
        where
        for where, entry in FIGURES
        if entry["evidence"] == "published" and entry.get("source") in unread
    ] == []
