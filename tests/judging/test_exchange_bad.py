"""Files that are not what they claim, imports that stop half-way: said in words, nothing lost."""

import io
import zipfile
from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone
from django_tasks_db.management.commands.db_worker import Worker

from teamops.contests.models import Contest
from teamops.judging import tasks
from teamops.judging.actions.exchange import hear_import, queue_import, start_import
from teamops.judging.tasks import BROKEN, run_import, take_in_batch
from teamops.judging.views.exchange import look
from teamops.teams.models import ImportBatch
from tests.factories.exchange import BOOK, import_batch, table
from tests.factories.rules import RulebookFactory
from tests.judging.exchange_pages import bring_in, upload, url

pytestmark = pytest.mark.django_db
State = ImportBatch.State


@pytest.fixture(autouse=True)
def book(db):
    return RulebookFactory(name=BOOK, edition="")


def bomb() -> bytes:
    """A small workbook that unpacks to far more than it may."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("[Content_Types].xml", "<Types/>")
        packed.writestr("xl/worksheets/sheet1.xml", b"0" * 60_000_000)
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "name", "words"),
    [
        (b"", "sheets.csv", "empty"),
        (b" \n\n", "sheets.csv", "empty"),
        (b"%PDF-1.7 ...", "sheets.csv", "This is a PDF"),
        (b"\x89PNG\r\n\x1a\n....", "sheets.xlsx", "This is a picture"),
        (b"PK\x03\x04nonsense", "sheets.xlsx", ""),
        (b"<!DOCTYPE html><html><body>Sign in</body></html>", "sheets.csv", "This is a web page"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1", "sheets.xls", "old kind"),
    ],
)
def test_a_file_that_is_no_table_is_said_at_its_field(signed_in, team, data, name, words):
    answer = signed_in.post(url("add_import", team), upload(data, name))
    html = answer.content.decode()
    assert answer.status_code == 422
    errors = html[html.index('id="id_file_helptext"') : html.index('id="id_file"')]
    assert '<ul class="errorlist"' in errors
    assert words in errors
    assert not ImportBatch.objects.exists()


def test_a_bomb_is_not_unpacked(signed_in, team):
    answer = signed_in.post(url("add_import", team), upload(bomb(), "sheets.xlsx"))
    assert answer.status_code == 422
    assert "errorlist" in answer.content.decode()


def test_a_file_too_large_is_let_go_and_the_pasted_text_kept(signed_in, team, settings):
    settings.UPLOAD_MOST_BYTES = 1000
    sent = upload(b"a,b\n" * 1000) | {"text": "Contest\tTaste\nFire\t8"}
    answer = signed_in.post(url("add_import", team), sent)
    html = answer.content.decode()
    assert answer.status_code == 422
    assert "sheets.csv is larger than 10 MB" in html
    assert "Contest\tTaste\nFire\t8</textarea>" in html


def test_a_file_and_a_text_together_are_one_too_many(signed_in, team):
    answer = signed_in.post(url("add_import", team), upload("a,b\n1,2") | {"text": "Fire\t8"})
    html = answer.content.decode()
    assert answer.status_code == 422
    assert "not both" in html
    assert "Fire\t8</textarea>" in html


def test_nothing_at_all_is_said(signed_in, team):
    answer = signed_in.post(url("add_import", team), {"text": "  "})
    assert answer.status_code == 422
    assert "Choose a file, or paste what you have below." in answer.content.decode()


def test_a_text_too_long_is_kept_in_its_field(signed_in, team):
    text = "Fire\t8\n" * 90_000
    answer = signed_in.post(url("add_import", team), {"text": text})
    assert answer.status_code == 422
    assert "at most 600,000" in answer.content.decode()
    assert answer.content.decode().count("Fire\t8") == 90_000


def test_odd_letters_do_no_harm(signed_in, team):
    """Angle brackets are escaped, a name as long as a letter is cut, NUL is refused."""
    assert signed_in.post(url("add_import", team), {"text": "Fire\t8\0"}).status_code == 422
    assert signed_in.post(url("add_import", team), upload(b"Fire,8\0\n")).status_code == 422
    data = b"Contest,Taste\n<script>alert(1)</script>,8\n"
    signed_in.post(url("add_import", team), upload(data, "<b>" + "n" * 300 + ".csv"))
    batch = ImportBatch.objects.get()
    assert len(batch.name) <= 200
    html = signed_in.get(url("show_import", team, batch.pk)).content.decode()
    assert "<script>alert" not in html
    assert "&lt;script&gt;" in html


@pytest.mark.parametrize(
    "sent",
    [
        {"column-0": "nonsense", "day_order": "xyz", "decimal": "!", "unit-0": "k"},
        {"column-99": "contest", "cell-99-0": "x", "cell-1-99": "x", "cell-0-0": "x"},
        {"answer:nonsense": "x", "sheet": "no such sheet"},
    ],
)
def test_what_no_page_sends_changes_nothing(signed_in, team, member, sent):
    batch = import_batch(member)
    before = (batch.cells, batch.columns["columns"])
    assert signed_in.post(url("show_import", team, batch.pk), sent).status_code == 302
    batch.refresh_from_db()
    assert (batch.cells, batch.columns["columns"]) == before


def test_what_fails_half_way_leaves_nothing(signed_in, team, member, monkeypatch):
    """Whatever breaks: it is said in words, the rest is in the log, and pressing again works."""

    def break_off(**kwargs):
        Contest.objects.for_team(team).delete()
        raise RuntimeError("no more room on the disk")

    batch = import_batch(member)
    with monkeypatch.context() as broken:
        broken.setattr(tasks, "take_in", break_off)
        bring_in(signed_in, batch)
    batch.refresh_from_db()
    assert batch.state == State.FAILED
    html = signed_in.get(url("show_import", team, batch.pk)).content.decode()
    assert "It was not taken in, not even a part of it." in html
    assert BROKEN in html
    bring_in(signed_in, batch)
    batch.refresh_from_db()
    assert batch.state == State.DONE


def test_a_refusal_of_the_worker_is_said_row_by_row(signed_in, team, member, monkeypatch):
    def refuse(**kwargs):
        raise ValidationError(["Row 2, Taste: says “x”, expected a mark."])

    monkeypatch.setattr(tasks, "take_in", refuse)
    batch = import_batch(member)
    bring_in(signed_in, batch)
    html = signed_in.get(url("show_import", team, batch.pk)).content.decode()
    assert "Row 2, Taste: says “x”, expected a mark." in html


def test_only_one_takes_it_out_of_the_line(member):
    batch = import_batch(member)
    assert not start_import(batch.pk), "it is not in line"
    assert queue_import(batch=batch)
    assert not queue_import(batch=batch)
    assert start_import(batch.pk)
    assert not start_import(batch.pk)


def test_the_task_takes_in_what_is_in_line_and_nothing_else(member):
    batch = import_batch(member)
    take_in_batch.enqueue(str(batch.pk), member.user.pk)
    assert not Contest.objects.exists()
    queue_import(batch=batch)
    take_in_batch.enqueue(str(batch.pk), member.user.pk)
    take_in_batch.enqueue(str(batch.pk), member.user.pk)
    batch.refresh_from_db()
    assert (batch.state, batch.done, batch.rows) == (State.DONE, 3, 3)
    assert Contest.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_the_worker_beside_the_server_takes_it_in(signed_in, team, member, settings, monkeypatch):
    """With the tasks in the database, as in service: a press queues, the package's worker does."""
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
    monkeypatch.setattr(look, "SHORT", 0)
    batch = import_batch(member)
    bring_in(signed_in, batch)
    batch.refresh_from_db()
    assert batch.state == State.QUEUED
    worker = Worker(
        queue_names=["default"], interval=0, batch=True, backend_name="default", worker_id="one",
        startup_delay=False, max_tasks=None, excluded_queue_names=[],
    )  # fmt: skip
    worker.run()
    batch.refresh_from_db()
    assert batch.state == State.DONE


