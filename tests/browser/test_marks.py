"""Typing a score sheet in a real browser: keys, thumbs, paste, drafts and two people at once."""

import re

import pytest
from django.contrib.sessions.models import Session
from playwright.sync_api import Page, Route, expect

from teamops.contests.models import Entry
from teamops.judging.models import Mark, Result
from teamops.teams.roles import Role
from tests.browser.chromium import sideways
from tests.browser.conftest import assert_accessible
from tests.factories.contests import EntryFactory
from tests.factories.judging import scored_entry
from tests.factories.rules import CriterionFactory, RulebookFactory
from tests.factories.teams import MembershipFactory
from tests.judging.pages import url_of

pytestmark = pytest.mark.django_db(transaction=True)
WHOLE = [[9, 8, 9, 9, 9], [8, 8, 8, 7, 9], [7, 8, 7, 9, 9], [9, 7, 8, 8, 8], [9, 9, 9, 9, 9]]


@pytest.fixture
def entry(team) -> Entry:
    return EntryFactory(contest__team=team, contest__past=True)


@pytest.fixture
def at_desk(desk, sign_in, member, entry) -> Page:
    sign_in(desk, member.user)
    desk.goto(url_of(entry))
    return desk


@pytest.fixture
def at_phone(phone, sign_in, member, entry) -> Page:
    sign_in(phone, member.user)
    phone.goto(url_of(entry))
    return phone


def box(page: Page, judge: int, criterion: int):
    return page.locator("tr.judge").nth(judge - 1).locator("input.mark").nth(criterion - 1)


def save(page: Page) -> None:
    with page.expect_response(lambda answer: "saved=" in answer.url):
        page.locator(".savebar .save").click()
    expect(page.locator("#notice")).to_contain_text("Saved")


def stored(entry: Entry) -> list[list[float | None]]:
    sheets = entry.sheets.prefetch_related("marks")
    return [[None if m.points is None else float(m.points) for m in s.marks.all()] for s in sheets]


def test_fifty_keys_for_25_whole_marks(at_desk, entry):
    box(at_desk, 1, 1).focus()
    keys = 0
    for mark in (mark for row in WHOLE for mark in row):
        at_desk.keyboard.press(str(mark))
        at_desk.keyboard.press("Enter")
        keys += 2
    assert keys == 50
    expect(at_desk.locator("#id_official_total")).to_be_focused()
    expect(at_desk.locator("[data-grand]")).to_have_text("209")
    save(at_desk)
    assert stored(entry) == WHOLE


def test_a_half_is_one_key_more(at_desk):
    box(at_desk, 1, 1).focus()
    for key in ("8", "5", "Enter", "1", "0", "Enter", "9", ".", "5", "Enter"):
        at_desk.keyboard.press(key)
    assert [box(at_desk, 1, n).input_value() for n in (1, 2, 3)] == ["8.5", "10", "9.5"]


def test_arrows_move_about_the_grid(at_desk):
    box(at_desk, 2, 2).focus()
    for key, at in (
        ("ArrowRight", (2, 3)),
        ("ArrowDown", (3, 3)),
        ("ArrowLeft", (3, 2)),
        ("ArrowUp", (2, 2)),
    ):
        at_desk.keyboard.press(key)
        expect(box(at_desk, *at)).to_be_focused()


def test_what_is_odd_is_said_as_one_types(at_desk):
    box(at_desk, 1, 1).fill("11")
    box(at_desk, 1, 2).fill("8.75")
    box(at_desk, 1, 3).fill("8/9")
    box(at_desk, 2, 1).fill("9")
    box(at_desk, 3, 1).focus()
    says = at_desk.locator("tr.says").first
    expect(says).to_contain_text("Appearance 11 is off the scale, which goes from 1 to 10.")
    expect(says).to_contain_text("Doneness 8.75 is between the steps: this book has half marks.")
    expect(says).to_contain_text("Taste: the paper says “8/9”, which is no one number")
    expect(says).to_contain_text("Texture is blank.")


