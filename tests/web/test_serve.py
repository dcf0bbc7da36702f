"""Where the server listens, and under which names it answers."""

import socket

import pytest
from fastapi.testclient import TestClient

from roomwright.web import serve
from roomwright.web.app import create_app


def test_a_taken_port_gives_the_next_one():
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        held.listen()
        port = held.getsockname()[1]
        found = serve.free_port("127.0.0.1", port)
        assert port < found <= port + serve.PORTS_TRIED


def test_a_free_port_is_taken_as_asked():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    assert serve.free_port("127.0.0.1", port) == port


def test_an_address_that_is_not_ours_is_said():
    with pytest.raises(OSError, match="no free port"):
        serve.free_port("192.0.2.1", 8484)


def test_own_addresses_hold_the_name_of_this_machine():
    assert socket.gethostname().lower() in serve.own_addresses()


def test_others_on_the_network_are_answered_only_when_told(tmp_path):
    url = str(tmp_path / "houses.db")
    for hosts, status in (((), 421), (("192.168.1.20",), 200)):
        with TestClient(create_app(url, hosts=hosts), base_url="http://192.168.1.20:8484") as one:
            assert one.get("/houses").status_code == status


def test_by_default_only_this_machine_is_served(monkeypatch):
    started = {}

    class Fake:
        started = True
        should_exit = False

        def __init__(self, config):
            started.update(host=config.host, port=config.port)

        def run(self):
            pass

    monkeypatch.setattr(serve.uvicorn, "Server", Fake)
    monkeypatch.setattr(serve, "create_app", lambda url, hosts: started.update(hosts=hosts))
    monkeypatch.setattr(serve.webbrowser, "open", lambda address: started.update(open=address))
    serve.serve(port=0, open_browser=True, path="/h/x")
    assert started["host"] == "127.0.0.1"
    assert started["hosts"] == ["127.0.0.1"]
