"""Who is let in, and what is refused before a route is reached."""

from __future__ import annotations

import json
import socket

import pytest
from desk_at import LOOK, page_of

from plaitbook.desk.page.doorkeeper import PAUSE_S, TRIES, Doorkeeper, is_loopback
from plaitbook.desk.page.guard import MOST_BYTES


def test_the_page_comes_with_strict_headers(reading):
    status, headers, body = reading.raw("GET", "/")
    assert status == 200 and b"Plaitbook" in body
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy and "script-src 'self';" in policy and "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert headers["x-content-type-options"] == "nosniff" and headers["x-frame-options"] == "DENY"
    assert headers["cache-control"] == "no-store" and "server" not in headers
    assert b"<script>" not in body and b" onclick" not in body and b"style=" not in body


def test_every_answer_is_guarded(reading):
    for path in ("/door", "/page/page.js", "/page/en.json", "/nothing", "/api/book"):
        headers = reading.raw("GET", path)[1]
        assert headers["x-content-type-options"] == "nosniff" and "content-security-policy" in headers, path


def test_each_page_has_its_own_nonce(reading):
    assert len({reading.raw("GET", "/")[1]["content-security-policy"] for _ in range(3)}) == 3


@pytest.mark.parametrize("host", ["evil.example", "evil.example:{port}", "127.0.0.1", "localhost:1", "", "127.0.0.1.evil.example:{port}",
                                  "127.0.0.1:{port}@evil.example", "2130706433:{port}", "10.0.0.7:{port}"])
def test_a_name_made_to_point_here_is_not_answered(reading, host):
    status, _, body = reading.raw("GET", "/api/book", host=host.format(port=reading.port))
    assert status in (400, 421) and b"looks" not in body
    status, _, _ = reading.raw("GET", f"/enter?key={reading.door.key}", host=host.format(port=reading.port))
    assert status in (400, 421)


def test_localhost_is_this_machine(reading):
    assert reading.raw("GET", "/api/book", host=f"localhost:{reading.port}")[0] == 200


@pytest.mark.parametrize("headers", [
    {"origin": "http://evil.example"}, {"origin": None}, {"origin": "null"}, {"sec_fetch_site": "cross-site"}, {"sec_fetch_site": "same-site"},
    {"origin": "https://127.0.0.1"}, {"content_type": "text/plain"}, {"content_type": "application/x-www-form-urlencoded"},
    {"content_type": None}, {"content_type": "multipart/form-data; boundary=x"},
])
def test_another_site_changes_nothing(writing, headers):
    before = writing.text()
    version = writing.post("open", {"name": LOOK})[1]["version"]
    body = json.dumps({"name": LOOK, "tab": "tabaaaaaaaa1", "base": version, "text": "edition 1\n"}).encode()
    assert writing.raw("POST", "/api/save", body, **headers)[0] in (403, 415)
    assert writing.text() == before


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "PATCH", "TRACE"])
def test_other_ways_of_asking_are_refused(reading, method):
    status, headers, _ = reading.raw(method, "/api/save")
    assert status == 405 and "access-control-allow-origin" not in headers


@pytest.mark.parametrize("cookie", ["plaitbook-1=x", "x=y", "a" * 5000])
def test_without_the_cookie_there_is_nothing(reading, cookie):
    for path in ("book", "map?file=looks/saltmarsh.plait"):
        assert reading.get(path, cookie=cookie)[0] == 403
    assert reading.post("open", {"name": "wearers.plait"}, cookie=cookie)[0] == 403
    status, headers, _ = reading.raw("GET", "/", cookie=cookie)
    assert status == 303 and headers["location"] == "/door"


def test_a_wrong_key_opens_nothing(reading):
    for key in ("", "x", reading.door.key + "x", reading.door.key[:-1], "%00", "é"):
        status, headers, _ = reading.raw("GET", "/enter?key=" + key.replace("é", "%C3%A9"), cookie="")
        assert (status, headers["location"]) == (303, "/door") and "set-cookie" not in headers


