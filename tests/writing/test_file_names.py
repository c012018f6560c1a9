import pytest

from nesting.cloth.naming import file_name
from nesting.writing.file_names import file_names


@pytest.mark.parametrize(
    ("cloth", "name"),
    [
        ("teal twill", "teal-twill"),
        ("Linen 140/160 (heavy)", "linen-140-160--heavy-"),
        ("Möbelstoff №5", "moebelstoff-no5"),
        ("../../etc/passwd", "------etc-passwd"),
        ("ткань", "tkan-"),
        ("u\N{COMBINING DIAERESIS}", "ue"),
        ("Weiß é", "weiss-e"),
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


# Windows keeps these names for devices, whatever ending follows: CON, PRN, AUX, NUL, and COM and
# LPT with a digit (Microsoft Learn, "Naming Files, Paths, and Namespaces"; M).
@pytest.mark.parametrize("cloth", ["CON", "nul", "Aux", "PRN", "COM1", "com0", "LPT9"])
def test_a_name_that_windows_keeps_for_a_device_is_not_given_to_a_file(cloth):
    assert file_name(cloth) == f"cloth-{cloth.lower()}"


@pytest.mark.parametrize("cloth", ["cone", "com", "com10", "lpt", "nul-2", "console"])
def test_a_name_that_only_resembles_one_of_a_device_stays(cloth):
    assert file_name(cloth) == cloth
