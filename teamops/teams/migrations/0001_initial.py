import django.core.validators
import django.db.models.deletion
import django.utils.timezone
import teamops.teams.fields
import teamops.teams.models.photo
import teamops.teams.models.team
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
    ]

    operations = [
        migrations.CreateModel(
            name='User',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('password', models.CharField(max_length=128, verbose_name='password')),
                ('last_login', models.DateTimeField(blank=True, null=True, verbose_name='last login')),
                ('email', models.EmailField(error_messages={'unique': 'There is an account with this address already.'}, max_length=254, unique=True)),
                ('name', teamops.teams.fields.PlainTextField(blank=True, max_length=80, verbose_name='your name')),
                ('is_active', models.BooleanField(default=True)),
                ('joined_at', models.DateTimeField(auto_now_add=True)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Team',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', teamops.teams.fields.PlainTextField(max_length=80, verbose_name='team name')),
                ('slug', models.SlugField(editable=False, max_length=60, unique=True)),
                ('home_place', teamops.teams.fields.PlainTextField(blank=True, help_text='Where the trailer sleeps.', max_length=80)),
                ('time_zone', teamops.teams.fields.PlainTextField(default='America/Chicago', help_text='Home clock; each contest has its own. For example America/Chicago.', max_length=60, validators=[teamops.teams.models.team.known_zone])),
                ('units', models.CharField(choices=[('us', 'pounds, inches, °F'), ('si', 'kilograms, millimetres, °C')], default='us', max_length=2)),
                ('currency', teamops.teams.fields.PlainTextField(default='USD', max_length=3, validators=[django.core.validators.RegexValidator('^[A-Z]{3}$', 'Three capital letters, such as USD or EUR.')])),
                ('paper', models.CharField(choices=[('letter', 'Letter'), ('A4', 'A4')], default='letter', max_length=6)),
                ('created_at', models.DateTimeField(auto_now_add=True)),
                ('stamp', models.UUIDField(default=uuid.uuid4, editable=False)),
            ],
        ),
        migrations.CreateModel(
            name='SignInLink',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('token_hash', models.CharField(editable=False, max_length=64, unique=True)),
                ('expires_at', models.DateTimeField()),
                ('used_at', models.DateTimeField(blank=True, null=True)),
                ('user', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Photo',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('file', models.FileField(editable=False, max_length=200, upload_to=teamops.teams.models.photo.photo_path)),
                ('width', models.PositiveIntegerField(editable=False)),
                ('height', models.PositiveIntegerField(editable=False)),
                ('size', models.PositiveIntegerField(editable=False)),
                ('taken_at', models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                ('taken_by', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('team', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='photos', to='teams.team')),
            ],
            options={
                'ordering': ['taken_at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='ListLink',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('calendar', 'the team’s calendar'), ('checklist', 'a contest’s to-dos'), ('prep', 'a contest’s prep sheet'), ('packing', 'a packing list')], editable=False, max_length=9)),
                ('object_id', models.UUIDField(blank=True, editable=False, null=True)),
                ('label', teamops.teams.fields.PlainTextField(max_length=80, verbose_name='for whom')),
                ('may', models.CharField(choices=[('see', 'see it'), ('tick', 'see it and tick it off')], default='tick', max_length=4, verbose_name='may')),
                ('token_hash', models.CharField(editable=False, max_length=64, unique=True)),
                ('made_at', models.DateTimeField(auto_now_add=True)),
                ('revoked_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('last_used_on', models.DateField(blank=True, editable=False, null=True)),
                ('made_by', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('team', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='list_links', to='teams.team')),
            ],
            options={
                'ordering': ['made_at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Invitation',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('token_hash', models.CharField(editable=False, max_length=64, unique=True)),
                ('expires_at', models.DateTimeField()),
                ('used_at', models.DateTimeField(blank=True, null=True)),
                ('role', models.CharField(choices=[('reader', 'Reader'), ('helper', 'Helper'), ('cook', 'Cook'), ('owner', 'Owner')], default='cook', max_length=6)),
                ('note', teamops.teams.fields.PlainTextField(blank=True, max_length=80, verbose_name='for whom')),
                ('invited_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('used_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('team', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='invitations', to='teams.team')),
            ],
            options={
                'ordering': ['expires_at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='ImportBatch',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, editable=False, primary_key=True, serialize=False)),
                ('name', teamops.teams.fields.PlainTextField(max_length=200)),
                ('state', models.CharField(choices=[('read', 'to be looked through'), ('queued', 'waiting its turn'), ('running', 'being taken in'), ('done', 'taken in'), ('failed', 'not taken in'), ('undone', 'undone')], default='read', editable=False, max_length=8)),
                ('cells', models.JSONField(default=list, editable=False)),
                ('columns', models.JSONField(blank=True, default=dict)),
                ('rows', models.PositiveIntegerField(default=0, editable=False)),
                ('done', models.PositiveIntegerField(default=0, editable=False)),
                ('said', models.JSONField(blank=True, default=dict, editable=False)),
                ('made', models.JSONField(blank=True, default=dict, editable=False)),
                ('brought_at', models.DateTimeField(auto_now_add=True)),
                ('finished_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('undone_at', models.DateTimeField(blank=True, editable=False, null=True)),
                ('brought_by', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('undone_by', models.ForeignKey(blank=True, editable=False, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('team', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='imports', to='teams.team')),
            ],
            options={
                'ordering': ['-brought_at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Membership',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('role', models.CharField(choices=[('reader', 'Reader'), ('helper', 'Helper'), ('cook', 'Cook'), ('owner', 'Owner')], default='cook', max_length=6)),
                ('since', models.DateTimeField(auto_now_add=True)),
                ('user', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='memberships', to=settings.AUTH_USER_MODEL)),
                ('team', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='memberships', to='teams.team')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('team', 'user'), name='membership_once_a_team')],
            },
        ),
        migrations.CreateModel(
            name='ColumnMap',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('headings', models.CharField(editable=False, max_length=64)),
                ('columns', models.JSONField(default=dict)),
                ('used_at', models.DateTimeField(auto_now=True)),
                ('team', models.ForeignKey(editable=False, on_delete=django.db.models.deletion.CASCADE, related_name='column_maps', to='teams.team')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('team', 'headings'), name='columnmap_once_for_the_headings')],
            },
        ),
    ]
