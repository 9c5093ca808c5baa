"""`import_lots`: what it prints, what it answers, what it refuses."""

import json

import pytest
from django.core.management import call_command

from tests.factories import ensure_defaults, make_builder, make_member
from tracker.sites.models import Builder, Lot

pytestmark = pytest.mark.django_db
LIST = "Lot,Block,Subdivision,Address\n18A,6,Heron,12 Elm St\n19,6,,14 Elm St\n"


@pytest.fixture
def file(tmp_path, settings):
    settings.MEDIA_ROOT = tmp_path / "media"
    path = tmp_path / "lots.csv"
    path.write_text(LIST)
    return path


def found(capsys, *args):
    call_command("import_lots", *args, "--json")
    return json.loads(capsys.readouterr().out)


def test_a_dry_run_needs_no_builder_and_prints_what_it_found(file, capsys):
    shown = found(capsys, file)

    assert shown["columns"]["lot"] == "Lot"
    assert [(r["row"], r["status"], r["lot"], r["block"]) for r in shown["rows"]] == [
        (2, "new", "18A", "6"),
        (3, "new", "19", "6"),
    ]
    assert shown["counts"] == {
        "new": 2,
        "changed": 0,
        "unchanged": 0,
        "skipped": 0,
        "bad": 0,
    }
    assert (shown["rows"][1]["subdivision"], Lot.objects.count()) == (None, 0)


def test_applied_again_everything_is_unchanged(file, capsys):
    ensure_defaults()
    make_member("owner")

    assert found(capsys, file, "--apply")["counts"]["new"] == 2
    assert found(capsys, file)["counts"]["unchanged"] == 2
    assert found(capsys, file, "--apply")["counts"]["unchanged"] == 2
    assert Builder.objects.get().name == "Builder not named"
    assert Lot.objects.count() == 2


def test_columns_sheet_and_builder_can_be_told(file, capsys):
    builder = make_builder(name="Heron Homes")
    make_member("office", username="desk")

    shown = found(
        capsys,
        file,
        "--map",
        "Block=-",
        "--builder",
        "Heron Homes",
        "--subdivision",
        "Oak",
        "--by",
        "desk",
        "--apply",
    )

    assert [row["block"] for row in shown["rows"]] == [None, None]
    names = Lot.objects.order_by("pk").values_list("subdivision__name", flat=True)
    assert (list(names), builder.subdivisions.count()) == (["Heron", "Oak"], 2)


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["--sheet", "Lots"], "no sheet"),
        (["--map", "Lot"], "column=field"),
        (["--map", "Garden=lot"], "no column"),
        (["--builder", "Nobody"], "no builder"),
        (["--apply", "--by", "nobody"], "sign-in"),
    ],
)
def test_what_cannot_be_done_is_said_in_one_sentence_with_status_2(
    file, capsys, args, words
):
    with pytest.raises(SystemExit) as ended:
        call_command("import_lots", file, *args)

    assert ended.value.code == 2
    said = capsys.readouterr().err.strip()
    assert words in said
    assert "\n" not in said
    assert (Builder.objects.count(), Lot.objects.count()) == (0, 0)


def test_a_file_that_is_no_list_answers_2(tmp_path, capsys):
    page = tmp_path / "lots.xls"
    page.write_text("<html><table><tr><td>Lot</td></tr></table></html>")

    for path in (page, tmp_path / "none.csv"):
        with pytest.raises(SystemExit) as ended:
            call_command("import_lots", path, "--json")
        assert ended.value.code == 2
        assert capsys.readouterr().out == ""


def test_without_json_the_bad_cells_are_named(tmp_path, capsys):
    path = tmp_path / "lots.csv"
    path.write_text("Lot,Start,Address\n5,soon,12 Elm St\n")

    call_command("import_lots", path)

    said = capsys.readouterr().out
    assert "row 2, Start: 'soon'. This is not a date." in said
    assert "1 bad" in said
