"""Over which contests a change is compared: chosen as for a ledger, but of all seasons at first."""

from dataclasses import replace

from teamops.insight.forms import LedgerForm
from teamops.insight.queries.choices import Selection


class EffectForm(LedgerForm):
    """Which contests a change is compared over; unless one is chosen, of every season."""

    def selection(self) -> Selection | None:
        chosen = super().selection()
        if chosen is None or (self.is_bound and self.cleaned_data.get("season")):
            return chosen
        return replace(chosen, season=None)
