"""A list pasted, put right and kept; what it does to our entries."""

from datetime import date
from decimal import Decimal
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from teamops.calc.reading import field_rows, read
from teamops.contests.models import Contest, Entry
from teamops.judging.actions import keep_posting
from teamops.judging.models import Correction, FieldLine, Posting, Result
from tests.factories.contests import ContestFactory, EntryFactory
from tests.factories.judging import PostingFactory, scored_entry

pytestmark = pytest.mark.django_db

LIST = """Place\tTeam\tNumber\tTotal
1\tSmoke Wagon\t101\t190.5
2\tOak and Ash\t12\t188
3\tPit Row\t9\t180
Average\t\t\t186.2
"""


@pytest.fixture
def entry(team) -> Entry:
    return EntryFactory(contest=ContestFactory(team=team, past=True), team_number="12")


def form_of(entry: Entry, text: str = LIST, **more) -> dict:
    return {
        "id": str(uuid4()),
        "category": entry.category_id,
        "text": text,
        "posted_on": "2025-06-12",
        "round": "",
        "note": "",
        "whole": "on",
        "official": "on",
    } | more


def url_of(entry: Entry) -> str:
    return reverse("judging:add_posting", args=[entry.contest.team.slug, entry.contest_id])


def paste(client, entry: Entry, text: str = LIST, **more):
    """Paste and keep in one go, as one may whose list was read right."""
    return client.post(url_of(entry), form_of(entry, text, **more))


def posting_of(entry: Entry, **more) -> Posting:
    values = {"posted_on": date(2025, 6, 12)} | more
    return Posting(contest=entry.contest, category=entry.category, **values)


def keep(entry: Entry, text: str, by, ours: int | None = None, **more):
    rows = field_rows(read(text))
    options = {"whole_field": True, "official": True} | {
        name: more.pop(name) for name in ("whole_field", "official") if name in more
    }
    return keep_posting(
        posting=posting_of(entry, **more),
        rows=rows,
        ours={} if ours is None else {entry.pk: ours},
        by=by,
        **options,
    )


# The pages ----------------------------------------------------------------------------------------


def test_an_empty_contest_says_what_to_do_first(signed_in, team):
    contest = ContestFactory(team=team)
    for name in ("show_postings", "add_posting"):
        page = signed_in.get(reverse(f"judging:{name}", args=[team.slug, contest.pk]))
        assert "turned in" in page.text
        assert reverse("contests:show_contest", args=[team.slug, contest.pk]) in page.text


def test_the_page_asks_for_the_list(signed_in, entry):
    page = signed_in.get(f"{url_of(entry)}?category={entry.category_id}")
    assert page.status_code == 200
    assert "as it was posted" in page.text
    assert "What will be kept" not in page.text


def test_a_pasted_list_is_shown_as_it_is_understood_and_nothing_is_kept(signed_in, entry):
    page = signed_in.post(url_of(entry), form_of(entry, read="yes"))
    assert page.status_code == 200
    assert "3 entries with place, name, number and total." in page.text
    assert "2 lines are left out, 2 of them headings or sums." in page.text
    assert "2nd of 3 with 188." in page.text
    assert "by team number and team name" in page.text
    assert not Posting.objects.exists()


def test_a_list_is_kept_and_ours_is_set_by_it(signed_in, entry, member):
    answer = paste(signed_in, entry, keep="yes")
    posting = Posting.objects.get()
    assert answer.url == reverse("judging:show_posting", args=[entry.contest.team.slug, posting.pk])
    assert posting.recorded_by == member.user
    assert posting.text == LIST
    lines = list(posting.lines.values_list("order", "placing", "name", "number", "total", "entry"))
    assert lines == [
        (1, 1, "Smoke Wagon", "101", Decimal("190.5"), None),
        (2, 2, "Oak and Ash", "12", Decimal(188), entry.pk),
        (3, 3, "Pit Row", "9", Decimal(180), None),
    ]
    entry.refresh_from_db()
    assert (entry.placing, entry.official_total, entry.field_size) == (2, Decimal(188), 3)
    assert not entry.tied
    assert entry.changed_by == member.user
    assert entry.history.first().history_user == member.user
    assert Result.objects.get(entry=entry).basis == Result.Basis.TOTAL
    assert not Correction.objects.exists(), "nothing was official before"
    assert "The list is kept" in signed_in.get(answer.url).text


