"""Damaged records: refused with all faults and their places, never a traceback."""

import copy

import pytest
import worked_lays
from hypothesis import given, settings
from hypothesis import strategies as st

from nesting.errors import OrderError
from nesting.layouts.storage import as_record
from nesting.verification.checker import check_record

SOUND = as_record(worked_lays.order_lay())

#: Keys whose values the rest of a record may not contradict: names, and rules that
#: may be looser than the lay needs.
UNCONTRADICTED = {
    "order",
    "name",
    "seed",
    "currency",
    "any_grain",
    "cross_grain",
    "gap_mm",
    "buy_step_mm",
}

JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=5,
)


def faults_of(record):
    with pytest.raises(OrderError) as caught:
        check_record(record)
    return [(fault.place, fault.rule) for fault in caught.value.faults]


def places(value, path=()):
    """Path of every value inside a record."""
    entries = value.items() if isinstance(value, dict) else enumerate(value)
    for key, entry in entries:
        yield (*path, key)
        if isinstance(entry, dict | list):
            yield from places(entry, (*path, key))


def at(record, path):
    for key in path:
        record = record[key]
    return record


@pytest.fixture
def record():
    return copy.deepcopy(SOUND)


@pytest.mark.parametrize("foreign", [None, 7, "text", [], {}, {"type": "FeatureCollection"}])
def test_a_foreign_record_is_refused_with_one_fault(foreign):
    (fault,) = faults_of(foreign)
    assert fault[0] == "the file"


def test_a_record_of_another_version_is_refused_with_advice(record):
    record["schema"] = "clothwright/layout/3"
    with pytest.raises(OrderError, match=r"use the version that wrote it"):
        check_record(record)


def test_all_faults_are_reported_together_each_with_its_place(record):
    cloth = record["cloths"][0]
    del cloth["nap"]
    cloth["width_mm"] = "140 cm"
    cloth["placements"][2]["x_mm"] = float("nan")
    cloth["placements"][3]["outline_mm"][5] = [1.0]
    cloth["panels"][1]["quantity"] = True
    assert faults_of(record) == [
        ("cloths[0].width_mm", "must be a number"),
        ("cloths[0].nap", "is missing"),
        ("cloths[0].panels[1].quantity", "must be a whole number from 1 to 1000000"),
        ("cloths[0].placements[2].x_mm", "must be a finite number within ±1e+12"),
        ("cloths[0].placements[3].outline_mm", "point 5 must be two numbers [x, y]"),
    ]


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf"), 10**400, 1e300])
def test_a_number_that_is_not_finite_is_refused(record, value):
    record["cloths"][0]["placements"][0]["outline_mm"][2][1] = value
    assert faults_of(record) == [
        (
            "cloths[0].placements[0].outline_mm",
            "point 2 must be a finite number within ±1e+12",
        )
    ]


def test_an_unknown_key_is_refused_and_the_nearest_key_suggested(record):
    record["cloths"][0]["repeat_length_mm"] = 640.0
    record["cloths"][0]["placements"][0]["Turn_deg"] = 180
    with pytest.raises(OrderError) as caught:
        check_record(record)
    first, second = caught.value.faults
    assert first.place == "cloths[0].'repeat_length_mm'"
    assert second.remedy == "did you mean turn_deg?"


@pytest.mark.parametrize(
    ("key", "value", "rule"),
    [
        ("width_mm", 0, "must be more than 0"),
        ("width_mm", -1400, "must be more than 0"),
        ("gap_mm", -0.01, "must be 0 or more"),
        ("nap", "both-ways", "must be one-way, up-and-down, either-way"),
        ("nap", [], "must be one-way, up-and-down, either-way"),
        ("name", "", "must be text"),
        ("name", "\ud800", "must be text of whole characters"),
        ("cross_grain", 1, "must be true or false"),
        ("placements", None, "must be a list [ ]"),
        ("selvedge_mm", 700, "must leave usable cloth between them"),
        ("panels", [], "must have at least one panel"),
    ],
)
def test_a_value_that_breaks_its_rule_is_refused(record, key, value, rule):
    record["cloths"][0][key] = value
    assert faults_of(record) == [(f"cloths[0].{key}", rule)]