def test_sums_are_exact_while_typing(desk, sign_in, member, team):
    """Whole ten-thousandths: 9, 8, 8 and 7, 8, 9 come to the same under these weights."""
    book = RulebookFactory(criteria=0, drop_scope="sheet", drop_low=1, sheets_expected=3)
    for order, weight in enumerate(("0.5714", "2.2858", "1.1428"), start=1):
        CriterionFactory(rulebook=book, order=order, weight=weight)
    entry = EntryFactory(contest__team=team, rulebook=book)
    sign_in(desk, member.user)
    desk.goto(url_of(entry))
    for judge, row in enumerate((("9", "8", "8"), ("7", "8", "9"), ("5", "5", "5")), start=1):
        for criterion, mark in enumerate(row, start=1):
            box(desk, judge, criterion).fill(mark)
    expect(desk.locator("[data-sum]").nth(0)).to_have_text("32.57")
    expect(desk.locator("#live")).to_contain_text("As typed: 65.1428.")
    expect(desk.locator("tr.judge").nth(2)).to_have_class(re.compile(r"\bout\b"))
    save(desk)
    assert str(Result.objects.get(entry=entry).total) == "65.142800"


def test_a_block_is_pasted_and_rows_are_added(at_desk, entry):
    lines = ["9\t8,5\t9\t9\t9"] * 7
    at_desk.evaluate(
        """text => {
            const data = new DataTransfer();
            data.setData("text/plain", text);
            const box = document.querySelector("input.mark");
            box.focus();
            const how = {clipboardData: data, bubbles: true, cancelable: true};
            box.dispatchEvent(new ClipboardEvent("paste", how));
        }""",
        "\r\n".join(lines) + "\r\n",
    )
    expect(at_desk.locator("tr.judge")).to_have_count(7)
    save(at_desk)
    assert stored(entry) == [[9, 8.5, 9, 9, 9]] * 7
    expect(at_desk.locator(".sums")).to_contain_text("Seven sheets where five are expected")


def test_25_taps_for_25_whole_marks(at_phone, entry):
    pad = at_phone.locator("#pad")
    expect(pad.locator(".here")).to_have_text("Judge 1 · Appearance")
    taps = 0
    for mark in (mark for row in WHOLE for mark in row):
        pad.locator(f'[data-mark="{mark}"]').tap()
        taps += 1
    assert taps == 25
    expect(pad.locator(".here")).to_have_text("That was the last box")
    with at_phone.expect_response(lambda answer: "saved=" in answer.url):
        pad.get_by_role("button", name="Save").tap()
    expect(at_phone.locator("#notice")).to_contain_text("our total is 209")
    assert stored(entry) == WHOLE


def middle(page: Page, mark: int) -> dict[str, float]:
    """Where a thumb meets the key of this mark."""
    at = page.locator(f'#pad [data-mark="{mark}"]').bounding_box()
    assert at is not None
    return {"x": at["x"] + at["width"] / 2, "y": at["y"] + at["height"] / 2}


def sums(page: Page) -> list[str]:
    return page.locator("#tables [data-sum]").all_inner_texts()


@pytest.mark.parametrize("slower", [1, 6])
def test_no_tap_is_lost_however_quick(at_phone, member, slower):
    """Two boxes, 25 taps each, one at once after the other, on a phone six times slower too."""
    at_phone.context.new_cdp_session(at_phone).send(
        "Emulation.setCPUThrottlingRate", {"rate": slower}
    )
    second = EntryFactory(contest__team=member.team, contest__past=True)
    for entry in (Entry.objects.exclude(pk=second.pk).get(), second):
        at_phone.goto(url_of(entry))
        places = {mark: middle(at_phone, mark) for mark in (7, 8, 9)}
        for mark in (mark for row in WHOLE for mark in row):
            at_phone.touchscreen.tap(**places[mark])
        expect(at_phone.locator("#pad .here")).to_have_text("That was the last box")
        assert sums(at_phone) == [str(sum(row)) for row in WHOLE]
        at_phone.locator("#pad").get_by_role("button", name="Save").tap()
        expect(at_phone.locator("#notice")).to_contain_text("our total is 209")
        assert stored(entry) == WHOLE


