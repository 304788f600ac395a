"""What the order to a supplier says, and that names on it are never markup. Wording is common practice, no source."""

import pytest

from turfgis.estimates.budget import estimate_budget
from turfgis.estimates.course import open_course
from turfgis.estimates.suppliers import supplier_orders
from turfgis.estimates.takeoff import estimate_year
from turfgis.reports.facts import Facts
from turfgis.reports.supplier_sheet import PAPERS, supplier_page, supplier_pdf
from turfgis.reports.suppliers import lifting, supplier_text
from turfgis.settings.models import MATERIALS

AREAS = """{"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {}, "geometry": {"type":
"Polygon", "coordinates": [[[-30, 40], [-29.9995, 40], [-29.9995, 40.0005], [-30, 40.0005], [-30, 40]]]}}]}"""
SETTINGS = """
name = "*Bold* #Links"
year = 2027
[[layer]]
file = "areas.geojson"
surface = "green"
[material.feed]
kind = "fertiliser"
analysis = { N = "12 %", P2O5 = "4 %" }
pack = "25 kg"
price = "960 EUR/t"
supplier = "#merchant"
specification = ["$fine$ granules_"]
[material.wet]
kind = "liquid"
pack = "20 l"
density = "1.2 kg/l"
price = "9 EUR/l"
supplier = "#merchant"
[material.soap]
kind = "liquid"
pack = "20 l"
supplier = "#merchant"
[supplier."#merchant"]
lead = "1 week"
account = "_17_"
[budget]
taxes = { "value added tax" = "20 %", "on people" = { share = "3 %", on = ["labour"] } }
"""
JOB = """
[[job]]
name = "NAME"
group = "spring"
work = "WORK"
on = ["green"]
rate = "RATE"
material = "NAME"
months = [4]
"""
JOBS = (("feed", "fertilise", "20 g/m2"), ("wet", "spray", "10 l/ha"), ("soap", "spray", "10 l/ha"))


@pytest.fixture
def order(tmp_path):
    (tmp_path / "areas.geojson").write_text(AREAS, encoding="utf-8")
    jobs = "".join(JOB.replace("NAME", name).replace("WORK", work).replace("RATE", rate) for name, work, rate in JOBS)
    (tmp_path / "course.toml").write_text(SETTINGS + jobs, encoding="utf-8")
    course = open_course(tmp_path)
    (made,) = supplier_orders(estimate_budget(estimate_year(course)))
    return made, course.settings


def test_every_kind_of_material_has_its_papers():
    assert set(PAPERS) == {model.model_fields["kind"].annotation.__args__[0] for model in MATERIALS}


@pytest.mark.parametrize("units", ["metric", "us"])
def test_it_is_printed_whatever_names_are_like(order, units):
    made, settings = order
    assert supplier_pdf(made, settings, Facts("*Bold* #Links"), units).startswith(b"%PDF")


def test_equal_input_gives_equal_bytes(order):
    made, settings = order
    one, two = (supplier_pdf(made, settings, Facts("Links"), date="1 March 2027") for _ in range(2))
    assert one == two


def test_what_it_says(order):
    made, settings = order
    page = supplier_page(made, settings, Facts("Links"), "metric")
    # a green of some 2,370 m2 at 20 g/m2 takes about 47 kg: two packs of 25 kg at 960 EUR/t are 24 EUR each
    feed, wet, soap = page["lines"]
    assert (feed["comes"], feed["amount"], feed["price"], feed["goods"]) == (
        "2 packs of 25 kg",
        "50 kg",
        "24.00 per pack",
        "48.00",
    )
    # about 2.4 l: one can of 20 l at 9 EUR/l
    assert (wet["comes"], wet["price"], wet["goods"]) == ("1 pack of 20 l", "180.00 per pack", "180.00")
    assert (soap["price"], soap["goods"]) == ("", "")
    assert (page["total"], page["total_note"]) == ("228.00", "goods that have a price, before taxes")
    assert page["tax_note"] == "Tax that the club reckons with: value added tax 20 %."
    assert (page["supplier"], page["account"], page["order_by"]) == ("#merchant", "_17_", "25 March 2027")
    assert [row["wanted"] for row in page["drops"]] == ["1 April 2027"] * 3
    assert page["goods"][0] == {
        "material": "Feed",
        "specification": ["$fine$ granules_"],
        "reckoned": "N 12 %, P₂O₅ 4 %",
        "basis": False,
    }
    assert page["weight_note"] == ""  # nobody speaks of tonnes here
    assert any("label" in text for text in page["cautions"])
    assert "Soap: no price is given." in page["remarks"]


def test_how_much_there_is_to_lift(order):
    made, settings = order
    # two of 25 kg, one can of 20 l at 1.2 kg/l, and one whose density is not known
    assert lifting(made, settings, "metric").startswith(
        "To unload: 3 packs, 74 kg net in all, of at most 25 kg each, and 1 pack of 20 l (Soap) of a weight not known"
    )


def test_the_screen_says_the_same(order):
    text = supplier_text(*order)
    for words in ("2 packs of 25 kg", "24.00 EUR per pack", "2027-03-25", "2027-04-01", "$fine$ granules_", "228.00"):
        assert words in text
