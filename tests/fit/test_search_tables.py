"""What fits for dining tables: features, leaves, the handbook's table, ways to goals."""

from dataclasses import replace

import pytest
from tests.fit.brute import NEEDS, small_space
from tests.fit.demo_rooms import demo_space
from tests.fit.dining_rooms import box, room

from roomwright.fit.goals import goal_paths
from roomwright.fit.ground import Ground
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_wanted import parse
from roomwright.fit.search_whole import find
from roomwright.fit.seats import HANDBOOK


@pytest.mark.parametrize("features", ["legs pedestal", "leaf 18", "legs corners"])
def test_a_table_with_features_is_found_where_one_without_is(features):
    """Room 101 of the demo: 84 x 48 seats 8 there, and its features take nothing from it."""
    found = find(demo_space("101"), NEEDS, "101", parse(f"dining table; features: {features}"))
    assert (found.best.size.text, found.best.seats) == ("84 x 48", 8)
    assert found.best.margin == pytest.approx(1)
    assert not found.stopped


def test_a_table_with_a_leaf_says_how_it_stands_with_the_leaf_in():
    """84 and 18 are 102 in.; 162 in. less that leave 60 for two ends that want 32 and 44."""
    asked = "dining table; width: 84; depth: 42; features: leaf 18"
    found = find(demo_space("101"), NEEDS, "101", parse(asked))
    assert "With its leaf in (8'-6\" x 3'-6\") the dining table seats" in found.leaf_in
    assert "short 1'-4\": 5'-0\" left east and west together, 6'-4\" wanted" in found.leaf_in
    plain = find(demo_space("101"), NEEDS, "101", parse("dining table; width: 84; depth: 42"))
    assert plain.leaf_in == ""


def test_a_bench_stands_at_the_side_where_it_helps():
    """A bench asks 24 in. where a chair asks 32; 92 in. less 36 leave 56: only one way round."""
    needs = replace(NEEDS, figures={**NEEDS.figures, "dining.bench": 24.0})
    space = room(box(160, 92))
    assert find(space, needs, "R", parse("dining table; width: 84; depth: 36")).best is None
    found = find(
        space, needs, "R", parse("dining table; width: 84; depth: 36; features: bench front")
    )
    assert found.best is not None
    assert found.best.margin == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("place", ["anywhere", "at 90 80"])
def test_the_handbook_is_not_dodged_by_a_narrow_top(place):
    space = room(box(180, 160))
    asked = f"dining table; width: 84; depth: 30..42; seats: handbook; place: {place}"
    found = find(space, NEEDS, "R", parse(asked))
    assert found.seats_rule == HANDBOOK
    assert found.best.seats == 6  # 35 in. deep it would seat 6 a side by the other rule
    assert found.best.size.depth >= 36


def test_only_narrow_tops_by_the_handbook_are_said_to_be_outside_its_table():
    asked = "dining table; width: 84; depth: 30; seats: handbook"
    found = find(room(box(180, 160)), NEEDS, "R", parse(asked))
    assert "the handbook's table has no such top" in found.seats_rule


@pytest.mark.parametrize("seed", range(4))
def test_a_table_leaves_the_ways_to_what_people_go_to(seed):
    """Of each table that fits: no way to a chest or a sideboard becomes short, or shorter."""
    space = small_space(seed, 0.8)
    before = {p.goal: p for p in goal_paths(Ground(space), NEEDS)}
    found = find(space, NEEDS, "R", parse("dining table; width: 36..72; depth: 30..42"))
    judge = Judge(space, NEEDS, space.rooms[0].outline)
    for option in (o for o in (found.best, *found.front) if o is not None and o.fits):
        assert judge.of(option.piece).margin == pytest.approx(option.margin, abs=1e-6)
        for path in goal_paths(Ground(space).with_piece(option.piece), NEEDS):
            was = before[path.goal]
            assert path.enough or path.needs is None or path.width >= was.width - 1 / 16
