
import django.core.validators
import django.db.models.deletion
import simple_history.models
import teamops.teams.fields
import teamops.teams.models.team
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('rules', '0001_initial'),
        ('teams', '0001_initial'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Category',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('name', teamops.teams.fields.PlainTextField(max_length=60)),
                ('ancillary', models.BooleanField(default=False)),
                ('team', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='categories', to='teams.team')),
            ],
            options={
                'ordering': ['ancillary', 'name', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Contest',
            fields=[
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('name', teamops.teams.fields.PlainTextField(max_length=120)),
                ('kind', models.CharField(choices=[('judged', 'Judged contest'), ('practice', 'Practice')], default='judged', max_length=10)),
                ('state', models.CharField(choices=[('considering', 'considering'), ('entered', 'entered'), ('paid', 'paid'), ('accepted', 'accepted'), ('wait_list', 'on the wait list'), ('withdrawn', 'withdrawn'), ('postponed', 'postponed'), ('cancelled', 'cancelled'), ('cooked', 'cooked')], default='considering', max_length=12)),
                ('place', teamops.teams.fields.PlainTextField(blank=True, max_length=120)),
                ('held_on', models.DateField(help_text='The day of the turn-in.', verbose_name='date')),
                ('time_zone', teamops.teams.fields.PlainTextField(help_text="The contest's own clock.", max_length=60, validators=[teamops.teams.models.team.known_zone])),
                ('wait_list_place', models.PositiveSmallIntegerField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(1)])),
                ('deadline_on', models.DateField(blank=True, null=True, verbose_name='entry deadline')),
                ('fee', models.DecimalField(blank=True, decimal_places=2, max_digits=9, null=True, validators=[django.core.validators.MinValueValidator(0, 'A fee cannot be negative.')], verbose_name='entry fee, in all')),
                ('drive_minutes', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='drive, minutes')),
                ('load_in_at', models.DateTimeField(blank=True, null=True, verbose_name='load-in')),
                ('meeting_at', models.DateTimeField(blank=True, null=True, verbose_name="cooks' meeting")),
                ('awards_at', models.DateTimeField(blank=True, null=True, verbose_name='awards')),
                ('site_power', models.CharField(blank=True, choices=[('', 'not known yet'), ('yes', 'yes'), ('no', 'no')], default='', max_length=3, verbose_name='power on site')),
                ('site_water', models.CharField(blank=True, choices=[('', 'not known yet'), ('yes', 'yes'), ('no', 'no')], default='', max_length=3, verbose_name='water on site')),
                ('meat_issued', models.CharField(blank=True, choices=[('', 'not known yet'), ('yes', 'yes'), ('no', 'no')], default='', max_length=3, verbose_name='steaks issued')),
                ('boxes_issued', models.CharField(blank=True, choices=[('', 'not known yet'), ('yes', 'yes'), ('no', 'no')], default='', max_length=3, verbose_name='turn-in boxes issued')),
                ('site_notes', teamops.teams.fields.PlainTextField(blank=True, help_text='Gate, quiet hours, ice, fire rules.', max_length=2000)),
                ('notes', teamops.teams.fields.PlainTextField(blank=True, max_length=4000)),
                ('changed_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('team', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='contests', to='teams.team')),
            ],
            options={
                'ordering': ['held_on', 'name', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Entry',
            fields=[
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('team_number', teamops.teams.fields.PlainTextField(blank=True, max_length=20)),
                ('blind_number', teamops.teams.fields.PlainTextField(blank=True, max_length=20)),
                ('window_opens_at', models.DateTimeField(blank=True, null=True, verbose_name='turn-in opens')),
                ('window_closes_at', models.DateTimeField(blank=True, null=True, verbose_name='turn-in closes')),
                ('turned_in_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('marked_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('disqualified', models.BooleanField(default=False)),
                ('disqualified_why', teamops.teams.fields.PlainTextField(blank=True, max_length=300, verbose_name='why')),
                ('official_total', models.DecimalField(blank=True, decimal_places=4, max_digits=10, null=True)),
                ('placing', models.PositiveSmallIntegerField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(1)])),
                ('field_size', models.PositiveSmallIntegerField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(1)], verbose_name='entries in the field')),
                ('tied', models.BooleanField(default=False, verbose_name='tied for this place')),
                ('peak_c', models.DecimalField(blank=True, decimal_places=4, max_digits=7, null=True, verbose_name='peak temperature')),
                ('notes', teamops.teams.fields.PlainTextField(blank=True, max_length=2000)),
                ('category', models.ForeignKey(on_delete=django.db.models.deletion.RESTRICT, related_name='entries', to='contests.category')),
                ('changed_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('contest', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='entries', to='contests.contest')),
                ('cook_of_record', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('rulebook', models.ForeignKey(on_delete=django.db.models.deletion.RESTRICT, related_name='+', to='rules.rulebook')),
                ('turned_in_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': [models.OrderBy(models.F('window_closes_at'), nulls_last=True), 'category__ancillary', 'category__name', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='HistoricalEntry',
            fields=[
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('id', models.UUIDField(db_index=True, default=uuid.uuid4, editable=False)),
                ('team_number', teamops.teams.fields.PlainTextField(blank=True, max_length=20)),
                ('blind_number', teamops.teams.fields.PlainTextField(blank=True, max_length=20)),
                ('window_opens_at', models.DateTimeField(blank=True, null=True, verbose_name='turn-in opens')),
                ('window_closes_at', models.DateTimeField(blank=True, null=True, verbose_name='turn-in closes')),
                ('turned_in_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('marked_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('disqualified', models.BooleanField(default=False)),
                ('disqualified_why', teamops.teams.fields.PlainTextField(blank=True, max_length=300, verbose_name='why')),
                ('official_total', models.DecimalField(blank=True, decimal_places=4, max_digits=10, null=True)),
                ('placing', models.PositiveSmallIntegerField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(1)])),
                ('field_size', models.PositiveSmallIntegerField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(1)], verbose_name='entries in the field')),
                ('tied', models.BooleanField(default=False, verbose_name='tied for this place')),
                ('peak_c', models.DecimalField(blank=True, decimal_places=4, max_digits=7, null=True, verbose_name='peak temperature')),
                ('notes', teamops.teams.fields.PlainTextField(blank=True, max_length=2000)),
                ('history_id', models.AutoField(primary_key=True, serialize=False)),
                ('history_date', models.DateTimeField(db_index=True)),
                ('history_change_reason', models.TextField(null=True)),
                ('history_type', models.CharField(choices=[('+', 'Created'), ('~', 'Changed'), ('-', 'Deleted')], max_length=1)),
                ('category', models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='contests.category')),
                ('changed_by', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('contest', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='contests.contest')),
                ('cook_of_record', models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('history_user', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('rulebook', models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='rules.rulebook')),
                ('turned_in_by', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'verbose_name': 'historical entry',
                'verbose_name_plural': 'historical entrys',
                'ordering': ('-history_date', '-history_id'),
                'get_latest_by': ('history_date', 'history_id'),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name='Task',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('title', teamops.teams.fields.PlainTextField(max_length=120, verbose_name='what')),
                ('due_on', models.DateField(blank=True, null=True, verbose_name='by')),
                ('minutes_before', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='minutes before turn-in')),
                ('target_c', models.DecimalField(blank=True, decimal_places=4, max_digits=7, null=True, verbose_name='target temperature')),
                ('caution', teamops.teams.fields.PlainTextField(blank=True, max_length=200)),
                ('done_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('contest', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='tasks', to='contests.contest')),
                ('done_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('entry', models.ForeignKey(blank=True, help_text='Leave open if it serves every box.', null=True, on_delete=django.db.models.deletion.CASCADE, related_name='tasks', to='contests.entry')),
                ('person', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': [models.OrderBy(models.F('due_on'), nulls_last=True), models.OrderBy(models.F('minutes_before'), descending=True, nulls_last=True), 'title', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Trip',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('name', teamops.teams.fields.PlainTextField(max_length=120)),
                ('leaves_on', models.DateField(blank=True, null=True)),
                ('home_on', models.DateField(blank=True, null=True)),
                ('team', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='trips', to='teams.team')),
            ],
            options={
                'ordering': [models.OrderBy(models.F('leaves_on'), nulls_last=True), 'name', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='HistoricalContest',
            fields=[
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('id', models.UUIDField(db_index=True, default=uuid.uuid4, editable=False)),
                ('name', teamops.teams.fields.PlainTextField(max_length=120)),
                ('kind', models.CharField(choices=[('judged', 'Judged contest'), ('practice', 'Practice')], default='judged', max_length=10)),
                ('state', models.CharField(choices=[('considering', 'considering'), ('entered', 'entered'), ('paid', 'paid'), ('accepted', 'accepted'), ('wait_list', 'on the wait list'), ('withdrawn', 'withdrawn'), ('postponed', 'postponed'), ('cancelled', 'cancelled'), ('cooked', 'cooked')], default='considering', max_length=12)),
                ('place', teamops.teams.fields.PlainTextField(blank=True, max_length=120)),
                ('held_on', models.DateField(help_text='The day of the turn-in.', verbose_name='date')),
                ('time_zone', teamops.teams.fields.PlainTextField(help_text="The contest's own clock.", max_length=60, validators=[teamops.teams.models.team.known_zone])),
                ('wait_list_place', models.PositiveSmallIntegerField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(1)])),
                ('deadline_on', models.DateField(blank=True, null=True, verbose_name='entry deadline')),
                ('fee', models.DecimalField(blank=True, decimal_places=2, max_digits=9, null=True, validators=[django.core.validators.MinValueValidator(0, 'A fee cannot be negative.')], verbose_name='entry fee, in all')),
                ('drive_minutes', models.PositiveSmallIntegerField(blank=True, null=True, verbose_name='drive, minutes')),
                ('load_in_at', models.DateTimeField(blank=True, null=True, verbose_name='load-in')),
                ('meeting_at', models.DateTimeField(blank=True, null=True, verbose_name="cooks' meeting")),
                ('awards_at', models.DateTimeField(blank=True, null=True, verbose_name='awards')),
                ('site_power', models.CharField(blank=True, choices=[('', 'not known yet'), ('yes', 'yes'), ('no', 'no')], default='', max_length=3, verbose_name='power on site')),
                ('site_water', models.CharField(blank=True, choices=[('', 'not known yet'), ('yes', 'yes'), ('no', 'no')], default='', max_length=3, verbose_name='water on site')),
                ('meat_issued', models.CharField(blank=True, choices=[('', 'not known yet'), ('yes', 'yes'), ('no', 'no')], default='', max_length=3, verbose_name='steaks issued')),
                ('boxes_issued', models.CharField(blank=True, choices=[('', 'not known yet'), ('yes', 'yes'), ('no', 'no')], default='', max_length=3, verbose_name='turn-in boxes issued')),
                ('site_notes', teamops.teams.fields.PlainTextField(blank=True, help_text='Gate, quiet hours, ice, fire rules.', max_length=2000)),
                ('notes', teamops.teams.fields.PlainTextField(blank=True, max_length=4000)),
                ('history_id', models.AutoField(primary_key=True, serialize=False)),
                ('history_date', models.DateTimeField(db_index=True)),
                ('history_change_reason', models.TextField(null=True)),
                ('history_type', models.CharField(choices=[('+', 'Created'), ('~', 'Changed'), ('-', 'Deleted')], max_length=1)),
                ('changed_by', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('history_user', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('team', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='teams.team')),
                ('trip', models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='contests.trip')),
            ],
            options={
                'verbose_name': 'historical contest',
                'verbose_name_plural': 'historical contests',
                'ordering': ('-history_date', '-history_id'),
                'get_latest_by': ('history_date', 'history_id'),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.AddField(
            model_name='contest',
            name='trip',
            field=models.ForeignKey(on_delete=django.db.models.deletion.RESTRICT, related_name='contests', to='contests.trip'),
        ),
        migrations.AddConstraint(
            model_name='category',
            constraint=models.UniqueConstraint(fields=('team', 'name'), name='category_name_once_a_team', violation_error_message='You have this category already.'),
        ),
        migrations.AddConstraint(
            model_name='entry',
            constraint=models.UniqueConstraint(condition=models.Q(('blind_number', ''), _negated=True), fields=('contest', 'category', 'blind_number'), name='entry_blind_number_once', violation_error_code='blind_number', violation_error_message='Another box in this category has this blind number.'),
        ),
        migrations.AddConstraint(
            model_name='entry',
            constraint=models.CheckConstraint(condition=models.Q(('window_opens_at', None), ('window_closes_at', None), ('window_opens_at__lt', models.F('window_closes_at')), _connector='OR'), name='entry_window_opens_first', violation_error_message='The turn-in window must open before it closes.'),
        ),
        migrations.AddConstraint(
            model_name='entry',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('turned_in_at', None), ('turned_in_by', None)), models.Q(('turned_in_at__isnull', False), ('turned_in_by__isnull', False)), _connector='OR'), name='entry_turn_in_is_who_and_when'),
        ),
        migrations.AddConstraint(
            model_name='task',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('due_on', None), ('minutes_before__isnull', False)), models.Q(('due_on__isnull', False), ('minutes_before', None)), _connector='OR'), name='task_is_dated_or_counted_back', violation_error_message='Give a day, or minutes before the turn-in: one of them.'),
        ),
        migrations.AddConstraint(
            model_name='task',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('done_at', None), ('done_by', None)), models.Q(('done_at__isnull', False), ('done_by__isnull', False)), _connector='OR'), name='task_done_is_who_and_when'),
        ),
        migrations.AddConstraint(
            model_name='trip',
            constraint=models.CheckConstraint(condition=models.Q(('leaves_on', None), ('home_on', None), ('leaves_on__lte', models.F('home_on')), _connector='OR'), name='trip_leaves_before_home', violation_error_message='A trip must leave before it comes home.'),
        ),
        migrations.AddIndex(
            model_name='contest',
            index=models.Index(fields=['team', 'held_on'], name='contests_co_team_id_dd3a39_idx'),
        ),
        migrations.AddConstraint(
            model_name='contest',
            constraint=models.CheckConstraint(condition=models.Q(('deadline_on', None), ('deadline_on__lte', models.F('held_on')), _connector='OR'), name='contest_deadline_by_the_day', violation_error_message='The entry deadline must not be after the contest.'),
        ),
        migrations.AddConstraint(
            model_name='contest',
            constraint=models.CheckConstraint(condition=models.Q(('fee', None), ('fee__gte', 0), _connector='OR'), name='contest_fee_not_negative', violation_error_message='A fee cannot be negative.'),
        ),
    ]
