"""What things cost in this house: the command and the page Prices."""

from __future__ import annotations

from typing import Final

MESSAGES: Final = {
    "prices.none": (
        "No prices are set, so nothing is told in money. Give what you know, such as "
        "`balewright prices --film-roll-money 75 --film-roll-m 1500`."
    ),
    "prices.what_it_is": "what",
    "prices.money": "money",
    "prices.missing": "Not told in money for want of a price: {names}.",
    "prices.when": "The next review counts with them.",
    "prices.film_roll_money": "a roll of film",
    "prices.film_roll_m": "metres on a roll of film",
    "prices.binding_roll_money": "a roll of net or binding film",
    "prices.binding_roll_m": "metres on a roll of net or binding film",
    "prices.fuel_money_l": "a litre of diesel",
    "prices.additive_money_l": "a litre of additive",
    "prices.hour_money": "an hour in the field",
    "prices.bale_money": "one more bale",
    "desk.prices.title": "Prices",
    "desk.prices.what": (
        "What things cost here. Findings are then told in money a bale, and Today puts first what "
        "costs most a day. Leave out what you do not know: nothing is guessed."
    ),
    "desk.prices.film": "Film and binding",
    "desk.prices.work": "Work and the rest",
    "desk.prices.film_roll_money": "A roll of film",
    "desk.prices.film_roll_m": "Metres on it",
    "desk.prices.binding_roll_money": "A roll of net or binding film",
    "desk.prices.binding_roll_m": "Metres on it",
    "desk.prices.fuel_money_l": "A litre of diesel",
    "desk.prices.additive_money_l": "A litre of additive",
    "desk.prices.hour_money": "An hour in the field",
    "desk.prices.hour_money.hint": "Machine, tractor and people together.",
    "desk.prices.bale_money": "One more bale",
    "desk.prices.bale_money.hint": (
        "What it costs all in all: film, binding, work and hauling. Soft bales are more bales."
    ),
    "desk.prices.currency": "Currency",
    "desk.prices.currency.hint": "Its name, at most {most} characters. Shown here only.",
    "desk.prices.set": "Set the prices",
    "desk.prices.done": "Set. The next review counts with them.",
    "desk.prices.last": "Set on {day}.",
    "desk.prices.last_by": "Set on {day} by {by}.",
    "desk.prices.wrong": "Write a number from {low} to {high}, or leave it empty.",
    "desk.prices.wrong.metres": "A roll that has a price needs its metres.",
    "desk.site.prices": "what things cost here, so that findings are told in money.",
}
