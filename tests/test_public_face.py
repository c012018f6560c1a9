"""The public names of the library."""

import subprocess
import sys

import pytest

import nesting


@pytest.mark.parametrize("name", nesting.__all__)
def test_every_public_name_can_be_loaded(name):
    assert getattr(nesting, name) is not None


def test_the_public_names_are_those_that_are_declared_for_type_checkers():
    import ast
    from pathlib import Path

    tree = ast.parse(Path(nesting.__file__).read_text(encoding="utf-8"))
    declared = {
        alias.name
        for branch in tree.body
        if isinstance(branch, ast.If)
        for statement in branch.body
        if isinstance(statement, ast.ImportFrom)
        for alias in statement.names
    }
    assert declared | {"__version__"} == set(nesting.__all__)
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
