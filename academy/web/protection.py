"""What every answer carries: what the browser may load, and gzip for text."""

import gzip

from flask import Flask, Response, request

CONTENT_POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "connect-src 'self'",
        "worker-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "form-action 'self'",
    )
)
HEADERS = {
    "Content-Security-Policy": CONTENT_POLICY,
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}
WORTH_SQUEEZING = 500
TEXT_TYPES = ("text/", "application/json", "image/svg+xml")
ONE_MEGABYTE = 1024 * 1024


def add_headers(response: Response) -> Response:
    """Put the safety headers on; pages are kept by no cache."""
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    if "Cache-Control" not in response.headers:
        response.headers["Cache-Control"] = "no-store"
    return response


def _is_text(response: Response) -> bool:
    return (response.mimetype or "").startswith(TEXT_TYPES)


def _worth_squeezing(response: Response) -> bool:
    accepted = "gzip" in request.headers.get("Accept-Encoding", "").lower()
    plain = "Content-Encoding" not in response.headers
    return accepted and plain and _is_text(response) and not response.is_streamed


def squeeze(response: Response) -> Response:
    """Answer text of 500 bytes or more in gzip when the browser takes it."""
    if _is_text(response):
        response.vary.add("Accept-Encoding")
    if not _worth_squeezing(response):
        return response
    body = response.get_data()
    if len(body) < WORTH_SQUEEZING:
        return response
    response.set_data(gzip.compress(body, 6, mtime=0))
    response.headers["Content-Encoding"] = "gzip"
    return response


def init_app(app: Flask) -> None:
    """Limit what comes in, guard and squeeze what goes out."""
    app.config["MAX_CONTENT_LENGTH"] = ONE_MEGABYTE
    app.config["MAX_FORM_PARTS"] = 500
    app.after_request(squeeze)
    app.after_request(add_headers)