def test_two_thumbs_at_once_are_two_marks(at_phone):
    """The second comes down before the first is up, all along the table."""
    wire = at_phone.context.new_cdp_session(at_phone)
    places = {mark: middle(at_phone, mark) for mark in (7, 8, 9)}

    def touch(kind: str, *thumbs: tuple[int, int]) -> None:
        points = [places[mark] | {"id": thumb} for thumb, mark in thumbs]
        wire.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    row = WHOLE[1]
    for turn, mark in enumerate(row):
        before = [(turn - 1, row[turn - 1])] if turn else []
        touch("touchStart", *before, (turn, mark))
        if turn:
            touch("touchMove", (turn, mark))  # and the one before is up
    touch("touchEnd")
    assert [box(at_phone, 1, n).input_value() for n in range(1, 6)] == [str(mark) for mark in row]
    expect(at_phone.locator("#pad .here")).to_have_text("Judge 2 · Appearance")


def test_a_thumb_that_slides_off_a_key_gives_no_mark(at_phone):
    wire = at_phone.context.new_cdp_session(at_phone)
    from_, to = middle(at_phone, 7), middle(at_phone, 9)
    for kind, points in (("touchStart", [from_]), ("touchMove", [to]), ("touchEnd", [])):
        wire.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    at_phone.locator('#pad [data-mark="8"]').tap()
    assert [box(at_phone, 1, n).input_value() for n in (1, 2)] == ["8", ""]


def test_the_keys_take_a_mouse_a_keyboard_and_a_screen_reader(at_phone):
    """One mark from each press; the key with the focus keeps it."""
    key = at_phone.locator('#pad [data-mark="8"]')
    key.click()
    key.press("Enter")
    key.press("Space")
    expect(key).to_be_focused()
    key.dispatch_event("click")
    at_phone.locator('#pad [data-mark="9"]').dblclick()
    values = [box(at_phone, 1, n).input_value() for n in range(1, 6)]
    assert [*values, box(at_phone, 2, 1).input_value()] == ["8", "8", "8", "8", "9", "9"]
    expect(box(at_phone, 2, 2)).to_have_value("")


def test_what_is_typed_before_the_pad_comes_goes_on_by_keyboard(phone, sign_in, member, entry):
    """A slow line: somebody types on the phone's own keyboard when the scripts arrive."""
    sign_in(phone, member.user)
    held: list[Route] = []
    phone.route("**/pad.js", lambda route: held.append(route))
    phone.goto(url_of(entry), wait_until="commit")
    box(phone, 1, 1).focus()
    phone.keyboard.type("9")
    phone.wait_for_timeout(100)
    assert len(held) == 1
    held[0].continue_()
    expect(phone.locator("#show-pad")).to_be_visible()
    phone.keyboard.type(".5")
    expect(box(phone, 1, 1)).to_have_value("9.5")
    expect(phone.locator("#pad")).to_be_hidden()
    phone.locator("#show-pad").tap()
    expect(phone.locator("#pad .here")).to_have_text("Judge 1 · Doneness")


def test_a_half_is_one_tap_more_and_can_be_taken_back(at_phone):
    pad = at_phone.locator("#pad")
    pad.locator('[data-mark="8"]').tap()
    pad.locator('[data-part="0.5"]').tap()
    expect(box(at_phone, 1, 1)).to_have_value("8.5")
    expect(pad.locator(".here")).to_have_text("Judge 1 · Doneness")
    pad.locator('[data-part="0.5"]').tap()
    expect(box(at_phone, 1, 1)).to_have_value("8")
    pad.locator('[data-mark="10"]').tap()
    expect(pad.locator('[data-part="0.5"]')).to_be_disabled()


