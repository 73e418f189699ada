
import decimal
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
        ('teams', '0001_initial'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='HistoricalRulebook',
            fields=[
                ('id', models.UUIDField(db_index=True, default=uuid.uuid4, editable=False)),
                ('name', teamops.teams.fields.PlainTextField(max_length=80)),
                ('edition', teamops.teams.fields.PlainTextField(blank=True, help_text='A year, or 1, 2, 3.', max_length=40)),
                ('source', teamops.teams.fields.PlainTextField(blank=True, help_text='Where the rules are written.', max_length=300)),
                ('valid_from', models.DateField(blank=True, null=True)),
                ('valid_to', models.DateField(blank=True, null=True)),
                ('sheets_expected', models.PositiveSmallIntegerField(default=5, validators=[django.core.validators.MinValueValidator(1)], verbose_name='judges at a table')),
                ('sheets_least', models.PositiveSmallIntegerField(default=1, validators=[django.core.validators.MinValueValidator(1)], verbose_name='fewest sheets for a total')),
                ('missing_sheet', models.CharField(choices=[('none', 'counts as nothing'), ('average_remaining', 'is replaced by the average of the others'), ('refuse', 'leaves the box without a total')], default='none', max_length=20)),
                ('drop_scope', models.CharField(choices=[('none', 'nothing is dropped'), ('sheet', 'whole sheets'), ('criterion', 'marks, criterion by criterion')], default='none', max_length=10)),
                ('drop_low', models.PositiveSmallIntegerField(default=0, verbose_name='lowest dropped')),
                ('drop_high', models.PositiveSmallIntegerField(default=0, verbose_name='highest dropped')),
                ('outlier_distance', models.DecimalField(blank=True, decimal_places=4, max_digits=9, null=True, verbose_name='leave out what is further than this from the mean')),
                ('aggregate', models.CharField(choices=[('sum', 'sum'), ('mean', 'mean'), ('median', 'median'), ('closest_pair', 'mean of the two closest'), ('rank_sum', 'sum of placings')], default='sum', max_length=12)),
                ('factor', models.DecimalField(decimal_places=4, default=decimal.Decimal('1'), max_digits=9)),
                ('round_places', models.PositiveSmallIntegerField(default=4)),
                ('round_where', models.CharField(choices=[('display', 'only where it is shown'), ('sheet', 'each sheet'), ('total', 'the total')], default='display', max_length=10)),
                ('tie_break', models.JSONField(blank=True, default=list)),
                ('direction', models.CharField(choices=[('high', 'the most points win'), ('low', 'the fewest points win')], default='high', max_length=4)),
                ('penalty_mark', models.DecimalField(blank=True, decimal_places=3, max_digits=7, null=True)),
                ('max_spread', models.DecimalField(blank=True, decimal_places=3, max_digits=7, null=True, verbose_name='judges should lie within')),
                ('window_minutes', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('lateness', teamops.teams.fields.PlainTextField(blank=True, max_length=300)),
                ('box_rules', teamops.teams.fields.PlainTextField(blank=True, max_length=1000, verbose_name='what may be in the box')),
                ('protest_minutes', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('frozen_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('history_id', models.AutoField(primary_key=True, serialize=False)),
                ('history_date', models.DateTimeField(db_index=True)),
                ('history_change_reason', models.TextField(null=True)),
                ('history_type', models.CharField(choices=[('+', 'Created'), ('~', 'Changed'), ('-', 'Deleted')], max_length=1)),
                ('history_user', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('team', models.ForeignKey(blank=True, db_constraint=False, editable=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='teams.team')),
            ],
            options={
                'verbose_name': 'historical rulebook',
                'verbose_name_plural': 'historical rulebooks',
                'ordering': ('-history_date', '-history_id'),
                'get_latest_by': ('history_date', 'history_id'),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name='Rulebook',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('name', teamops.teams.fields.PlainTextField(max_length=80)),
                ('edition', teamops.teams.fields.PlainTextField(blank=True, help_text='A year, or 1, 2, 3.', max_length=40)),
                ('source', teamops.teams.fields.PlainTextField(blank=True, help_text='Where the rules are written.', max_length=300)),
                ('valid_from', models.DateField(blank=True, null=True)),
                ('valid_to', models.DateField(blank=True, null=True)),
                ('sheets_expected', models.PositiveSmallIntegerField(default=5, validators=[django.core.validators.MinValueValidator(1)], verbose_name='judges at a table')),
                ('sheets_least', models.PositiveSmallIntegerField(default=1, validators=[django.core.validators.MinValueValidator(1)], verbose_name='fewest sheets for a total')),
                ('missing_sheet', models.CharField(choices=[('none', 'counts as nothing'), ('average_remaining', 'is replaced by the average of the others'), ('refuse', 'leaves the box without a total')], default='none', max_length=20)),
                ('drop_scope', models.CharField(choices=[('none', 'nothing is dropped'), ('sheet', 'whole sheets'), ('criterion', 'marks, criterion by criterion')], default='none', max_length=10)),
                ('drop_low', models.PositiveSmallIntegerField(default=0, verbose_name='lowest dropped')),
                ('drop_high', models.PositiveSmallIntegerField(default=0, verbose_name='highest dropped')),
                ('outlier_distance', models.DecimalField(blank=True, decimal_places=4, max_digits=9, null=True, verbose_name='leave out what is further than this from the mean')),
                ('aggregate', models.CharField(choices=[('sum', 'sum'), ('mean', 'mean'), ('median', 'median'), ('closest_pair', 'mean of the two closest'), ('rank_sum', 'sum of placings')], default='sum', max_length=12)),
                ('factor', models.DecimalField(decimal_places=4, default=decimal.Decimal('1'), max_digits=9)),
                ('round_places', models.PositiveSmallIntegerField(default=4)),
                ('round_where', models.CharField(choices=[('display', 'only where it is shown'), ('sheet', 'each sheet'), ('total', 'the total')], default='display', max_length=10)),
                ('tie_break', models.JSONField(blank=True, default=list)),
                ('direction', models.CharField(choices=[('high', 'the most points win'), ('low', 'the fewest points win')], default='high', max_length=4)),
                ('penalty_mark', models.DecimalField(blank=True, decimal_places=3, max_digits=7, null=True)),
                ('max_spread', models.DecimalField(blank=True, decimal_places=3, max_digits=7, null=True, verbose_name='judges should lie within')),
                ('window_minutes', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('lateness', teamops.teams.fields.PlainTextField(blank=True, max_length=300)),
                ('box_rules', teamops.teams.fields.PlainTextField(blank=True, max_length=1000, verbose_name='what may be in the box')),
                ('protest_minutes', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('frozen_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('team', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.CASCADE, related_name='rulebooks', to='teams.team')),
            ],
            options={
                'ordering': ['name', 'edition', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='HistoricalCriterion',
            fields=[
                ('id', models.BigIntegerField(auto_created=True, blank=True, db_index=True, verbose_name='ID')),
                ('panel', teamops.teams.fields.PlainTextField(blank=True, max_length=40)),
                ('order', models.PositiveSmallIntegerField()),
                ('key', models.SlugField(max_length=40)),
                ('name', teamops.teams.fields.PlainTextField(max_length=60)),
                ('weight', models.DecimalField(decimal_places=4, default=decimal.Decimal('1'), max_digits=9)),
                ('least', models.DecimalField(decimal_places=3, max_digits=7)),
                ('most', models.DecimalField(decimal_places=3, max_digits=7)),
                ('step', models.DecimalField(blank=True, decimal_places=3, max_digits=7, null=True)),
                ('history_id', models.AutoField(primary_key=True, serialize=False)),
                ('history_date', models.DateTimeField(db_index=True)),
                ('history_change_reason', models.TextField(null=True)),
                ('history_type', models.CharField(choices=[('+', 'Created'), ('~', 'Changed'), ('-', 'Deleted')], max_length=1)),
                ('history_user', models.ForeignKey(null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('rulebook', models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='rules.rulebook')),
            ],
            options={
                'verbose_name': 'historical criterion',
                'verbose_name_plural': 'historical criterions',
                'ordering': ('-history_date', '-history_id'),
                'get_latest_by': ('history_date', 'history_id'),
            },
            bases=(simple_history.models.HistoricalChanges, models.Model),
        ),
        migrations.CreateModel(
            name='Criterion',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('panel', teamops.teams.fields.PlainTextField(blank=True, max_length=40)),
                ('order', models.PositiveSmallIntegerField()),
                ('key', models.SlugField(max_length=40)),
                ('name', teamops.teams.fields.PlainTextField(max_length=60)),
                ('weight', models.DecimalField(decimal_places=4, default=decimal.Decimal('1'), max_digits=9)),
                ('least', models.DecimalField(decimal_places=3, max_digits=7)),
                ('most', models.DecimalField(decimal_places=3, max_digits=7)),
                ('step', models.DecimalField(blank=True, decimal_places=3, max_digits=7, null=True)),
                ('rulebook', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='criteria', to='rules.rulebook')),
            ],
            options={
                'ordering': ['rulebook', 'order', 'pk'],
            },
        ),
        migrations.AddConstraint(
            model_name='rulebook',
            constraint=models.UniqueConstraint(condition=models.Q(('team__isnull', False)), fields=('team', 'name', 'edition'), name='rulebook_edition_once_a_team', violation_error_message='You have this edition already.'),
        ),
        migrations.AddConstraint(
            model_name='rulebook',
            constraint=models.UniqueConstraint(condition=models.Q(('team', None)), fields=('name', 'edition'), name='rulebook_shared_edition_once'),
        ),
        migrations.AddConstraint(
            model_name='rulebook',
            constraint=models.CheckConstraint(condition=models.Q(('sheets_least__lte', models.F('sheets_expected'))), name='rulebook_least_sheets_within_expected', violation_error_message='A total cannot need more sheets than judges are expected.'),
        ),
        migrations.AddConstraint(
            model_name='criterion',
            constraint=models.UniqueConstraint(fields=('rulebook', 'key'), name='criterion_key_once_a_rulebook'),
        ),
        migrations.AddConstraint(
            model_name='criterion',
            constraint=models.CheckConstraint(condition=models.Q(('least__lt', models.F('most'))), name='criterion_least_below_most', violation_error_message='The lowest mark must be below the highest.'),
        ),
    ]
