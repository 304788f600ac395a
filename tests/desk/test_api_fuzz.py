"""
Whatever is sent to the desk, it answers in words and goes on: no traceback, no server error.

As Schemathesis does for a described interface, requests are made up from the addresses of the desk itself: every route
with any query, and every change with any JSON.
"""

import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.routing import Mount, Route

from turfgis.desk.app import PARTS

ROUTES = [route for part in PARTS for route in part.ROUTES if isinstance(route, Route) and not isinstance(route, Mount)]
READ = sorted({route.path for route in ROUTES if "GET" in (route.methods or {"GET"})})
CHANGE = sorted({route.path for route in ROUTES if "POST" in (route.methods or ())})
# Worked out by solvers or drawn for seconds; or files, which tests of their own ask for.
SLOW = {"/day", "/water/night", "/water/heads", "/whatif", "/map.html", "/findings", "/findings.csv"}

text = st.text(max_size=12)
anything = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**40), 2**40) | st.floats() | text,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(text, inner, max_size=3),
    max_leaves=8,
)
fields = st.sampled_from(
    ["by", "group", "material", "risk", "depth_0", "set", "key", "to", "case", "leave", "job", "date", "days", "kind",
     "place", "file", "layer", "feature", "before", "after", "number", "shape", "does", "version", "areas", "surface"]
)  # fmt: skip
checks = settings(max_examples=5, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@pytest.fixture(scope="module")
def desk(shared_ask):
    assert shared_ask.client.get("/").status_code == 200
    return shared_ask


def plain(answer) -> None:
    assert answer.status_code < 500, answer.text[:2000]
    assert "Traceback" not in answer.text


@pytest.mark.parametrize("path", [path for path in READ if path not in SLOW and "{" not in path])
@checks
@given(query=st.dictionaries(fields, text | st.sampled_from(["1", "-1", "nan", "2027-05-14"]), max_size=4))
def test_reading_never_breaks(desk, path, query):
    plain(desk.client.get(path, params=query))


@pytest.mark.parametrize("path", [path for path in CHANGE if path.startswith("/api/")])
@checks
@given(told=st.dictionaries(fields, anything, max_size=5) | anything)
def test_changes_of_any_shape_are_refused_in_words(desk, path, told):
    before = desk.desk.course.measured.patches["net_m2"].sum()
    try:
        sent = json.dumps(told)
    except ValueError:
        return
    headers = {"x-desk-token": desk.keys.token, "content-type": "application/json"}
    plain(desk.client.post(path, content=sent.encode("utf-8", "surrogatepass"), headers=headers))
    assert desk.desk.course.measured.patches["net_m2"].sum() == before
