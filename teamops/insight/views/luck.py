from django.http import Http404, HttpResponse
from django.template.loader import render_to_string
from django.urls import reverse
from django.views.decorators.http import require_GET

from teamops.insight import queries
from teamops.insight.forms import LedgerForm
from teamops.insight.queries.choices import Selection
from teamops.insight.queries.ground import Ground
from teamops.insight.queries.luck import luck_of
from teamops.insight.views.chosen import keep_account, show_chosen
from teamops.insight.views.drawn import drawing, drawn_answer
from teamops.teams.access import TeamRequest, team_view
from teamops.teams.roles import Permission


@require_GET
@team_view(Permission.SEE)
def show_luck(request: TeamRequest) -> HttpResponse:
    """How much of the swing in our marks is the judges, the day, the criterion, and the rest."""

    def account(ground: Ground, form: LedgerForm, selection: Selection) -> str:
        def draw() -> str:
            luck = luck_of(request.team, selection)
            url = reverse("insight:draw_luck", args=[request.team.slug, luck.key])
            light, dark = (f"{url}?{selection.query(theme=theme)}" for theme in ("light", "dark"))
            page = {"luck": luck, "selection": selection, "light": light, "dark": dark}
            return render_to_string("insight/_luck.html", page, request)

        return keep_account(request.team, ground, selection, "luck", draw)

    page, part = "insight/luck.html", "insight/_luck_chosen.html"
    return show_chosen(request, page, part, LedgerForm, account)


@drawing
@require_GET
@team_view(Permission.SEE)
def draw_luck(request: TeamRequest, key: str) -> HttpResponse:
    """The shares as SVG; `key` names the content that the page saw."""
    form = LedgerForm(request.GET, choices=queries.ledger_choices(request.team))
    selection = form.selection() if form.is_valid() else None
    if selection is None:
        raise Http404("No such picture.")
    luck = luck_of(request.team, selection)

    def draw(theme: str) -> str:
        from teamops.insight.pictures.luck import luck_picture  # matplotlib takes a second to load

        return luck_picture(luck, theme)

    return drawn_answer(request, f"luck-{luck.key}", draw, seen=key == luck.key)