def test_the_pad_goes_back_leaves_blank_and_jumps(at_phone):
    pad = at_phone.locator("#pad")
    pad.locator('[data-mark="9"]').tap()
    pad.get_by_role("button", name="Blank").tap()
    expect(pad.locator(".here")).to_have_text("Judge 1 · Taste")
    pad.get_by_role("button", name="Back").tap()
    expect(pad.locator(".here")).to_have_text("Judge 1 · Doneness")
    box(at_phone, 2, 3).tap()
    expect(pad.locator(".here")).to_have_text("Judge 2 · Taste")


def test_the_pad_on_a_full_table_begins_at_its_first_box(phone, sign_in, member, entry):
    scored_entry(entry, WHOLE)
    sign_in(phone, member.user)
    phone.goto(url_of(entry))
    phone.locator("#show-pad").tap()
    expect(phone.locator("#pad .here")).to_have_text("Judge 1 · Appearance: 9")
    phone.locator('#pad [data-mark="7"]').tap()
    expect(box(phone, 1, 1)).to_have_value("7")
    expect(phone.locator("#pad .here")).to_have_text("Judge 1 · Doneness: 8")


@pytest.mark.parametrize(
    ("least", "most", "step", "taps", "value"),
    [
        ("2", "9", "1", ['[data-mark="9"]'], "9"),
        ("6", "10", "0.1", ['[data-mark="8"]', '[data-part="0.7"]'], "8.7"),
        ("0", "100", "1", ["text=8", "text=7", "text=Next"], "87"),
    ],
)
def test_the_pad_is_made_from_the_scale(
    phone, sign_in, member, team, least, most, step, taps, value
):
    book = RulebookFactory(criteria=0)
    CriterionFactory(rulebook=book, order=1, least=least, most=most, step=step)
    entry = EntryFactory(contest__team=team, rulebook=book)
    sign_in(phone, member.user)
    phone.goto(url_of(entry))
    for tap in taps:
        phone.locator(f"#pad button:is({tap})" if "[" in tap else f"#pad >> {tap}").first.tap()
    expect(box(phone, 1, 1)).to_have_value(value)


def test_a_draft_outlives_a_closed_tab(at_desk, entry, watch):
    box(at_desk, 1, 1).fill("9")
    at_desk.get_by_role("button", name="Add a judge").click()
    box(at_desk, 6, 2).fill("7.5")
    at_desk.locator("#id_placing").fill("4")
    at_desk.reload()
    expect(at_desk.locator("#draft")).to_contain_text(
        re.compile(r"You typed this at \d\d:\d\d and it was not saved")
    )
    expect(box(at_desk, 1, 1)).to_have_value("9")
    expect(box(at_desk, 6, 2)).to_have_value("7.5")
    expect(at_desk.locator("#id_placing")).to_have_value("4")
    save(at_desk)
    at_desk.reload()
    expect(at_desk.locator("#draft")).to_be_hidden()
    assert at_desk.evaluate("Object.keys(localStorage).length") == 0
    assert Entry.objects.get(pk=entry.pk).placing == 4


def test_a_draft_can_be_thrown_away(at_desk):
    box(at_desk, 1, 1).fill("9")
    at_desk.reload()
    at_desk.get_by_role("button", name="Throw it away").click()
    expect(box(at_desk, 1, 1)).to_have_value("")
    expect(at_desk.locator("#draft")).to_be_hidden()


def test_without_a_connection_nothing_is_lost(at_phone, entry, watch):
    watch.expect("ERR_INTERNET_DISCONNECTED", "console: htmx:")
    pad = at_phone.locator("#pad")
    pad.locator('[data-mark="9"]').tap()
    at_phone.context.set_offline(True)
    pad.get_by_role("button", name="Save").tap()
    expect(at_phone.locator("#said")).to_contain_text("No connection: kept on this phone.")
    expect(box(at_phone, 1, 1)).to_have_value("9")
    at_phone.context.set_offline(False)
    pad.get_by_role("button", name="Save").tap()
    expect(at_phone.locator("#notice")).to_contain_text("Saved")
    assert Mark.objects.filter(points=9).count() == 1


