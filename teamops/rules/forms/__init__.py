"""What is asked about a rulebook."""

from teamops.rules.forms.book import BookForm
from teamops.rules.forms.choice import RulebookChoice
from teamops.rules.forms.draft import Draft
from teamops.rules.forms.files import FileForm
from teamops.rules.forms.page import BookPage

__all__ = ["BookForm", "BookPage", "Draft", "FileForm", "RulebookChoice"]