def test_a_contest_that_is_posted_was_cooked(signed_in, team):
    entry = EntryFactory(contest=ContestFactory(team=team, held_on=date(2025, 6, 1)))
    paste(signed_in, entry, keep="yes")
    assert Contest.objects.get().state == Contest.State.COOKED


def test_the_same_page_sent_twice_is_kept_once(signed_in, entry):
    data = form_of(entry, keep="yes")
    first, second = (signed_in.post(url_of(entry), data) for _ in range(2))
    assert first.url == second.url
    assert FieldLine.objects.count() == 3


def test_the_same_page_put_right_and_sent_again_is_a_later_list(signed_in, entry):
    data = form_of(entry, keep="yes")
    signed_in.post(url_of(entry), data)
    signed_in.post(url_of(entry), data | {"text": LIST.replace("188", "189")})
    assert Posting.objects.count() == 2
    entry.refresh_from_db()
    assert entry.official_total == Decimal(189)
    assert Correction.objects.get().what == "Posted total 188 → 189."


def test_an_id_of_another_team_touches_nothing_of_theirs(signed_in, entry):
    theirs = PostingFactory(rows=[(1, "A", "9")])
    paste(signed_in, entry, keep="yes", id=str(theirs.pk))
    assert theirs.lines.count() == 1
    assert Posting.objects.count() == 2


def test_one_number_in_two_categories_sets_each_by_its_own_list(signed_in, entry):
    dessert = EntryFactory(
        contest=entry.contest, category__name="Dessert", team_number="12", rulebook=entry.rulebook
    )
    paste(signed_in, entry, keep="yes")
    paste(signed_in, dessert, LIST.replace("2\tOak", "1\tOak"), keep="yes")
    assert [Entry.objects.get(pk=one.pk).placing for one in (entry, dessert)] == [2, 1]


def test_columns_are_put_right_and_lines_left_out(signed_in, entry):
    text = "12\tOak and Ash\t188\n7\tPit Row\t187\n3\tSmoke Wagon\t186\n"
    page = signed_in.post(url_of(entry), form_of(entry, text, read="yes"))
    shown = page.context["preview"].shown
    more = {"shown": shown, "column-0": "place", "column-2": "part", "out": ["2"], "keep": "yes"}
    signed_in.post(url_of(entry), form_of(entry, text, **more))
    lines = FieldLine.objects.values_list("placing", "name", "total", "parts")
    assert list(lines) == [
        (12, "Oak and Ash", None, {"column 3": "188"}),
        (3, "Smoke Wagon", None, {"column 3": "186"}),
    ]


def test_a_line_that_was_left_out_can_be_kept(signed_in, entry):
    text = "1\tOak and Ash\t188\n2\tPit Row\t187\n\tLate Smoke\n"
    page = signed_in.post(url_of(entry), form_of(entry, text, read="yes"))
    assert len(page.context["preview"].rows) == 2
    shown = page.context["preview"].shown
    page = signed_in.post(url_of(entry), form_of(entry, text, shown=shown, take="3", read="yes"))
    assert len(page.context["preview"].rows) == 3


def test_what_was_put_right_for_another_text_is_passed_over(signed_in, entry):
    page = signed_in.post(url_of(entry), form_of(entry, read="yes"))
    shown = page.context["preview"].shown
    page = signed_in.post(
        url_of(entry), form_of(entry, LIST.replace("188", "187"), shown=shown, out="3", read="yes")
    )
    assert len(page.context["preview"].rows) == 3


def test_two_lists_in_one_paste_are_pointed_out(signed_in, entry):
    text = "1. Ash 190\n2. Oak 188\n3. Pit 187\n1. Elm 90\n2. Fir 80\n"
    page = signed_in.post(url_of(entry), form_of(entry, text, read="yes"))
    assert "Places start again at line 4." in page.text


