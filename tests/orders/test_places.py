"""Lines of keys, found in TOML text whose parser does not keep them."""

import tomllib

from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.orders.places import find_lines, line_of

TRICKY = """\
# [[cloth]]
version = 1 # width = 2
note = '''
[[cloth]]
width = 3'''
[[cloth]]
name = "#[\\" ["
trade."per metre".price = [1,
  2, # ]
  {width = 3}]
"quoted key" = 1979-05-27T07:32:00.5Z

  [[ cloth ]]
  name = \"\"\"a
  ""two"" \\\\\"\"\"\"\"
width=1
[cloth.sub]
k = 1
[[cloth.deep]]
z = -1.5e+3
[[item]]
u = ''
"""


def walked(document, path):
    for step in path:
        document = document[step]
    return document


def test_lines_are_found_past_remarks_long_texts_lists_and_headers():
    assert find_lines(TRICKY) == {
        ("version",): 2,
        ("note",): 3,
        ("cloth",): 6,
        ("cloth", 0): 6,
        ("cloth", 0, "name"): 7,
        ("cloth", 0, "trade"): 8,
        ("cloth", 0, "trade", "per metre"): 8,
        ("cloth", 0, "trade", "per metre", "price"): 8,
        ("cloth", 0, "quoted key"): 11,
        ("cloth", 1): 13,
        ("cloth", 1, "name"): 14,
        ("cloth", 1, "width"): 16,
        ("cloth", 1, "sub"): 17,
        ("cloth", 1, "sub", "k"): 18,
        ("cloth", 1, "deep"): 19,
        ("cloth", 1, "deep", 0): 19,
        ("cloth", 1, "deep", 0, "z"): 20,
        ("item",): 21,
        ("item", 0): 21,
        ("item", 0, "u"): 22,
    }


def test_every_path_leads_somewhere_in_the_document():
    document = tomllib.loads(TRICKY)
    for path in find_lines(TRICKY):
        walked(document, path)


def test_what_stands_within_a_value_has_the_line_of_its_statement():
    lines = find_lines('units = "cm"\ncloth = [\n  {name = "twill",\n   widht = 3}]\n')
    assert line_of(lines, ("cloth", 0, "widht")) == 2


def test_what_is_missing_has_the_line_of_its_table_or_none_at_the_top():
    lines = find_lines('units = "cm"\n\n[[cloth]]\nname = "twill"\n')
    assert line_of(lines, ("cloth", 0, "width")) == 3
    assert line_of(lines, ("version",)) is None


def test_line_ends_of_other_systems_make_no_difference():
    assert find_lines(TRICKY.replace("\n", "\r\n")) == find_lines(TRICKY)


def test_a_path_of_endless_names_is_cut():
    deep = ".".join(["a"] * 1000)
    assert set(find_lines(f"{deep} = 1\n[b.{deep}]\n")) == {("a",) * n for n in range(1, 5)} | {
        ("b",) + ("a",) * n for n in range(4)
    }


VALUES = st.sampled_from(
    [
        "1",
        "-2.5",
        "true",
        '"text"',
        '"# no remark"',
        '"a \\" b"',
        "'[[cloth]]'",
        "[1, [2, 3]]",
        "[\n1, # ]\n\n2]",
        "{a = 1, b = {c = '}'}}",
        '"""\n[[cloth]]\nk = 1\n"""',
        "'''\n# x\n\n'''",
        '"" # remark = "',
        "1979-05-27 07:32:00",
    ]
)
NAMES = st.text("abc", min_size=1, max_size=3) | st.sampled_from(['"a.b"', "'['", '"\\u00e9 ="'])
TABLES = st.tuples(
    st.sampled_from(["[[cloth]]", "[[item]]", "[[ 'item' ]] # [x]"]),
    st.lists(st.tuples(NAMES, VALUES), unique_by=lambda pair: pair[0].strip("\"'"), max_size=5),
    st.integers(0, 2),
)


@settings(deadline=None)
@given(st.lists(TABLES, max_size=5))
def test_the_line_of_every_key_is_the_line_on_which_it_was_written(tables):
    text, expected, counts = "", {}, {"cloth": 0, "item": 0}
    for header, pairs, blanks in tables:
        text += "\n" * blanks
        key = "cloth" if "cloth" in header else "item"
        path = (key, counts[key])
        counts[key] += 1
        here = text.count("\n") + 1
        expected.setdefault((key,), here)
        expected[path] = here
        text += header + "\n"
        for name, value in pairs:
            (read,) = tomllib.loads(f"{name} = 1")
            expected[(*path, read)] = text.count("\n") + 1
            text += f"{name} = {value}\n"
    assert find_lines(text) == expected
    assert all(walked(tomllib.loads(text), path) is not None for path in expected)
