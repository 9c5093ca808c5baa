"""A second way to the three answers: one walk down the rows, oldest first.

It shares no code with `phases`: rows are plain dicts as they stand in the tables, and
each is folded into a small notebook. `tests/phases/test_replay.py` holds both against
each other.
"""

from datetime import date, timedelta
from zoneinfo import ZoneInfo


def day_of(moment, zone):
    return moment.astimezone(ZoneInfo(zone)).date()


def item_word(item, entries, arrived, zone, corrected):
    """(state, day proven) of one item from its entry rows."""
    standing, rejected_at = [], 0
    for row in entries:
        said = row["payload"]
        name = str(row["op"] or row["no"])
        what = said["answer"]
        if what == "undo":
            standing = [
                s
                for s in standing
                if not (s["name"] == str(said.get("of")) and s["by"] == row["by_id"])
            ]
        elif what == "reject":
            left = [s for s in standing if s["name"] != str(said.get("of"))]
            if len(left) < len(standing):
                standing, rejected_at = left, row["no"]
        else:
            # A repeated name would take its first place; names are unique.
            standing.append(
                {
                    "name": name,
                    "by": row["by_id"],
                    "what": what,
                    "said": said,
                    "no": row["no"],
                    "day": day_of(row["happened_at"], zone),
                }
            )
    return _item_verdict(item, standing, rejected_at, arrived, corrected)


def _item_verdict(item, standing, rejected_at, arrived, corrected):
    of = {}
    for s in standing:
        of.setdefault(s["what"], []).append(s)
    proofs = [s for s in standing if s["what"] not in ("note", "not_done")]
    last_proof = max((s["no"] for s in proofs), default=0)
    value, number_day, clash, off = _number(item["spec"], standing)
    if clash:
        return "conflict", None
    if of.get("not_done") and of["not_done"][-1]["no"] > last_proof:
        return "not_done", None
    tests = of.get("test", [])
    if corrected or off or (tests and not tests[-1]["said"].get("passed")):
        return "failed", None
    days = []
    if item["proof"] == "no_list":
        days.append(None)
    elif item["proof"] == "measure":
        days.append(number_day if value is not None else None)
    elif item["proof"] == "test":
        good = [t for t in tests if t["said"].get("passed")]
        days.append(good[-1]["day"] if good else None)
    elif item["proof"] != "photo":
        ticks = of.get("tick", [])
        days.append(ticks[0]["day"] if ticks else None)
    need = item["photos_needed"]
    if item["proof"] == "photo" and need == 0:
        need = 1
    if need:
        shots = {}
        for s in of.get("photo", []):
            if s["said"]["sha"] in arrived and s["said"]["sha"] not in shots:
                shots[s["said"]["sha"]] = s["day"]
        ordered = sorted(shots.values())
        days.append(ordered[need - 1] if len(ordered) >= need else None)
    if None not in days:
        return "proven", max(days)
    if rejected_at > last_proof:
        return "rejected", None
    return "open", None


def _number(spec, standing):
    """(value, day, clash, off) of the measurements that stand."""
    settled_no, settled = 0, None
    for s in standing:
        if s["what"] == "settle":
            settled_no, settled = s["no"], s
    by_person = {}
    for s in standing:
        if s["what"] == "measure":
            by_person[s["by"]] = s
    fresh = [s for s in by_person.values() if s["no"] > settled_no]
    if fresh:
        fresh.sort(key=lambda s: s["no"])
        value = fresh[-1]["said"]["value"]
        clash = any(s["said"]["value"] != value for s in fresh)
        low, high = spec.get("least"), spec.get("most")
        outside = (low is not None and value < low) or (
            high is not None and value > high
        )
        off = outside and not spec.get("advisory")
        return value, fresh[-1]["day"], clash, off
    if settled is not None:
        value = settled["said"].get("value")
        if value is None and by_person:
            newest = max(by_person.values(), key=lambda s: s["no"])
            value = newest["said"]["value"]
        return value, settled["day"], False, False
    return None, None, False, False


