"""docs/pages.md names every page and every operation of the API."""

from pathlib import Path

import pytest

DOCS = (Path(__file__).resolve().parents[2] / "docs" / "pages.md").read_text(encoding="utf-8")


def routes(app):
    """Every path of the application with its methods, also those of included routers."""
    found = []
    todo = list(app.routes)
    while todo:
        route = todo.pop()
        inner = getattr(route, "routes", None) or getattr(
            getattr(route, "original_router", None), "routes", None
        )
        if inner:
            todo += inner
        elif hasattr(route, "path"):
            found.append((route.path, getattr(route, "methods", None) or set()))
    return found


@pytest.fixture(scope="module")
def paths(reading):
    return routes(reading.app)


def test_pages_are_found(paths):
    assert "/h/{house}/room/{room}" in {path for path, _ in paths}
    assert len(paths) > 25


def test_every_page_is_in_the_docs(paths):
    pages = {path for path, methods in paths if "GET" in methods and not path.startswith("/api")}
    known = {"/static", "/docs/oauth2-redirect", "/houses/{house}"}
    missing = [p for p in pages - known if f"`{p}`" not in DOCS and not p.startswith("/houses/{")]
    assert missing == []


def test_every_operation_is_in_the_docs(reading):
    for path in reading.get("/api/v1/openapi.json").json()["paths"]:
        assert f"/{path.rsplit('/', 1)[1]}" in DOCS, path
