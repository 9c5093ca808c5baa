"""The gate in a sentence, the stop notice, the inspection sheet, the calendars."""

from datetime import date

import pytest
from django.urls import reverse

from inspections.actions import (
    put_up_test,
    record_result,
)
from inspections.gate import gate_answer
from inspections.papers import pdf
from inspections.papers.pdf import document_of, qr_of
from inspections.papers.sheet import inspection_sheet
from inspections.papers.stop import stop_notice
from phases.actions.gate import override_gate
from phases.log import Who
from phases.names import names
from tests.factories import NOW, kind_of, make_crew, make_member, phase_of
from tests.inspections.scene import change_kind, cover_on, finish, office_lot
from tracker.errors import Refused

pytestmark = pytest.mark.django_db
TUE, WED = date(2026, 3, 3), date(2026, 3, 4)
LOT = "https://plumbing.example/lots/7/"


@pytest.fixture
def office():
    return Who(member=make_member("office"))


def answer_of(lot, language="en"):
    return gate_answer(phase_of(lot), language=language, names=names(language))


def test_the_gate_says_everything_that_is_missing_in_one_sentence(office):
    lot = office_lot(office)
    count = phase_of(lot).items.filter(concealed=True).count()

    assert answer_of(lot).sentence == (
        f"Not to be covered yet: in-wall items unproven: {count}; "
        "still to pass: Topout."
    )
    assert answer_of(lot, "es").sentence.startswith("No cubrir todavía: ")
    assert len(answer_of(lot).items) == count


def test_an_open_gate_says_so(office):
    lot = office_lot(office)
    finish(lot, office)
    record_result(lot, kind_of(lot), result="passed", on=TUE, who=office, now=NOW)

    assert answer_of(lot).sentence == "It may be covered."


def test_the_owners_override_stays_on_the_record_with_its_reason(office):
    lot = office_lot(office)
    owner = Who(member=make_member("owner"))
    with pytest.raises(Refused):
        override_gate(phase_of(lot), gate="cover", reason="rain", who=office, now=NOW)
    override_gate(
        phase_of(lot), gate="cover", reason="rain is coming", who=owner, now=NOW
    )

    answer = answer_of(lot)
    assert answer.is_open is True
    assert answer.sentence.startswith("It may be covered on the owner's word (rain is ")
    assert [fact.who for fact in answer.overrides] == [owner.name]


def pages_of(lot):
    made = stop_notice(phase_of(lot), now=NOW, address=LOT, by="Sadie Birk")
    assert made.startswith(b"%PDF-")
    return made


def test_the_stop_notice_is_one_page_however_much_is_missing(office, monkeypatch):
    from inspections.papers import stop

    lot = office_lot(office)
    phase = phase_of(lot)
    for n in range(60):
        phase.items.create(
            key=f"extra/{n}",
            spec={
                "text_en": f"A long demand number {n} behind the wall of the bath",
                "text_es": f"Un punto largo número {n} detrás del muro del baño",
                "room_en": "Bath",
                "room_es": "Baño",
                "from_list": False,
            },
        )
    cover_on(lot, date(2026, 3, 6), office)
    seen = {}
    monkeypatch.setattr(
        stop, "pdf_of", lambda template, context: seen.update(t=template, c=context)
    )
    stop_notice(phase_of(lot), now=NOW, address=LOT, by="Sadie Birk")

    assert len(document_of(seen["t"], seen["c"]).pages) == 1
    assert seen["c"]["languages"][0]["answer"].is_open is False


def test_the_pdfs_are_pdfs(office):
    lot = office_lot(office)
    finish(lot, office)
    put_up_test(
        phase_of(lot),
        system="gas",
        medium="air",
        material="steel",
        who=office,
        now=NOW,
        readings={"start_psig": 20.0},
    )

    assert pages_of(lot)
    made = inspection_sheet(phase_of(lot), now=NOW, address=LOT)
    assert made.startswith(b"%PDF-")


def test_a_paper_loads_nothing_from_outside(monkeypatch, tmp_path):
    secret = tmp_path / "secret.svg"
    secret.write_text("<svg/>")
    asked = []
    monkeypatch.setattr(
        "urllib.request.OpenerDirector.open", lambda *a, **k: asked.append(a)
    )
    for address in ("https://elsewhere.example/x.png", secret.as_uri()):
        html = f'<img src="{address}">'
        monkeypatch.setattr(pdf, "render_to_string", lambda *_, html=html: html)
        assert len(pdf.document_of("x", {}).pages) == 1
    assert asked == []
    assert qr_of(LOT).startswith("data:image/svg+xml")


@pytest.mark.parametrize("page", ["stop-notice", "sheet"])
def test_papers_are_for_who_may_see_the_lot(client, office, page):
    lot = office_lot(office)
    address = reverse(f"desk:{page}", args=[phase_of(lot).pk])
    client.force_login(make_member("lead", crew=make_crew()))
    assert client.get(address).status_code == 404

    client.force_login(office.member)
    answer = client.get(address)
    assert answer["Content-Type"] == "application/pdf"


def test_the_stop_notice_calls_a_kind_as_the_lots_own_office_does(office, monkeypatch):
    from inspections.papers import stop

    lot, other = office_lot(office, name="Ours"), office_lot(office, name="Other")
    change_kind(lot, "topout", name_en="Wall inspection")
    change_kind(other, "topout", name_en="Another name")
    seen = {}
    monkeypatch.setattr(stop, "pdf_of", lambda _, context: seen.update(context))

    stop_notice(phase_of(lot), now=NOW, address=LOT, by="Sadie Birk")

    assert "Wall inspection" in seen["languages"][0]["answer"].sentence


def test_the_sheet_says_what_passed_of_a_partial_and_the_test_in_words(
    office, monkeypatch
):
    from inspections.papers import sheet

    lot = office_lot(office)
    change_kind(lot, "topout", on_test=["gas", "water"])
    finish(lot, office)
    water = {"system": "water_supply", "medium": "water", "material": "pex"}
    put_up_test(phase_of(lot), **water, who=office, now=NOW)
    record_result(
        lot,
        kind_of(lot),
        result="partly_passed",
        on=date(2026, 3, 3),
        passed_parts=["system:gas"],
        who=office,
        now=NOW,
    )
    seen = {}
    monkeypatch.setattr(sheet, "pdf_of", lambda _, context: seen.update(context))

    inspection_sheet(phase_of(lot), now=NOW, address=LOT)

    assert [row["said"] for row in seen["kinds"]] == ["partly passed (gas)"]
    assert [(row["system"], row["medium"]) for row in seen["tests"]] == [
        ("water supply", "water")
    ]
