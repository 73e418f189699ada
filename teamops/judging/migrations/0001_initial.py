
import django.core.validators
import django.db.models.deletion
import simple_history.models
import teamops.teams.fields
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('contests', '0001_initial'),
        ('rules', '0001_initial'),
        ('teams', '0001_initial'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Change',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('what', teamops.teams.fields.PlainTextField(max_length=120)),
                ('starts_on', models.DateField(verbose_name='from')),
                ('ends_on', models.DateField(blank=True, null=True, verbose_name='until')),
                ('note', teamops.teams.fields.PlainTextField(blank=True, max_length=1000)),
                ('category', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.RESTRICT, related_name='changes', to='contests.category')),
                ('team', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='changes', to='teams.team')),
            ],
            options={
                'ordering': ['starts_on', 'what', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='ChangeUse',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('on', models.BooleanField(verbose_name='with the change')),
                ('change', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='uses', to='judging.change')),
                ('contest', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='+', to='contests.contest')),
            ],
            options={
                'ordering': ['change', 'contest'],
            },
        ),
        migrations.CreateModel(
            name='Correction',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('corrected_on', models.DateField(verbose_name='corrected on')),
                ('what', teamops.teams.fields.PlainTextField(editable=False, max_length=500, verbose_name='what was corrected')),
                ('why', teamops.teams.fields.PlainTextField(blank=True, max_length=300)),
                ('recorded_at', models.DateTimeField(auto_now_add=True)),
                ('entry', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='corrections', to='contests.entry')),
                ('recorded_by', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['corrected_on', 'recorded_at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='CriterionTotal',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('points', models.DecimalField(blank=True, decimal_places=4, max_digits=10, null=True)),
                ('criterion', models.ForeignKey(on_delete=django.db.models.deletion.RESTRICT, related_name='+', to='rules.criterion')),
                ('entry', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='criterion_totals', to='contests.entry')),
            ],
            options={
                'ordering': ['entry', 'criterion__order', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Debrief',
            fields=[
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('contest', models.OneToOneField(editable=False, on_delete=django.db.models.deletion.CASCADE, primary_key=True, related_name='debrief', serialize=False, to='contests.contest')),
                ('happened', teamops.teams.fields.PlainTextField(blank=True, max_length=4000, verbose_name='what happened')),
                ('keep', teamops.teams.fields.PlainTextField(blank=True, max_length=2000, verbose_name='what to keep')),
                ('change', teamops.teams.fields.PlainTextField(blank=True, max_length=2000, verbose_name='what to change')),
                ('changed_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='HistoricalChange',
            fields=[
                ('id', models.UUIDField(db_index=True, default=uuid.uuid4, editable=False)),
                ('what', teamops.teams.fields.PlainTextField(max_length=120)),
                ('starts_on', models.DateField(verbose_name='from')),
                ('ends_on', models.DateField(blank=True, null=True, verbose_name='until')),
                ('note', teamops.teams.fields.PlainTextField(blank=True, max_length=1000)),
                ('history_id', models.AutoField(primary_key=True, serialize=False)),
                ('history_date', models.DateTimeField(db_index=True)),
                ('history_change_reason', models.TextField(null=True)),
                ('history_type', models.CharField(choices=[('+', 'Created'), ('~', 'Changed'), ('-', 'Deleted')], max_length=1)),
                ('category', models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='contests.category')),
                ('history_user', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('team', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='teams.team')),
            ],
            options={
                'verbose_name': 'historical change',
                'verbose_name_plural': 'historical changes',
                'ordering': ('-history_date', '-history_id'),
                'get_latest_by': ('history_date', 'history_id'),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name='HistoricalChangeUse',
            fields=[
                ('id', models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name='ID')),
                ('on', models.BooleanField(verbose_name='with the change')),
                ('history_id', models.AutoField(primary_key=True, serialize=False)),
                ('history_date', models.DateTimeField(db_index=True)),
                ('history_change_reason', models.TextField(null=True)),
                ('history_type', models.CharField(choices=[('+', 'Created'), ('~', 'Changed'), ('-', 'Deleted')], max_length=1)),
                ('change', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='judging.change')),
                ('contest', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='contests.contest')),
                ('history_user', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'verbose_name': 'historical change use',
                'verbose_name_plural': 'historical change uses',
                'ordering': ('-history_date', '-history_id'),
                'get_latest_by': ('history_date', 'history_id'),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name='HistoricalCriterionTotal',
            fields=[
                ('id', models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name='ID')),
                ('points', models.DecimalField(blank=True, decimal_places=4, max_digits=10, null=True)),
                ('history_id', models.AutoField(primary_key=True, serialize=False)),
                ('history_date', models.DateTimeField(db_index=True)),
                ('history_change_reason', models.TextField(null=True)),
                ('history_type', models.CharField(choices=[('+', 'Created'), ('~', 'Changed'), ('-', 'Deleted')], max_length=1)),
                ('criterion', models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='rules.criterion')),
                ('entry', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='contests.entry')),
                ('history_user', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'verbose_name': 'historical criterion total',
                'verbose_name_plural': 'historical criterion totals',
                'ordering': ('-history_date', '-history_id'),
                'get_latest_by': ('history_date', 'history_id'),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name='HistoricalResult',
            fields=[
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('basis', models.CharField(choices=[('none', 'nothing yet'), ('marks', "every judge's marks"), ('judge_totals', 'a total from each judge'), ('criteria', 'a total for each criterion'), ('total', 'one total'), ('placing', 'a placing only')], default='none', max_length=12)),
                ('total', models.DecimalField(blank=True, decimal_places=6, max_digits=15, null=True, verbose_name='our total')),
                ('most', models.DecimalField(blank=True, decimal_places=6, max_digits=15, null=True, verbose_name='a full box')),
                ('sheets', models.PositiveSmallIntegerField(default=0)),
                ('sheets_counted', models.PositiveSmallIntegerField(default=0)),
                ('lost_to_rounding', models.DecimalField(decimal_places=6, default=0, max_digits=15, verbose_name="what only the rulebook's rounding took")),
                ('docked', models.DecimalField(decimal_places=6, default=0, max_digits=15, verbose_name='taken off for lateness')),
                ('round', teamops.teams.fields.PlainTextField(blank=True, max_length=40, verbose_name='the deciding round')),
                ('flags', models.JSONField(blank=True, default=list)),
                ('scored_at', models.DateTimeField(blank=True, editable=False)),
                ('saved_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('saved_op', models.UUIDField(blank=True, editable=False, null=True)),
                ('history_id', models.AutoField(primary_key=True, serialize=False)),
                ('history_date', models.DateTimeField(db_index=True)),
                ('history_change_reason', models.TextField(null=True)),
                ('history_type', models.CharField(choices=[('+', 'Created'), ('~', 'Changed'), ('-', 'Deleted')], max_length=1)),
                ('changed_by', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('entry', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='contests.entry')),
                ('history_user', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'verbose_name': 'historical result',
                'verbose_name_plural': 'historical results',
                'ordering': ('-history_date', '-history_id'),
                'get_latest_by': ('history_date', 'history_id'),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name='HistoricalScoreSheet',
            fields=[
                ('id', models.UUIDField(db_index=True, default=uuid.uuid4, editable=False)),
                ('round', teamops.teams.fields.PlainTextField(blank=True, max_length=40)),
                ('panel', teamops.teams.fields.PlainTextField(blank=True, max_length=40)),
                ('table', teamops.teams.fields.PlainTextField(blank=True, max_length=20)),
                ('position', models.PositiveSmallIntegerField(editable=False, validators=[django.core.validators.MinValueValidator(1)])),
                ('seat', teamops.teams.fields.PlainTextField(blank=True, max_length=10)),
                ('given_total', models.DecimalField(blank=True, decimal_places=4, max_digits=10, null=True, verbose_name="the judge's total, as given")),
                ('co_judged', models.BooleanField(default=False, verbose_name='two judges signed it')),
                ('comment', teamops.teams.fields.PlainTextField(blank=True, max_length=500)),
                ('recorded_at', models.DateTimeField(blank=True, editable=False)),
                ('history_id', models.AutoField(primary_key=True, serialize=False)),
                ('history_date', models.DateTimeField(db_index=True)),
                ('history_change_reason', models.TextField(null=True)),
                ('history_type', models.CharField(choices=[('+', 'Created'), ('~', 'Changed'), ('-', 'Deleted')], max_length=1)),
                ('entry', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='contests.entry')),
                ('history_user', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('recorded_by', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'verbose_name': 'historical score sheet',
                'verbose_name_plural': 'historical score sheets',
                'ordering': ('-history_date', '-history_id'),
                'get_latest_by': ('history_date', 'history_id'),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name='OpenPoint',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('words', teamops.teams.fields.PlainTextField(max_length=300, verbose_name='point')),
                ('dropped_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('change', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to='judging.change')),
                ('contest', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='open_points', to='contests.contest')),
                ('made_by', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('task', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to='contests.task')),
            ],
            options={
                'ordering': ['contest', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Posting',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('round', teamops.teams.fields.PlainTextField(blank=True, max_length=40)),
                ('posted_on', models.DateField(verbose_name='posted on')),
                ('note', teamops.teams.fields.PlainTextField(blank=True, max_length=200, verbose_name='why it came, or where from')),
                ('text', teamops.teams.fields.PlainTextField(blank=True, max_length=100000, verbose_name='as it was posted')),
                ('recorded_at', models.DateTimeField(auto_now_add=True)),
                ('category', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='postings', to='contests.category')),
                ('contest', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='postings', to='contests.contest')),
                ('recorded_by', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['posted_on', 'recorded_at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='FieldLine',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('order', models.PositiveSmallIntegerField()),
                ('placing', models.PositiveSmallIntegerField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(1)])),
                ('name', teamops.teams.fields.PlainTextField(blank=True, max_length=120)),
                ('number', teamops.teams.fields.PlainTextField(blank=True, max_length=20)),
                ('table', teamops.teams.fields.PlainTextField(blank=True, max_length=20)),
                ('total', models.DecimalField(blank=True, decimal_places=4, max_digits=10, null=True)),
                ('parts', models.JSONField(blank=True, default=dict)),
                ('sheets', models.JSONField(blank=True, default=list)),
                ('note', teamops.teams.fields.PlainTextField(blank=True, max_length=80)),
                ('entry', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='field_lines', to='contests.entry')),
                ('posting', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='lines', to='judging.posting')),
            ],
            options={
                'ordering': ['posting', 'order', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Result',
            fields=[
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('entry', models.OneToOneField(editable=False, on_delete=django.db.models.deletion.CASCADE, primary_key=True, related_name='result', serialize=False, to='contests.entry')),
                ('basis', models.CharField(choices=[('none', 'nothing yet'), ('marks', "every judge's marks"), ('judge_totals', 'a total from each judge'), ('criteria', 'a total for each criterion'), ('total', 'one total'), ('placing', 'a placing only')], default='none', max_length=12)),
                ('total', models.DecimalField(blank=True, decimal_places=6, max_digits=15, null=True, verbose_name='our total')),
                ('most', models.DecimalField(blank=True, decimal_places=6, max_digits=15, null=True, verbose_name='a full box')),
                ('sheets', models.PositiveSmallIntegerField(default=0)),
                ('sheets_counted', models.PositiveSmallIntegerField(default=0)),
                ('lost_to_rounding', models.DecimalField(decimal_places=6, default=0, max_digits=15, verbose_name="what only the rulebook's rounding took")),
                ('docked', models.DecimalField(decimal_places=6, default=0, max_digits=15, verbose_name='taken off for lateness')),
                ('round', teamops.teams.fields.PlainTextField(blank=True, max_length=40, verbose_name='the deciding round')),
                ('flags', models.JSONField(blank=True, default=list)),
                ('scored_at', models.DateTimeField(auto_now=True)),
                ('saved_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('saved_op', models.UUIDField(blank=True, editable=False, null=True)),
                ('changed_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='CriterionResult',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('earned', models.DecimalField(blank=True, decimal_places=6, max_digits=15, null=True)),
                ('most', models.DecimalField(blank=True, decimal_places=6, max_digits=15, null=True)),
                ('lost', models.DecimalField(blank=True, decimal_places=6, max_digits=15, null=True)),
                ('mean', models.DecimalField(blank=True, decimal_places=6, max_digits=15, null=True)),
                ('judges', models.PositiveSmallIntegerField(default=0)),
                ('criterion', models.ForeignKey(on_delete=django.db.models.deletion.RESTRICT, related_name='+', to='rules.criterion')),
                ('result', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='criteria', to='judging.result')),
            ],
            options={
                'ordering': ['result', 'criterion__order', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='ScoreSheet',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('round', teamops.teams.fields.PlainTextField(blank=True, max_length=40)),
                ('panel', teamops.teams.fields.PlainTextField(blank=True, max_length=40)),
                ('table', teamops.teams.fields.PlainTextField(blank=True, max_length=20)),
                ('position', models.PositiveSmallIntegerField(editable=False, validators=[django.core.validators.MinValueValidator(1)])),
                ('seat', teamops.teams.fields.PlainTextField(blank=True, max_length=10)),
                ('given_total', models.DecimalField(blank=True, decimal_places=4, max_digits=10, null=True, verbose_name="the judge's total, as given")),
                ('co_judged', models.BooleanField(default=False, verbose_name='two judges signed it')),
                ('comment', teamops.teams.fields.PlainTextField(blank=True, max_length=500)),
                ('recorded_at', models.DateTimeField(auto_now_add=True)),
                ('entry', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='sheets', to='contests.entry')),
                ('recorded_by', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['entry', 'position', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Mark',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('points', models.DecimalField(blank=True, decimal_places=3, max_digits=7, null=True)),
                ('said', teamops.teams.fields.PlainTextField(blank=True, max_length=40, verbose_name='as the paper says it')),
                ('criterion', models.ForeignKey(on_delete=django.db.models.deletion.RESTRICT, related_name='+', to='rules.criterion')),
                ('sheet', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='marks', to='judging.scoresheet')),
            ],
            options={
                'ordering': ['sheet', 'criterion__order', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='HistoricalMark',
            fields=[
                ('id', models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name='ID')),
                ('points', models.DecimalField(blank=True, decimal_places=3, max_digits=7, null=True)),
                ('said', teamops.teams.fields.PlainTextField(blank=True, max_length=40, verbose_name='as the paper says it')),
                ('history_id', models.AutoField(primary_key=True, serialize=False)),
                ('history_date', models.DateTimeField(db_index=True)),
                ('history_change_reason', models.TextField(null=True)),
                ('history_type', models.CharField(choices=[('+', 'Created'), ('~', 'Changed'), ('-', 'Deleted')], max_length=1)),
                ('criterion', models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='rules.criterion')),
                ('history_user', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('sheet', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='judging.scoresheet')),
            ],
            options={
                'verbose_name': 'historical mark',
                'verbose_name_plural': 'historical marks',
                'ordering': ('-history_date', '-history_id'),
                'get_latest_by': ('history_date', 'history_id'),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.AddConstraint(
            model_name='change',
            constraint=models.CheckConstraint(condition=models.Q(('ends_on', None), ('starts_on__lte', models.F('ends_on')), _connector='OR'), name='change_starts_before_it_ends', violation_error_message='A change must start before it ends.'),
        ),
        migrations.AddConstraint(
            model_name='changeuse',
            constraint=models.UniqueConstraint(fields=('change', 'contest'), name='changeuse_once_a_contest'),
        ),
        migrations.AddConstraint(
            model_name='criteriontotal',
            constraint=models.UniqueConstraint(fields=('entry', 'criterion'), name='criteriontotal_once_a_criterion'),
        ),
        migrations.AddConstraint(
            model_name='criterionresult',
            constraint=models.UniqueConstraint(fields=('result', 'criterion'), name='criterionresult_once_a_criterion'),
        ),
        migrations.AddConstraint(
            model_name='mark',
            constraint=models.UniqueConstraint(fields=('sheet', 'criterion'), name='mark_once_a_criterion'),
        ),
    ]
