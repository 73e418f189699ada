"""Every address x everybody: a stranger finds nothing, a member without the role is told so."""

from dataclasses import dataclass

import pytest
from django.db import transaction
from django.test import Client
from django.urls import NoReverseMatch, reverse

from teamops.teams.models import Team
from teamops.teams.roles import Permission, Role
from tests.factories.contests import (
    ChecklistFactory,
    EntryFactory,
    PaymentFactory,
    TaskFactory,
    TeamPaperFactory,
)
from tests.factories.day import ProtestFactory
from tests.factories.debrief import OpenPointFactory
from tests.factories.exchange import import_batch
from tests.factories.inventory import ContainerFactory, KitLineFactory
from tests.factories.judging import ChangeFactory, PostingFactory, scored_entry
from tests.factories.packing import PackingLineFactory, PackingListFactory, ShoppingLineFactory
from tests.factories.photos import EntryPhotoFactory
from tests.factories.rules import RulebookFactory
from tests.factories.teams import InvitationFactory, ListLinkFactory
from tests.test_shape import views

# Nobody needs to sign in for these; whoever adds one says so here.
OPEN = {
    "account_confirm_email",
    "account_email_verification_sent",
    "account_inactive",
    "account_login",
    "account_reset_password",
    "account_reset_password_done",
    "account_reset_password_from_key_done",
    "account_signup",
    "feed:show_feed",
    "linked:show_prep",
    "linked:show_todos",
    "linked:tick_step",
    "linked:tick_todo",
    "loading:show_load",
    "loading:tick_load",
    "teams:join",
    "teams:sign_out",
    "teams:use_link",
    "web:show_health",
    "web:show_robots",
}


@dataclass(frozen=True)
class World:
    """One team with one of everything, and the id that each address wants."""

    team: Team
    ids: dict[str, object]


@pytest.fixture
def world(team, reader, helper, cook, owner) -> World:
    entry = scored_entry(EntryFactory(contest__team=team, peak_c=60), [[8, 9, 8, 7, 8]] * 5)
    contest = entry.contest
    packing_list = PackingListFactory(trip=contest.trip)
    line = PackingLineFactory(packing_list=packing_list)
    kit_line = KitLineFactory(kit__team=team, item__team=team)
    ids = {
        "contest": contest.pk,
        "entry": entry.pk,
        "task": TaskFactory(contest=contest).pk,
        "checklist": (checklist := ChecklistFactory(team=team, lines=1)).pk,
        "checklist_line": checklist.tasks.get().pk,
        "list_link": ListLinkFactory(team=team, made_by=owner.user).pk,
        "trip": contest.trip.pk,
        "protest": ProtestFactory(entry=entry).pk,
        "rulebook": entry.rulebook.pk,
        "own_rulebook": RulebookFactory(team=team).pk,
        "category": entry.category.pk,
        "change": ChangeFactory(team=team).pk,
        "posting": PostingFactory(
            contest=contest, category=entry.category, rows=[(1, "Ash", "240")]
        ).pk,
        "item": kit_line.item.pk,
        "kit": kit_line.kit.pk,
        "kit_line": kit_line.pk,
        "container": ContainerFactory(team=team).pk,
        "packing_list": packing_list.pk,
        "packing_line": line.pk,
        "shopping_line": ShoppingLineFactory(team=team).pk,
        "invitation": InvitationFactory(team=team, invited_by=owner.user).pk,
        "membership": helper.pk,
        "new_trip": EntryFactory(contest__team=team).contest.trip.pk,
        "step": TaskFactory(contest=contest, due_on=None, minutes_before=5).pk,
        "paper": TeamPaperFactory(team=team).pk,
        "payment": PaymentFactory(contest=contest).pk,
        "criterion": entry.rulebook.criteria.first().pk,
        "point": OpenPointFactory(contest=contest).pk,
        "import": import_batch(cook).pk,
        "photo": EntryPhotoFactory(entry=entry, by=helper.user).pk,
    }
    return World(team, ids)


