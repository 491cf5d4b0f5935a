"""The season's settings, and the fixed figures that formulas may name."""

from __future__ import annotations

from decimal import Decimal

from pydantic import model_validator

from costing.engine.declared import Figures, fixed
from costing.engine.table import FigureList, Sheet
from costing.fields.catalogue import currencies
from costing.fields.types import (
    ChoiceField,
    Day,
    DayField,
    KeyField,
    Money,
    NumberField,
    Record,
    Text,
    TextField,
    YesNo,
    fault,
    given,
)
from costing.fields.views import DayWritten, Number, OptionalNumber, Words
from costing.tables.unlike_prices import ALWAYS_OVER, FAR, NEVER_UNDER, NORMAL, SCATTERING

COST_BASES = ("latest", "average", "dearest", "quote")


class CurrencyField(TextField):
    """An ISO 4217 code."""

    def read(self, value: object, info: object) -> str:
        """Return the code in capitals."""
        code = str(value).strip().upper()
        if code not in currencies():
            raise fault(f'"{value}" is no currency of ISO 4217', _meant(code))
        return code


def _meant(code: str) -> str:
    """Return the currency that was probably meant: the same letters, or the only one that begins alike."""
    alike = [known for known in currencies() if sorted(known) == sorted(code)]
    alike = alike or [known for known in currencies() if known[:2] == code[:2]]
    return f'did you mean "{alike[0]}"?' if len(alike) == 1 else "write its three letters, as EUR, GBP or USD"


CURRENCY = CurrencyField()
# All common practice, no source: parts of one, but for times.
ROUND_FEE = 5  # percent
OWN_PRICE, MOST_FEE, OVERFILL, UNDERFILL, QUOTED = 2.5, 0.13, 1.12, 0.9, 3.0
MOST_DISCOUNT, DOZENS, HIGHEST_TAX = 0.6, 99, 40  # of its goods; packs; percent (common practice, no source)
PERCENT_SLACK, SHARE_DECIMALS = 0.0001, 9
SOAP_PH = 9.0  # the mildest
DAYS = NumberField("day", above=0)
# of the sheets beyond the price
FURTHER_SETTINGS = {
    "began_on",
    "ready_by",
    "scale_step",
    "slow_days",
    "main_channel",
    "unit_price_decimals",
    "wanted_profit",
}


class Settings(Record):
    """What holds for the whole season."""

    name: Text = given("Season", "What this season is called.")
    currency: Words = given("Currency", "The currency of all figures, as its three-letter ISO 4217 code.", CURRENCY)
    priced_on: Day = given("Priced on", "The day the prices are worked out for. Purchases after it are left out.")
    began_on: DayWritten = given(
        "Began on",
        "The season's first day: weighings and batches before it are an earlier season's. Blank counts them all.",
        DayField(),
        default=None,
    )
    ready_by: DayWritten = given(
        "Ready by",
        "The day on which what is planned is to be ready to sell; blank for the day priced on.",
        DayField(),
        default=None,
    )
    cost_basis: Words = given(
        "Cost basis",
        "Which price an item counts at: that of the newest day it was bought on (latest), the average or the dearest "
        "of the days below, or your own quote.",
        ChoiceField(COST_BASES),
        default="latest",
    )
    average_days: Number = given(
        "Days for average and dearest",
        "How far back average and dearest look from the day above.",
        DAYS,
        default=Decimal(365),
    )
    stale_days: Number = given(
        "Days until a price is old", "An item last bought longer ago than this gets a caution.", DAYS, default=Decimal(180)
    )
    hourly_rate: Number = given(
        "Hourly rate",
        "What an hour of your own hands-on work is to cost.",
        NumberField("money/hour", least=0),
        default=Decimal(0),
    )
    power_price: Number = given(
        "Power price",
        "What a kilowatt-hour costs, without the tax that you get back.",
        NumberField("money/kilowatt_hour", least=0),
        default=Decimal(0),
    )
    reclaims_tax: YesNo = given(
        "Reclaims tax on purchases",
        "yes if you get it back: it is then no cost, and overheads, parcels, fees and power are written without it.",
        default="no",
    )
    price_step: Number = given(
        "Price step",
        "Suggested prices are rounded up to whole steps of this.",
        NumberField("money", above=0),
        default=Decimal("0.50"),
    )
    price_ending: Money = given(
        "Price ending", "What is added to whole steps: 0.90 with a step of 1 gives 9.90, 10.90 …", default=Decimal(0)
    )
    slow_days: Number = given(
        "Days until stock is slow",
        "Something still on hand that was last bought longer ago than this is marked slow on Stock.",
        DAYS,
        default=Decimal(365),
    )
    main_channel: Words = given(
        "Main channel",
        "The channel that the others are held against on Price ladder; blank for none.",
        KeyField(),
        default="",
        refers="channels.channel",
    )
    unit_price_decimals: Number = given(
        "Decimals of a unit price",
        "Prices per 100 g and per kg are marked with this many decimals, one more where they are below 1.",
        NumberField("", least=0, most=4),
        default=Decimal(2),
    )

    scale_step: Number = given(
        "Step of the scale",
        "What your scale counts in: amounts on Weigh out are rounded to it.",
        NumberField("gram", above=0),
        default=Decimal("0.1"),
    )

    wanted_profit: OptionalNumber = given(
        "Profit wanted",
        "For the season, after all costs, your own work among them. Decide says how to reach it; blank for none.",
        NumberField("money", above=0),
        default=None,
    )

    @model_validator(mode="after")
    def _whole_decimals(self) -> Settings:
        if self.unit_price_decimals % 1:
            raise fault(f"{self.unit_price_decimals} decimals", "write a whole number", "unit_price_decimals")
        return self

    @model_validator(mode="after")
    def _ending_below_step(self) -> Settings:
        if self.price_ending >= self.price_step:
            raise fault(
                f"price_ending {self.price_ending} is not below price_step {self.price_step}",
                "write an ending below the step",
                "price_ending",
            )
        return self


