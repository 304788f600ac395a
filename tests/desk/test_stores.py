"""Changing figures: the rest of the settings file stays as it is, and nobody's change is overwritten."""

import re
from html import unescape


def seen(ask) -> str:
    return re.search(r'name="seen" value="(\w+)"', ask.client.get("/stores").text).group(1)


def save(ask, **told):
    form = {"table": "material", "name": "dressing_sand", "seen": seen(ask), **told}
    return ask.client.post("/stores/save", params={"token": ask.keys.token}, data=form)


def test_one_line_changes_and_its_comment_stays(ask):
    file = ask.desk.folder / "course.toml"
    before = file.read_text(encoding="utf-8").splitlines()
    answer = save(ask, **{"key:load": "25 t"})
    assert answer.status_code == 303
    after = file.read_text(encoding="utf-8").splitlines()
    changed = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    assert len(changed) == 1
    ((old, new),) = changed
    assert old.replace('"20 t"', '"25 t"').split() == new.split()
    assert "what one lorry brings" in new
    assert ask.desk.course.settings.material["dressing_sand"].load == 25_000


def test_a_spread_of_three_ends_is_written_as_one(ask):
    answer = save(ask, **{"key:moisture": '{ low = "1 %", likely = "4 %", high = "8 %" }'})
    assert answer.status_code == 303
    assert ask.desk.course.settings.material["dressing_sand"].moisture.low == 0.01


def test_what_cannot_be_read_is_told_and_nothing_is_written(ask):
    file = ask.desk.folder / "course.toml"
    before = file.read_bytes()
    answer = save(ask, **{"key:price": "42 EUR/h"})
    assert answer.status_code == 422
    assert "material.dressing_sand.price" in unescape(answer.text)
    assert file.read_bytes() == before


def test_a_file_that_changed_meanwhile_is_not_overwritten(ask):
    file, mark = ask.desk.folder / "course.toml", seen(ask)
    file.write_text(file.read_text(encoding="utf-8") + "\n# a note of somebody else\n", encoding="utf-8")
    before = file.read_bytes()
    answer = save(ask, seen=mark, **{"key:load": "25 t"})
    assert answer.status_code == 422
    assert "somebody else" in answer.text
    assert file.read_bytes() == before


def test_only_known_tables_and_entries(ask):
    assert save(ask, table="layer").status_code == 422
    assert save(ask, name="no_such_sand").status_code == 422


def test_text_that_looks_like_a_number_stays_text(ask):
    assert save(ask, **{"key:cost_code": "4011"}).status_code == 303
    assert 'cost_code = "4011"' in (ask.desk.folder / "course.toml").read_text(encoding="utf-8")


def test_a_copy_of_a_material_with_its_comments(ask):
    assert save(ask, do="copy", new="coarse sand").status_code == 303
    text = (ask.desk.folder / "course.toml").read_text(encoding="utf-8")
    assert '[material."coarse sand"]' in text
    assert text.count("what one lorry brings") == 2
    settings = ask.desk.course.settings
    assert settings.material["coarse sand"] == settings.material["dressing_sand"]


def test_a_copy_of_a_job_and_taking_it_out_again_leaves_the_file_as_it_was(ask):
    file = ask.desk.folder / "course.toml"
    before = file.read_text(encoding="utf-8")
    assert save(ask, table="job", name="dress greens", do="copy", new="dress once more").status_code == 303
    assert [job.name for job in ask.desk.course.settings.job].count("dress once more") == 1
    assert save(ask, table="job", name="dress once more", do="remove").status_code == 303
    assert file.read_text(encoding="utf-8") == before


def test_a_material_that_jobs_use_cannot_be_taken_out(ask):
    before = (ask.desk.folder / "course.toml").read_bytes()
    answer = save(ask, do="remove")
    assert answer.status_code == 422
    assert "dressing_sand" in answer.text
    assert (ask.desk.folder / "course.toml").read_bytes() == before


