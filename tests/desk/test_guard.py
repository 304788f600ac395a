"""
Who gets in, and who may change something.

The attacks are those of the OWASP cheat sheets on cross-site request forgery and on DNS rebinding, and of W3C's
Content Security Policy Level 3; what each test sends is what a page elsewhere could make a browser send.
"""

import pytest
from starlette.responses import PlainTextResponse
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from turfgis.desk.guard import MOST_FORM, TRIES, Guard, Keys

PORT = 8420
HOME = f"http://127.0.0.1:{PORT}"


async def pages(scope, receive, send):
    await PlainTextResponse("inside")(scope, receive, send)


def guarded(keys: Keys, **more) -> tuple[Guard, TestClient]:
    guard = Guard(pages, keys, PORT, **more)
    return guard, TestClient(guard, base_url=HOME, follow_redirects=False)


@pytest.fixture
def keys() -> Keys:
    return Keys()


@pytest.fixture
def inside(keys: Keys) -> TestClient:
    guard, client = guarded(keys)
    client.cookies.set(guard.cookie, keys.key)
    return client


def test_the_address_with_the_key_opens_and_does_not_stay_in_sight(keys):
    guard, client = guarded(keys)
    answer = client.get("/order", params={"key": keys.key})
    assert answer.status_code == 303
    assert answer.headers["location"] == "/order"
    cookie = answer.headers["set-cookie"]
    assert guard.cookie in cookie
    assert "HttpOnly" in cookie
    assert "samesite=strict" in cookie.lower()
    assert client.get("/order").text == "inside"


@pytest.mark.parametrize("path", ["//elsewhere.example/x", "/\\elsewhere.example"])
def test_the_way_back_never_leaves_the_desk(keys, path):
    _, client = guarded(keys)
    answer = client.get(HOME + path, params={"key": keys.key})
    assert not answer.headers.get("location", "/").startswith(("//", "/\\"))


@pytest.mark.parametrize("key", ["", "wrong", "ü"])
def test_nobody_without_the_key(keys, key):
    _, client = guarded(keys)
    answer = client.get("/", params={"key": key} if key else None)
    assert answer.status_code == 403
    assert "inside" not in answer.text


@pytest.mark.parametrize(
    "host",
    [
        "elsewhere.example",
        f"elsewhere.example:{PORT}",
        "127.0.0.1",
        "127.0.0.1:80",
        f"127.0.0.1.elsewhere.example:{PORT}",
        "",
    ],
)
def test_names_that_others_can_point_here_are_refused(inside, host):
    assert inside.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("host", [f"127.0.0.1:{PORT}", f"localhost:{PORT}", f"LOCALHOST:{PORT}", f"[::1]:{PORT}"])
def test_the_machines_own_names_are_answered(inside, keys, host):
    assert inside.get("/", headers={"host": host, "cookie": f"turfgis_desk_{PORT}={keys.key}"}).text == "inside"


def test_beyond_the_machine_bare_addresses_will_do_and_names_will_not(keys):
    guard, client = guarded(keys, everywhere=True)
    cookie = {"cookie": f"{guard.cookie}={keys.key}"}
    assert client.get("/", headers={"host": f"192.0.2.7:{PORT}", **cookie}).text == "inside"
    assert client.get("/", headers={"host": f"shed.example:{PORT}", **cookie}).status_code == 421


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"origin": "null"},
        {"origin": "http://elsewhere.example"},
        {"origin": f"http://elsewhere.example:{PORT}"},
        {"origin": f"http://127.0.0.1:{PORT + 1}"},
        {"origin": HOME + ".elsewhere.example"},
    ],
)
def test_a_change_from_another_page_is_refused_even_with_the_token(inside, keys, headers):
    answer = inside.post("/look", params={"token": keys.token}, headers=headers, content=b"")
    assert answer.status_code == 403


@pytest.mark.parametrize("token", [None, "", "0" * 64])
def test_a_change_without_the_token_is_refused(inside, token):
    answer = inside.post("/look", params={"token": token} if token else None, headers={"origin": HOME}, content=b"")
    assert answer.status_code == 403


@pytest.mark.parametrize("way", ["address", "header"])
def test_a_change_of_our_own_goes_through(inside, keys, way):
    sent = {"params": {"token": keys.token}} if way == "address" else {"headers": {"x-desk-token": keys.token}}
    headers = {"origin": HOME, **sent.pop("headers", {})}
    assert inside.post("/look", headers=headers, content=b"", **sent).text == "inside"


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_other_methods_are_not_known(inside, method):
    assert inside.request(method, "/").status_code == 405


def test_too_much_at_once_is_refused_before_it_is_read(inside, keys):
    headers = {"origin": HOME, "x-desk-token": keys.token, "content-length": str(MOST_FORM + 1)}
    assert inside.post("/look", headers=headers).status_code == 413


def test_what_does_not_say_its_length_is_refused(inside, keys):
    headers = {"origin": HOME, "x-desk-token": keys.token}
    assert inside.post("/look", headers=headers, content=iter([b"a", b"b"])).status_code == 411


def test_every_answer_is_sealed(inside):
    policy = inside.get("/").headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert inside.get("/").headers["x-content-type-options"] == "nosniff"
    assert inside.get("/").headers["cache-control"] == "no-store"


def test_the_token_does_not_tell_the_key(keys):
    assert keys.key not in keys.token
    assert Keys().token != keys.token


class TestPassword:
    def test_is_asked_for_and_opens(self):
        keys = Keys(password="sand and seed")
        guard, client = guarded(keys)
        assert client.get("/").status_code == 401
        wrong = client.post("/password", headers={"origin": HOME}, data={"password": "guess"})
        assert wrong.status_code == 401
        right = client.post("/password", headers={"origin": HOME}, data={"password": "sand and seed"})
        assert right.status_code == 303
        assert client.get("/").text == "inside"
        assert guard.cookie in client.cookies

    def test_is_not_taken_from_another_page(self):
        _, client = guarded(Keys(password="sand and seed"))
        headers = {"origin": "http://elsewhere.example"}
        assert client.post("/password", headers=headers, data={"password": "sand and seed"}).status_code == 403

    def test_guessing_ends(self):
        _, client = guarded(Keys(password="sand and seed"))
        for guess in range(TRIES):
            client.post("/password", headers={"origin": HOME}, data={"password": str(guess)})
        late = client.post("/password", headers={"origin": HOME}, data={"password": "sand and seed"})
        assert late.status_code == 429

    def test_there_is_none_where_none_was_set(self, keys):
        _, client = guarded(keys)
        assert client.post("/password", headers={"origin": HOME}, data={"password": ""}).status_code == 403


def test_sockets_are_closed(inside):
    with pytest.raises(WebSocketDisconnect), inside.websocket_connect("/"):
        pass
