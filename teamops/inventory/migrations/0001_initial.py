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
        ('teams', '0001_initial'),
        ('teams', '__first__'),
    ]

    operations = [
        migrations.CreateModel(
            name='Container',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('name', teamops.teams.fields.PlainTextField(max_length=60)),
                ('kind', models.CharField(choices=[('gear', 'gear and dry goods'), ('ready', 'ready food and drinking water'), ('raw', 'raw food only'), ('chemical', 'chemicals only'), ('fuel', 'fuel and gas only')], default='gear', max_length=8, verbose_name='what rides in it')),
                ('whole', models.BooleanField(default=True, help_text='A tote is. Untick a place, such as the truck floor, where things lie singly.', verbose_name='lifted in one piece')),
                ('order', models.PositiveSmallIntegerField(default=0, help_text='Its turn on the packing list: low numbers first.', validators=[django.core.validators.MaxValueValidator(9999)])),
                ('team', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='containers', to='teams.team')),
            ],
            options={
                'ordering': ['order', 'name', 'pk'],
                'constraints': [models.UniqueConstraint(fields=('team', 'name'), name='container_name_once_a_team', violation_error_message='You have a container of this name already.')],
            },
        ),
        migrations.CreateModel(
            name='Item',
            fields=[
                ('version', models.PositiveIntegerField(default=1, editable=False)),
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('name', teamops.teams.fields.PlainTextField(max_length=80)),
                ('group', teamops.teams.fields.PlainTextField(help_text='What it belongs to, such as cooking gear.', max_length=40)),
                ('unit', teamops.teams.fields.PlainTextField(default='each', help_text='Each, pair, roll, lb, gal and so on.', max_length=20, verbose_name='counted in')),
                ('consumable', models.BooleanField(default=False, verbose_name='gets used up')),
                ('mass_kg', models.DecimalField(decimal_places=6, default=Decimal('0'), max_digits=12, validators=[django.core.validators.MinValueValidator(0)])),
                ('note', teamops.teams.fields.PlainTextField(blank=True, max_length=500)),
                ('changed_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('container', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='items', to='inventory.container')),
                ('team', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='items', to='teams.team')),
            ],
            options={
                'ordering': ['group', 'name', 'pk'],
                'constraints': [models.UniqueConstraint(fields=('team', 'name'), name='item_name_once_a_team', violation_error_message='You have an item of this name already.'), models.CheckConstraint(condition=models.Q(('mass_kg__gte', 0)), name='item_mass_not_negative', violation_error_message='A weight cannot be negative.')],
            },
        ),
        migrations.CreateModel(
            name='Kit',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('name', teamops.teams.fields.PlainTextField(max_length=60)),
                ('team', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='kits', to='teams.team')),
            ],
            options={
                'ordering': ['name', 'pk'],
                'constraints': [models.UniqueConstraint(fields=('team', 'name'), name='kit_name_once_a_team', violation_error_message='You have a kit of this name already.')],
            },
        ),
        migrations.CreateModel(
            name='KitLine',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('quantity', models.DecimalField(decimal_places=4, default=Decimal('1'), max_digits=9, validators=[django.core.validators.MinValueValidator(Decimal('0.0001'), 'Bring more than 0.')], verbose_name='bring')),
                ('rule', models.CharField(choices=[('fixed', 'for the trip'), ('per_entry', 'for each entry'), ('per_steak', 'for each steak'), ('per_cook', 'for each cook'), ('per_person', 'for each person'), ('per_day', 'for each day'), ('per_person_day', 'for each person and day'), ('per_entry_day', 'for each entry and day'), ('per_judge_bite', "for each judge's bite"), ('per_cook_hour', 'for each hour of cooking'), ('per_grill', 'for each grill'), ('per_cooler', 'for each cold box'), ('per_canopy', 'for each canopy'), ('per_vehicle', 'for each vehicle'), ('per_trailer', 'for each trailer')], default='fixed', max_length=16, verbose_name='for what')),
                ('condition', models.CharField(choices=[('always', 'always'), ('charcoal', 'cooking on charcoal'), ('pellet', 'cooking on pellets'), ('gas', 'cooking on gas'), ('own_meat', 'meat not issued: bring our own'), ('own_boxes', 'turn-in boxes not issued: bring our own'), ('ancillary', 'an ancillary category entered'), ('hot', 'hot weather'), ('cold', 'cold weather'), ('rain', 'rain expected'), ('wind', 'wind expected'), ('overnight', 'staying overnight'), ('no_power_on_site', 'no power on site'), ('no_water_on_site', 'no water on site'), ('no_ice_on_site', 'no ice sold on site'), ('trailer', 'towing a trailer')], default='always', max_length=20, verbose_name='when')),
                ('item', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='kit_lines', to='inventory.item')),
                ('kit', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='lines', to='inventory.kit')),
            ],
            options={
                'ordering': ['kit', 'item', 'pk'],
                'constraints': [models.UniqueConstraint(fields=('kit', 'item'), name='kit_line_once_an_item'), models.CheckConstraint(condition=models.Q(('quantity__gt', 0)), name='kit_line_brings_something', violation_error_message='Bring more than 0.')],
            },
        ),
    ]