def test_a_copy_needs_a_name_that_is_not_there(ask):
    assert save(ask, do="copy", new="").status_code == 422
    assert save(ask, do="copy", new="bent_seed").status_code == 422


def test_one_more_figure(ask):
    assert save(ask, name="bunker_sand", more="stock", value="7 t").status_code == 303
    assert ask.desk.course.settings.material["bunker_sand"].stock == 7000


def test_a_page_follows_every_file_of_the_course(ask):
    before = ask.client.get("/water/water.json").json()
    weather = ask.desk.folder / "weather.csv"
    lines = weather.read_text(encoding="utf-8").splitlines(keepends=True)
    weather.write_text("".join(lines[:-3]), encoding="utf-8")
    assert ask.client.get("/water/water.json").json()["day"] < before["day"]


def test_water_is_changed_where_it_stands(ask):
    """A figure of each table within [water]: one line changes, and its comment stays."""
    file = ask.desk.folder / "course.toml"
    for table, name, key, text, old in (
        ("water", "", "wind_at", "2 m", '"10 m"'),
        ("water.surface", "green", "root_depth", "100 mm", '"120 mm"'),
        ("water.supply", "", "floor", "90 m3", '"80 m3"'),
        ("water.limit", "licence_day", "most", "300 m3", '"330 m3"'),
        ("controller", "west", "stations", "5", "6"),
    ):
        before = file.read_text(encoding="utf-8").splitlines()
        assert save(ask, table=table, name=name, **{f"key:{key}": text}).status_code == 303
        after = file.read_text(encoding="utf-8").splitlines()
        ((was, now),) = [(one, two) for one, two in zip(before, after, strict=True) if one != two]
        assert (now.partition("#")[0].split(), now.partition("#")[2]) == (
            was.replace(old, f'"{text}"' if '"' in old else text).partition("#")[0].split(),
            was.partition("#")[2],
        )
    water = ask.desk.course.settings.water
    assert (water.wind_at, water.supply.floor, water.surface["green"].root_depth) == (2.0, 90.0, 0.1)
    assert (water.limit["licence_day"].most, ask.desk.course.settings.controller["west"].stations) == (300.0, 5)
    page = ask.client.get("/stores").text
    assert "word of a regulator" in page


def test_a_limit_of_the_licence_is_copied_added_to_and_taken_out(ask):
    file = ask.desk.folder / "course.toml"
    before = file.read_text(encoding="utf-8")
    assert save(ask, table="water.limit", name="licence_day", do="copy", new="drought order").status_code == 303
    assert '\n\n[water.limit."drought order"]\nmost = "330 m3"\nper = "day"\n' in file.read_text(encoding="utf-8")
    copied = {"table": "water.limit", "name": "drought order"}
    assert save(ask, **copied, more="at", value="pump").status_code == 303
    limit = ask.desk.course.settings.water.limit["drought order"]
    assert (limit.most, limit.per, limit.at) == (330, "day", "pump")
    assert save(ask, **copied, do="remove").status_code == 303
    assert file.read_text(encoding="utf-8") == before
    answer = save(ask, table="water.surface", name="green", do="remove")  # priority still names it
    assert answer.status_code == 422
    assert "priority names green" in unescape(answer.text)
    assert file.read_text(encoding="utf-8") == before


def test_what_cannot_be_water_is_told(ask):
    before = (ask.desk.folder / "course.toml").read_bytes()
    answer = save(ask, table="water.limit", name="licence_day", **{"key:per": "week"})
    assert answer.status_code == 422
    assert "water.limit.licence_day.per" in unescape(answer.text)
    assert save(ask, table="water.supply", name="", **{"key:floor": "900 m3"}).status_code == 422
    assert save(ask, table="water.nothing", name="").status_code == 422
    assert (ask.desk.folder / "course.toml").read_bytes() == before
