"""
Who may ask the desk for anything: stands in front of every page.

A page elsewhere on the web can make a browser send requests to the machine it runs on, under a name of its own (DNS
rebinding) or from a form of its own (cross-site request forgery). So the desk answers only under the addresses it was
opened at, only to a browser that holds its key, and changes something only for a page of its own: the origin must be
the desk itself and the request must carry a token (OWASP, Cross-Site Request Forgery Prevention Cheat Sheet).
"""

import hashlib
import hmac
import secrets
import time
from collections.abc import Iterable
from dataclasses import dataclass, field
from ipaddress import ip_address
from urllib.parse import parse_qs, urlsplit

from starlette.datastructures import Headers
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

LOOPBACK = ("127.0.0.1", "localhost", "[::1]")
READING = {"GET", "HEAD"}
KEPT_S = 30 * 24 * 3600
TRIES, WAIT_S = 5, 60.0  # wrong passwords, and how long nobody is asked again after them

UPLOAD = "/start/files"
MOST_FORM, MOST_FILES = 8 * 2**20, 300 * 2**20  # what may come with one request [bytes]

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; "
    "frame-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'self'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}


@dataclass
class Keys:
    """
    What opens the desk.

    Attributes
    ----------
    key
        Stands in the address that the command prints, and then in a cookie.
    password
        Asked of whoever comes without the key; None where nobody else can reach the desk.
    """

    key: str = field(default_factory=lambda: secrets.token_urlsafe(24))
    password: str | None = None

    @property
    def token(self) -> str:
        """What a page must send with each change; it follows from the key, and does not tell it."""
        return hmac.new(self.key.encode(), b"change", hashlib.sha256).hexdigest()

    def opens(self, given: str) -> bool:
        """Whether this is the key."""
        return hmac.compare_digest(given.encode(), self.key.encode())

    def is_password(self, given: str) -> bool:
        """Whether this is the password."""
        return self.password is not None and hmac.compare_digest(given.encode(), self.password.encode())


class Guard:
    """
    Lets a request through to the pages, or answers it.

    Parameters
    ----------
    pages
        The application behind.
    keys
        What opens it.
    port
        Where the desk listens; cookies are shared by all ports of a host, so its name tells them apart.
    hosts
        Names under which it may be asked besides those of the machine itself.
    everywhere
        Whether it listens beyond the machine: then any bare address of a host will do, because only a name can be
        pointed at the machine by somebody else.
    """

    def __init__(
        self, pages: ASGIApp, keys: Keys, port: int, hosts: Iterable[str] = (), *, everywhere: bool = False
    ) -> None:
        self.pages, self.keys, self.port, self.everywhere = pages, keys, port, everywhere
        self.hosts = {*LOOPBACK, *hosts}
        self.cookie = f"turfgis_desk_{port}"
        self._wrong: list[float] = []

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] == "lifespan":
            await self.pages(scope, receive, send)
            return
        if scope["type"] != "http":  # there are no sockets here
            await send({"type": "websocket.close", "code": 1008})
            return
        headers = Headers(scope=scope)
        answer = self._refusal(scope, headers) or await self._without_key(Request(scope, receive))
        if answer is not None:
            answer.headers.update(HEADERS)
            await answer(scope, receive, send)
            return

        async def sealed(message) -> None:
            if message["type"] == "http.response.start":
                had = {name.lower() for name, _ in message["headers"]}
                more = [(name.encode(), value.encode()) for name, value in HEADERS.items() if name.encode() not in had]
                message = {**message, "headers": [*message["headers"], *more]}
            await send(message)

        await self.pages(scope, receive, sealed)

    def _refusal(self, scope: Scope, headers: Headers) -> Response | None:
        """What to say where the address, the origin or the token is not the desk's own."""
        host = headers.get("host", "")
        if not self._is_own(host):
            return _plain("This desk does not answer under that name.", 421)
        if scope["method"] in READING:
            return None
        if scope["method"] != "POST":
            return _plain("This desk knows GET and POST.", 405)
        origin = urlsplit(headers.get("origin", ""))
        if origin.scheme not in ("http", "https") or origin.netloc != host:
            return _plain("Changes are taken from pages of this desk only.", 403)
        if scope["path"] != "/password" and not hmac.compare_digest(
            headers.get("x-desk-token", _asked(scope, "token")).encode(), self.keys.token.encode()
        ):
            return _plain("This page is from an earlier start of the desk; open it anew.", 403)
        length = headers.get("content-length", "")
        if not length.isdecimal():
            return _plain("The length of what is sent must be said.", 411)
        if int(length) > (MOST_FILES if scope["path"] == UPLOAD else MOST_FORM):
            return _plain("That is more than the desk takes at once.", 413)
        return None

    def _is_own(self, host: str) -> bool:
        name, _, port = host.rpartition(":") if not host.endswith("]") else (host, "", "80")
        name, port = (host, "80") if not name else (name, port)
        if port != str(self.port):
            return False
        if name.lower() in self.hosts:
            return True
        return self.everywhere and _is_address(name)

    async def _without_key(self, request: Request) -> Response | None:
        """A way in for who does not hold the key yet; None for who does."""
        if self.keys.opens(request.cookies.get(self.cookie, "")):
            return None
        if request.method == "GET" and self.keys.opens(_asked(request.scope, "key")):
            return self._welcome(request.url.path)
        if self.keys.password is None:
            return _plain(
                "This desk opens from the address that 'turfgis desk' printed when it was started, key and all.", 403
            )
        if request.method == "POST" and request.url.path == "/password":
            return await self._with_password(request)
        return HTMLResponse(_ASK, status_code=401)

    async def _with_password(self, request: Request) -> Response:
        now = time.monotonic()
        self._wrong = [when for when in self._wrong if now - when < WAIT_S]
        if len(self._wrong) >= TRIES:
            return _plain("Too many wrong passwords; wait a minute.", 429)
        body = bytearray()
        async for piece in request.stream():
            body += piece
            if len(body) > 4096:
                return _plain("That is no password.", 413)
        given = parse_qs(body.decode("utf-8", "replace")).get("password", [""])[0]
        if self.keys.is_password(given):
            return self._welcome("/")
        self._wrong.append(now)
        return HTMLResponse(_ASK.replace("<!--wrong-->", '<p role="alert">That was not the password.</p>'), 401)

    def _welcome(self, path: str) -> Response:
        """Back to the same page with the key in a cookie, so that it does not stay in the address."""
        local = "/" + path.lstrip("/\\")
        answer = RedirectResponse(local, status_code=303)
        answer.set_cookie(self.cookie, self.keys.key, max_age=KEPT_S, httponly=True, samesite="strict", path="/")
        return answer


def _asked(scope: Scope, name: str) -> str:
    """A value from the address."""
    return parse_qs(scope.get("query_string", b"").decode("latin-1")).get(name, [""])[0]


def _is_address(name: str) -> bool:
    try:
        ip_address(name.strip("[]"))
    except ValueError:
        return False
    return True


def _plain(words: str, status: int) -> Response:
    return Response(words + "\n", status_code=status, media_type="text/plain; charset=utf-8")


_ASK = """<!DOCTYPE html>
<html lang="en-GB"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>Password</title><link rel="icon" href="data:,"></head><body><main><h1>The desk of a golf course</h1>
<!--wrong--><form method="post" action="/password"><label for="password">Password</label>
<input id="password" name="password" type="password" autocomplete="current-password" required autofocus>
<button>Open</button></form></main></body></html>
"""
