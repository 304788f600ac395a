"""For new staff: the map, and practice at finding places and knowing heights and machines."""

import json
import random
from dataclasses import asdict

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from turfgis.desk.frame import desk_of, look_of, page, units_of
from turfgis.desk.pages.areas import drawn_course
from turfgis.desk.practice import practice_questions


def show_learn(request: Request) -> Response:
    """Ten questions beside a picture of the course, and the offline map below."""
    desk, units, language = desk_of(request), units_of(request), look_of(request).language
    asked = request.query_params.get("again", "")
    seed = int(asked) if asked.isdecimal() and len(asked) < 10 else random.randrange(10**6)
    course = desk.course
    picture = desk.kept(("picture", language), lambda one: drawn_course(one, language))
    return page(
        request,
        "learn.html",
        picture=Markup(picture),  # made by ourselves, every word in it escaped
        questions=json.dumps([asdict(one) for one in practice_questions(course, units, seed, language)]),
        again=seed + 1,
    )


ROUTES = (Route("/learn", show_learn),)
