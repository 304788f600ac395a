"""What is due, in which order, and what the work on places takes: each figure worked out by hand."""

from datetime import date

import pytest
import shapely

from turfgis.errors import InputError
from turfgis.estimates.budget import estimate_budget
from turfgis.estimates.course import open_course
from turfgis.estimates.due import day_due
from turfgis.estimates.orders import orders_for
from turfgis.estimates.place_work import place_findings, place_work, takes_words
from turfgis.estimates.places import place_history, watched_places
from turfgis.estimates.takeoff import estimate_year
from turfgis.settings.people import DayFile

POINT, DAY = shapely.Point(10, 10), date(2027, 5, 1)


def course_of(watched_course, *places):
    return open_course(watched_course([({"kind": "tree", **fields}, POINT) for fields in places]))


def listed(course, **asked):
    table = watched_places(course, DAY, **asked)
    return list(zip(table["place"], table["state"], strict=True))


def test_first_what_is_due_by_urgency_then_what_has_no_date(watched_course):
    course = course_of(
        watched_course,
        {"id": "later", "look_again": "2027-05-20", "urgency": 1},
        {"id": "nothing says when"},
        {"id": "old", "look_again": "2027-03-01", "urgency": 3},
        {"id": "today", "look_again": "2027-05-01", "urgency": 3},
        {"id": "first", "look_again": "2027-04-30", "urgency": 1},
        {"id": "done", "seen": "2027-04-01", "task": "cut", "done": "2027-04-02"},
        {"id": "every", "seen": "2027-04-10", "every": "3 weeks", "urgency": 2},
        {"id": "never seen", "every": "3 weeks"},
    )
    assert listed(course) == [
        ("first", "overdue"),
        ("every", "due"),  # three weeks after 10 April
        ("old", "overdue"),
        ("today", "due"),
        ("nothing says when", "no date"),
        ("never seen", "no date"),
        ("later", "later"),
        ("done", "closed"),
    ]
    assert [name for name, _ in listed(course, due=True)] == [name for name, _ in listed(course)[:6]]
    assert ("later", "due") in listed(course, until=date(2027, 5, 20), due=True)
    table = watched_places(course, DAY).set_index("place")
    assert (table["days_overdue"]["old"], table["days_overdue"]["later"], table["days_overdue"]["done"]) == (
        61,
        -19,
        None,
    )


def test_a_month_after_the_last_of_january_is_the_last_of_february(watched_course):
    course = course_of(watched_course, {"id": "a", "seen": "2027-01-31", "every": "1 month"})
    assert watched_places(course, DAY)["due"][0] == date(2027, 2, 28)


def test_kinds_are_picked_and_unknown_ones_refused(watched_course):
    course = course_of(watched_course, {"id": "a"}, {"id": "b", "kind": "weed"})
    assert [name for name, _ in listed(course, kinds=["weed"])] == ["b"]
    with pytest.raises(InputError, match="'weeed' is no kind of place; did you mean 'weed'"):
        watched_places(course, DAY, kinds=["weeed"])
    with pytest.raises(InputError, match="lies before"):
        watched_places(course, DAY, date(2027, 4, 1))


def test_history_of_a_place_that_is_not_there_is_refused(watched_course):
    course = course_of(watched_course, {"id": "tree-1"})
    assert len(place_history(course, "tree-1")) == 1
    with pytest.raises(InputError, match="no place 'tree-2'; did you mean 'tree-1'"):
        place_history(course, "tree-2")


LIME = {"id": "l", "task": "lime it", "material": "lime", "rate": "50 g/m2", "size_m2": 30.0, "hours": 1.5}
SAND = {"id": "s", "task": "dress it", "material": "sand", "rate": "4 mm", "size_m2": 20.0, "look_again": "2027-05-03"}
TURF = {"id": "t", "task": "turf it", "material": "turf", "size_m2": 7.0, "look_again": "2026-11-20", "people": 2}