def test_a_record_without_cloths_or_with_repeated_cloths_or_panels_is_refused(record):
    assert faults_of({**record, "cloths": []}) == [("cloths", "must have at least one cloth")]
    cloth = record["cloths"][0]
    cloth["panels"].append(cloth["panels"][0])
    record["cloths"].append(cloth)
    assert [rule for _, rule in faults_of(record)] == [
        "must not give two cloths the same name",
        "must not list a panel twice",
        "must not list a panel twice",
    ]


def test_cross_grain_on_one_way_cloth_is_refused(record):
    record["cloths"][0] |= {"nap": "one-way", "cross_grain": True}
    assert faults_of(record) == [("cloths[0].cross_grain", "must be false on one-way cloth")]


def test_null_may_stand_for_no_price(record):
    (cloth,) = record["cloths"]
    cloth |= {"price_per_metre": None, "cost": None, "currency": None}
    cloth["pieces"][0]["cost"] = None
    assert check_record(record) == ()


CHOSEN = {"item": "cushion", "measurement": "strips", "pieces": 3}


@pytest.mark.parametrize("choices", [[], [CHOSEN], [CHOSEN, {**CHOSEN, "measurement": "other"}]])
def test_chosen_numbers_may_be_recorded(record, choices):
    assert check_record({**record, "choices": choices}) == ()


@pytest.mark.parametrize(
    ("choices", "place", "rule"),
    [
        (None, "choices", "must be a list [ ]"),
        ({}, "choices", "must be a list [ ]"),
        ([3], "choices[0]", "must be an object { }"),
        (
            [{**CHOSEN, "pieces": 0}],
            "choices[0].pieces",
            "must be a whole number from 1 to 1000000",
        ),
        (
            [{**CHOSEN, "pieces": "3"}],
            "choices[0].pieces",
            "must be a whole number from 1 to 1000000",
        ),
        ([{**CHOSEN, "item": ""}], "choices[0].item", "must be text"),
        ([{**CHOSEN, "measurement": 1}], "choices[0].measurement", "must be text"),
        ([{**CHOSEN, "why": "so"}], "choices[0].'why'", "is not a key of this version"),
        ([{"item": "a", "pieces": 1}], "choices[0].measurement", "is missing"),
        ([CHOSEN, {**CHOSEN, "pieces": 4}], "choices", "must not choose one number twice"),
    ],
)
def test_a_bad_choice_is_refused(record, choices, place, rule):
    assert faults_of({**record, "choices": choices}) == [(place, rule)]


def test_a_fault_shortens_a_long_value(record):
    record["cloths"][0]["width_mm"] = "x" * 10_000
    with pytest.raises(OrderError) as caught:
        check_record(record)
    assert len(str(caught.value)) < 200


@given(st.sampled_from([*places(SOUND)]), JUNK)
@settings(deadline=None, max_examples=300)
def test_junk_anywhere_gives_faults_or_findings(path, junk):
    record = copy.deepcopy(SOUND)
    at(record, path[:-1])[path[-1]] = junk
    if path[-1] not in UNCONTRADICTED and differs(junk, at(SOUND, path)):
        assert faults_or_findings(record)


def differs(junk, value):
    """Whether junk is more than a rounding away from a value."""
    if isinstance(value, int | float) and isinstance(junk, int | float):
        return not abs(junk - value) < 0.1
    return junk != value


def faults_or_findings(record):
    try:
        return check_record(record)
    except OrderError as error:
        return error.faults


@given(st.sampled_from([path for path in places(SOUND) if isinstance(path[-1], str)]))
@settings(deadline=None, max_examples=100)
def test_a_missing_key_is_a_fault_unless_it_is_optional(path):
    record = copy.deepcopy(SOUND)
    del at(record, path[:-1])[path[-1]]
    optional = {"price_per_metre", "cost", "currency", "any_grain"}
    if path[-1] in optional:
        assert all(one.number in {401, 509, 510} for one in check_record(record))
    elif path[-3:] == ("pieces", 0, "selvedge_mm"):
        assert 511 in {one.number for one in check_record(record)}
    else:
        assert len(faults_of(record)) == 1