def test_how_far_it_is(signed_in, team, member):
    batch = import_batch(member, table(boxes=30))
    queue_import(batch=batch)
    progress = url("import_progress", team, batch.pk)
    assert "61 rows wait for their turn." in signed_in.get(progress).content.decode()
    start_import(batch.pk)
    hear_import(batch.pk, 20)
    html = signed_in.get(progress).content.decode()
    assert "Row 20 of 61." in html
    assert '<progress max="61" value="20"' in html
    assert '<noscript><meta http-equiv="refresh"' in html, "it tells without scripts too"
    hear_import(batch.pk, 50)
    part = signed_in.get(progress, headers={"HX-Request": "true"}).content.decode()
    assert "All 61 rows are worked out; now they are written in one go." in part
    assert part.lstrip().startswith('<section id="import-progress"')
    assert 'hx-trigger="every 1s"' in part
    assert "Take it in now" not in part
    assert signed_in.post(progress).url == progress
    assert not Contest.objects.exists(), "who is heard of is left to it"


def test_when_it_is_done_htmx_goes_to_its_page(signed_in, team, member):
    batch = import_batch(member)
    bring_in(signed_in, batch)
    progress = url("import_progress", team, batch.pk)
    answer = signed_in.get(progress, headers={"HX-Request": "true"})
    assert answer["HX-Redirect"] == url("show_import", team, batch.pk)


def test_without_a_worker_it_says_so_and_is_taken_in_by_a_press(
    signed_in, team, member, monkeypatch
):
    monkeypatch.setattr(look, "SHORT", 0)
    monkeypatch.setattr(look, "take_in_batch", SimpleNamespace(enqueue=lambda *args: None))
    batch = import_batch(member)
    bring_in(signed_in, batch)
    progress = url("import_progress", team, batch.pk)
    assert "Take it in now" not in signed_in.get(progress).content.decode(), "it has just come"
    earlier = (timezone.now() - timedelta(seconds=11)).isoformat()
    ImportBatch.objects.filter(pk=batch.pk).update(said={"queued_at": earlier})
    html = signed_in.get(progress).content.decode()
    assert "the worker that does long work beside the server is not running" in html
    assert "manage.py db_worker" in html
    signed_in.post(progress)
    batch.refresh_from_db()
    assert batch.state == State.DONE


def test_one_whose_worker_went_away_can_be_taken_in_anew(signed_in, team, member):
    batch = import_batch(member)
    queue_import(batch=batch)
    start_import(batch.pk)
    earlier = (timezone.now() - timedelta(minutes=3)).isoformat()
    ImportBatch.objects.filter(pk=batch.pk).update(said={"heard_at": earlier})
    progress = url("import_progress", team, batch.pk)
    assert "Nothing was heard of it for two minutes" in signed_in.get(progress).content.decode()
    signed_in.post(progress)
    batch.refresh_from_db()
    assert batch.state == State.DONE
    assert Contest.objects.count() == 1


def test_an_import_under_way_cannot_be_put_right(signed_in, team, member):
    batch = import_batch(member)
    queue_import(batch=batch)
    answer = signed_in.post(url("show_import", team, batch.pk), {"column-0": "skip"})
    assert answer.url == url("import_progress", team, batch.pk)
    before = batch.columns
    batch.refresh_from_db()
    assert batch.columns == before
    run_import(batch.pk, member.user.pk)
    batch.refresh_from_db()
    assert batch.state == State.DONE