def test_an_expired_sign_in_loses_nothing(at_desk, entry, member, sign_in, watch):
    watch.expect(401)
    box(at_desk, 1, 1).fill("9")
    Session.objects.all().delete()
    at_desk.locator(".savebar .save").click()
    at_desk.wait_for_url(re.compile("/account/login/"))
    sign_in(at_desk, member.user)
    at_desk.goto(url_of(entry))
    expect(at_desk.locator("#draft")).to_contain_text("was not saved")
    expect(box(at_desk, 1, 1)).to_have_value("9")
    save(at_desk)
    assert Mark.objects.filter(points=9).count() == 1


def test_a_draft_is_another_users_secret(at_desk, entry, team, sign_in):
    box(at_desk, 1, 1).fill("9")
    at_desk.context.clear_cookies()
    sign_in(at_desk, MembershipFactory(team=team, role=Role.COOK).user)
    at_desk.goto(url_of(entry))
    expect(box(at_desk, 1, 1)).to_have_value("")


def test_signing_out_takes_the_drafts_along(at_desk):
    box(at_desk, 1, 1).fill("9")
    assert at_desk.evaluate("Object.keys(localStorage).length") == 1
    at_desk.locator("details.person summary").click()
    at_desk.get_by_role("button", name="Sign out").click()
    at_desk.wait_for_url(re.compile("/account/login/"))
    assert at_desk.evaluate("Object.keys(localStorage).length") == 0


def test_two_browsers_see_each_other(at_desk, at_phone, entry, watch):
    watch.expect(409)
    box(at_phone, 1, 1).tap()
    at_phone.locator('#pad [data-mark="8"]').tap()
    box(at_desk, 1, 1).fill("9")
    save(at_desk)
    at_phone.locator("#pad").get_by_role("button", name="Save").tap()
    expect(at_phone.locator("#notice")).to_contain_text("saved this table while you were typing")
    expect(box(at_phone, 1, 1)).to_have_value("8")
    expect(at_phone.locator(".theirs").first).to_have_text("theirs 9")
    expect(at_phone.locator("#theirs")).to_contain_text("9")
    assert stored(entry)[0][0] == 9
    save(at_phone)
    assert [row[0] for row in stored(entry)] == [8]


def test_a_draft_from_before_another_save_ends_in_both(at_desk, entry, watch):
    watch.expect(409)
    box(at_desk, 1, 1).fill("9")
    scored_entry(entry, [[7, 7, 7, 7, 7]])
    at_desk.reload()
    expect(at_desk.locator("#draft")).to_contain_text("Somebody has saved since")
    at_desk.locator(".savebar .save").click()
    expect(at_desk.locator("#notice")).to_contain_text("saved this table while you were typing")
    assert stored(entry) == [[7, 7, 7, 7, 7]]


def test_letters_stay_typed_with_a_sentence_beside_them(at_desk, watch):
    watch.expect(422)
    story = "nine and a bit, they could not agree on it"
    box(at_desk, 2, 3).fill(story)
    box(at_desk, 1, 1).fill("9")
    at_desk.locator(".savebar .save").click()
    expect(at_desk.locator("#notice")).to_contain_text("Not saved yet")
    expect(at_desk.locator("tr.says").nth(1)).to_contain_text("Put the rest into the comment.")
    expect(box(at_desk, 2, 3)).to_have_value(story)
    expect(box(at_desk, 1, 1)).to_have_value("9")
    assert not Mark.objects.exists()


def test_a_box_in_the_papers_own_words_is_kept(at_desk, entry):
    for criterion, text in enumerate(("8+", "8/9", "O", "DNT", "9½"), start=1):
        box(at_desk, 1, criterion).fill(text)
    expect(at_desk.locator("[data-sum]").first).to_have_text("17.5")
    save(at_desk)
    assert stored(entry) == [[8, None, 0, None, 9.5]]
    expect(box(at_desk, 1, 2)).to_have_value("8/9")
    expect(at_desk.locator("tr.says").first).to_contain_text("two values, ask which one holds")
    expect(at_desk.locator("tr.says").first).to_contain_text("(did not turn in)")
    expect(at_desk.locator("[data-sum]").first).to_have_text("17.5")


