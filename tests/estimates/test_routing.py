"""Rounds and trips, against every order and every sharing out tried one by one."""

from itertools import pairwise, permutations, product

import numpy as np
import pytest

from turfgis.errors import InputError
from turfgis.estimates import routing
from turfgis.estimates.routing import best_round, best_trips


def places(size, seed):
    spots = np.random.default_rng(seed).random((size, 2)) * 1000
    return np.hypot(*(spots[:, None] - spots[None]).T)


def length(lengths, order):
    return sum(lengths[a, b] for a, b in pairwise([0, *order, 0]))


def shortest(lengths, visited):
    return min((length(lengths, order) for order in permutations(visited)), default=0.0)


def trip(seconds, work, order):
    return length(seconds, order) + sum(work[at - 1] for at in order)


def shared_out(size, parts):
    for choice in product(range(parts), repeat=size):
        yield [[at + 1 for at in range(size) if choice[at] == part] for part in range(parts)]


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("size", [2, 3, 4, 6, 8])
def test_a_round_is_the_shortest_of_all_orders(size, seed):
    lengths = places(size, seed)
    order = best_round(lengths)
    assert sorted(order) == list(range(1, size))
    assert length(lengths, order) == pytest.approx(shortest(lengths, range(1, size)))


def test_places_on_a_circle_are_visited_round_it():
    turn = np.linspace(0, 2 * np.pi, 41)[:-1]
    shuffled = np.random.default_rng(3).permutation(turn)
    spots = np.column_stack([np.cos(shuffled), np.sin(shuffled)]) * 100
    lengths = np.hypot(*(spots[:, None] - spots[None]).T)
    assert length(lengths, best_round(lengths)) == pytest.approx(40 * 200 * np.sin(np.pi / 40))


def test_more_places_than_are_searched_still_lie_round_their_circle():
    size = routing.EXACT + 40
    turn = np.random.default_rng(3).permutation(np.linspace(0, 2 * np.pi, size + 1)[:-1])
    spots = np.column_stack([np.cos(turn), np.sin(turn)]) * 100
    lengths = np.hypot(*(spots[:, None] - spots[None]).T)
    assert length(lengths, best_round(lengths)) == pytest.approx(size * 200 * np.sin(np.pi / size))


def test_nothing_to_visit():
    assert best_round(np.zeros((1, 1))) == []
    assert best_trips(np.zeros((1, 1)), []) == []


def test_the_same_places_give_the_same_order():
    lengths = places(30, 1)
    assert best_round(lengths) == best_round(lengths.copy())


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("machines", [2, 3])
def test_several_machines_are_back_as_soon_as_any_sharing_out_allows(seed, machines):
    seconds, work = places(7, seed), np.random.default_rng(seed + 50).random(6) * 2000
    trips = best_trips(seconds, work, machines=machines)
    assert sorted(at for one in trips for at in one) == [1, 2, 3, 4, 5, 6]
    assert len(trips) <= machines
    best = min(
        max(shortest(seconds, part) + sum(work[at - 1] for at in part) for part in parts)
        for parts in shared_out(6, machines)
    )
    assert max(trip(seconds, work, one) for one in trips) == pytest.approx(best, abs=1.0)  # counted in tenths


@pytest.mark.parametrize("seed", range(4))
def test_trips_within_a_tank_drive_as_little_as_any_sharing_out(seed):
    seconds, work = places(7, seed), np.random.default_rng(seed + 50).random(6) * 2000
    lasts, between = 6000.0, 600.0
    trips = best_trips(seconds, work, lasts=lasts, between=between)
    assert all(trip(seconds, work, one) <= lasts + 1 for one in trips)

    def cost(parts):
        return sum(shortest(seconds, part) + between for part in parts if part)

    def fits(parts):
        return all(shortest(seconds, part) + sum(work[at - 1] for at in part) <= lasts for part in parts)

    best = min(cost(parts) for parts in shared_out(6, 3) if fits(parts))
    assert sum(length(seconds, one) + between for one in trips) == pytest.approx(best, abs=1.0)


def test_a_place_that_takes_longer_than_a_trip_is_refused():
    with pytest.raises(InputError, match="one place takes"):
        best_trips(np.array([[0.0, 10.0], [10.0, 0.0]]), [100.0], lasts=110.0)
