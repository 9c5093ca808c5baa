"""Photos sent in chunks as a phone would."""

from tests.phone import pictures_made as made
from tests.phone.scene import on_item

CHUNK = 1000


def put(client, scene, phone, data, start, end, **wrong):
    piece = data[start:end]
    asked = {
        "offset": start,
        "length": len(data),
        "chunk": made.sha(piece),
        "taken": "2026-03-04T14:00:00Z",
        **wrong,
    }
    query = "&".join(f"{k}={v}" for k, v in asked.items())
    return client.generic(
        "PATCH",
        f"/api/v1/uploads/{made.sha(data)}/?{query}",
        wrong.get("body", piece),
        content_type="application/octet-stream",
        **scene.bearer(phone),
    )


def ask(client, scene, phone, data):
    reply = client.get(f"/api/v1/uploads/{made.sha(data)}/", **scene.bearer(phone))
    return reply.json()["state"], reply.json()["offset"]


def upload(client, scene, phone, data):
    for start in range(0, len(data), CHUNK):
        reply = put(client, scene, phone, data, start, start + CHUNK)
        assert reply.status_code == 200, reply.content
    return reply.json()


def photo_op(scene, key, data, **more):
    return on_item(scene, "photo", key, payload={"sha": made.sha(data)}, **more)
