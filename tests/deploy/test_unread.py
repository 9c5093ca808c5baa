from django.http import HttpResponse

from tracker.unread import read_the_rest


def test_a_body_that_the_view_did_not_read_is_read_before_the_answer(rf):
    request = rf.post("/", data=b"x" * 600_000, content_type="image/jpeg")

    answer = read_the_rest(lambda request: HttpResponse(status=401))(request)

    assert (answer.status_code, request.read()) == (401, b"")


def test_a_body_that_the_view_has_read_is_still_its_own(rf):
    request = rf.post("/", data=b"kept", content_type="image/jpeg")

    answer = read_the_rest(lambda request: HttpResponse(request.body))(request)

    assert (answer.content, request.body) == (b"kept", b"kept")


def test_a_form_that_the_view_has_read_is_still_its_own(rf):
    request = rf.post("/", data={"lot": "18A"})

    answer = read_the_rest(lambda request: HttpResponse(request.POST["lot"]))(request)

    assert answer.content == b"18A"