class SettingsFigures(Settings, Figures):
    """The settings, and the fixed figures that formulas may name."""

    fine_decimals = fixed(
        "Decimals of a price before its step",
        6,
        "A price is rounded to this many decimals before it is moved up to the next step, so that a hair of binary "
        "arithmetic cannot lift it by a whole one. Fixed.",
    )
    step_decimals = fixed(
        "Decimals of steps and shares",
        SHARE_DECIMALS,
        "A number of price steps is rounded to this many decimals before it is rounded up to whole ones, and a sum of "
        "percentages before it is held against its limit. Fixed.",
    )
    percent_slack = fixed(
        "Slack of percentages",
        PERCENT_SLACK,
        "Percentages that are to add up to 100 may miss it by 0.01. Fixed.",
    )
    tolerance = fixed("Tolerance of the checks", 1e-6, "Checks let pass what differs by less than this. Fixed.")
    near_price = fixed(
        "Times the usual price, at least",
        NEVER_UNDER,
        "A purchase less than so many times dearer or cheaper than the item's others is never marked on Purchases. Common "
        "practice, no source. Fixed.",
    )
    far_price = fixed(
        "Times the usual price, at most",
        ALWAYS_OVER,
        "A purchase so many times dearer or cheaper than the item's others always is; between the two it is where the "
        "others lie much nearer together. Common practice, no source. Fixed.",
    )
    scatter = fixed(
        "Part of a distance that others may scatter",
        NORMAL / FAR,
        "A price is out of line where more than half of the others lie this many times nearer to the usual, as ratios: a "
        "modified Z-score of 3.5 (Iglewicz and Hoaglin 1993, NIST/SEMATECH e-Handbook 1.3.5.17). Fixed.",
    )
    scattering = fixed(
        "Others that tell how prices scatter",
        SCATTERING,
        "With fewer other purchases than so many, each price beyond the first of these bounds is out of line. Fixed.",
    )
    most_discount = fixed(
        "Discount, at most",
        MOST_DISCOUNT,
        "A larger part of the goods on its receipt is marked on Purchases. Common practice, no source. Fixed.",
    )
    most_dozens = fixed(
        "Dozens, at most", DOZENS, "More packs of a dozen are marked on Purchases. Common practice, no source. Fixed."
    )
    highest_tax = fixed("Rate of tax listed last, in percent", HIGHEST_TAX, "Below, as the highest of the rates. Fixed.")
    a_year = fixed("Days of a year", 365, "What comes so long before all others is marked on Purchases. Fixed.")
    one_percent = fixed(
        "Smallest percentage", 0.01, "What is smaller, where others are not, may be meant as a part of one. Fixed."
    )
    far_own_price = fixed(
        "Own price, times the suggested one",
        OWN_PRICE,
        "What is so many times above or below is marked on Prices. Common practice, no source. Fixed.",
    )
    most_fee = fixed(
        "Fee for a payment, at most", MOST_FEE, "A higher one is marked on Channels. Common practice, no source. Fixed."
    )
    round_fee = fixed(
        "Fee of a shop, in steps of",
        ROUND_FEE,
        "A shop that sells for makers takes round percentages. Common practice, no source. Fixed.",
    )
    overfill = fixed(
        "Fill, times the label, at most",
        OVERFILL,
        "A fill further above its label is marked on Products. Common practice, no source. Fixed.",
    )
    underfill = fixed("Fill, times the label, at least", UNDERFILL, "The same below it. Fixed.")
    far_quote = fixed(
        "Quote, times the latest price",
        QUOTED,
        "A quote so many times above or below is marked on Items. Common practice, no source. Fixed.",
    )
    coin = fixed("Smallest coin", 0.01, "Sums of receipts are told to this. Fixed.")
    naoh_for_koh = fixed(
        "Sodium hydroxide for potassium hydroxide",
        0.7128893,
        "Grams of sodium hydroxide that do what one gram of potassium hydroxide does: molar masses 39.99711 and 56.10564 "
        "g/mol, IUPAC atomic weights in the chemicals package. Fixed.",
    )
    coarse_steps = fixed(
        "Steps of the scale that are few",
        10,
        "What weighs less than so many steps of the scale may be off by a twentieth. Common practice, no source. Fixed.",
    )
    near_lye = fixed(
        "Superfat too small to trust",
        0.01,
        "Below this superfat at the careful end of the ranges, Lye says so; scales and rounded percentages can add up to "
        "that much, and an ordinary superfat leaves more. Common practice, no source. Fixed.",
    )
    soap_ph = fixed(
        "pH of soap, mildest", SOAP_PH, "Soap of lye and fat is hardly milder. Common practice, no source. Fixed."
    )
    soap_ph_most = fixed("pH of soap, harshest", 10.5, "The same at its other end. Common practice, no source. Fixed.")
    acid_needed = fixed(
        "Acid left whole that keeps",
        0.01,
        "A preservative whose acid is split into ions but for less than this does not work. Common practice. Fixed.",
    )
    moist = fixed(
        "Moisture of what is dry",
        0.1,
        "What holds less water than this is dry, and its water not counted. Common practice, no source. Fixed.",
    )
    watery = fixed(
        "Watery",
        0.005,
        "With so much water of all that is put in, a formula is watery. Common practice, no source. Fixed.",
    )
    drying = fixed(
        "Loss of what dries",
        0.03,
        "A bar whose steps lose more than this dries; less may stick to the pot. Common practice, no source. Fixed.",
    )
    weak = fixed(
        "Far below the working share",
        0.5,
        "With less than this part of the least working share, preservatives are told. Common practice, no source. Fixed.",
    )
    grainy = fixed(
        "A scrub's grains",
        0.1,
        "With more sugar and salt than this, they are there to scrub. Common practice, no source. Fixed.",
    )
    syrupy = fixed(
        "Grains that go",
        0.5,
        "Where the water could dissolve more than this part of them, you are told. Common practice, no source. Fixed.",
    )
    much_left = fixed(
        "Much left over",
        0.2,
        "More than this part of an output left over because another output asks for so many batches is told. Fixed.",
    )
    short_one_in = fixed("One in how many may be short", 40, "Directive 76/211/EEC, as UK guidance reads it. Fixed.")
    short_spreads = fixed(
        "Spreads for one in 40",
        1.959963984540054,
        "So many spreads below the mean lies one in 40, if fills scatter evenly about it (normal distribution). Fixed.",
    )
    far_short_spreads = fixed(
        "Spreads for one in 10,000",
        3.719016485455709,
        "The same for one in 10,000, which stands for none: with even scatter none at all cannot be had. Fixed.",
    )


SETTINGS = FigureList(
    "settings",
    Sheet(
        "Settings", "Settings", "What holds for the whole season. Change a value and every figure follows.", everyday=True
    ),
    "",
    SettingsFigures,
    "Settings",
    ("Key", "Setting", "Value", "Unit", "What it means"),
    record=lambda source: source.records.season,
)
