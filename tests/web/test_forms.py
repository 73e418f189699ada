"""How each field is drawn, and where a refusal lands."""

import re

import pytest
from django import forms
from django.core.exceptions import ValidationError
from django.template import Context, Template

from teamops.web.forms import FriendlyForm, PlainCharField, refuse


class Sheet(FriendlyForm, forms.Form):
    name = PlainCharField(max_length=10, help_text="As on the sheet.")
    fee = forms.DecimalField(required=False)
    people = forms.IntegerField(required=False, min_value=1, max_value=9)
    day = forms.DateField(required=False)
    at = forms.DateTimeField(required=False)
    last = forms.BooleanField(required=False, label="Goes last")
    role = forms.ChoiceField(choices=[("a", "A")], widget=forms.RadioSelect, required=False)
    seen = forms.IntegerField(required=False, widget=forms.HiddenInput)


def test_numbers_bring_up_a_number_pad_and_keep_what_was_typed():
    page = str(Sheet({"name": "x", "fee": "twelve", "people": "1o"}))
    assert re.search(r'name="fee" value="twelve" [^>]*inputmode="decimal"', page)
    assert re.search(r'name="people" value="1o" [^>]*inputmode="numeric"', page)
    assert not re.search(r'type="text"[^>]* (step|min|max)=', page)
    assert 'type="number"' not in page


def test_days_and_moments_use_the_browsers_own_picker():
    page = str(Sheet({"name": "x", "day": "2026-06-12", "at": "2026-06-12T13:05"}))
    assert 'type="date" name="day" value="2026-06-12"' in page
    assert 'type="datetime-local" name="at" value="2026-06-12T13:05"' in page


def test_an_error_stands_at_its_field_and_is_read_out_with_it():
    page = str(Sheet({"name": ""}))
    assert 'class="field wrong"' in page
    assert 'id="id_name_error"' in page
    assert 'aria-describedby="id_name_helptext id_name_error"' in page
    assert 'aria-invalid="true"' in page
    assert page.index("id_name_helptext") < page.index("id_name_error") < page.index("<input")


def test_only_what_may_be_left_out_says_so():
    page = str(Sheet())
    assert "Name</label>" in page
    assert 'Fee <span class="optional">(optional)</span>' in page


def test_a_tick_box_stands_before_its_words_and_choices_in_a_group():
    page = str(Sheet())
    assert page.index('type="checkbox"') < page.index("Goes last")
    assert '<legend>Role <span class="optional">(optional)</span></legend>' in page
    assert page.count('name="seen"') == 1
    assert 'for="id_seen"' not in page


@pytest.mark.parametrize(("text", "fine"), [("Oak", True), ("Oak\x00", False), ("🔥", True)])
def test_the_one_character_that_cannot_be_stored_is_refused(text, fine):
    form = Sheet({"name": text})
    assert form.is_valid() is fine
    if not fine:
        assert form.errors["name"] == [
            "This holds a character that cannot be stored. Type it again."
        ]


def test_a_refusal_lands_beside_its_field_or_where_it_is_sent():
    form = Sheet({"name": "x"})
    refuse(form, ValidationError({"fee": "Too much.", "cook": "Nobody cooks."}), field="name")
    assert form.errors == {"fee": ["Too much."], "name": ["Nobody cooks."]}
    form = Sheet({"name": "x"})
    refuse(form, ValidationError("Not today."))
    assert form.non_field_errors() == ["Not today."]
    assert 'class="errorlist nonfield"' in str(form)


def page_with(**context) -> str:
    template = "{% load problems %}{% problems %}"
    return Template(template).render(Context(context))


def test_a_page_says_what_needs_a_look_with_the_way_there():
    form = Sheet({"name": "x" * 11, "fee": "much", "people": "2"})
    form.add_error(None, "Somebody else was faster.")
    page = page_with(form=form, again=form)
    assert "3 things need a look" in page
    assert '<a href="#id_name">Name</a>: Ensure this value has at most 10 characters' in page
    assert '<a href="#id_fee">Fee</a>: Enter a number.' in page
    assert "<li>Somebody else was faster.</li>" in page
    assert 'tabindex="-1" autofocus' in page
    assert page.index("Somebody") < page.index("id_name")


def test_one_thing_needs_a_look_and_a_group_leads_to_its_first_choice():
    form = Sheet({"name": "x", "role": "z"})
    assert not form.is_valid()
    page = page_with(anything=form)
    assert "1 thing needs a look" in page
    assert '<a href="#id_role_0">Role</a>' in page
    assert 'id="id_role_0"' in str(form)


def test_a_form_that_nobody_checked_says_nothing():
    assert "need" not in page_with(form=Sheet({"name": ""}), other=Sheet(), user=None)


def test_each_form_of_a_set_is_looked_at():
    rows = forms.formset_factory(Sheet)
    data = {"form-TOTAL_FORMS": "2", "form-INITIAL_FORMS": "2", "form-0-name": "x"}
    formset = rows(data)
    assert not formset.is_valid()
    assert '<a href="#id_form-1-name">Name</a>' in page_with(formset=formset)
