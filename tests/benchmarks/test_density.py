"""The density benchmark from the command line to its JSON file."""

import json

import pytest
import shapely
from shapely import affinity

from benchmarks.density import main

SQUARES = {
    "name": "squares",
    "strip_width": 4,
    "pieces": [
        {
            "name": "square",
            "quantity": 4,
            "rotations_deg": [0, 180],
            "outline": [[-1, -1], [1, -1], [1, 1], [-1, 1]],
        }
    ],
    "published_layouts": [{"method": "by hand", "reference": "a note", "stated_length": 5.0}],
}
PAIR = {"instances": {"pair": {"strip_width": 3, "optimum_length": 4, "rectangles": [[3, 2]] * 2}}}


@pytest.fixture
def measured(tmp_path, capsys):
    """Standard output and the written record of a very short measurement."""
    folder = tmp_path / "sets"
    folder.mkdir()
    (folder / "squares.json").write_text(json.dumps(SQUARES), encoding="utf-8")
    (folder / "pair.json").write_text(json.dumps(PAIR), encoding="utf-8")
    path = tmp_path / "out.json"
    options = ("--seconds", "0.1", "--workers", "1", "--seeds", "2", "--json", str(path))
    main([str(folder), *options])
    return capsys.readouterr().out, json.loads(path.read_text(encoding="utf-8"))


def test_the_record_has_every_run_and_the_bound(measured):
    _, record = measured
    pair, squares = record["instances"]
    assert (pair["name"], squares["name"]) == ("pair", "squares")
    for instance in (pair, squares):
        assert set(instance) == {"name", "lower_bound", "runs", "placements"}
        assert [run["seed"] for run in instance["runs"]] == [0, 1]
        assert all(set(r) == {"seed", "seconds", "length", "density"} for r in instance["runs"])
        # Four squares of 4, or two rectangles of 6 x 3: 4 long without waste.
        assert [(run["length"], run["density"]) for run in instance["runs"]] == [(4.0, 100.0)] * 2
        assert instance["lower_bound"] == pytest.approx(4.0)


def test_placements_are_in_the_instances_own_coordinates(measured):
    _, record = measured
    pair, squares = record["instances"]
    laid = [
        affinity.translate(
            affinity.rotate(shapely.box(-1, -1, 1, 1), p["turn_deg"], origin=(0, 0)), p["x"], p["y"]
        )
        for p in squares["placements"]
    ]
    assert shapely.union_all(laid).equals(shapely.box(0, 0, 4, 4))
    assert {p["piece"] for p in pair["placements"]} == {"0", "1"}
    assert all(p["turn_deg"] in (0, 90) and p["x"] >= 0 for p in pair["placements"])


def test_the_table_has_published_values_with_their_source(measured):
    out, _ = measured
    heads, pair, squares = (line.split() for line in out.splitlines()[1:4])
    assert heads[-3:] == ["by", "hand", "optimum"] or heads[-3:] == ["optimum", "by", "hand"]
    # 16 of 4 x 5 is 80 per cent.
    assert "80.00" in squares
    assert "80.00" not in pair
    assert "by hand: a note" in out
