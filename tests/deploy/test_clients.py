import pytest

from tracker.clients import client_ip


@pytest.mark.parametrize(
    ("proxies", "forwarded", "seen"),
    [
        (0, "203.0.113.9", "198.51.100.1"),
        (1, None, "198.51.100.1"),
        (1, "203.0.113.9", "203.0.113.9"),
        (1, "10.0.0.1, 203.0.113.9", "203.0.113.9"),
        (2, "10.0.0.1, 203.0.113.9, 192.0.2.4", "203.0.113.9"),
        (2, "203.0.113.9", "198.51.100.1"),
    ],
)
def test_only_what_our_own_proxies_added_is_believed(
    rf, settings, proxies, forwarded, seen
):
    settings.PROXIES = proxies
    headers = {"x-forwarded-for": forwarded} if forwarded else {}

    request = rf.get("/", headers=headers, REMOTE_ADDR="198.51.100.1")

    assert client_ip(request) == seen
