"""The judge: every rule of a plan checked from the raw JSON of problem and plan.

It reads the JSON itself and shares no code with the solver, so that an error in one is
seen by the other. Each breach has a code.
"""

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

Raw = Mapping[str, Any]
DAY = 4


@dataclass(frozen=True)
class Breach:
    """`code` and `params` say it in any language; days and quarters are numbers."""

    code: str
    lot: str
    phase: str
    text: str
    params: Raw = field(default_factory=dict, hash=False)

    def __str__(self) -> str:
        return f"{self.code}: {self.text}"


@dataclass(frozen=True)
class Verdict:
    """`score` is None when the plan is too broken to be priced."""

    breaches: tuple[Breach, ...]
    score: int | None


@dataclass
class Case:
    """Problem and plan side by side; only entries that can be read are in `work`."""

    problem: Raw
    phases: dict[tuple[str, str], Raw] = field(default_factory=dict)
    before: dict[tuple[str, str], tuple[str, str] | None] = field(default_factory=dict)
    place: dict[str, str] = field(default_factory=dict)
    entries: dict[tuple[str, str], Raw] = field(default_factory=dict)
    breaches: list[Breach] = field(default_factory=list)

    def __post_init__(self) -> None:
        for lot in self.problem["lots"]:
            last = None
            self.place[lot["id"]] = lot["subdivision"]
            for phase in lot["phases"]:
                name = (lot["id"], phase["phase"])
                self.phases[name], self.before[name] = phase, last
                last = name
        self.crews = {crew["id"]: crew for crew in self.problem["crews"]}
        subdivisions = self.problem["subdivisions"]
        self.at = {one["id"]: number for number, one in enumerate(subdivisions)}
        rules = {one["id"]: one for one in self.problem["jurisdictions"]}
        self.rules = {one["id"]: rules[one["jurisdiction"]] for one in subdivisions}

    def find(
        self, code: str, name: tuple[str, str], text: str, **params: object
    ) -> None:
        place = f"lot {name[0]} {name[1]}" if name[0] else "plan"
        self.breaches.append(Breach(code, *name, f"{place}: {text}", params))

    def worked(self) -> Iterator[tuple[tuple[str, str], Raw, Raw, Raw]]:
        """Name, entry, phase and crew of each entry that a crew works on."""
        for name, entry in self.entries.items():
            phase = self.phases[name]
            if phase["status"] == "open":
                yield name, entry, phase, self.crews[entry["crew"]]


def judge(problem: Raw, plan: Any) -> Verdict:
    """All breaches of `plan` against `problem`, both parsed JSON, and its score."""
    case = Case(problem)
    _read(case, plan)
    complete = not case.breaches
    for check in (_crews_work, _gates, _inspections, _pins):
        check(case)
    score = _price(case) if complete else None
    return Verdict(tuple(case.breaches), score)


def _read(case: Case, plan: Any) -> None:
    if not isinstance(plan, Mapping) or not isinstance(plan.get("jobs"), list):
        case.find("unreadable", ("", ""), "the plan has no list of jobs.")
        return
    if plan.get("format") != "plumb-plan/1":
        case.find("wrong_format", ("", ""), f"format is {plan.get('format')!r}.")
    if plan.get("instance") != case.problem["name"]:
        case.find("wrong_instance", ("", ""), f"plan of {plan.get('instance')!r}.")
    seen = set()
    for entry in plan["jobs"]:
        if not isinstance(entry, Mapping):
            case.find("unreadable", ("", ""), f"not a job: {entry!r}.")
            continue
        name = (str(entry.get("lot")), str(entry.get("phase")))
        phase = case.phases.get(name)
        if phase is None or phase["status"] == "passed":
            case.find("unknown_job", name, "is not to be planned.")
        elif name in seen:
            case.find("double_job", name, "is planned twice.")
        elif _readable(case, name, entry, phase):
            case.entries[name] = entry
        seen.add(name)
    for name, phase in case.phases.items():
        if phase["status"] != "passed" and name not in seen:
            case.find("missing_job", name, "is not in the plan.")


def _whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _readable(case: Case, name: tuple[str, str], entry: Raw, phase: Raw) -> bool:
    number = len(case.breaches)
    inspected = phase.get("inspected", True)
    day = entry.get("inspection_day")
    if inspected and not _whole(day):
        case.find("no_inspection", name, "needs an inspection day.")
    if not inspected and day is not None:
        case.find("needless_inspection", name, "is not inspected.")
    if phase["status"] == "awaiting_inspection":
        if entry.get("crew") is not None or entry.get("start_quarter") is not None:
            case.find("work_done_already", name, "is built; it has crew or start.")
    elif not isinstance(entry.get("crew"), str) or entry["crew"] not in case.crews:
        case.find("unknown_crew", name, f"no such crew: {entry.get('crew')!r}.")
    elif not (_whole(entry.get("start_quarter")) and _whole(entry.get("end_quarter"))):
        case.find("no_dates", name, "needs whole start and end quarters.")
    return len(case.breaches) == number


