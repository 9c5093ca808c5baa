"""Operations sent over the API as a phone would, and what came of them."""

import json

from phases.models import CheckItem


def send(client, scene, phone, *ops, **more):
    reply = client.post(
        "/api/v1/operations/",
        json.dumps({"operations": list(ops), **more}),
        content_type="application/json",
        **scene.bearer(phone),
    )
    assert reply.status_code == 200, reply.content
    body = reply.json()
    assert body["from"] == "plumbrow"
    return body["receipts"]


def state(scene, key):
    return CheckItem.objects.get(pk=scene.items[key].pk).state


def results(receipts):
    return [(one["result"], one["code"]) for one in receipts]
