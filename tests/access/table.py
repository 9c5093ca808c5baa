"""Every route x role x object, and what the server answers.

A row names a route, the object in its address, who may ask, and for each method the
answer that one who may gets for his own object (a form is sent empty). `WHO` says what
everybody else gets. `test_routes.py` fails when a route or a method is not here.

Decided, and tested so:
- what is not yours answers exactly like what is not there;
- a role that may not open a page learns nothing of the object: 403 either way;
- an upload is addressed by the hash of bytes that the phone has already, so any phone
  may ask how much of it is here.
"""

from dataclasses import dataclass
from typing import Any

SIGN_IN = "sign in"  # 302 to the sign-in page
OK = "ok"  # what the row says
Cell = str | int
Answers = tuple[Cell, Cell, Cell]  # own, other, missing

SIGNED_IN = ("plumber", "lead", "office", "owner")
NOBODY = ("anonymous", "left")
PHONES = ("phone", "shut phone")
LINKS = (
    "shared link",
    "personal link",
    "link of another street",
    "revoked link",
    "link out of date",
    "link of one who left",
    "unknown link",
)
PAGES = (*NOBODY, *SIGNED_IN, "phone")
API = (*NOBODY, *SIGNED_IN, *PHONES)


def _all(roles: tuple[str, ...], cell: Cell) -> dict[str, Answers]:
    return dict.fromkeys(roles, (cell, cell, cell))


_STRANGERS = _all((*NOBODY, "phone"), SIGN_IN)
_CREW: Answers = (OK, 404, 404)
_ALL_LOTS: Answers = (OK, OK, 404)
_OFFICE = {"office": _ALL_LOTS, "owner": _ALL_LOTS}
# A part below the plan that it does not belong to is not there for anybody.
_ONE: dict[str, Answers] = {"office": _CREW, "owner": _CREW}

WHO: dict[str, dict[str, Answers]] = {
    "anybody": _all(PAGES, OK),
    "not signed in": _all((*NOBODY, "phone"), OK) | _all(SIGNED_IN, 302),
    # A plumber has no Today; he is led to his lots.
    "today": _STRANGERS | _all(("plumber",), 302) | {"lead": _CREW} | _OFFICE,
    "everybody": _STRANGERS | {"plumber": _CREW, "lead": _CREW} | _OFFICE,
    "leads": _STRANGERS | _all(("plumber",), 403) | {"lead": _CREW} | _OFFICE,
    "office": _STRANGERS | _all(("plumber", "lead"), 403) | _ONE,
    "owner": _STRANGERS
    | _all(("plumber", "lead", "office"), 403)
    | {"owner": _ONE["owner"]},
    "all lots": _STRANGERS | _all(("plumber", "lead"), 403) | _OFFICE,
    "whoever has the address": _all(PAGES, OK) | dict.fromkeys(PAGES, (OK, 404, 404)),
    "any caller": _all(API, OK),
    "phones": _all((*NOBODY, *SIGNED_IN, "shut phone"), 401) | {"phone": _CREW},
    "phones, shut too": _all((*NOBODY, *SIGNED_IN), 401) | _all(PHONES, OK),
    "api office": _all((*NOBODY, *PHONES), 401) | _all(("plumber", "lead"), 403) | _ONE,
    "links": _all(LINKS, 404) | {"shared link": _CREW, "personal link": _CREW},
    "personal": _all(LINKS, 404) | {"personal link": _CREW},
    "links, whole": _all(LINKS, 404)
    | _all(("shared link", "personal link", "link of another street"), OK),
}


@dataclass(frozen=True)
class Row:
    route: str
    thing: str
    who: str
    answers: dict[str, int]
    sent: dict[str, Any] | None = None  # as JSON, where an empty body says too little


def _row(
    route: str,
    thing: str,
    who: str,
    *,
    sent: dict[str, Any] | None = None,
    **answers: int,
) -> Row:
    return Row(route, thing, who, answers, sent)


