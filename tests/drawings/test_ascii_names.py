"""Names in plain letters."""

from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.drawings.ascii_names import ascii_names, ascii_text, respelled


def test_plain_names_stay_and_others_are_spelled_with_plain_letters():
    assert ascii_names(["gore", "Größe", "Подушка"]) == {
        "gore": "gore",
        "Größe": "Grosse",
        "Подушка": "Podushka",
    }


def test_names_that_would_be_the_same_get_numbers_and_plain_ones_keep_theirs():
    assert ascii_names(["é", "è", "e"]) == {"é": "e 2", "è": "e 3", "e": "e"}


def test_only_changed_names_are_told():
    assert respelled(ascii_names(["gore", "Größe"])) == (
        '"Größe" is spelled "Grosse" where only plain letters can stand',
    )


def test_a_letter_without_a_plain_spelling_is_a_question_mark():
    assert ascii_text("a\U000f0000b") == "a?b"


@settings(max_examples=60, deadline=None)
@given(st.lists(st.text(max_size=12), unique=True, max_size=6))
def test_different_names_stay_different_and_printable(names):
    spelled = ascii_names(names)
    assert list(spelled) == names
    assert len(set(spelled.values())) == len(names)
    assert all(name.isascii() and (name.isprintable() or not name) for name in spelled.values())