def test_another_separator_can_be_said(signed_in, entry):
    page = signed_in.post(url_of(entry), form_of(entry, separator="spaces", read="yes"))
    assert page.context["preview"].reading.separator == "spaces"


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"posted_on": "soon"}, "Enter a valid date"),
        ({"posted_on": ""}, "required"),
        ({"text": ""}, "Paste the list first."),
        ({"text": "x" * 100_001}, "at most 100,000 characters"),
        ({"text": "\n".join(f"{n} Team{n} 1" for n in range(1, 2100))}, "at most 2,000 at once"),
        ({"text": "Thanks to all!"}, "No line is read as an entry."),
        ({"round": "x" * 41}, "at most 40"),
        ({"note": "a\0b"}, "cannot be stored"),
    ],
)
def test_what_cannot_be_kept_is_said_and_nothing_is_lost(signed_in, entry, more, words):
    page = paste(signed_in, entry, keep="yes", **more)
    assert page.status_code == 422
    assert words in page.text
    typed = {"note": "from the web"} | more
    if "\0" not in typed["note"] and len(typed.get("text", "")) < 1000:
        again = paste(signed_in, entry, keep="yes", **typed)
        assert "from the web" in again.text
        assert typed.get("text", LIST).strip() in again.text
    assert not Posting.objects.exists()


def test_another_teams_category_cannot_be_chosen(signed_in, entry):
    other = EntryFactory()
    page = signed_in.post(url_of(entry), form_of(entry, category=other.category_id, keep="yes"))
    assert page.status_code == 422


def test_strangers_find_nothing_and_readers_read(client, entry, stranger, reader):
    posting = PostingFactory(contest=entry.contest, category=entry.category, rows=[(1, "A", "9")])
    slug = entry.contest.team.slug
    client.force_login(stranger.user)
    assert client.post(url_of(entry), form_of(entry, keep="yes")).status_code == 404
    theirs = reverse("judging:show_posting", args=[stranger.team.slug, posting.pk])
    assert client.get(theirs).status_code == 404
    client.force_login(reader.user)
    assert client.post(url_of(entry), form_of(entry, keep="yes")).status_code == 403
    assert client.get(reverse("judging:show_posting", args=[slug, posting.pk])).status_code == 200


def test_pasted_words_are_never_markup(signed_in, entry):
    text = "Place\tTeam\tTotal\n1\t<script>alert(1)</script>\t190\n2\tOak and Ash\t188\n"
    page = signed_in.post(url_of(entry), form_of(entry, text, read="yes"))
    assert "<script>alert" not in page.text
    answer = paste(signed_in, entry, text, keep="yes")
    assert "<script>alert" not in signed_in.get(answer.url).text


# Ours ---------------------------------------------------------------------------------------------


def test_another_teams_row_with_our_number_is_not_taken_for_ours(signed_in, entry):
    """One number twice: the table gave ours to somebody else, and us another."""
    text = "Place\tNumber\tTeam\tTotal\n1\t12\tSmoke Wagon\t190\n2\t47\tOak and Ash\t188\n"
    page = signed_in.post(url_of(entry), form_of(entry, text, read="yes"))
    assert "It has our number, and the name Smoke Wagon." in page.text
    paste(signed_in, entry, text, keep="yes")
    assert FieldLine.objects.get(entry=entry).number == "47"


def test_only_another_teams_row_with_our_number_has_to_be_decided(signed_in, entry):
    text = "Place\tNumber\tTeam\tTotal\n1\t12\tSmoke Wagon\t190\n2\t47\tPit Row\t188\n"
    page = paste(signed_in, entry, text, keep="yes")
    assert page.status_code == 422
    assert "choose its line, or say that it is not on the list" in page.text
    shown = page.context["preview"].shown
    paste(signed_in, entry, text, keep="yes", shown=shown, **{f"ours-{entry.pk}": "none"})
    assert not FieldLine.objects.filter(entry__isnull=False).exists()
    entry.refresh_from_db()
    assert entry.placing is None