def _crews_work(case: Case) -> None:
    lines = defaultdict(list)
    for name, entry, phase, crew in case.worked():
        start, end = entry["start_quarter"], entry["end_quarter"]
        who = crew["id"]
        lines[who].append((start, end, name))
        if name[1] not in crew["phases"]:
            case.find("not_qualified", name, f"crew {who} may not do it.", crew=who)
        takes = max(1, math.ceil(phase["crew_quarters"] / crew["speed"]))
        if end != start + takes:
            text = f"takes {takes} quarters, not {end - start}."
            case.find("wrong_length", name, text, takes=takes, planned=end - start)
        if start < max(0, crew.get("free_from_quarter", 0)):
            text = f"crew {who} is not free yet."
            case.find("crew_not_free", name, text, crew=who)
        wet = name[1] in case.problem.get("rain_exposed_phases", ())
        worked = range(start // DAY, (end - 1) // DAY + 1)
        for day in sorted(set(crew.get("days_off", ()))):
            if day in worked:
                text = f"crew {who} is off on day {day}."
                case.find("day_off", name, text, crew=who, day=day)
        for day in sorted(set(case.problem.get("rain_days", ()))) if wet else ():
            if day in worked:
                case.find("rain", name, f"day {day} is a rain day.", day=day)
    for crew_id, line in lines.items():
        _one_line(case, case.crews[crew_id], sorted(line))


def _one_line(case: Case, crew: Raw, line: list[tuple[int, int, Any]]) -> None:
    free, at = crew.get("free_from_quarter", 0), crew["at"]
    for start, end, name in line:
        there = case.place[name[0]]
        if start < free:
            text = f"crew {crew['id']} is busy until quarter {free}."
            case.find("overlap", name, text, crew=crew["id"], until=free)
        elif there != at and start // DAY * DAY < free:
            lost = case.problem["move_quarters"][case.at[at]][case.at[there]]
            if start < free + lost:
                text = f"crew {crew['id']} needs {lost} quarters from {at} to {there}."
                more = {"crew": crew["id"], "needs": lost, "left": at, "to": there}
                case.find("no_time_to_drive", name, text, **more)
        free, at = max(free, end), there


def _pass_day(case: Case, name: tuple[str, str]) -> int | None:
    """None when the phase passed before today or its entry cannot be read."""
    entry = case.entries.get(name)
    if entry is None:
        return None
    if case.phases[name].get("inspected", True):
        return int(entry["inspection_day"])
    return (int(entry["end_quarter"]) - 1) // DAY


def _gates(case: Case) -> None:
    for name, entry, phase, _ in case.worked():
        start = entry["start_quarter"]
        if start < DAY * phase["ready_day"]:
            ready = phase["ready_day"]
            case.find("before_ready", name, f"ready on day {ready}.", day=ready)
        before = case.before[name]
        passed = None if before is None else _pass_day(case, before)
        if before is None or passed is None:
            continue
        opens = passed + 1 + case.phases[before]["builder_days_after_pass"]
        if start < DAY * opens:
            text = f"{before[1]} opens it on day {opens}."
            case.find("before_gate", name, text, before=before[1], day=opens)


def _inspections(case: Case) -> None:
    booked = defaultdict(list)
    for name, entry in case.entries.items():
        phase = case.phases[name]
        if not phase.get("inspected", True):
            continue
        rules, day = case.rules[case.place[name[0]]], entry["inspection_day"]
        weekday = (case.problem["weekday_of_day0"] + day) % 5
        if weekday not in rules["weekdays"] or day in rules["closed_days"]:
            text = f"{rules['id']} is closed on day {day}."
            case.find("no_inspector", name, text, office=rules["id"], day=day)
        end = entry["end_quarter"] if phase["status"] == "open" else 0
        call = max(0, math.ceil((end - rules["cutoff_quarter"]) / DAY))
        if day < call + rules["lead_days"]:
            soonest = call + rules["lead_days"]
            text = f"called on day {call}, so not before day {soonest}."
            case.find("inspected_too_early", name, text, call=call, day=soonest)
        booked[rules["id"], day].append((name, rules))
    for (line, day), names in booked.items():
        cap = names[0][1]["daily_cap"]
        for name, _ in names[cap:]:
            text = f"{line} takes {cap} on day {day}."
            case.find("over_cap", name, text, office=line, cap=cap, day=day)


def _pins(case: Case) -> None:
    for pin in case.problem.get("pins", ()):
        name = (pin["lot"], pin["phase"])
        entry = case.entries.get(name)
        if entry is None:
            continue
        if entry["crew"] != pin["crew"]:
            text = f"is pinned to crew {pin['crew']}."
            case.find("pin_crew", name, text, crew=pin["crew"])
        start = entry["start_quarter"]
        if start is None or start // DAY != pin["day"]:
            text = f"is pinned to day {pin['day']}."
            case.find("pin_day", name, text, day=pin["day"])


def _price(case: Case) -> int:
    weights = {"late_day": 10, "move": 8, "crew_change": 12, "day_change": 6}
    weights.update(case.problem.get("weights", {}))
    told = {(t["lot"], t["phase"]): t for t in case.problem.get("published", ())}
    total, lines = 0, defaultdict(list)
    for name in case.entries:
        phase, passed = case.phases[name], _pass_day(case, name) or 0
        late = max(0, passed - phase["need_by_day"])
        total += weights["late_day"] * phase["priority"] * late
    for name, entry, _, crew in case.worked():
        lines[crew["id"]].append((entry["start_quarter"], case.place[name[0]]))
        if name in told:
            changed = told[name]["crew"] != crew["id"]
            total += weights["crew_change"] * changed
            was = told[name]["start_quarter"] // DAY
            total += weights["day_change"] * (was != entry["start_quarter"] // DAY)
    for crew_id, line in lines.items():
        at = case.crews[crew_id]["at"]
        for _, there in sorted(line):
            total += weights["move"] * (there != at)
            at = there
    return total
