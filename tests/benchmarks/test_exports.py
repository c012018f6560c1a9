"""The benchmark of exports writes a sound lay."""

from benchmarks import exports
from nesting.layouts.storage import as_record
from nesting.verification.checker import check_record


def test_the_written_lay_has_the_requested_number_of_panels_and_breaks_no_rule():
    plan = exports.large_plan(60)
    (lay,) = plan.lay.cloths
    # half from poufs of 12 panels, half from cushions of 6: 3 x 12 and 5 x 6
    assert len(lay.placed) == 66
    assert check_record(as_record(plan.lay)) == ()


def test_every_format_and_all_together_are_measured(capsys):
    exports.main(["--panels", "20"])
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "24 panels"  # at least 10 from each: 1 x 12 and 2 x 6
    assert [line.split()[0] for line in lines[2:]] == [
        "dxf", "dxf-r12", "svg", "plt", "pdf", "xlsx", "html", "csv", "make-up", "all",
    ]  # fmt: skip
