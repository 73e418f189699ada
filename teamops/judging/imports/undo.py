"""An import taken away again, where nobody has built on it since."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils import timezone
from simple_history.utils import bulk_update_with_history

from teamops.calc.words import count_of
from teamops.contests.models import Category, Contest, Entry, Trip
from teamops.judging.actions.many import keep_results
from teamops.judging.history import bulk_delete_with_history
from teamops.judging.imports.take import KINDS, VERSIONED
from teamops.judging.models import CriterionResult, CriterionTotal, Mark, Result, ScoreSheet
from teamops.judging.worked import work_out
from teamops.rules.models import Rulebook
from teamops.teams.models import ImportBatch, Team, User

CHUNK = 500  # ids that one question holds
SAID = 12  # reasons that are told
WORDS = {"scoresheet": "sheet", "entryphoto": "photo", "lidcheck": "box check",
         "fieldline": "posted line", "packinglist": "packing list", "openpoint": "open point",
         "criteriontotal": "criterion total", "changeuse": "change said",
         "meetingword": "word of the meeting"}  # fmt: skip


@transaction.atomic
def undo(*, batch: ImportBatch, by: User) -> None:
    """
    Take away what a batch made, and put back what it changed; each with its line in the history.

    Refuses (ValidationError), saying what, where anything of it was changed or built upon since,
    and a batch that is not taken in.
    """
    Team.objects.select_for_update().get(pk=batch.team_id)
    locked = ImportBatch.objects.select_for_update(of=("self",)).get(pk=batch.pk)
    if locked.state != ImportBatch.State.DONE:
        raise ValidationError("This import is not taken in, so there is nothing to undo.")
    undoing = _Undoing(locked, by)
    touched = list(dict.fromkeys(undoing.touched()))
    if touched:
        more = len(touched) - SAID
        words = touched[:SAID] + ([f"{count_of(more, 'more')} like these."] if more > 0 else [])
        raise ValidationError(["This import cannot be undone any more.", *words])
    undoing.take_away()
    batch.state, batch.undone_at, batch.undone_by = ImportBatch.State.UNDONE, timezone.now(), by
    batch.save(update_fields=["state", "undone_at", "undone_by"])
    transaction.on_commit(lambda: Team.objects.filter(pk=batch.team_id).restamp())


class _Undoing:
    """What one batch made, as it is now."""

    def __init__(self, batch: ImportBatch, by: User) -> None:
        self.team, self.made, self.by = batch.team, batch.made, by
        self.before: dict[str, dict[str, dict[str, Any]]] = batch.made.get("before", {})
        self.contests = _rows(Contest, batch.made["contests"])
        self.entries = _rows(Entry, batch.made["entries"])
        self.sheets = _rows(ScoreSheet, batch.made["sheets"])
        self.totals = _rows(CriterionTotal, batch.made["totals"])
        self.marks = _rows(Mark, batch.made["marks"])
        self.results = _rows(Result, batch.made["results"])
        self.changed = {
            kind: _rows(KINDS[kind], fields) for kind, fields in self.before.items() if fields
        }

    def touched(self) -> Iterator[str]:
        """Sentences about what was changed since, or hangs on what is to go."""
        yield from self._versions()
        made = {
            Contest: self.made["contests"],
            Entry: self.made["entries"],
            ScoreSheet: self.made["sheets"],
            CriterionTotal: list(map(str, self.made["totals"])),
            Result: self.made["results"],
        }
        for model, rows in ((Contest, self.contests), (Entry, self.entries)):
            names = {row.pk: str(row) for row in rows}
            for relation in _relations(model):
                yield from self._hanging(relation, names, set(made.get(relation.model, ())))
        trips = {row.trip_id: str(row) for row in self.contests}
        for relation in _relations(Trip):
            if relation.model is not Contest:
                yield from self._hanging(relation, trips, set())

    def _versions(self) -> Iterator[str]:
        versions: dict[str, int] = self.made["versions"]
        known = {str(row.pk): row for row in [*self.contests, *self.entries]}
        for kind in ("contest", "entry"):
            known |= {str(row.pk): row for row in self.changed.get(kind, [])}
        for pk, version in versions.items():
            row = known.get(pk)
            if row is None:
                yield "Something that it made was deleted since."
            elif row.version != version:
                yield f"{row} was changed since."
        results = {str(row.pk): row for row in self.results}
        for pk, version in self.made["results"].items():
            row = results.get(pk)
            if row is None or row.version != version:
                what = str(row.entry) if row else "a box"
                yield f"The scores of {what} were changed since."

    def _hanging(
        self, relation: models.ForeignKey, names: dict[Any, str], made: set[str]
    ) -> Iterator[str]:
        """Rows that hang on what is to go and were not made with it."""
        for ids in _chunks(list(names)):
            rows = relation.model._base_manager.filter(**{f"{relation.name}__in": ids})
            for pk, target in rows.values_list("pk", relation.attname):
                if str(pk) not in made:
                    kind = relation.model._meta.model_name or ""
                    word = WORDS.get(kind, str(relation.model._meta.verbose_name))
                    yield f"{names[target]} has a {word} since."

    def take_away(self) -> None:
        """Delete and put back, in an order that leaves nothing hanging."""
        gone = {row.pk for row in self.entries}
        self._delete_papers()
        for ids in _chunks([str(pk) for pk in gone]):
            CriterionResult.objects.filter(result__in=ids).delete()
        self._delete([row for row in self.results if row.pk in gone], Result)
        self._delete(self.entries, Entry)
        trips = [row.trip_id for row in self.contests]
        self._delete(self.contests, Contest)
        for ids in _chunks(trips):
            Trip.objects.filter(pk__in=ids).delete()
        self._put_back()
        self._reckon([row for row in self.results if row.pk not in gone])
        self._tidy()

    def _delete_papers(self) -> None:
        for ids in _chunks([row.pk for row in self.sheets]):
            marks = Mark.objects.filter(sheet__in=ids).order_by("pk")
            bulk_delete_with_history(list(marks), Mark, by=self.by)
        self._delete(self.marks, Mark)
        self._delete(self.sheets, ScoreSheet)
        self._delete(self.totals, CriterionTotal)

    def _delete(self, rows: Sequence[Any], model: type[models.Model]) -> None:
        for start in range(0, len(rows), CHUNK):
            bulk_delete_with_history(rows[start : start + CHUNK], model, by=self.by)

    def _put_back(self) -> None:
        """Every changed row as it was before."""
        for kind, rows in self.changed.items():
            model = KINDS[kind]
            fields = {field.name: field for field in model._meta.concrete_fields}
            names: set[str] = set()
            for row in rows:
                before = self.before[kind][str(row.pk)]
                names |= before.keys()
                for name, value in before.items():
                    setattr(row, fields[name].attname, fields[name].to_python(value))
                if model in VERSIONED:
                    row.version, row.changed_by = row.version + 1, self.by
            if model in VERSIONED:
                names |= {"version", "changed_by"}
            bulk_update_with_history(rows, model, sorted(names), default_user=self.by)

    def _reckon(self, results: Sequence[Result]) -> None:
        """Results of boxes that were here before, without what the import added."""
        new = set(self.made["new_results"])
        rows = Entry.objects.select_related("contest", "category", "rulebook")
        entries = {row.pk: row for ids in _chunks([r.pk for r in results])
                   for row in rows.filter(pk__in=ids)}  # fmt: skip
        kept = []
        for result in results:
            worked = work_out(entries[result.pk])
            if str(result.pk) in new and worked.columns["basis"] == Result.Basis.NONE:
                CriterionResult.objects.filter(result=result).delete()
                self._delete([result], Result)
            else:
                kept.append((result, worked))
        if kept:
            keep_results(kept, by=self.by)

    def _tidy(self) -> None:
        """Categories and freezes that only the import needed."""
        for category in Category.objects.for_team(self.team).filter(pk__in=self.made["categories"]):
            if not any(
                relation.model._base_manager.filter(**{relation.name: category}).exists()
                for relation in _relations(Category)
            ):
                category.delete()
        for book in Rulebook.objects.filter(pk__in=self.made["frozen"], frozen_at__isnull=False):
            if not Entry.objects.filter(rulebook=book, marked_at__isnull=False).exists():
                book.frozen_at = None
                book.save(update_fields=["frozen_at"])


def _relations(model: type[models.Model]) -> list[models.ForeignKey]:
    """The columns of other models, hidden ones too, that point to this one."""
    return [
        one.field
        for one in model._meta.get_fields(include_hidden=True)
        if isinstance(one, models.ManyToOneRel) and not hasattr(one.related_model, "history_type")
    ]


def _rows(model: type[models.Model], ids: Iterable[Any]) -> list[Any]:
    rows: list[Any] = []
    for some in _chunks(list(ids)):
        rows += model._base_manager.filter(pk__in=some).order_by("pk")
    return rows


def _chunks(ids: Sequence[Any]) -> Iterator[Sequence[Any]]:
    for start in range(0, len(ids), CHUNK):
        yield ids[start : start + CHUNK]
