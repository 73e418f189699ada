"""Rulebooks in words."""

from dataclasses import dataclass

from teamops.calc.scoring import Rules, Sheet, describe_step, plain, score
from teamops.rules.models import Criterion, Rulebook
from teamops.rules.records import rules_of
from teamops.teams.models import Team


@dataclass(frozen=True, slots=True)
class RulebookPage:
    """One rulebook as a cook reads it."""

    rulebook: Rulebook
    criteria: tuple[Criterion, ...]
    full_box: str
    total: str
    ties: tuple[str, ...]


def team_rulebooks(team: Team) -> list[Rulebook]:
    """The shared ones and the team's own, with their criteria; two queries."""
    return list(Rulebook.objects.for_team(team).prefetch_related("criteria"))


def default_rulebook(team: Team) -> Rulebook | None:
    """What a new entry is judged by until someone says otherwise: the team's own, or Open Slate."""
    rows = Rulebook.objects.for_team(team)
    own = rows.filter(team=team).order_by("-valid_from", "name", "pk").first()
    return own or rows.filter(name="Open Slate").first() or rows.first()


def rulebook_page(rulebook: Rulebook) -> RulebookPage:
    """A rulebook with its arithmetic in sentences; one query."""
    criteria = tuple(rulebook.criteria.all())
    rules = rules_of(rulebook)
    return RulebookPage(
        rulebook=rulebook,
        criteria=criteria,
        full_box=_full_box(rules),
        total=_total_words(rulebook),
        ties=tuple(describe_step(step, rules) for step in rules.tie_break),
    )


def _full_box(rules: Rules) -> str:
    """What a table of judges who all give the most comes to."""
    sheets = []
    for panel in rules.panel_keys:
        best = {criterion.key: criterion.most for criterion in rules.panel_criteria(panel)}
        expected, _ = rules.panel_sheets(panel)
        sheets += [Sheet(f"judge {n}", best, panel=panel) for n in range(1, expected + 1)]
    total = score(sheets, rules).total
    return "not set" if total is None else plain(total)


def _total_words(rulebook: Rulebook) -> str:
    """How a table of marks becomes the total, in one or two sentences."""
    judges = rulebook.sheets_expected
    words = [f"{judges} judges are expected." if judges > 1 else "One judge is expected."]
    what = "sheet" if rulebook.drop_scope == Rulebook.DropScope.SHEET else "mark"
    if rulebook.drop_scope != Rulebook.DropScope.NONE:
        for number, end in ((rulebook.drop_low, "lowest"), (rulebook.drop_high, "highest")):
            if number:
                many = f"{number} {end} {what}s do" if number > 1 else f"{end} {what} does"
                words.append(f"The {many} not count.")
    words.append(f"The total is the {rulebook.get_aggregate_display()} of what counts.")
    words.append(f"A missing sheet {rulebook.get_missing_sheet_display()}.")
    return " ".join(words)
