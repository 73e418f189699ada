"""What a browser sends while a table is brought in."""

import re
from html import unescape
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from teamops.teams.models import ImportBatch, Team

FIELD = re.compile(r'<select name="([^"]+)".*?</select>', re.DOTALL)
CHOSEN = re.compile(r'<option value="([^"]*)" selected')


def url(name: str, team: Team, *args: object) -> str:
    return reverse(f"judging:{name}", args=[team.slug, *args])


def upload(data: bytes | str, name: str = "sheets.csv") -> dict[str, Any]:
    data = data.encode() if isinstance(data, str) else data
    return {"file": SimpleUploadedFile(name, data), "text": ""}


def shown(html: str) -> dict[str, str]:
    """What the page would send back as it stands: every select with what is selected in it."""
    found = {}
    for select in FIELD.finditer(html):
        chosen = CHOSEN.search(select[0])
        found[unescape(select[1])] = unescape(chosen[1]) if chosen else ""
    return found


def bring_in(client, batch: ImportBatch, **changed: str):
    """Look at the page of an import and press “Bring it in”, with some fields changed."""
    page = client.get(url("show_import", batch.team, batch.pk)).content.decode()
    return client.post(url("take_in", batch.team, batch.pk), shown(page) | changed)