def test_a_line_of_another_name_can_be_said_to_be_ours(signed_in, entry):
    text = "1\tSmoke Wagon\t190\n2\tTeam Hale\t188\n3\tPit Row\t187\n"
    page = signed_in.post(url_of(entry), form_of(entry, text, read="yes"))
    assert "Not found on this list" in page.text
    own = {"shown": page.context["preview"].shown, f"ours-{entry.pk}": "line"}
    own |= {f"ours-{entry.pk}-guess": "none", "keep": "yes"}
    wrong = paste(signed_in, entry, text, **own, **{f"ours-{entry.pk}-line": "9"})
    assert wrong.status_code == 422
    assert "Write the number of a line that is kept." in wrong.text
    paste(signed_in, entry, text, **own, **{f"ours-{entry.pk}-line": "2"})
    entry.refresh_from_db()
    assert entry.placing == 2


def test_two_rival_boxes_of_one_team_are_told_apart_by_number(signed_in, entry):
    rival = EntryFactory(contest=entry.contest, category=entry.category, team_number="47")
    text = "Place\tTeam\tNumber\tTotal\n1\tOak and Ash\t47\t190\n2\tOak and Ash\t12\t188\n"
    paste(signed_in, entry, text, keep="yes")
    assert [Entry.objects.get(pk=one.pk).placing for one in (entry, rival)] == [2, 1]


def test_two_rival_boxes_without_numbers_have_to_be_chosen(signed_in, entry):
    rival = EntryFactory(contest=entry.contest, category=entry.category)
    text = "1\tOak and Ash\t190\n2\tOak and Ash\t188\n"
    page = paste(signed_in, entry, text, keep="yes")
    assert page.status_code == 422
    assert "Several lines may be this box: choose one." in page.text
    own = {"shown": page.context["preview"].shown, "keep": "yes"}
    same = {f"ours-{entry.pk}": "1", f"ours-{rival.pk}": "1"}
    page = paste(signed_in, entry, text, **own, **same)
    assert "Two boxes of yours cannot be the same line." in page.text
    paste(signed_in, entry, text, **own, **(same | {f"ours-{rival.pk}": "2"}))
    assert [Entry.objects.get(pk=one.pk).placing for one in (entry, rival)] == [1, 2]


def test_a_box_cooked_for_another_team_is_found_under_their_name(signed_in, entry):
    Entry.objects.get(pk=entry.pk)
    entry.cooked_for, entry.team_number = "Pit Row", ""
    entry.save()
    paste(signed_in, entry, keep="yes")
    entry.refresh_from_db()
    assert entry.placing == 3


# What a list does to our entries ------------------------------------------------------------------


def test_a_corrected_list_adds_a_version_and_a_dated_word(entry, member):
    keep(entry, LIST, member.user, ours=3)
    entry.refresh_from_db()
    entry.prize_owed = Decimal(200)
    entry.save()
    later = LIST.replace("190.5", "187").replace("1\tSmoke", "2\tSmoke").replace("2\tOak", "1\tOak")
    kept = keep(
        entry, later, member.user, ours=3, posted_on=date(2025, 6, 19), note="protest upheld"
    )
    entry.refresh_from_db()
    assert (entry.placing, entry.official_total) == (1, Decimal(188))
    correction = Correction.objects.get()
    assert correction.what == (
        "Placing 2nd → 1st. The prize of 200 was written for 2nd: it may move."
    )
    assert correction.why == "list of 19 June: protest upheld"
    assert correction.corrected_on == date(2025, 6, 19)
    assert correction.recorded_by == member.user
    assert kept.says == (f"Ribeye · number 12: {correction.what}",)
    assert Posting.objects.count() == 2, "the earlier list stays"
    assert FieldLine.objects.count() == 6


def test_an_older_list_kept_late_changes_nothing(entry, member):
    keep(entry, LIST, member.user, ours=3)
    older = LIST.replace("2\tOak", "9\tOak")
    kept = keep(entry, older, member.user, ours=3, posted_on=date(2025, 6, 1))
    assert kept.says == ("A list of 12 June is newer and still holds: nothing of ours changed.",)
    entry.refresh_from_db()
    assert entry.placing == 2


