"""How a browser wants things shown: units, language, light or dark."""

from urllib.parse import urlsplit

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from turfgis.desk.frame import THEMES, UNITS
from turfgis.desk.words import languages

YEAR_S = 365 * 24 * 3600


async def change_look(request: Request) -> Response:
    """Keep what was chosen, and go back to where it was chosen."""
    form = await request.form()
    back = urlsplit(str(form.get("back", "/"))).path
    answer = RedirectResponse("/" + back.lstrip("/\\"), status_code=303)
    for name, accepted in (("units", UNITS), ("language", languages()), ("theme", THEMES)):
        value = str(form.get(name, ""))
        if value in accepted:
            answer.set_cookie(f"look_{name}", value, max_age=YEAR_S, samesite="strict", path="/")
    return answer


ROUTES = (Route("/look", change_look, methods=["POST"]),)
