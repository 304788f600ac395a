"""What a machine may say of itself, in SI once it is read; conversions by the definitions of the units."""

import pytest

PLAIN = 'name = "Invented Links"\n[[layer]]\nfile = "areas.gpkg"\n'
MOWER = '[machine.mower]\nwidth = "1 m"\nspeed = "3.6 km/h"\non = ["green"]\n'
FULL = """\
turn = "12 s"
clean_up = 2
direction = 45
box = "60 l"
emptying = "1 min"
waiting = "15 %"
transport = "18 km/h"
set_up = "20 min"
count = 3
power = "15 kW"
fuel = "3.6 l/h"
"""


def test_a_machine_that_turns(read):
    machine = read(PLAIN + MOWER + FULL).machine["mower"]
    assert (machine.turn, machine.efficiency, machine.clean_up, machine.direction) == (12.0, None, 2, 45.0)
    assert (machine.box, machine.emptying, machine.waiting) == (pytest.approx(0.06), 60.0, pytest.approx(0.15))
    assert (machine.transport, machine.set_up, machine.count) == (pytest.approx(5.0), 1200.0, 3)
    assert (machine.power, machine.fuel) == (15_000.0, pytest.approx(1e-6))


def test_what_is_left_out_costs_nothing(read):
    machine = read(PLAIN + MOWER + 'efficiency = "70 %"\n').machine["mower"]
    assert (machine.turn, machine.turn_radius, machine.clean_up, machine.direction) == (None, None, 1, "best")
    assert (machine.box, machine.waiting, machine.set_up, machine.count, machine.fuel) == (None, 0.0, 0.0, 1, None)


@pytest.mark.parametrize(
    ("written", "read_as"),
    [("0", 0.0), ("360", 360.0), ("22.5", 22.5), ('"45°"', 45.0), ('"90 degrees"', 90.0), ('"turned"', "turned")],
)
def test_directions(read, written, read_as):
    machine = read(PLAIN + MOWER + f'turn = "0 s"\ndirection = {written}\n').machine["mower"]
    assert machine.direction == read_as


def test_clippings_of_a_cut(read):
    # a litre on a square metre lies a millimetre deep
    settings = read(PLAIN + '[surface.green]\nclippings = "0.05 l/m2"\n[surface.tee]\nclippings = "0.05 mm"\n')
    assert settings.surface["green"].clippings == pytest.approx(5e-5)
    assert settings.surface["tee"].clippings == pytest.approx(5e-5)


@pytest.mark.parametrize("work", ["roll", "brush"])
def test_rolling_and_brushing_are_jobs_of_a_machine(read, work):
    job = f'[[job]]\nname = "x"\nwork = "{work}"\non = ["green"]\nmachine = "mower"\n'
    (read_job,) = read(PLAIN + MOWER + 'turn = "9 s"\nmows = false\n' + job).job
    assert (read_job.work, read_job.machine) == (work, "mower")
