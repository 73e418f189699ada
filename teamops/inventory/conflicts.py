"""Two people saved the same thing: theirs beside ours."""

from typing import Any

from django import forms


def differences(form: forms.ModelForm, current: Any) -> list[tuple[Any, Any, Any]]:
    """Field by field where theirs and ours differ: label, theirs, ours."""
    rows = []
    for name in form._meta.fields or ():
        if getattr(current, name) != getattr(form.instance, name):
            theirs, ours = (_shown(row, name) for row in (current, form.instance))
            rows.append((form.fields[name].label or name, theirs, ours))
    return rows


def _shown(row: Any, name: str) -> Any:
    display = getattr(row, f"get_{name}_display", None)
    if display is not None:
        return display()
    value = getattr(row, name)
    return {True: "yes", False: "no"}.get(value, value) if isinstance(value, bool) else value
