
import django.core.validators
import django.db.models.deletion
import teamops.teams.fields
import teamops.teams.models.team
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
    ]
