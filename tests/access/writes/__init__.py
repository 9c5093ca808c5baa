"""Every route that writes, with a request that is taken and the trace it leaves."""

from tests.access.writes.lots import LOTS
from tests.access.writes.office import OFFICE

WRITES = (*LOTS, *OFFICE)

# Routes whose POST keeps nothing about the work: the caller's own session or language,
# a form tried without saving, a run of the planner stopped, a phone that lets itself in
# by the office's code, and bytes of a photo, which belong to the operation naming them.
NO_TRACE = {
    ("desk:sign-in", "POST"),
    ("desk:look-ahead-trial", "POST"),
    ("desk:look-ahead-cancel", "POST"),
    ("desk:sign-out", "POST"),
    ("desk:plan-outline-trying", "POST"),
    ("phone:enrolments", "POST"),
    ("phone:upload", "PATCH"),
    ("phone:missing", "POST"),
    ("phone:missing", "PUT"),
    ("phone:missing", "PATCH"),
    ("phone:missing", "DELETE"),
}
