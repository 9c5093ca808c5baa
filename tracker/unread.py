"""Reads what a view has left of the request before its answer goes out.

A server that closes a connection with unread bytes resets it, and the answer is lost:
behind a proxy a refused upload would come out as 502, not as the refusal it is.
"""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, UnreadablePostError

PIECE = 256 * 1024
MOST = 64 * 1024 * 1024  # whoever sends more may see the connection reset


def read_the_rest(
    get_response: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    def middleware(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if request.method in ("POST", "PUT", "PATCH", "DELETE"):
            _drain(request)
        return response

    return middleware


def _drain(request: HttpRequest) -> None:
    left = MOST
    try:
        while left > 0 and (piece := request.read(PIECE)):
            left -= len(piece)
    except (UnreadablePostError, ValueError, OSError):
        return  # the client has gone, or the stream is closed: nothing is left
