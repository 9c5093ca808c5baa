"""Walks every lot of the database afresh and holds the stored answers against it."""

from collections import defaultdict

from phases.models import (
    CheckItem,
    Correction,
    Fact,
    LotPhase,
    Photo,
    PhotoUse,
    ReadyPart,
)
from tests.phases.walk import day_of, item_word, phase_words
from tracker.sites.models import Company, InspectionKind, Lot


def grouped(rows, key):
    found = defaultdict(list)
    for row in rows:
        found[row[key]].append(row)
    return found


def differences(*, now) -> list[str]:
    """One line for each stored answer that the walk does not give. `now` is the
    moment of the last refresh: what is due depends on the day."""
    facts = list(Fact.objects.order_by("no").values())
    by_phase = grouped(facts, "lot_phase_id")
    entries = grouped((f for f in facts if f["kind"] == "entry"), "item_id")
    items = grouped(CheckItem.objects.values(), "lot_phase_id")
    open_ours = list(
        Correction.objects.filter(owed_by="us").exclude(state="closed").values()
    )
    parts = grouped(ReadyPart.objects.filter(is_required=True).values(), "kind_id")
    kinds = grouped(
        InspectionKind.objects.order_by("position").values(), "jurisdiction_id"
    )
    phases = grouped(
        LotPhase.objects.order_by("position").values(
            *(f.attname for f in LotPhase._meta.concrete_fields),
            "kind__code",
            "kind__conceals_en",
        ),
        "lot_id",
    )
    used = grouped(PhotoUse.objects.values(), "lot_id")
    there = set(Photo.objects.values_list("sha256", flat=True))
    warn = Company.get().cover_warn_days
    found = []
    lots = Lot.objects.select_related("subdivision", "plan")
    for lot in lots:
        zone = lot.subdivision.time_zone
        arrived = {u["photo_sha"] for u in used[lot.pk]} & there
        own = [p["id"] for p in phases[lot.pk]]
        listed = [i for p in own for i in items[p] if i["removed_at"] is None]
        has = {lot.foundation or (lot.plan.foundation if lot.plan else "")}
        for item in listed:
            has |= {item["spec"].get("fixture"), *item["spec"].get("systems", ())}
        before = None
        for phase in phases[lot.pk]:
            rows = []
            for item in items[phase["id"]]:
                corrected = any(c["item_id"] == item["id"] for c in open_ours)
                word, day = item_word(
                    item, entries[item["id"]], arrived, zone, corrected
                )
                if word != item["state"]:
                    found.append(f"{lot} {item['key']}: {item['state']}, walk {word}")
                if item["removed_at"] is None:
                    rows.append((item["concealed"], word, day))
            office = kinds[lot.subdivision.jurisdiction_id]
            needed = [
                k["code"]
                for k in office
                if phase["kind__code"] in k["proves"]
                and (not k["applies_to"] or not listed or has & set(k["applies_to"]))
            ]
            before = phase_words(
                {
                    "parts": [p["code"] for p in parts[phase["kind_id"]]],
                    "kinds": needed if office else None,
                    "conceals": bool(phase["kind__conceals_en"]),
                    "own_corrections": sum(
                        c["lot_phase_id"] == phase["id"] for c in open_ours
                    ),
                    "warn_days": warn,
                },
                by_phase[phase["id"]],
                rows,
                today=day_of(now, zone),
                zone=zone,
                before=before,
            )
            stored = {
                "work": (phase["work"], phase["work_on"]),
                "inspection": (phase["inspection"], phase["inspection_on"]),
                "cover": (phase["cover"], phase["cover_on"]),
                "gate": phase["gate_open"],
                "passed": phase["passed_on"] is not None,
            }
            for key, value in stored.items():
                if before[key] != value:
                    where = f"{lot} {phase['kind__code']} {key}"
                    found.append(f"{where}: stored {value}, walk {before[key]}")
    return found