def test_the_cookie_is_strict(reading):
    cookie = reading.raw("GET", f"/enter?key={reading.door.key}", cookie="")[1]["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie and f"plaitbook-{reading.port}=" in cookie


def test_an_oversized_upload_is_refused_unread(writing):
    before = writing.text()
    try:
        assert writing.raw("POST", "/api/save", b"x" * (MOST_BYTES + 1))[0] == 413
    except ConnectionError:
        pass  # it hung up before all was sent, as it may
    with socket.create_connection(("127.0.0.1", writing.port), timeout=20) as sock:  # announced, never sent
        sock.sendall((f"POST /api/save HTTP/1.1\r\nHost: {writing.host}\r\nOrigin: http://{writing.host}\r\nCookie: {writing.cookie}\r\n"
                      "Content-Type: application/json\r\nContent-Length: 99999999999\r\n\r\n").encode())
        assert b" 413 " in sock.recv(200)
    with socket.create_connection(("127.0.0.1", writing.port), timeout=20) as sock:  # in pieces, without saying how many
        sock.sendall((f"POST /api/save HTTP/1.1\r\nHost: {writing.host}\r\nOrigin: http://{writing.host}\r\nCookie: {writing.cookie}\r\n"
                      "Content-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n").encode())
        piece = b"10000\r\n" + b"x" * 65536 + b"\r\n"
        try:
            for _ in range(MOST_BYTES // 65536 + 2):
                sock.sendall(piece)
        except OSError:
            pass  # it hung up on us, as it may
        else:
            assert b" 413 " in sock.recv(200)
    assert writing.text() == before


@pytest.mark.parametrize("body", [b"", b"[]", b"{", b"null", b"\xff\xfe", b"[" * 100_000, b'{"name": 7}', b'{"name": {"a": 1}}',
                                  b'{"name": "looks/\\ud800.plait", "text": "\\ud800", "key": "x"}'])
def test_bad_json_is_a_refusal(reading, body):
    for path in ("open", "card", "save", "draft", "complete", "explain", "wearer", "look", "paper"):
        status, _, answer = reading.raw("POST", f"/api/{path}", body)
        assert status == 400 and "refused" in json.loads(answer), (path, answer)


def test_a_code_is_not_guessed():
    now = [0.0]
    door = Doorkeeper(True, lambda: now[0])
    first = door.code
    for _ in range(TRIES):
        assert door.pair("aaaaaaaa") is None
    assert door.wait_s() == PAUSE_S and door.pair(first) is None, "not even the right one while it pauses"
    now[0] += PAUSE_S + 1
    cookie = door.pair(f" {first[:4].upper()}-{first[4:]} ")
    assert cookie and door.role(cookie, "10.0.0.9") == "guest"
    for _ in range(5):
        for _ in range(TRIES):
            door.pair("bbbbbbbb")
        now[0] += PAUSE_S + 1
    assert door.code != first and door.pair(first) is None


def test_the_owners_cookie_counts_on_this_machine_only():
    door = Doorkeeper(True)
    cookie = door.enter(door.key, "127.0.0.1")
    assert cookie and door.role(cookie, "127.0.0.1") == "owner" and door.role(cookie, "::1") == "owner"
    assert door.role(cookie, "10.0.0.9") is None and door.enter(door.key, "10.0.0.9") is None
    assert is_loopback("::ffff:127.0.0.1") and not is_loopback("::ffff:10.0.0.1") and not is_loopback("")


def test_nobody_pairs_with_a_book_that_is_not_shared(reading):
    body = f"code={reading.door.code}".encode()
    status, headers, _ = reading.raw("POST", "/pair", body, cookie="", content_type="application/x-www-form-urlencoded")
    assert status == 403 and "set-cookie" not in headers


def test_pairing_over_http(tmp_path):
    with page_of(tmp_path, shared=True) as served:
        form = {"cookie": "", "content_type": "application/x-www-form-urlencoded"}
        assert served.raw("POST", "/pair", b"code=wrongone", **form)[0] == 403
        assert served.raw("POST", "/pair", f"code={served.door.code}".encode(), **{**form, "origin": "http://evil.example"})[0] == 403
        status, headers, _ = served.raw("POST", "/pair", f"code={served.door.code}".encode(), **form)
        assert status == 303 and "samesite=strict" in headers["set-cookie"].lower()
        for _ in range(TRIES):
            served.raw("POST", "/pair", b"code=wrongone", **form)
        assert served.raw("POST", "/pair", f"code={served.door.code}".encode(), **form)[0] == 429
