def test_healthz(client, db):
    assert client.get("/healthz").content == b"ok\n"