def test_the_work_reaches_the_takeoff_the_budget_and_the_orders(watched_course):
    """By hand: 30 m2 x 50 g/m2 = 1.5 kg; 20 m2 x 4 mm x 1.5 t/m3 = 120 kg; 7 m2 of turf; 1.5 h at 30 EUR."""
    course = course_of(watched_course, LIME, SAND, {**TURF, "hours": 2.0})
    year = estimate_year(course)
    rows = year.table("date")
    by = {(row["job"], row["resource"]): row for row in rows.to_dict("records")}
    lime, sand, turf = by["lime it (l)", "material"], by["dress it (s)", "material"], by["turf it (t)", "material"]
    assert (lime["quantity"], lime["unit"], lime["patch"]) == (pytest.approx(1.5), "kg", "green-01")
    assert (sand["quantity"], sand["date"], sand["treated_m2"]) == (pytest.approx(120), "2027-05-03", 20.0)
    # due before the year and not done: at no particular time, never in a month that was guessed
    assert (turf["quantity"], turf["unit"]) == (pytest.approx(7), "m2")
    assert rows.loc[rows["job"] == "turf it (t)", "month"].isna().all()
    assert by["lime it (l)", "labour"]["quantity"] == pytest.approx(5400)
    assert rows["cost"].sum() == pytest.approx(1.5 * 10 / 25 + 0.12 * 40 + 7 * 5 + 3.5 * 30)
    assert estimate_budget(year).total == pytest.approx(10 + 0.12 * 40 + 7 * 5 + 3.5 * 30)  # a whole pack of lime
    (order,) = orders_for(course, "places", "lime")
    assert order.delivered_kg == pytest.approx(1.5)
    assert [line.treated_m2 for line in order.lines] == [pytest.approx(30)]


def test_a_drawn_size_carries_its_spread_into_the_quantity(watched_course):
    """u = 0.2 m x 40 m of edge x 50 g/m2 (JCGM 100:2008, 5.1: a product with an exact factor)."""
    spot = shapely.box(5, 5, 15, 15)
    fields = {"kind": "weed", **{key: value for key, value in LIME.items() if key != "size_m2"}}
    course = open_course(watched_course([(fields, spot)]))
    rows = estimate_year(course).table("date")
    lime = rows[rows["resource"] == "material"].iloc[0]
    assert lime["quantity"] == pytest.approx(100 * 0.05, rel=1e-3)
    assert lime["u_quantity"] == pytest.approx(0.2 * 40 * 0.05, rel=1e-3)


def test_two_places_take_what_one_of_their_size_takes(watched_course):
    halves = [{**LIME, "id": name, "size_m2": 15.0, "hours": 0.75} for name in ("a", "b")]
    whole = estimate_budget(estimate_year(course_of(watched_course, LIME))).total
    assert estimate_budget(estimate_year(course_of(watched_course, *halves))).total == pytest.approx(whole)


def test_work_of_a_later_year_and_work_that_is_done_is_left_out(watched_course):
    later, done = {**SAND, "id": "a", "look_again": "2028-01-10"}, {**LIME, "id": "b", "done": "2027-04-01"}
    assert len(estimate_year(course_of(watched_course, later, done)).needs) == 0


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"material": "limee"}, "no material 'limee'; did you mean 'lime'"),
        ({"rate": None}, "fertiliser needs rate as a weight over an area"),
        ({"rate": "4 mm"}, "fertiliser needs rate as a weight over an area"),
        ({"rate": "a handful"}, "'a handful' is no rate"),
        ({"size_m2": None}, "lime goes by the size"),
        ({"material": "turf"}, "leave rate out"),
        ({"material": "sand"}, "sand needs rate as a depth"),
    ],
)
def test_work_that_cannot_be_planned_is_a_finding_and_its_hours_stay(watched_course, change, words):
    course = course_of(watched_course, {**LIME, **change})
    (finding,) = place_findings(course)
    assert (finding.code, finding.level) == ("place_work", "warning")
    assert words in finding.text
    assert [need.resource for need in estimate_year(course).needs] == ["labour"]


DRAIN = shapely.LineString([(5, 5), (25, 5)])


