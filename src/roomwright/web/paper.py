"""What is sent to be printed: a PDF that opens in the browser, under a plain name."""

from __future__ import annotations

from starlette.responses import Response


def plain(name: str) -> str:
    """Return a name that every device can save a file under.

    >>> plain("tern-hollow-101 d\u00edning")
    'tern-hollow-101-d-ning'
    """
    return "".join(c if c.isascii() and (c.isalnum() or c in "-_.") else "-" for c in name)


def pdf_named(made: bytes, name: str) -> Response:
    """Return a PDF that opens in the browser and is saved under a plain name."""
    headers = {"Content-Disposition": f'inline; filename="{plain(name)}.pdf"'}
    return Response(made, media_type="application/pdf", headers=headers)
