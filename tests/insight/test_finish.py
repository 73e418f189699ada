"""Which finish scores best: cooks by contest day, three temperatures kept apart, honest words."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from teamops.calc.temperature import best_temperature
from teamops.calc.units import f_to_c
from teamops.contests.models import Entry
from teamops.insight.queries import ledger_choices
from teamops.insight.queries.finish import finish_board, ten_wide
from teamops.insight.queries.finish_cooks import NEAR_C, Moment, target_of, usual_moment
from tests.factories.contests import CategoryFactory, ContestFactory, EntryFactory
from tests.factories.judging import scored_entry
from tests.factories.rules import CriterionFactory, RulebookFactory
from tests.insight.conftest import TODAY
from tests.insight.pages import text_of

SPREAD = ((133, 7.5), (136, 8.5), (138, 9.0), (140, 9.5), (142, 9.0), (145, 7.5), (147, 6.5))


@pytest.fixture
def cook_to(cook_contest):
    """Cook a contest to a peak in °F; `mark` is what each judge gives doneness."""

    def cook_to(mark: float, peak_f: float | None = None, **more) -> Entry:
        noted = {name: more.pop(name) for name in ("pull_f", "last_seen_f", "seen") if name in more}
        entry = cook_contest(9, mark, 8, 8, 8, **more)
        for name, value in {"peak_f": peak_f, **noted}.items():
            if name == "seen":
                entry.doneness_seen = value
            elif value is not None:
                setattr(entry, f"{name[:-2]}_c", f_to_c(Decimal(str(value))))
        entry.save()
        return entry

    return cook_to


@pytest.fixture
def spread(cook_to):
    """Seven cooks spread over 14 °F, the best of them at 140 °F."""
    return [cook_to(mark, peak, weeks=n + 1) for n, (peak, mark) in enumerate(SPREAD)]


def board_of(team, **more):
    selection = ledger_choices(team).select()
    return finish_board(team, selection, **more)


def test_the_best_finish_with_its_range_and_what_was_believed_before(spread, open_page):
    answer = open_page("show_finish")
    board, text = answer.context["board"], text_of(answer)
    marks = [ten_wide(mark, 1, 10) for _, mark in reversed(SPREAD)]
    at = [float(f_to_c(Decimal(peak))) for peak, _ in reversed(SPREAD)]
    best = best_temperature(at, marks, 60.2778)
    assert (board.curve.low, board.curve.high) == pytest.approx((best.low, best.high), abs=0.01)
    low, median, high = (
        f"{round((value * 9 / 5 + 32) * 2) / 2:g}" for value in (best.low, best.median, best.high)
    )
    said = f"Best guess from seven cooks: {median} °F; 8 in 10 sure it is {low} °F to {high} °F."
    assert said in text
    assert "Before any cook: about medium, 8 in 10 sure it lies in 133.5 °F to 147.5 °F." in text
    assert (
        f"After seven cooks: 8 in 10 sure it lies in {low} °F to {high} °F. By the likeliest curve "
        "a finish 5 °F off costs about" in text
    )
    assert "140.5 °F is taken, the middle of medium" in text


def test_where_nothing_can_be_told_it_says_so_and_draws_no_curve(cook_to, open_page):
    for week in range(1, 6):
        cook_to(8 + week % 2, 141, weeks=week)
    answer = open_page("show_finish")
    text = text_of(answer)
    assert "From five cooks the best finish cannot be told: they finished too much alike" in text
    assert "hardly narrower." in text
    board = answer.context["board"]
    assert board.curve.median is None
    assert "best lies 8 in 10" not in board.curve.words


def test_two_cooks_are_too_few(cook_to, team):
    cook_to(9, 140, weeks=1)
    cook_to(2, 152, weeks=2)
    assert board_of(team).sentence.startswith("Two cooks cannot tell the best finish")


def test_only_boxes_with_the_chosen_temperature_count(cook_to, spread, team):
    cook_to(9, None, weeks=20, pull_f=134, last_seen_f=139)
    board = board_of(team)
    assert board.moment is Moment.PEAK
    assert board.count == 7
    assert board.moments == (
        ("peak", "peak (seven boxes)"), ("last", "last seen (one box)"), ("pull", "pull (one box)")
    )  # fmt: skip
    assert "One box has no peak temperature noted, so its marks are not in it." in board.notes
    pull = board_of(team, moment=Moment.PULL)
    assert pull.count == 1
    assert "134 °F" in pull.rows
    assert "7 boxes have no pull temperature noted, so their marks are not in it." in pull.notes


def test_the_moment_that_most_boxes_have_is_taken(cook_to, team):
    cook_to(9, 140, weeks=1, pull_f=135)
    assert board_of(team).moment is Moment.PEAK  # as many peaks as pulls
    cook_to(9, None, weeks=2, pull_f=136)
    assert board_of(team).moment is Moment.PULL
    assert usual_moment([]) is Moment.PEAK


def test_boxes_of_one_contest_near_each_other_are_one_cook(cook_to, team):
    contest = ContestFactory(
        team=team, name="Double", state="cooked", held_on=TODAY - timedelta(weeks=3)
    )
    for mark, peak in ((9, 140), (8, 141.5), (6, 147)):
        cook_to(mark, peak, contest=contest)
    cook_to(8, 139, weeks=1)
    board = board_of(team)
    temperatures = [(x, y) for _, x, y in board.curve.cooks]
    near = (float(f_to_c(Decimal("140.75"))), 8.5)
    assert temperatures[0] == pytest.approx(near, abs=1e-3)
    assert [y for _, y in temperatures] == [8.5, 6, 8]
    assert "Boxes of one contest that finished within 1.8 °F" in " ".join(board.notes)
    assert "· 2 boxes" in board.rows
    assert NEAR_C == 1.0


def test_a_disqualified_box_and_one_for_another_team_are_not_cooks(cook_to, team):
    cook_to(9, 140, weeks=1)
    cook_to(9, 141, weeks=2, disqualified=True, disqualified_why="Marked box")
    other = cook_to(9, 142, weeks=3)
    other.cooked_for = "Red Fork"
    other.save()
    assert board_of(team).count == 1


def test_marks_of_one_rulebook_only_and_stretched_to_ten(cook_to, team, spread):
    """A scale from 0 to 90 says the same as one from 1 to 10 once it is stretched."""
    board = board_of(team)
    wide = RulebookFactory(name="Ninety", criteria=0)
    CriterionFactory(rulebook=wide, order=1, key="doneness", name="Doneness", least=0, most=90)
    category = CategoryFactory(team=team, name="Strip")
    for week, (peak, mark) in enumerate(SPREAD, start=1):
        contest = ContestFactory(
            team=team, state="cooked", held_on=TODAY - timedelta(weeks=week), name=f"Wide {week}"
        )
        entry = EntryFactory(contest=contest, category=category, rulebook=wide)
        entry = scored_entry(entry, [[(mark - 1) * 10]] * 5)
        entry.peak_c = f_to_c(Decimal(peak))
        entry.save()
    selection = ledger_choices(team).select(category.pk)
    other = finish_board(team, selection)
    assert other.count == board.count == 7
    assert other.sentence == board.sentence
    assert (other.curve.least, other.curve.most) == (0, 90)


def test_the_criterion_is_guessed_by_its_name_and_can_be_chosen(spread, team, open_page):
    board = board_of(team)
    assert board.criterion.name == "Doneness"
    taste = next(value for value, name in board.criteria if name == "Taste")
    answer = open_page("show_finish", query=f"criterion={taste}")
    assert answer.context["board"].criterion.name == "Taste"
    assert f'<option value="{taste}" selected>' in answer.content.decode()
    stale = open_page("show_finish", query="criterion=999999")
    assert stale.context["board"].criterion.name == "Doneness"
    assert open_page("show_finish", query="criterion=nine").status_code == 422


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"direction": "low"}, "the fewest points win"),
        ({"key": "k2", "name": "Second"}, "no criterion that is called doneness"),
        ({"most": None}, "have no end on one side"),
    ],
)
def test_what_cannot_be_reckoned_is_said(cook_to, team, rulebook, change, words):
    cook_to(9, 140, weeks=1)
    criterion = rulebook.criteria.get(key="doneness")
    row = rulebook if "direction" in change else criterion
    for name, value in change.items():
        setattr(row, name, value)
    row.save()
    board = board_of(team)
    assert words in board.sentence
    assert board.curve is None
    assert not board.before


def test_no_temperature_at_all_leads_to_where_it_is_noted(cook_contest, open_page):
    cook_contest(9, 9, 8, 8, 8)
    text = text_of(open_page("show_finish"))
    assert "No box here has a temperature noted." in text
    assert "How was it" in text


def test_a_peak_below_the_pull_is_pointed_out(cook_to, team):
    cook_to(9, 130, weeks=1, pull_f=140, name="Swapped Smoke")
    board = board_of(team)
    assert any("At Swapped Smoke the peak is below the pull" in note for note in board.notes)
    assert "check" in board.rows


def test_the_pull_starts_below_the_aim_by_what_the_boxes_rose(cook_to, team):
    for week, pull in enumerate((134, 135, 137), start=1):
        cook_to(8, pull + 7, weeks=week, pull_f=pull)
    board = board_of(team, moment=Moment.PULL)
    said = " ".join(board.notes)
    assert "For the pull the search starts at 133.5 °F: your boxes rose 7 °F from there" in said
    assert "the middle one of 3 with both noted" in said


def test_a_rise_nobody_noted_is_taken_and_said():
    target = target_of(Decimal("60"), Moment.PULL, [])
    assert target.at_c == pytest.approx(60 - 25 / 9, abs=1e-3)
    assert (target.is_own, target.pairs) == (True, 0)
    assert target_of(Decimal("60"), Moment.LAST, []).at_c == 60
    assert target_of(None, Moment.PEAK, []).at_c == pytest.approx(60.2778)


def test_the_aim_is_typed_right_there_and_moves_the_start(spread, team, open_page, signed_in):
    page = open_page("show_finish").content.decode()
    assert 'name="aim_c" value="140.5"' in page
    category = spread[0].category
    url = reverse("contests:set_aim", args=[team.slug, category.pk])
    back = reverse("insight:show_finish", args=[team.slug]) + "?moment=peak"
    answer = signed_in.post(url, {"aim_c": "137", "next": back})
    assert answer["Location"] == back
    text = text_of(open_page("show_finish"))
    assert "You aim at a peak of 137 °F." in text
    assert "about your aim, 8 in 10 sure it lies in 130 °F to 144 °F" in text


def test_units_are_the_teams(spread, team, open_page):
    team.units = "si"
    team.save()
    page = open_page("show_finish").content.decode()
    assert 'name="aim_c" value="60.3"' in page
    assert "60.3 °C is taken, the middle of medium" in " ".join(page.split())
    assert "°F" not in page.partition("<main")[2].replace("139 to 142 °F", "")


def test_a_reader_sees_it_without_the_form(spread, client, reader, team, today):
    client.force_login(reader.user)
    page = client.get(reverse("insight:show_finish", args=[team.slug])).content.decode()
    assert "Best guess from seven cooks" in page
    assert 'name="aim_c"' not in page


def test_the_published_minimum_stands_beside_it_in_plain_words(spread, open_page):
    text = text_of(open_page("show_finish"))
    assert (
        "under the published minimum for whole cuts of beef (145 °F and 3 minutes of rest" in text
    )
    assert "Blade-tenderized, injected or tumbled beef is not an intact cut." in text
    assert "a calibrated thermometer decides" in text


def test_another_meat_has_its_own_minimum_and_no_aim_is_assumed(cook_to, team, open_page):
    entry = cook_to(9, 170, weeks=1, category="Chicken")
    entry.category.ancillary = True
    entry.category.save()
    text = text_of(open_page("show_finish"))
    assert "Chicken has no aim yet." in text
    assert "Poultry wants 165 °F (73.9 °C)" in text
    assert "whole cuts of beef (" not in text


def test_a_contest_is_left_out_and_stays_in_the_table(spread, team, open_page):
    out = spread[-1].contest_id
    board = open_page("show_finish", query=f"out={out}").context["board"]
    assert board.count == 7
    assert len(board.curve.cooks) == 6
    assert f'value="{out}" aria-label="Leave out' in board.rows
    assert " checked>" in board.rows


def test_all_seasons_unless_one_is_chosen(cook_to, spread, open_page):
    cook_to(8, 139, weeks=60)
    assert open_page("show_finish").context["board"].count == 8
    assert open_page("show_finish", query="season=2027").context["board"].count == 7


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_picture_names_its_cooks_and_is_kept_by_content(spread, open_page, theme, signed_in):
    picture = open_page("show_finish").context["picture"]
    answer = signed_in.get(getattr(picture, theme))
    svg = answer.content.decode()
    assert answer["Content-Type"] == "image/svg+xml"
    assert "immutable" in answer["Cache-Control"]
    for words in (
        ">7<",
        "best finish, 8 in 10",
        "likely mark",
        ">aim<",
        "peak temperature, °F",
        "Doneness, mean mark",
    ):
        assert words in svg
    stale = picture.light.replace(picture.light.split("/")[-1].split(".")[0], "0" * 24)
    assert signed_in.get(stale)["Cache-Control"] == "private, no-cache"


def test_the_picture_of_what_cannot_be_told_has_dots_only(cook_to, open_page, signed_in):
    for week in range(1, 4):
        cook_to(8, 141, weeks=week)
    svg = signed_in.get(open_page("show_finish").context["picture"].light).content.decode()
    assert "best finish" not in svg
    assert ">1, 2, 3<" in svg


@pytest.mark.parametrize("many", [1, 6])
def test_the_board_takes_the_same_queries(cook_to, team, many, django_assert_num_queries):
    for week in range(1, many + 1):
        cook_to(8, 139, weeks=week)
    selection = ledger_choices(team).select()
    with django_assert_num_queries(4):
        assert finish_board(team, selection).count == many


def test_nothing_yet_says_what_to_do_first(open_page):
    assert "No contest with every judge’s marks yet." in text_of(open_page("show_finish"))


def test_another_teams_picture_is_not_found(spread, client, stranger, team, open_page):
    url = open_page("show_finish").context["picture"].light
    client.force_login(stranger.user)
    assert client.get(url).status_code == 404
