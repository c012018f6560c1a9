"""The plain panel."""


def test_its_length_lies_along_the_grain(make):
    (panel,) = make("panel", length=300.0, width=200.0).panels
    assert (panel.name, panel.per_item) == ("panel", 1)
    assert panel.cut.bounds == (0, 0, 30_000, 20_000)


def test_the_allowance_grows_every_edge(make):
    (panel,) = make("panel", 12.0, length=300.0, width=200.0).panels
    assert panel.cut.bounds == (0, 0, 32_400, 22_400)
    assert panel.stitch.bounds == (1_200, 1_200, 31_200, 21_200)
    assert panel.allowance == 1_200


def test_nothing_is_sewn_to_it(make):
    made = make("panel", 12.0, length=300.0, width=200.0)
    assert made.seams == ()
    assert made.panels[0].notches == ()


def test_an_allowance_of_more_than_half_of_it_is_refused(faults):
    fault = faults("panel", 11.0, length=300.0, width=20.0)["seam_allowance"]
    assert "half of the narrowest" in fault.rule
    assert fault.value == "11 mm"
    assert "10.0 mm" in fault.remedy
