def test_the_health_page_answers_when_the_database_does(client, db):
    response = client.get("/healthz")

    assert (response.status_code, response.content) == (200, b"ok\n")
