"""Seeded histories: three phones, one lot, faults, and the promise kept at the end.

The phone's own scripts run under Node against the real views in a server of their own.
A failure prints its seed; the same seed gives the same history.
"""

import re
from pathlib import Path

import pytest

from tests.phone.sim.run import HERE, drive

pytestmark = pytest.mark.service

SEED, HISTORIES, STEPS = 1, 9, 40
PHONE_PLANTS = re.findall(
    r"^  (\w+): \[", (HERE / "plants.mjs").read_text("utf-8"), re.MULTILINE
)
SERVER_PLANTS = re.findall(
    r"^def (\w+)\(\) -> None:", (HERE / "plants.py").read_text("utf-8"), re.MULTILINE
)


def test_nothing_is_lost_and_every_fault_was_tried(serve):
    status, report = drive(serve(), seed=SEED, histories=HISTORIES, steps=STEPS)

    print(report)
    assert (status, report.get("broken"), report.get("never")) == (0, None, [])


def test_a_seed_gives_the_same_history_again(serve):
    first, second = (
        drive(serve(), seed=77, histories=1, steps=20)[1] for _ in range(2)
    )

    assert first["trace"] == second["trace"]
    assert first["fired"] == second["fired"]


# Which promise each planted bug breaks, by the words of sim/checks.mjs, and from which
# seed that shows soonest.
PROMISES = {
    "remove_before_receipt": ("I1", 1),
    "any_200_counts": ("I6", 5),
    "sent_as_current": ("I5", 7),
    "bytes_dropped_at_upload": ("I4", 1),
    "forgets_order": ("order", 1),
    "waits_for_ever": ("I8", 1),
    "last_write_by_phone_clock": ("I1", 1),
    "dedupe_by_file_name": ("I8", 2),
    "cursor_on_a_timestamp": ("I3", 4),
    "receipt_before_commit": ("I6", 2),
    "no_memory_of_receipts": ("I2", 1),
}


def test_there_are_bugs_to_plant_on_both_sides():
    assert (len(PHONE_PLANTS), len(SERVER_PLANTS)) == (6, 5)
    assert {*PHONE_PLANTS, *SERVER_PLANTS} == set(PROMISES)


@pytest.mark.parametrize("plant", PHONE_PLANTS)
def test_a_bug_planted_in_the_phone_is_caught(serve, plant):
    promise, seed = PROMISES[plant]

    report = drive(serve(), seed=seed, histories=4, steps=STEPS, plant=plant)[1]

    assert report["broken"].startswith(promise)


@pytest.mark.parametrize("plant", SERVER_PLANTS)
def test_a_bug_planted_in_the_server_is_caught(serve, plant):
    promise, seed = PROMISES[plant]

    report = drive(serve(plant), seed=seed, histories=4, steps=STEPS)[1]

    assert report["broken"].startswith(promise)


def test_the_scripts_under_test_are_the_pages_own():
    page = Path("tracker/phone/static/phone/app.js").read_text("utf-8")

    for name in ("outbox.js", "sender.js", "wire.js", "uuid.js"):
        assert f'from "./{name}"' in page
