"""Bugs planted in the server on purpose: the simulation has to catch each."""

from tests.phone.sim.faults import Killed


def last_write_by_phone_clock() -> None:
    """An older phone time loses and is dropped, though it is answered as applied."""
    from tracker.phone import intake
    from tracker.phone.models import Operation

    real = intake._effect

    def effect(op, *, device, now, skew):
        newer = Operation.objects.filter(
            device__member__crew=device.member.crew, claimed_at__gt=op.at
        )
        if newer.exists():
            return None
        return real(op, device=device, now=now, skew=skew)

    intake._effect = effect


def dedupe_by_file_name() -> None:
    """A photo of the same time and size counts as there already."""
    from phases.models import Photo
    from tracker.phone import uploads

    real = uploads.receive

    def receive(sha, chunk, *, device, now):
        same = Photo.objects.filter(bytes_received=chunk.length, sent_by=device.member)
        if same.exclude(pk=sha).exists():
            size = chunk.length
            return {"sha256": sha, "state": "there", "offset": size, "length": size}
        return real(sha, chunk, device=device, now=now)

    uploads.receive = receive


def cursor_on_a_timestamp() -> None:
    """The feed goes by recorded_at instead of the number in commit order."""
    from phases.models import Fact
    from tracker.phone import feed

    real = feed.read_feed

    def read(cursor, *, member, today):
        epoch, _, number = cursor.rpartition(".")
        last = Fact.objects.filter(no=int(number)).first() if number else None
        page = real(cursor, member=member, today=today)
        if last is not None:
            before = Fact.objects.filter(recorded_at__lte=last.recorded_at)
            hidden = set(before.values_list("no", flat=True))
            page["facts"] = [f for f in page["facts"] if f["no"] not in hidden]
        newest = Fact.objects.order_by("recorded_at").last()
        page["cursor"] = f"{epoch}.{newest.no}"
        return page

    feed.read_feed = read


def receipt_before_commit() -> None:
    """Receipts are given out although the transaction then dies."""
    from tracker.phone import intake

    real = intake.take_all

    def take(bodies, *, device, now, skew):
        try:
            return real(bodies, device=device, now=now, skew=skew)
        except Killed:
            return [
                {
                    "id": body["id"],
                    "result": "applied",
                    "sha256": body["payload"].get("sha", ""),
                }
                for body in bodies
            ]

    intake.take_all = take


def no_memory_of_receipts() -> None:
    """A repeated operation is taken for a new one."""
    from dataclasses import replace
    from uuid import uuid4

    from tracker.phone import intake

    real = intake._first

    def known(row, op, body, *, device, now):
        with intake.writing(now=now):
            fresh = replace(op, id=uuid4(), after=None)
            from datetime import timedelta

            real(fresh, body, device=device, now=now, skew=timedelta(0))
        return intake.receipt_of(row, again=True)

    intake._known = known


PLANTS = {
    one.__name__: one
    for one in (
        last_write_by_phone_clock,
        dedupe_by_file_name,
        cursor_on_a_timestamp,
        receipt_before_commit,
        no_memory_of_receipts,
    )
}
