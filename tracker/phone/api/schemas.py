"""Shapes of the API for its published description. Data only, no rules."""

from rest_framework import serializers

FROM = {"help_text": "Always `plumbrow`: the mark of a true answer."}


class Both(serializers.Serializer):
    en = serializers.CharField(allow_blank=True)
    es = serializers.CharField(allow_blank=True)


class Marked(serializers.Serializer):
    def get_fields(self):
        fields = super().get_fields()
        fields["from"] = serializers.CharField(**FROM)
        return fields


class EnrolmentIn(serializers.Serializer):
    code = serializers.CharField(max_length=64)
    name = serializers.CharField(max_length=80)


class EnrolledMember(serializers.Serializer):
    id = serializers.CharField()
    name = serializers.CharField()
    role = serializers.CharField()
    language = serializers.CharField()


class EnrolmentOut(Marked):
    token = serializers.CharField()
    device = serializers.UUIDField()
    epoch = serializers.UUIDField()
    member = EnrolledMember()


class Lots(Marked):
    epoch = serializers.UUIDField()
    cursor = serializers.CharField()
    today = serializers.DateField()
    complete_until = serializers.DateField()
    member = EnrolledMember()
    plan = serializers.DictField(
        help_text="The crew's days of the published plan, and what is new in them."
    )
    sheet = serializers.IntegerField(
        allow_null=True, help_text="The drawing sheet that came last."
    )
    now = serializers.DateTimeField(help_text="The server's clock.")
    lots = serializers.ListField(child=serializers.DictField())


class OneLot(Marked):
    epoch = serializers.UUIDField()
    lot = serializers.DictField()


class OperationsIn(serializers.Serializer):
    """Each operation: id (UUIDv7), seq, member, kind, lot, target, version, payload,
    at, after; an act on no lot (plan_seen) names none. One that cannot be read is
    refused alone and set aside."""

    operations = serializers.ListField(
        child=serializers.DictField(), min_length=1, max_length=200
    )
    sent_at = serializers.DateTimeField(
        required=False, help_text="The phone's clock when it sent."
    )


class Receipt(serializers.Serializer):
    id = serializers.CharField()
    result = serializers.ChoiceField(["applied", "had", "refused", "later"])
    code = serializers.CharField(allow_blank=True)
    en = serializers.CharField(allow_blank=True)
    es = serializers.CharField(allow_blank=True)
    detail = serializers.CharField(required=False)
    no = serializers.IntegerField(required=False, allow_null=True)
    sha256 = serializers.CharField(required=False, allow_blank=True)


class OperationsOut(Marked):
    epoch = serializers.UUIDField()
    receipts = Receipt(many=True)


class FeedFact(serializers.Serializer):
    no = serializers.IntegerField()
    op = serializers.UUIDField(allow_null=True)
    kind = serializers.CharField()
    lot = serializers.IntegerField()
    item = serializers.IntegerField(allow_null=True)
    by = serializers.CharField()
    happened_at = serializers.DateTimeField()
    recorded_at = serializers.DateTimeField()


class FeedOut(Marked):
    epoch = serializers.UUIDField()
    cursor = serializers.CharField()
    reset = serializers.BooleanField()
    all = serializers.BooleanField()
    more = serializers.BooleanField()
    lots = serializers.ListField(child=serializers.IntegerField())
    facts = FeedFact(many=True)
    news = serializers.IntegerField(
        allow_null=True, help_text="The plan notice that waits to be acknowledged."
    )
    sheet = serializers.IntegerField(
        allow_null=True, help_text="As with the lots; where it differs, fetch anew."
    )
    now = serializers.DateTimeField(help_text="The server's clock.")


class UploadOut(Marked):
    sha256 = serializers.CharField()
    state = serializers.ChoiceField(["open", "there", "refused"])
    offset = serializers.IntegerField()
    length = serializers.IntegerField(allow_null=True)
    code = serializers.CharField(required=False)
    en = serializers.CharField(required=False)
    es = serializers.CharField(required=False)


class DeviceOut(serializers.Serializer):
    id = serializers.UUIDField()
    name = serializers.CharField()
    member = serializers.CharField()
    enrolled_at = serializers.DateTimeField()
    last_seen_at = serializers.DateTimeField(allow_null=True)
    clock_skew_seconds = serializers.IntegerField()
    waiting = serializers.IntegerField(
        help_text="Entries still on the phone when it was last heard of."
    )
    revoked_at = serializers.DateTimeField(allow_null=True)


class DevicesOut(Marked):
    devices = DeviceOut(many=True)


class CodeIn(serializers.Serializer):
    member = serializers.IntegerField(min_value=1, max_value=2**53)


class CodeOut(Marked):
    code = serializers.CharField()
    url = serializers.CharField()
    qr = serializers.CharField(help_text="The address as an SVG picture.")


class SetAsideOut(serializers.Serializer):
    id = serializers.IntegerField()
    device = serializers.CharField()
    member = serializers.CharField()
    operation = serializers.JSONField()
    code = serializers.CharField()
    en = serializers.CharField()
    es = serializers.CharField()
    set_aside_at = serializers.DateTimeField()


class SetAsideList(Marked):
    waiting = SetAsideOut(many=True)


class SettleIn(serializers.Serializer):
    how = serializers.CharField(max_length=400)
