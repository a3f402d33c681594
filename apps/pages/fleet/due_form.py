"""What may be asked of the list of what is due."""

from __future__ import annotations

from datetime import date

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from apps.pages.fleet.filters import PagedForm, TagBeginning, word_of
from apps.pages.fleet.fleet_form import NEVER_STATED, stated_as
from apps.records.moments import FIRST_YEAR, LAST_YEAR
from apps.registry.fleet import Selection
from apps.registry.fleet_due import Asked
from apps.tuning.practice import Practice

MOST_DAYS = 366
# As for programs, and for records; far beyond them the databases' numbers end.
FIRST_DAY, LAST_DAY = date(FIRST_YEAR, 1, 1), date(LAST_YEAR, 12, 31)


class DueForm(PagedForm):
    """Which skis, for which day."""

    not_narrowing = frozenset({"after", "on", "within"})
    within = forms.IntegerField(
        label=_("Due within so many days"),
        help_text=_("0 shows what is due already."),
        required=False,
        initial=0,
        min_value=0,
        max_value=MOST_DAYS,
    )
    on = forms.DateField(
        label=_("Counted from"),
        help_text=_("Today when left open."),
        required=False,
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
        input_formats=["%Y-%m-%d"],
        validators=[MinValueValidator(FIRST_DAY), MaxValueValidator(LAST_DAY)],
    )
    tag = TagBeginning(label=_("Tag begins with"))
    status = word_of("status", _("Status"), (NEVER_STATED, _("never stated")))

    @property
    def day(self) -> date:
        """The day for which it is asked."""
        given: date | None = self.cleaned_data["on"]
        return given or timezone.localdate()

    def asked(self, practice: Practice) -> Asked:
        """Give what is asked to the registry."""
        return Asked(self.day, self.cleaned_data["within"] or 0, practice)

    @property
    def selection(self) -> Selection:
        """Which skis."""
        statuses = stated_as(self.cleaned_data["status"])
        words = {"status": statuses} if statuses else {}
        return Selection(words, (), self.cleaned_data["tag"])