def test_a_list_may_be_kept_without_setting_anything(entry, member):
    keep(entry, LIST, member.user, ours=3, official=False)
    entry.refresh_from_db()
    assert entry.placing is None
    assert FieldLine.objects.get(entry=entry).placing == 2


def test_a_final_with_only_some_boxes_is_not_the_whole_field(entry, member):
    first = "\n".join(f"{n}\tTeam {n}\t{200 - n}" for n in range(1, 30)) + "\n30\tOak and Ash\t99\n"
    keep(entry, first, member.user, ours=30, round="table")
    final = "1\tTeam 4\t196\n2\tOak and Ash\t195\n3\tTeam 1\t190\n"
    keep(entry, final, member.user, ours=2, round="final table", whole_field=False,
         posted_on=date(2025, 6, 13))  # fmt: skip
    entry.refresh_from_db()
    assert (entry.placing, entry.field_size) == (2, 30)
    assert "Placing 30th → 2nd" in Correction.objects.get().what


def test_a_list_with_gaps_is_not_the_whole_field_whatever_is_ticked(entry, member):
    """The winner and us, pasted with the tick as it comes: 13th of 2 there is not."""
    first = "\n".join(f"{n}\tTeam {n}\t{200 - n}" for n in range(1, 30)) + "\n30\tOak and Ash\t99\n"
    keep(entry, first, member.user, ours=30)
    gaps = "Place\tTeam\tTotal\n1\tTeam 4\t196\n13\tOak and Ash\t180\n"
    keep(entry, gaps, member.user, ours=3, posted_on=date(2025, 6, 13))
    entry.refresh_from_db()
    assert (entry.placing, entry.field_size) == (13, 30)


def test_a_shared_place_is_a_tie(entry, member):
    keep(entry, LIST.replace("3\tPit", "2\tPit").replace("180", "188"), member.user, ours=3)
    entry.refresh_from_db()
    assert entry.tied
    keep(entry, LIST, member.user, ours=3, posted_on=date(2025, 6, 19))
    entry.refresh_from_db()
    assert not entry.tied
    assert Correction.objects.get().what == "No longer tied."


def test_a_list_that_disqualifies_us_takes_the_place(entry, member):
    keep(entry, LIST, member.user, ours=3)
    out = LIST.replace("2\tOak and Ash\t12\t188", "DQ\tOak and Ash\t12\t")
    keep(entry, out, member.user, ours=3, posted_on=date(2025, 6, 19))
    entry.refresh_from_db()
    assert entry.disqualified
    assert entry.placing is None
    assert entry.official_total == Decimal(188), "the list takes no total back"
    assert Correction.objects.get().what == "Placing 2nd → none, disqualified."


def test_sheets_stay_what_the_result_is_from(entry, member):
    scored_entry(entry, [[8, 9, 8, 7, 8]] * 5, by=member.user)
    keep(entry, LIST, member.user, ours=3)
    result = Result.objects.get(entry=entry)
    assert (result.basis, result.version) == (Result.Basis.MARKS, 1)


def test_a_list_is_whole_or_not_at_all(entry, member):
    other = EntryFactory()
    rows = field_rows(read(LIST))
    options = {"whole_field": True, "official": True, "by": member.user}
    with pytest.raises(Entry.DoesNotExist):
        keep_posting(posting=posting_of(entry), rows=rows, ours={other.pk: 3}, **options)
    with pytest.raises(ValidationError, match="left out of the list"):
        keep_posting(posting=posting_of(entry), rows=rows, ours={entry.pk: 99}, **options)
    with pytest.raises(ValidationError, match="No line"):
        keep_posting(posting=posting_of(entry), rows=(), ours={}, **options)
    assert not Posting.objects.exists()


def test_two_thousand_lines_are_kept_in_few_queries(entry, member, django_assert_max_num_queries):
    text = "".join(f"{n}\tTeam {n}x\t{3000 - n}\n" for n in range(1, 1999)) + "1999\tOak and Ash\t9"
    with django_assert_max_num_queries(60):  # SQLite takes some 100 rows a query
        keep(entry, text, member.user, ours=1999)
    assert FieldLine.objects.count() == 1999