def test_a_final_is_added_typed_and_outlives_a_closed_tab(at_desk, entry):
    box(at_desk, 1, 1).fill("9")
    at_desk.get_by_role("button", name="Add a round").click()
    expect(at_desk.locator("#id_rounds-1-name")).to_have_value("Final")
    expect(box(at_desk, 1, 1)).to_have_value("9")
    expect(at_desk.locator("tr.judge")).to_have_count(10)
    box(at_desk, 6, 1).fill("8")
    expect(at_desk.locator("#live")).to_contain_text("As typed: 8.")
    at_desk.reload()
    expect(at_desk.locator("#id_rounds-1-name")).to_have_value("Final")
    expect(box(at_desk, 6, 1)).to_have_value("8")
    save(at_desk)
    assert list(entry.sheets.values_list("round", flat=True)) == ["", "Final"]
    expect(at_desk.locator(".sums")).to_contain_text("Final: 8 of 50, which decides")


def test_an_open_scale_is_typed_on_the_pad(phone, sign_in, member, team):
    book = RulebookFactory(criteria=0, sheets_expected=1)
    CriterionFactory(rulebook=book, order=1, least=None, most=None, step=None)
    entry = EntryFactory(contest__team=team, rulebook=book)
    sign_in(phone, member.user)
    phone.goto(url_of(entry))
    for digit in "120":
        phone.locator("#pad").get_by_role("button", name=digit, exact=True).tap()
    expect(box(phone, 1, 1)).to_have_value("120")
    expect(phone.locator("#live")).to_contain_text("As typed: 120.")


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_sheets_are_put_right_by_everybody(size, request, sign_in, member, entry):
    page = request.getfixturevalue(size)
    scored_entry(entry, WHOLE)
    twin = EntryFactory(
        contest=entry.contest, rulebook=entry.rulebook, category=entry.category, blind_number="77"
    )
    scored_entry(twin, WHOLE[:3])
    sign_in(page, member.user)
    page.goto(url_of(entry))
    page.get_by_role("link", name="A sheet is not ours").click()
    assert_accessible(page)
    assert sideways(page) == 0
    page.get_by_role("button", name="Not ours").first.click()
    expect(page.locator("#corrections")).to_be_visible()
    assert entry.sheets.count() == 4
    page.goto(url_of(entry))
    page.get_by_role("link", name="It was late").click()
    assert_accessible(page)
    assert sideways(page) == 0


def test_the_reason_is_asked_for_once_it_is_disqualified(at_phone, entry):
    reason = at_phone.locator("#id_disqualified_why")
    expect(reason).to_be_hidden()
    at_phone.locator("#id_disqualified").check()
    reason.fill("Five pieces for six judges.")
    at_phone.locator("#id_disqualified").uncheck()
    expect(reason).to_be_visible()  # what is typed never goes out of sight
    at_phone.locator("#id_disqualified").check()
    save(at_phone)
    assert Entry.objects.get(pk=entry.pk).disqualified_why == "Five pieces for six judges."


def test_it_all_works_without_javascript(plain, sign_in, member, entry):
    sign_in(plain, member.user)
    plain.goto(url_of(entry))
    assert "Without JavaScript nothing you type is kept" in plain.content()
    box(plain, 1, 1).fill("9")
    plain.get_by_role("button", name="Add a judge").click()
    expect(box(plain, 1, 1)).to_have_value("9")
    box(plain, 6, 1).fill("8,5")
    box(plain, 6, 1).press("Enter")
    expect(plain.locator("#notice")).to_contain_text("Saved")
    assert [row[0] for row in stored(entry)] == [9, 8.5]


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_the_page_can_be_used_by_everybody(size, request, sign_in, member, entry):
    page = request.getfixturevalue(size)
    sign_in(page, member.user)
    page.goto(url_of(entry))
    assert_accessible(page)
    assert sideways(page) == 0
    scored_entry(entry, [[9, 8, 11, None, 8.75], *WHOLE], official_total=100)
    page.reload()
    assert_accessible(page)
    assert sideways(page) == 0
