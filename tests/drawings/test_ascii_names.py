"""Names in plain letters."""

from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.drawings.ascii_names import ascii_names, ascii_notes, ascii_text


def test_plain_names_stay_and_others_are_spelled_in_plain_letters():
    assert ascii_names(["gore", "Größe", "Подушка"]) == {
        "gore": "gore",
        "Größe": "Groesse",
        "Подушка": "Podushka",
    }


def test_names_that_would_become_equal_get_numbers_and_plain_ones_stay():
    assert ascii_names(["é", "è", "e"]) == {"é": "e 2", "è": "e 3", "e": "e"}


def test_notes_are_given_only_for_changed_names():
    assert ascii_notes(ascii_names(["gore", "Größe"])) == (
        '"Größe" is spelled "Groesse" where only plain letters are possible',
    )


def test_a_letter_without_a_plain_spelling_becomes_a_question_mark():
    assert ascii_text("a\U000f0000b") == "a?b"


@settings(max_examples=60, deadline=None)
@given(st.lists(st.text(max_size=12), unique=True, max_size=6))
def test_different_names_stay_different_and_printable(names):
    spelled = ascii_names(names)
    assert list(spelled) == names
    assert len(set(spelled.values())) == len(names)
    assert all(name.isascii() and (name.isprintable() or not name) for name in spelled.values())
