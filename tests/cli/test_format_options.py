"""`--formats` of `clothwright lay` and `panels`."""

import pytest

from cli.options import read_formats
from nesting.errors import OrderError
from nesting.exporters.formats import LAY_FORMATS, Format


def test_a_list_names_each_format_once_in_its_order():
    assert read_formats("svg, DXF,svg", LAY_FORMATS) == (Format.SVG, Format.DXF)


@pytest.mark.parametrize("text", ["", "dxf,", "dxf;svg"])
def test_a_list_with_a_hole_or_another_comma_is_refused(text):
    with pytest.raises(OrderError, match="known are"):
        read_formats(text, LAY_FORMATS)