DESK = (
    _row("desk:sign-in", "", "not signed in", GET=200, POST=200),
    _row("desk:sign-out", "", "anybody", POST=302),
    _row("desk:language", "", "anybody", POST=302),
    _row("desk:today", "", "today", GET=200),
    _row("desk:ready-lots", "", "office", GET=404),
    _row("desk:streets", "", "everybody", GET=200),
    _row("desk:street", "street", "everybody", GET=200),
    _row("desk:lots", "", "everybody", GET=200),
    _row("desk:lot", "lot", "everybody", GET=200),
    _row("desk:lot-record", "lot", "everybody", GET=200),
    _row("desk:photo", "photo", "everybody", GET=200),
    _row("desk:thumbnail", "photo", "everybody", GET=200),
    _row("desk:lot-dates", "lot", "leads", POST=422),
    _row("desk:lot-holds", "lot", "everybody", POST=422),
    _row("desk:lot-corrections", "lot", "everybody", POST=422),
    _row("desk:lot-calls", "lot", "leads", POST=422),
    _row("desk:lot-results", "lot", "leads", POST=422),
    _row("desk:lot-details", "lot", "all lots", POST=422),
    _row("desk:lot-plan", "lot", "all lots", POST=302),
    _row("desk:item", "item", "everybody", GET=200),
    _row("desk:item-rejection", "item", "leads", POST=422),
    _row("desk:item-settlement", "item", "leads", POST=422),
    _row("desk:readiness", "phase", "leads", POST=302),
    _row("desk:move", "phase", "leads", POST=302),
    _row("desk:sending", "phase", "all lots", POST=302),
    _row("desk:progress", "phase", "everybody", POST=302),
    _row("desk:gate", "phase", "leads", POST=302),
    _row("desk:hold-lifting", "hold", "leads", POST=302),
    _row("desk:correction-done", "correction", "everybody", POST=302),
    _row("desk:correction-closing", "correction", "leads", POST=302),
    _row("desk:correction-reopening", "correction", "leads", POST=302),
    _row("desk:call-cancelling", "call", "leads", POST=302),
    _row("desk:inspections", "", "leads", GET=200),
    _row("desk:visit-calls", "lot", "leads", POST=302),
    _row("desk:call-day", "call", "leads", POST=302),
    _row("desk:call-withdrawal", "call", "leads", POST=302),
    _row("desk:call-result", "call", "leads", GET=200, POST=200),
    _row("desk:pass-rates", "", "leads", GET=200),
    _row("desk:telling", "", "leads", GET=200, POST=302),
    _row("desk:walk-hint", "hint", "leads", POST=302),
    _row("desk:visit-fees", "", "office", GET=200),
    _row("desk:visit-fee", "fee", "office", POST=302),
    _row("desk:visit-fee-paid", "fee", "office", POST=302),
    _row("desk:stop-notice", "phase", "leads", GET=200),
    _row("desk:sheet", "phase", "leads", GET=200),
    _row("desk:feeds", "", "office", GET=200, POST=404),
    _row("desk:feed-revocation", "feed", "office", POST=302),
    _row("desk:calendar", "calendar", "whoever has the address", GET=200, HEAD=200),
    _row("desk:lot-tests", "lot", "everybody", GET=200, POST=200),
    _row("desk:lot-forecast", "lot", "everybody", POST=302),
    _row("desk:test-readings", "test", "everybody", POST=302),
    _row("desk:test-event", "test", "everybody", POST=302),
    _row("desk:test-taking-down", "test", "everybody", POST=302),
    _row("desk:look-ahead", "", "leads", GET=200),
    _row("desk:look-ahead-drafts", "", "office", POST=302),
    _row("desk:look-ahead-rain", "", "office", GET=200, POST=200),
    _row("desk:look-ahead-rain-removal", "rain", "office", POST=302),
    _row("desk:look-ahead-days-off", "", "office", POST=200),
    _row("desk:look-ahead-day-off-removal", "day off", "office", POST=302),
    _row("desk:look-ahead-rules", "", "office", GET=200, POST=200),
    _row("desk:look-ahead-calibration", "", "office", GET=200),
    _row("desk:look-ahead-run", "run", "office", GET=200),
    _row("desk:look-ahead-cancel", "run", "office", POST=302),
    _row("desk:look-ahead-seen", "notice", "leads", POST=302),
    _row("desk:look-ahead-why", "draft", "office", GET=200),
    _row("desk:look-ahead-job", "draft", "leads", GET=404),
    _row("desk:look-ahead-what-ifs", "draft", "office", POST=400),
    _row("desk:look-ahead-helper", "phase", "all lots", POST=400),
    _row("desk:look-ahead-broken-off", "phase", "leads", POST=400),
    _row("desk:look-ahead-runs", "draft", "office", POST=400),
    _row("desk:look-ahead-trial", "draft", "office", POST=400),
    _row("desk:look-ahead-moves", "draft", "office", POST=400),
    _row("desk:look-ahead-pins", "draft", "office", POST=400),
    _row("desk:look-ahead-unpin", "draft", "office", POST=400),
    _row("desk:look-ahead-pin-removal", "pin", "office", POST=302),
    _row("desk:look-ahead-publication", "draft", "owner", POST=302),
    _row("desk:look-ahead-removal", "draft", "office", POST=302),
    _row("desk:season", "", "office", GET=200),
    _row("desk:load", "", "office", GET=200),
    _row("desk:plans", "", "office", GET=200, POST=200),
    _row("desk:plan", "plan", "office", GET=200, POST=422),
    _row("desk:plan-parts", "plan-parts", "office", POST=422),
    _row("desk:plan-part", "plan-part", "office", POST=422),
    _row("desk:plan-part-removal", "plan-part", "office", POST=302),
    _row("desk:plan-sheets", "plan", "office", POST=422),
    _row("desk:sheet-file", "sheet", "all lots", GET=200),
    _row("desk:plan-check", "plan", "office", GET=200),
    _row("desk:plan-diagram", "plan diagram", "office", GET=200),
    _row("desk:plan-calculation", "plan", "office", GET=200),
    _row("desk:plan-outline", "plan", "office", GET=200, POST=422),
    _row("desk:plan-outline-trying", "plan", "office", POST=200),
    _row("desk:plan-outline-guess", "plan", "office", POST=302),
    _row("desk:plan-outline-acceptance", "plan", "office", POST=302),
    _row("desk:outline-withdrawal", "outline", "office", POST=302),
    _row("desk:plan-materials", "plan", "office", GET=200),
    _row("desk:plan-materials-file", "plan file", "office", GET=200),
    _row("desk:lot-materials", "lot", "all lots", GET=200, POST=404),
    _row("desk:lot-materials-file", "lot file", "all lots", GET=200),
    _row("desk:lot-pick-list", "lot phase", "all lots", GET=200),
    _row("desk:materials", "", "office", GET=200),
    _row("desk:materials-file", "file", "office", GET=200),
    _row("desk:materials-waste", "", "office", POST=302),
    _row("desk:catalogue", "", "office", GET=200),
    _row("desk:catalogue-row", "catalogue-row", "office", GET=200, POST=200),
    _row("desk:people", "", "office", GET=200),
    _row("desk:member-new", "", "office", GET=200, POST=200),
    _row("desk:member", "member", "office", GET=200, POST=200),
    _row("desk:crew-new", "", "office", GET=200, POST=200),
    _row("desk:crew", "crew", "office", GET=200, POST=200),
    _row("desk:record", "", "office", GET=200),
    _row("desk:changes", "", "office", GET=200),
    _row("desk:setup", "", "office", GET=200),
    _row("desk:setup-rows", "setting", "office", GET=200),
    _row("desk:setup-new", "setting", "office", GET=200, POST=200),
    _row("desk:setup-row", "setting row", "office", GET=200, POST=200),
    _row("desk:imports", "", "office", GET=200, POST=200),
    _row("desk:import", "import", "office", GET=200, POST=200),
    _row("desk:import-application", "import", "office", POST=302),
    _row("desk:import-undoing", "import", "office", POST=302),
    _row("desk:import-errors-csv", "import", "office", GET=200),
    _row("desk:import-errors-xlsx", "import", "office", GET=200),
    _row("desk:starts", "", "office", GET=200, POST=200),
    _row("desk:street-dates", "street", "all lots", GET=200, POST=422),
    _row("desk:money", "", "office", GET=200),
    _row("desk:money-builder", "builder", "office", GET=200, POST=200),
    _row("desk:money-paid", "invoice", "office", POST=302),
    _row("desk:money-extra", "", "office", GET=200, POST=200),
    _row("desk:money-price", "change", "all lots", POST=302),
    _row("desk:money-order", "phase", "all lots", POST=302),
    _row("desk:money-pay", "phase", "all lots", POST=302),
    _row("desk:money-prices", "", "office", GET=200, POST=200),
    _row("desk:money-draw-removal", "draw", "office", POST=302),
    _row("desk:money-piece-removal", "piece", "office", POST=302),
    _row("desk:money-charges-csv", "", "office", GET=200),
    _row("desk:money-pay-csv", "", "office", GET=200),
    _row("desk:after", "", "office", GET=200),
    _row("desk:after-lot", "lot", "all lots", GET=200, POST=200),
    _row("status:links", "", "office", GET=200, HEAD=200, POST=409),
    _row("status:revocation", "link", "office", POST=302),
    _row("status:decision", "proposal", "office", POST=302),
)
OPEN = (
    _row("healthz", "", "anybody", GET=200),
    _row("phone:page", "", "anybody", GET=200),
    _row("phone:manifest", "", "anybody", GET=200),
    _row("phone:worker", "", "anybody", GET=200),
)
REST = (
    _row("phone:schema", "", "any caller", GET=200, OPTIONS=200),
    _row(
        *("phone:missing", "", "any caller"),
        **dict.fromkeys(("GET", "POST", "PUT", "PATCH", "DELETE"), 404),
    ),
    _row("phone:enrolments", "", "any caller", POST=400),
    _row("phone:enrol-codes", "", "api office", POST=400),
    _row("phone:devices", "", "api office", GET=200),
    _row("phone:device", "device", "api office", DELETE=204),
    _row("phone:set-aside", "", "api office", GET=200),
    _row(
        *("phone:settlement", "set-aside", "api office"),
        sent={"how": "Asked Ann, entered by hand."},
        POST=204,
    ),
    _row("phone:lots", "", "phones", GET=200),
    _row("phone:lot", "lot", "phones", GET=200),
    _row("phone:operations", "", "phones, shut too", POST=400),
    _row("phone:feed", "", "phones", GET=200),
    _row("phone:sheet", "sheet", "phones", GET=200),
    _row("phone:thumbnail", "photo", "phones", GET=200),
    _row("phone:upload", "upload", "phones, shut too", GET=200, PATCH=400),
)
BUILDER = (
    _row("status:page", "", "links, whole", GET=200),
    _row("status:calendar", "", "links, whole", GET=200),
    _row("status:street-sheet", "street", "links", GET=200),
    _row("status:lot", "lot", "links", GET=200),
    _row("status:lot-sheet", "lot", "links", GET=200),
    _row("status:photo", "photo", "links", GET=200),
    _row("status:dates", "lot", "personal", POST=409),
    _row("status:parts", "lot", "personal", POST=409),
    _row("status:lifting", "hold", "personal", POST=302),
    _row("status:acceptance", "correction", "personal", POST=409),
)
TABLE = (*OPEN, *DESK, *REST, *BUILDER)
