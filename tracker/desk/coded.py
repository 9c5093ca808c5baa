"""Codes that pages show, with their English texts."""

DATE_WHATS = {
    "ready": "Ready date",
    "cover": "Cover date",
    "need_by": "Need by",
    "start": "Start",
    "closing": "Closing",
}

RESULT_WORDS = {
    "passed": "Passed",
    "partly_passed": "Partly passed",
    "failed": "Failed",
    "not_ready": "Not ready",
    "no_access": "No access",
    "not_on_test": "Not on test",
    "cancelled": "Cancelled by the office",
}
