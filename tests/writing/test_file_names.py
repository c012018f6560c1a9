import pytest

from nesting.cloth.naming import file_name
from nesting.writing.file_names import file_names


@pytest.mark.parametrize(
    ("cloth", "name"),
    [
        ("teal twill", "teal-twill"),
        ("Linen 140/160 (heavy)", "linen-140-160--heavy-"),
        ("Möbelstoff №5", "möbelstoff--5"),
        ("../../etc/passwd", "------etc-passwd"),
        ("ткань", "ткань"),
        ("u\N{COMBINING DIAERESIS}", "ü"),
    ],
)
def test_everything_but_letters_and_digits_becomes_a_hyphen(cloth, name):
    assert file_name(cloth) == name


def test_cloths_with_the_same_file_name_are_told_apart():
    assert file_names(["Wool", "wool", "wool-2", "wool"]) == (
        "wool",
        "wool-2",
        "wool-2-2",
        "wool-3",
    )
