import django.core.validators
import django.db.models.deletion
import teamops.teams.fields
import uuid
from decimal import Decimal
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('contests', '0001_initial'),
        ('inventory', '0001_initial'),
        ('teams', '0001_initial'),
        ('teams', '__first__'),
    ]

    operations = [
        migrations.CreateModel(
            name='PackingList',
            fields=[
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('title', teamops.teams.fields.PlainTextField(max_length=120)),
                ('entries', models.PositiveSmallIntegerField(default=0, help_text='Boxes owed to the judges.', validators=[django.core.validators.MaxValueValidator(99)], verbose_name='entries')),
                ('steaks', models.PositiveSmallIntegerField(default=0, help_text='The entries without those of an ancillary category.', validators=[django.core.validators.MaxValueValidator(99)], verbose_name='steaks')),
                ('cooks', models.PositiveSmallIntegerField(default=0, validators=[django.core.validators.MaxValueValidator(99)], verbose_name='cooks')),
                ('people', models.PositiveSmallIntegerField(default=0, validators=[django.core.validators.MaxValueValidator(99)], verbose_name='people, cooks included')),
                ('days', models.PositiveSmallIntegerField(default=0, validators=[django.core.validators.MaxValueValidator(60)], verbose_name='days')),
                ('judge_bites', models.PositiveSmallIntegerField(default=0, help_text='Portions of ancillary protein to serve.', validators=[django.core.validators.MaxValueValidator(999)], verbose_name='judges’ bites')),
                ('cook_hours', models.DecimalField(decimal_places=2, default=Decimal('0'), help_text='Hours that a fire burns.', max_digits=5, validators=[django.core.validators.MinValueValidator(0)], verbose_name='hours of cooking')),
                ('grills', models.PositiveSmallIntegerField(default=0, validators=[django.core.validators.MaxValueValidator(20)], verbose_name='grills')),
                ('coolers', models.PositiveSmallIntegerField(default=0, validators=[django.core.validators.MaxValueValidator(20)], verbose_name='cold boxes')),
                ('canopies', models.PositiveSmallIntegerField(default=0, validators=[django.core.validators.MaxValueValidator(20)], verbose_name='canopies')),
                ('vehicles', models.PositiveSmallIntegerField(default=0, validators=[django.core.validators.MaxValueValidator(20)], verbose_name='vehicles')),
                ('trailers', models.PositiveSmallIntegerField(default=0, validators=[django.core.validators.MaxValueValidator(20)], verbose_name='trailers')),
                ('conditions', models.JSONField(blank=True, default=list)),
                ('news', models.JSONField(blank=True, default=list, editable=False)),
                ('made_at', models.DateTimeField(editable=False)),
                ('state', models.PositiveIntegerField(default=0, editable=False)),
                ('shape', models.PositiveIntegerField(default=0, editable=False)),
                ('changed_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('kits', models.ManyToManyField(blank=True, related_name='+', to='inventory.kit')),
                ('made_by', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('trip', models.OneToOneField(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='packing_list', to='contests.trip')),
            ],
            options={
                'ordering': ['-made_at', 'pk'],
                'constraints': [models.CheckConstraint(condition=models.Q(('cook_hours__gte', 0)), name='packing_list_hours_not_negative'), models.CheckConstraint(condition=models.Q(('cooks__lte', models.F('people'))), name='packing_list_people_include_cooks', violation_error_message='The cooks are people too: there cannot be fewer people.')],
            },
        ),
        migrations.CreateModel(
            name='PackingLine',
            fields=[
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('name', teamops.teams.fields.PlainTextField(max_length=80, verbose_name='what')),
                ('group', teamops.teams.fields.PlainTextField(blank=True, max_length=40)),
                ('unit', teamops.teams.fields.PlainTextField(default='each', max_length=20, verbose_name='counted in')),
                ('consumable', models.BooleanField(default=False, verbose_name='gets used up')),
                ('mass_kg', models.DecimalField(decimal_places=6, default=Decimal('0'), max_digits=12, validators=[django.core.validators.MinValueValidator(0)])),
                ('container', teamops.teams.fields.PlainTextField(blank=True, max_length=60)),
                ('container_kind', models.CharField(choices=[('gear', 'gear and dry goods'), ('ready', 'ready food and drinking water'), ('raw', 'raw food only'), ('chemical', 'chemicals only'), ('fuel', 'fuel and gas only')], default='gear', max_length=8)),
                ('container_whole', models.BooleanField(default=False)),
                ('position', models.PositiveSmallIntegerField(default=0)),
                ('amount', models.DecimalField(decimal_places=6, max_digits=15, validators=[django.core.validators.MinValueValidator(0)], verbose_name='amount')),
                ('worked_out', models.DecimalField(blank=True, decimal_places=6, editable=False, max_digits=15, null=True)),
                ('working', teamops.teams.fields.PlainTextField(blank=True, editable=False, max_length=400)),
                ('own', models.BooleanField(default=False, editable=False)),
                ('amount_own', models.BooleanField(default=False, editable=False)),
                ('gone', models.BooleanField(default=False, editable=False)),
                ('have', models.DecimalField(blank=True, decimal_places=6, max_digits=15, null=True, validators=[django.core.validators.MinValueValidator(0)], verbose_name='we have')),
                ('note', teamops.teams.fields.PlainTextField(blank=True, help_text='Such as: borrowed, goes back on Monday.', max_length=200)),
                ('packed_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('packed_amount', models.DecimalField(blank=True, decimal_places=6, editable=False, max_digits=15, null=True)),
                ('loaded_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('home_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('touched', models.PositiveIntegerField(default=0, editable=False)),
                ('changed_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('home_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('item', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='packing_lines', to='inventory.item')),
                ('loaded_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('packed_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('packing_list', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='lines', to='packing.packinglist')),
            ],
            options={
                'ordering': ['position', 'container', 'group', 'name', 'pk'],
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('packed_at', None), ('packed_by', None)), models.Q(('packed_at__isnull', False), ('packed_by__isnull', False)), _connector='OR'), name='packing_line_packed_is_who_and_when'), models.CheckConstraint(condition=models.Q(models.Q(('loaded_at', None), ('loaded_by', None)), models.Q(('loaded_at__isnull', False), ('loaded_by__isnull', False)), _connector='OR'), name='packing_line_loaded_is_who_and_when'), models.CheckConstraint(condition=models.Q(models.Q(('home_at', None), ('home_by', None)), models.Q(('home_at__isnull', False), ('home_by__isnull', False)), _connector='OR'), name='packing_line_home_is_who_and_when'), models.CheckConstraint(condition=models.Q(models.Q(('packed_amount', None), ('packed_at', None)), models.Q(('packed_amount__isnull', False), ('packed_at__isnull', False)), _connector='OR'), name='packing_line_packed_says_how_much'), models.CheckConstraint(condition=models.Q(('amount__gte', 0), models.Q(('have', None), ('have__gte', 0), _connector='OR'), ('mass_kg__gte', 0)), name='packing_line_not_negative', violation_error_message='Amounts and weights cannot be negative.'), models.UniqueConstraint(condition=models.Q(('item__isnull', False)), fields=('packing_list', 'item'), name='packing_line_once_an_item')],
            },
        ),
        migrations.CreateModel(
            name='ShoppingLine',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('name', teamops.teams.fields.PlainTextField(max_length=80, verbose_name='what')),
                ('group', teamops.teams.fields.PlainTextField(blank=True, max_length=40, verbose_name='where it belongs')),
                ('unit', teamops.teams.fields.PlainTextField(default='each', max_length=20, verbose_name='counted in')),
                ('amount', models.DecimalField(decimal_places=6, default=1, max_digits=15, validators=[django.core.validators.MinValueValidator(0)])),
                ('note', teamops.teams.fields.PlainTextField(blank=True, max_length=200)),
                ('had', models.DecimalField(blank=True, decimal_places=6, editable=False, max_digits=15, null=True)),
                ('bought_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('bought_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('item', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='+', to='inventory.item')),
                ('packing_line', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='shopping', to='packing.packingline')),
                ('packing_list', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.CASCADE, related_name='shopping', to='packing.packinglist')),
                ('team', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='shopping', to='teams.team')),
            ],
            options={
                'ordering': ['group', 'name', 'pk'],
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('bought_at', None), ('bought_by', None)), models.Q(('bought_at__isnull', False), ('bought_by__isnull', False)), _connector='OR'), name='shopping_line_bought_is_who_and_when'), models.CheckConstraint(condition=models.Q(('amount__gte', 0)), name='shopping_line_not_negative', violation_error_message='An amount cannot be negative.'), models.UniqueConstraint(condition=models.Q(('bought_at', None), ('packing_line__isnull', False)), fields=('packing_line',), name='shopping_line_open_once_a_shortage')],
            },
        ),
    ]
