"""The register of formats."""

from nesting.exporters.formats import LAY_DEFAULTS, LAY_FORMATS, Export, joined
from nesting.planning.files import LAY_WRITERS


def test_every_format_of_a_lay_has_a_writer_and_none_is_written_unasked_that_has_not():
    assert set(LAY_WRITERS) == set(LAY_FORMATS)
    assert set(LAY_DEFAULTS) <= set(LAY_FORMATS)


def test_joined_exports_hold_all_files_and_each_note_once():
    both = joined((Export({"a": b"1"}, ("n",)), Export({"b": b"2"}, ("n", "m"))))
    assert both == Export({"a": b"1", "b": b"2"}, ("n", "m"))
