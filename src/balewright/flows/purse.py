"""What something costs: in the house's money, else in a technician's time."""

from __future__ import annotations

from dataclasses import dataclass

from balewright.flows.house_prices import house_prices
from balewright.flows.workplace import Workplace
from balewright.quantities.reason import Reason, because
from balewright.words.say import SPACE, say


@dataclass(frozen=True)
class Purse:
    """in_money: whether amounts are the house's money, else hours; currency: its name, or ""."""

    in_money: bool
    currency: str

    def said(self, amount: float) -> str:
        """The amount with what it is counted in."""
        if not self.in_money:
            return _time(amount)
        digits = 2 if abs(amount) < 10.0 else 0
        figure = f"{amount:,.{digits}f}".replace(",", SPACE)
        return f"{figure}{SPACE}{self.currency}" if self.currency else figure

    def tell(self, reason: Reason, language: str) -> str:
        """A reason as a sentence, its amounts with what they are counted in."""
        values = tuple(
            (name, self.said(float(one)))
            if name.endswith("_money") and isinstance(one, int | float)
            else (name, one)
            for name, one in reason.values
        )
        return say(Reason(reason.key, values), language)


def purse_of(workplace: Workplace, in_money: bool) -> Purse:
    """The purse of this house."""
    return Purse(in_money, house_prices(workplace).currency)


def _time(hours: float) -> str:
    minutes = round(hours * 60.0)
    if abs(minutes) < 100:
        return say(because("purse.minutes", figure=str(minutes)))
    return say(because("purse.hours", figure=f"{hours:.1f}"))
