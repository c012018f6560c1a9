"""The register of formats."""

import pytest

from nesting.errors import OrderError
from nesting.exporters.formats import LAY_DEFAULTS, LAY_FORMATS, Export, Format, chosen, joined
from nesting.planning.files import LAY_WRITERS


def test_every_format_of_a_lay_has_a_writer_and_none_is_written_unasked_that_has_not():
    assert set(LAY_WRITERS) == set(LAY_FORMATS)
    assert set(LAY_DEFAULTS) <= set(LAY_FORMATS)


def test_a_list_names_each_format_once_in_its_order():
    assert chosen("svg, DXF,svg", LAY_FORMATS) == (Format.SVG, Format.DXF)


@pytest.mark.parametrize("text", ["", "dxf,", "dxf;svg"])
def test_a_list_with_a_hole_or_another_comma_is_refused(text):
    with pytest.raises(OrderError, match="known are"):
        chosen(text, LAY_FORMATS)


def test_joined_exports_hold_all_files_and_each_note_once():
    both = joined((Export({"a": b"1"}, ("n",)), Export({"b": b"2"}, ("n", "m"))))
    assert both == Export({"a": b"1", "b": b"2"}, ("n", "m"))
