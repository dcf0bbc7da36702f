"""Strangers are refused: by host, by origin, by size; and every answer carries its headers."""

import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, PlainTextResponse
from starlette.routing import Route
from starlette.testclient import TestClient

from roomwright.web import guard


async def shown(_: Request) -> HTMLResponse:
    return HTMLResponse("<p>house</p>")


async def taken(request: Request) -> PlainTextResponse:
    return PlainTextResponse(str(len(await request.body())))


@pytest.fixture(scope="module")
def client():
    app = Starlette(
        routes=[
            Route("/", shown),
            Route("/do", taken, methods=["POST", "PUT", "PATCH", "DELETE"]),
            Route("/load", taken, methods=["POST"]),
        ]
    )
    app.add_middleware(guard.Guard, hosts=["192.168.1.20"])
    with TestClient(app, base_url="http://localhost") as made:
        yield made


@pytest.mark.parametrize("host", ["localhost", "localhost:8484", "127.0.0.1:1", "[::1]:8484",
                                  "192.168.1.20:8484", "LOCALHOST"])  # fmt: skip
def test_own_hosts_are_answered(client, host):
    assert client.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    [
        "evil.test",  # a name that its owner pointed at this machine
        "localhost.evil.test",
        "evil.test@localhost",
        "localhost/evil.test",
        "127.0.0.1.evil.test",
        "192.168.1.21",  # a neighbor's address
        "localhost:port",
        "",
    ],
)
def test_other_hosts_are_refused(client, host):
    answer = client.get("/", headers={"host": host})
    assert answer.status_code == 421
    assert "does not answer to that name" in answer.text


OWN = {"origin": "http://localhost"}


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 200),  # no browser: a script of the builder's own
        (OWN, 200),
        ({"origin": "HTTP://LOCALHOST"}, 200),
        ({"sec-fetch-site": "same-origin", **OWN}, 200),
        ({"sec-fetch-site": "none"}, 200),
        ({"sec-fetch-site": "cross-site"}, 403),
        ({"sec-fetch-site": "same-site", **OWN}, 403),  # another port of the same machine
        ({"origin": "http://evil.test"}, 403),
        ({"origin": "http://localhost:9999"}, 403),
        ({"origin": "https://localhost"}, 403),
        ({"origin": "null"}, 403),  # a sandboxed frame
    ],
)
def test_only_our_own_pages_may_write(client, method, headers, status):
    assert client.request(method, "/do", headers=headers).status_code == status


def test_reading_needs_no_origin(client):
    assert client.get("/", headers={"sec-fetch-site": "cross-site"}).status_code == 200


@pytest.mark.parametrize(
    ("path", "limit"), [("/do", guard.FORM_BYTES), ("/load", guard.FOLDER_BYTES)]
)
def test_too_large_is_refused_before_it_is_read(client, path, limit):
    assert client.post(path, content=b"x" * limit).text == str(limit)
    answer = client.post(path, content=b"x" * (limit + 1))
    assert answer.status_code == 413
    assert "Too large" in answer.text


def test_too_large_is_refused_where_the_length_was_not_said(client):
    def drip():
        for _ in range(guard.FORM_BYTES // 1024 + 2):
            yield b"x" * 1024

    assert client.post("/do", content=drip()).status_code == 413


@pytest.mark.parametrize("length", ["-1", "many", "1e3", "1" + "0" * 5000])
def test_a_length_that_is_no_number_is_refused(client, length):
    assert client.post("/do", headers={"content-length": length}).status_code == 413


def test_every_answer_carries_its_headers(client):
    for answer in (client.get("/"), client.get("/", headers={"host": "evil.test"})):
        for name, value in guard.HEADERS.items():
            assert answer.headers[name] == value
        assert answer.headers["cache-control"] == "no-cache, private"
    policy = client.get("/").headers["content-security-policy"]
    assert "unsafe" not in policy
    assert "http" not in policy  # no other host
    assert "default-src 'none'" in policy