def phase_words(phase, facts, items, *, today, zone, before=None):
    """Work, inspection and cover with their days, and whether the gate is open.

    phase    parts, kinds (None: unknown), conceals, own_corrections, warn_days
    items    (concealed, state, day proven) of the items that stand on the list
    before   the answer of the phase before, as this function gave it
    """
    book = _notebook(facts, zone)
    inspection, inspected = _inspection(phase, book)
    passed = inspection == "passed" or (
        inspection == "none_needed" and book["done"] is not None
    )
    lacking = []
    if not items:
        lacking.append("no_list")
    if any(concealed and state != "proven" for concealed, state, _ in items):
        lacking.append("concealed_unproven")
    if phase["own_corrections"]:
        lacking.append("corrections_open")
    shut = lacking + ([] if inspection in ("passed", "none_needed") else ["not_passed"])
    gate = not shut or "cover" in book["overridden"]
    work = _work(phase, book, items, before)
    cover = _cover(phase, book, items, shut, gate, today)
    return {
        "work": work,
        "inspection": (inspection, inspected),
        "cover": cover,
        "gate": gate,
        "passed": passed,
        "open_kinds": _open_kinds(phase, book),
        "done": book["done"],
        "kinds": phase["kinds"],
    }


def _notebook(facts, zone):
    book = {
        "parts": {},
        "began": None,
        "done": None,
        "plan": None,
        "kinds": {},
        "cover": None,
        "overridden": set(),
    }
    for row in facts:
        said, day = row["payload"], day_of(row["happened_at"], zone)
        match row["kind"]:
            case "part_said":
                book["parts"][said["part"]] = (said["ready"], day)
            case "planned":
                book["plan"] = date.fromisoformat(said["start"])
            case "unplanned":
                book["plan"] = None
            case "started":
                book["began"] = book["began"] or day
            case "reopened":
                book["began"], book["done"] = book["began"] or day, None
            case "broken_off":
                book["began"] = None
            case "work_done":
                book["done"] = day
            case "entry":
                if said["answer"] in {"tick", "measure", "photo", "test"}:
                    book["began"] = book["began"] or day
            case "called_in":
                when = date.fromisoformat(said["for_date"])
                book["kinds"][said["inspection"]] = ("called_in", when)
            case "call_cancelled":
                book["kinds"].pop(said["inspection"], None)
            case "result":
                _note_result(book, said)
            case "date_said":
                if said["what"] == "cover":
                    book["cover"] = said
            case "gate_overridden":
                book["overridden"].add(said["gate"])
    return book


def _note_result(book, said):
    when = date.fromisoformat(said["on"])
    if said["result"] == "cancelled":
        book["kinds"].pop(said["inspection"], None)
    elif said["result"] in ("passed", "partly_passed"):
        book["kinds"][said["inspection"]] = (said["result"], when)
    else:
        book["kinds"][said["inspection"]] = ("failed", when)


def _open_kinds(phase, book):
    return [
        kind
        for kind in phase["kinds"] or ()
        if book["kinds"].get(kind, ("", None))[0] != "passed"
    ]


def _inspection(phase, book):
    if phase["kinds"] is None:
        return "not_called", None
    if not phase["kinds"]:
        return "none_needed", None
    known = [book["kinds"].get(kind, ("not_called", None)) for kind in phase["kinds"]]
    words = [word for word, _ in known]
    if words.count("passed") == len(words):
        return "passed", max(day for _, day in known)
    for word, pick in (("failed", max), ("called_in", min)):
        if word in words:
            return word, pick(day for w, day in known if w == word)
    some = [day for w, day in known if w in ("passed", "partly_passed")]
    return ("partly_passed", max(some)) if some else ("not_called", None)


def _work(phase, book, items, before):
    if book["done"] is not None:
        clean = items and all(state == "proven" for _, state, _ in items)
        if clean and not phase["own_corrections"]:
            days = [day for _, _, day in items if day] + [book["done"]]
            return "proven", max(days)
        return "done", book["done"]
    if book["began"] is not None:
        return "working", book["began"]
    if book["plan"] is not None:
        return "planned", book["plan"]
    if before is not None and not before["passed"]:
        # One inspection may prove both; then the work of the first is enough.
        shared = before["open_kinds"] and set(before["open_kinds"]) <= set(
            phase["kinds"] or ()
        )
        if before["done"] is None or not shared:
            return "not_ready", None
    said = [book["parts"].get(part, (False, None)) for part in phase["parts"]]
    if not said or not all(ready for ready, _ in said):
        return "not_ready", None
    return "ready", max(day for _, day in said)


def _cover(phase, book, items, shut, gate, today):
    said = book["cover"]
    if not phase["conceals"] or said is None or not said["date"]:
        return "open", None
    when = date.fromisoformat(said["date"])
    if said["status"] != "actual":
        near = when - timedelta(days=phase["warn_days"]) <= today
        return ("due" if near else "open"), when
    late = any(
        concealed and day and day > when for concealed, state, day in items
    ) or any(
        book["kinds"][kind][1] > when
        for kind in phase["kinds"] or ()
        if kind in book["kinds"]
    )
    return ("covered_unproven" if shut or late else "covered_proven"), when