# What the id in an address is of: the rows of `World.ids`.
IDS = {
    "contests:add_checklist_line": "checklist",
    "contests:change_checklist": "checklist",
    "contests:change_checklist_line": "checklist_line",
    "contests:change_task": "task",
    "contests:change_trip": "trip",
    "contests:delete_checklist": "checklist",
    "contests:delete_checklist_line": "checklist_line",
    "contests:put_checklist": "contest",
    "contests:remove_checklist": "contest",
    "contests:share_prep": "contest",
    "contests:share_todos": "contest",
    "contests:show_checklist": "contest",
    "contests:tick_checklist": "contest",
    "team:renew_link": "list_link",
    "team:revoke_link": "list_link",
    "contests:set_aim": "category",
    "contests:add_entry": "contest",
    "contests:add_protest": "entry",
    "contests:add_payment": "contest",
    "contests:add_photo": "entry",
    "contests:add_task": "contest",
    "contests:add_usual_steps": "contest",
    "contests:call_off_contest": "contest",
    "contests:change_contest": "contest",
    "contests:change_entry": "entry",
    "contests:change_outcome": "entry",
    "contests:change_protest": "protest",
    "contests:change_paper": "paper",
    "contests:change_payment": "payment",
    "contests:change_step": "step",
    "contests:check_box": "entry",
    "contests:delete_contest": "contest",
    "contests:delete_entry": "entry",
    "contests:delete_paper": "paper",
    "contests:delete_payment": "payment",
    "contests:delete_task": "task",
    "contests:move_windows": "contest",
    "contests:note_cook": "entry",
    "contests:postpone_contest": "contest",
    "contests:print_prep": "contest",
    "contests:set_outcomes": "contest",
    "contests:remove_photo": "photo",
    "contests:say_word": "contest",
    "contests:set_task_done": "task",
    "contests:show_contest": "contest",
    "contests:show_meeting": "contest",
    "contests:show_photo": "photo",
    "contests:show_prep": "contest",
    "contests:turn_in": "entry",
    "insight:draw_change": "change",
    "insight:draw_entry": "entry",
    "insight:draw_trend": "criterion",
    "insight:draw_curve": "entry",
    "insight:print_entry": "entry",
    "insight:record_rival": "entry",
    "insight:show_rival": "entry",
    "insight:show_change": "change",
    "insight:show_entry": "entry",
    "inventory:add_kit_line": "item",
    "inventory:change_container": "container",
    "inventory:change_item": "item",
    "inventory:change_kit": "kit",
    "inventory:change_kit_line": "kit_line",
    "inventory:delete_container": "container",
    "inventory:delete_item": "item",
    "inventory:delete_kit": "kit",
    "inventory:delete_kit_line": "kit_line",
    "judging:add_correction": "entry",
    "judging:add_points": "contest",
    "judging:add_posting": "contest",
    "judging:change_change": "change",
    "judging:delete_change": "change",
    "judging:plan_change": "change",
    "judging:find_debrief": "task",
    "judging:import_progress": "import",
    "judging:mend_sheets": "entry",
    "judging:record_scores": "entry",
    "judging:repeat_import": "import",
    "judging:settle_entry": "entry",
    "judging:settle_point": "point",
    "judging:show_debrief": "contest",
    "judging:show_import": "import",
    "judging:show_posting": "posting",
    "judging:show_postings": "contest",
    "judging:take_in": "import",
    "judging:undo_import": "import",
    "packing:add_line": "packing_list",
    "packing:buy_used_up": "packing_list",
    "packing:change_line": "packing_line",
    "packing:change_numbers": "packing_list",
    "packing:change_shopping": "shopping_line",
    "packing:delete_list": "packing_list",
    "packing:delete_shopping": "shopping_line",
    "packing:leave_out": "packing_line",
    "packing:make_list": "new_trip",
    "packing:print_list": "packing_list",
    "packing:set_have": "packing_line",
    "packing:set_line": "packing_list",
    "packing:share_list": "packing_list",
    "packing:show_line": "packing_line",
    "packing:show_list": "packing_list",
    "packing:show_news": "packing_list",
    "packing:take_again": "packing_line",
    "rules:change_rulebook": "own_rulebook",
    "rules:delete_rulebook": "own_rulebook",
    "rules:export_rulebook": "rulebook",
    "rules:make_edition": "rulebook",
    "rules:make_exception": "rulebook",
    "rules:make_ours": "rulebook",
    "rules:put_away": "own_rulebook",
    "rules:show_rulebook": "rulebook",
    "rules:take_out": "own_rulebook",
    "team:change_role": "membership",
    "team:remove_member": "membership",
    "team:revoke_invitation": "invitation",
}
WORDS = {"key": "x", "ending": "csv", "kind": "contests"}  # other parts of addresses
TEAM_VIEWS = [
    (name, pattern.callback.access, sorted(pattern.pattern.converters))
    for name, pattern in views()
    if isinstance(getattr(pattern.callback, "access", None), Permission)
]
ROLES = {
    Role.READER: Permission.SEE,
    Role.HELPER: Permission.LOG,
    Role.COOK: Permission.PLAN,
    Role.OWNER: Permission.MANAGE,
}