def test_a_line_with_a_width_takes_material_by_its_length(watched_course):
    """By hand: 20 m x 0.3 m x 4 mm x 1.5 t/m3 = 36 kg of sand."""
    fields = {"kind": "drain", **SAND, "size_m2": None, "width_m": 0.3}
    rows = estimate_year(open_course(watched_course([(fields, DRAIN)]))).table("date")
    assert rows.loc[rows["resource"] == "material", "quantity"].to_numpy() == pytest.approx([36], rel=1e-3)


def test_a_line_without_a_width_says_what_is_missing(watched_course):
    fields = {"kind": "drain", **SAND, "size_m2": None}
    (finding,) = place_findings(open_course(watched_course([(fields, DRAIN)])))
    assert "the place is a line of 20.0 m, so write width_m, or size_m2" in finding.text


def test_due_work_stands_on_the_board_with_its_size_and_material(watched_course):
    places = (
        {**LIME, "look_again": "2027-05-01", "urgency": 2},
        {**TURF, "hours": 3.0, "certificate": "chainsaw"},
        SAND,  # not yet due, and no hours
        {"id": "m", "task": "mend it", "look_again": "2027-06-01", "hours": 1.5, "people": 2},  # just within the month
        {"id": "n", "task": "fell it", "look_again": "2027-06-02", "hours": 1.0},  # just not
        {"id": "e", "task": "rod it", "look_again": "2027-05-09", "hours": 1.0},
        {"id": "x", "task": "look into it", "look_again": "2027-04-01"},  # no hours
    )
    course = course_of(watched_course, *places)
    due = day_due(course, DAY)
    tasks = {task.job: task for task in due.day.tasks}
    assert set(tasks) == {"lime it (l)", "turf it (t)"}
    lime, turf = tasks["lime it (l)"], tasks["turf it (t)"]
    assert (lime.takes, lime.priority, lime.where) == ("30 m2, 1.5 kg lime", 2, "1")
    assert lime.usual >= 90
    assert [stop.patch for stop in lime.stops] == ["green-01"]
    assert len([task for task in due.day.tasks if task.job == "turf it (t)"]) == 2  # two people together
    assert (turf.certificates, turf.together is not None) == ({"chainsaw"}, True)
    assert "due at places, but no hours are given: look into it (x)." in due.remarks
    assert [(one.job, one.due) for one in due.offers] == [
        ("rod it (e)", date(2027, 5, 9)),
        ("mend it (m)", date(2027, 6, 1)),
    ]
    assert due.offers[1].minutes == pytest.approx(90, abs=12)  # an hour and a half in all, and the ways of two people
    sooner = day_due(course, DAY, DayFile(also=["rod it (e)"], leave=["mend it (m)"]))
    assert "rod it (e)" in {task.job for task in sooner.day.tasks}
    assert sooner.offers == ()
    sand = day_due(course, DAY, DayFile(also=["dress it (s)"], leave=["lime it (l)"]))
    assert "lime it (l)" not in {task.job for task in sand.day.tasks}
    assert any("dress it (s)" in remark for remark in sand.remarks)  # it has no hours


def test_a_place_beside_the_course_is_work_without_a_patch(watched_course):
    fields = {"kind": "hazard", "id": "h", "task": "fence it", "hours": 2.0, "look_again": "2027-05-01"}
    course = open_course(watched_course([(fields, shapely.Point(60, 10))]))
    (task,) = day_due(course, DAY).day.tasks
    assert (task.stops, task.usual) == ((), 120)
    rows = estimate_year(course).table("date")
    assert rows["quantity"].sum() == pytest.approx(7200)


def test_names_that_jobs_have_already_are_told_apart(watched_course):
    again = '[[odd_job]]\nname = "lime it (l)"\nhours = "1 h"\n'
    course = open_course(watched_course([({"kind": "weed", **LIME}, POINT)], settings=again))
    (one,), _ = place_work(course)
    assert one.job.name == "lime it (l)*"
    assert takes_words(course, one) == "30 m2, 1.5 kg lime"
