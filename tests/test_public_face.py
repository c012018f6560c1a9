"""The public names of the library."""

import ast
import dataclasses
import enum
import importlib
import inspect
import re
import subprocess
import sys
import typing
from pathlib import Path

import pytest

import nesting

PUBLIC = {name: getattr(nesting, name) for name in nesting.__all__}
CLASSES = {name: each for name, each in PUBLIC.items() if inspect.isclass(each)}
FUNCTIONS = {name: each for name, each in PUBLIC.items() if inspect.isfunction(each)}

#: What a number may be if it is no length: a word in its name says it.
SAID = re.compile(
    r"_(mm|mm2|percent|litres|seconds)$|^(mm|litres|kilograms|seconds|steps?|seed|quantity|copies"
    r"|per_item|times|pieces|sides|turn|copy|part|line|number|index|fraction|density|notches"
    r"|least|greatest)$"
)


@pytest.mark.parametrize("name", nesting.__all__)
def test_every_public_name_can_be_loaded(name):
    assert PUBLIC[name] is not None


def test_the_public_names_are_those_that_are_declared_for_type_checkers():
    tree = ast.parse(Path(nesting.__file__).read_text(encoding="utf-8"))
    declared = {
        alias.name: statement.module
        for branch in tree.body
        if isinstance(branch, ast.If)
        for statement in branch.body
        if isinstance(statement, ast.ImportFrom)
        for alias in statement.names
    }
    assert set(declared) | {"__version__"} == set(nesting.__all__)
    assert declared == nesting._HOMES
    assert set(nesting.__all__) <= set(dir(nesting))


def test_importing_the_package_loads_nothing_else_of_it_and_no_library():
    code = "import sys, nesting; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert {name for name in loaded if name.startswith("nesting")} == {"nesting"}
    assert loaded.isdisjoint({"numpy", "shapely", "ortools", "numba", "pydantic", "ezdxf"})


def test_an_unknown_name_is_an_attribute_error():
    with pytest.raises(AttributeError, match="no attribute 'sew'"):
        _ = nesting.sew


def hints(thing):
    """Its type hints, with the public names at hand and those of its own module."""
    return typing.get_type_hints(thing, vars(importlib.import_module(thing.__module__)), PUBLIC)


def members(cls):
    """The functions behind the methods and properties that a class shows."""
    for name, member in vars(cls).items():
        if not name.startswith("_"):
            behind = getattr(member, "fget", None) or getattr(member, "func", member)
            yield from [behind] if inspect.isfunction(behind) else []


def mentioned(hint):
    """Every class within a type hint."""
    if isinstance(hint, list | tuple):
        return {each for part in hint for each in mentioned(part)}
    found = {hint} if inspect.isclass(hint) else set()
    return found | mentioned(typing.get_args(hint))


def signatures():
    for name, each in FUNCTIONS.items():
        yield pytest.param(each, id=name)
    for name, each in CLASSES.items():
        if not issubclass(each, enum.Enum):
            yield pytest.param(each, id=name)
        for member in members(each):
            yield pytest.param(member, id=f"{name}.{member.__name__}")


@pytest.mark.parametrize("thing", [*signatures()])
def test_every_type_that_a_public_signature_mentions_is_public(thing):
    ours = {
        each
        for each in mentioned(tuple(hints(thing).values()))
        if each.__module__.split(".")[0] == "nesting"
    }
    assert {each.__name__ for each in ours - set(CLASSES.values())} == set()


def test_a_hidden_type_would_be_found():
    from nesting.layouts.problem import Problem

    hint = typing.Callable[[dict[str, tuple[Problem, ...]]], int | None]
    assert Problem in mentioned(hint)


@pytest.mark.parametrize("name", [*CLASSES, *FUNCTIONS])
def test_every_public_name_says_what_it_is(name):
    own = PUBLIC[name].__doc__ or ""
    assert len(own.split()) > 3
    assert not own.startswith(f"{name}(")


@pytest.mark.parametrize("name", sorted(set(FUNCTIONS) - {"products"}))
def test_every_public_function_says_what_it_raises(name):
    """`products` is left out: nothing can go wrong in it."""
    section = inspect.getdoc(FUNCTIONS[name]).partition("Raises\n------\n")[2]
    raised = re.findall(r"^(\w+(?:, \w+)*)$", section, re.MULTILINE)
    assert raised
    for each in ", ".join(raised).split(", "):
        assert each == "ValueError" or issubclass(PUBLIC[each], nesting.ClothwrightError)


def numbers(cls):
    """Fields and constructor arguments that are, or hold, numbers which may be lengths."""
    return {
        name
        for name, hint in hints(cls).items()
        if {int, float} & mentioned(hint) and not SAID.search(name)
    }


@pytest.mark.parametrize("name", [n for n, c in CLASSES.items() if dataclasses.is_dataclass(c)])
def test_every_public_record_says_the_unit_of_its_lengths(name):
    if numbers(CLASSES[name]):
        assert re.search(r"grid\s+units|millimetres", inspect.getdoc(CLASSES[name]))


@pytest.mark.parametrize("name", sorted(FUNCTIONS))
def test_every_public_function_with_numbers_says_their_unit(name):
    function = FUNCTIONS[name]
    plain = {"seed", "workers", "per_item", "quantities", "turns"}
    lengths = [
        each
        for each, hint in hints(function).items()
        if each not in {*plain, "return"} and {int, float} & mentioned(hint)
    ]
    if lengths:
        assert "millimetres" in inspect.getdoc(function)