def address(world: World, name: str, wants: list[str]) -> str:
    ids = {key: WORDS.get(key) or world.ids[IDS[name]] for key in wants}
    return reverse(name, kwargs={"team": world.team.slug} | ids)


def statuses(client: Client, url: str) -> set[int]:
    """What GET and POST answer; whatever a POST did is taken back."""
    answers = set()
    for ask in (client.get, client.post):
        with transaction.atomic():
            answers.add(ask(url).status_code)
            transaction.set_rollback(True)
    return answers - {405}


@pytest.mark.parametrize(("name", "permission", "wants"), TEAM_VIEWS, ids=lambda row: str(row))
def test_every_team_address_for_everybody(world, stranger, name, permission, wants):
    url = address(world, name, wants)
    client = Client()
    answer = client.get(url)
    assert answer.status_code == 302, "nobody is sent to sign in"
    assert answer.url.startswith(reverse("account_login"))
    client.force_login(stranger.user)
    assert statuses(client, url) == {404}, "a stranger finds nothing"
    for membership in world.team.memberships.all():
        client.force_login(membership.user)
        answers = statuses(client, url)
        if membership.may(permission):
            assert answers, f"{name} answers nobody"
            wrong = answers & {401, 404, 500} | ({403} & answers if permission > 1 else set())
            assert not wrong, f"{membership.role}: {answers}"
        else:
            assert answers == {403}, f"{membership.role} may not: {answers}"


def test_open_addresses_are_the_ones_listed(client, db):
    """Whoever opens another says so in OPEN."""
    found = set()
    for name, pattern in views():
        groups = {*pattern.pattern.converters, *pattern.pattern.regex.groupindex}
        wants = dict.fromkeys(groups, "x")
        access = getattr(pattern.callback, "access", None)
        if isinstance(access, Permission):
            continue
        assert access in ("open", "signed in", None), name
        if access == "open":
            found.add(name)
        elif access is None and not set(wants) & {"pk", "uidb36"}:
            try:
                answer = client.get(reverse(name, kwargs=wants))
            except NoReverseMatch:  # it wants a person's own row
                continue
            away = answer.status_code == 302 and answer.url.startswith(reverse("account_login"))
            if not away:
                found.add(name)
    assert not found - OPEN, f"open, and not listed: {sorted(found - OPEN)}"
    assert not OPEN - found, f"listed, and not open: {sorted(OPEN - found)}"


def test_addresses_for_the_signed_in_send_others_to_sign_in(client, db):
    for name, pattern in views():
        if getattr(pattern.callback, "access", None) == "signed in":
            wants = dict.fromkeys(pattern.pattern.converters, "x")
            answer = client.get(reverse(name, kwargs=wants))
            assert answer.status_code in (302, 405), name
            if answer.status_code == 302:
                assert answer.url.startswith(reverse("account_login"))
