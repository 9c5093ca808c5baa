"""Tests of the tests: a bug planted for each fault, and the test that notices it.

The simulation plants further bugs of its own (tests/phone/sim/plants.*).
"""

import dataclasses
import inspect

import pytest
from playwright.sync_api import Error as PlaywrightError

from phases import item_state
from phases.models import Photo
from tests.phone import test_acts_api as acts
from tests.phone import test_fail_at_n as fail_at_n
from tests.phone import test_my_days as days
from tests.phone import test_operations_api as operations
from tests.phone import test_phone_store as stores
from tests.phone import test_phones_api as phones
from tests.phone import test_photos_api as photos
from tests.phone import test_uploads_api as sending
from tests.phone.scene import make_scene
from tests.phone.sim.faults import killed_at_file
from tests.phone.sim.run import SCRIPTS
from tests.phone.test_simulation import PROMISES
from tracker.phone import apply, intake, parts, uploads
from tracker.phone.models import SetAside
from tracker.planning.models import CrewNotice


@pytest.fixture
def scene(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return make_scene()


def appended_chunks(patch) -> None:
    """A chunk is written behind whatever a broken attempt left in the file."""

    def write(handle, chunk, *, offset):
        parts.os.lseek(handle, 0, parts.os.SEEK_END)
        parts.os.write(handle, chunk)

    patch.setattr(parts, "write_chunk", write)


def no_lock(patch) -> None:
    patch.setattr(parts.fcntl, "flock", lambda *_: None)


def damaged_chunks_taken(patch) -> None:
    real = uploads._add

    def add(upload, chunk, handle, *, now):
        own = uploads.hashlib.sha256(chunk.data).hexdigest()
        real(upload, dataclasses.replace(chunk, sha256=own), handle, now=now)

    patch.setattr(uploads, "_add", add)


def row_before_file(patch) -> None:
    """The photo's row is committed first, its files follow."""
    real = uploads._store

    def store(upload, picture, *, now):
        keep, kept = parts.keep_file, []
        parts.keep_file = lambda *given: kept.append(given)
        try:
            real(upload, picture, now=now)
        finally:
            parts.keep_file = keep
        for given in kept:
            keep(*given)

    patch.setattr(uploads, "_store", store)


def poison_spoils_the_batch(patch) -> None:
    real = intake._effect

    def effect(op, *, device, now, skew):
        reason = real(op, device=device, now=now, skew=skew)
        if reason == {"code": "fault"}:
            raise ValueError("the whole batch is answered as a fault")
        return reason

    patch.setattr(intake, "_effect", effect)


def refused_are_dropped(patch) -> None:
    patch.setattr(intake, "set_aside", lambda *_, **__: None)


def last_reading_wins(patch) -> None:
    real = item_state._measured

    def measured(need, live):
        return dataclasses.replace(real(need, live), conflict=False)

    patch.setattr(item_state, "_measured", measured)


def shut_out_phones_still_write(patch) -> None:
    patch.setattr(intake, "_why_set_aside", lambda op, device: None)


def repeats_are_new(patch) -> None:
    """The receipt is forgotten, so a repeated batch runs into the first one's."""
    real = intake._known

    def known(row, op, body, **more):
        return {**real(row, op, body, **more), "result": "refused"}

    patch.setattr(intake, "_known", known)


def own_order_is_forgotten(patch) -> None:
    """In the order that the network brought them, waiting for nothing."""
    patch.setattr(
        intake, "_runs", lambda places, read: [[n] for n in range(len(places))]
    )
    real = intake._first

    def first(op, body, **more):
        return real(dataclasses.replace(op, after=None), body, **more)

    patch.setattr(intake, "_first", first)


def same_size_is_same_photo(patch) -> None:
    """A photo of the same size as one that is there counts as that one."""
    real = uploads.receive

    def receive(sha, chunk, *, device, now):
        if Photo.objects.exclude(pk=sha).exists():
            size = chunk.length
            return {"sha256": sha, "state": "there", "offset": size, "length": size}
        return real(sha, chunk, device=device, now=now)

    patch.setattr(uploads, "receive", receive)


def seen_for_newer_ones_too(patch) -> None:
    def everything(notice, *, who, now):
        CrewNotice.objects.filter(crew=notice.crew).update(seen_at=now)

    patch.setattr(apply, "acknowledge", everything)


# How a test of ours fails: it looks for what is not there, or finds something else.
NOTICED = (AssertionError, KeyError, SetAside.DoesNotExist, ValueError, OSError)
# fault, the bug planted for it, and the test that notices.
PLANTED = [
    (1, repeats_are_new, operations, "a_repeated_batch_has_one_effect"),
    (2, own_order_is_forgotten, operations, "batches_are_applied_in_the_phones_own"),
    (4, appended_chunks, sending, "bytes_of_a_broken_attempt_are_overwritten"),
    (5, no_lock, sending, "a_second_connection_cannot_write"),
    (6, damaged_chunks_taken, sending, "a_damaged_chunk_is_refused"),
    (11, last_reading_wins, acts, "two_different_readings_are_both_kept"),
    (12, refused_are_dropped, operations, "a_removed_item_keeps_the_tick"),
    (21, shut_out_phones_still_write, phones, "a_revoked_phone_reads_nothing"),
    (22, shut_out_phones_still_write, operations, "what_another_person_entered"),
    (24, row_before_file, fail_at_n, "a_photo_is_whole_on_disk"),
    (26, poison_spoils_the_batch, operations, "an_operation_that_makes_the_server"),
    (30, same_size_is_same_photo, photos, "pictures_of_one_name_and_time"),
    ("news", seen_for_newer_ones_too, days, "the_newest_notice_stands"),
]
# The same for the phone's store: what stands in store.js, and what is put instead.
IN_STORE = [
    (14, "        if (photo) await putPhoto(at, photo);\n", "", "a_page_killed_at"),
    (16, "return once(stores, mode, work);\n    }", "throw error;\n    }", "a_dead"),
    (17, "put(bytes, sha256)", "put(new Blob([bytes]), sha256)", "the_phone_keeps"),
    (17, "if (photo) await readBack(photo);", "", "a_photo_that_reads_back"),
    (20, '"strict"', '"relaxed"', "outbox_writes_are_asked"),
]
# What the simulation plants for a fault (tests/phone/sim/plants.*).
IN_SIMULATION = {
    1: "no_memory_of_receipts",
    2: "forgets_order",
    3: "no_memory_of_receipts",
    7: "any_200_counts",
    10: "last_write_by_phone_clock",
    22: "sent_as_current",
    23: "receipt_before_commit",
    29: "cursor_on_a_timestamp",
    30: "dedupe_by_file_name",
}
TO_PROVE = {1, 2, 3, 4, 5, 6, 7, 10, 11, 12, 14, 21, 22, 23, 24, 26, 29, 30}


def named(module, start: str):
    """The one test of a module whose name starts so."""
    [found] = [
        one for name, one in vars(module).items() if name.startswith(f"test_{start}")
    ]
    return found


def test_every_fault_has_a_planted_bug():
    planted = {fault for fault, *_ in (*PLANTED, *IN_STORE)} | set(IN_SIMULATION)

    assert planted - {"news"} >= TO_PROVE
    assert set(IN_SIMULATION.values()) <= set(PROMISES)


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(
    ("fault", "plant", "module", "name"), PLANTED, ids=[one[3] for one in PLANTED]
)
def test_a_planted_bug_is_noticed(
    client, scene, monkeypatch, fault, plant, module, name
):
    test = named(module, name)
    known = {"client": client, "scene": scene, "fault": killed_at_file}
    if "phone" in inspect.signature(test).parameters:
        known["phone"] = scene.phone()
    given = {key: known[key] for key in inspect.signature(test).parameters}
    plant(monkeypatch)

    with pytest.raises(NOTICED):
        test(**given)


@pytest.mark.browser
@pytest.mark.parametrize(("fault", "stands", "instead", "name"), IN_STORE)
def test_a_bug_planted_in_the_store_is_noticed(
    browser, house, fault, stands, instead, name
):
    store = (SCRIPTS / "store.js").read_text("utf-8")
    assert store.count(stands) == 1
    context = house.phone(browser)
    context.route(
        "**/store.js",
        lambda route: route.fulfill(
            content_type="text/javascript", body=store.replace(stands, instead)
        ),
    )
    planted = context.new_page()
    planted.goto("/phone/")

    with pytest.raises((AssertionError, PlaywrightError)):
        named(stores, name)(planted)
    context.close()
