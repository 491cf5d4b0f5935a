"""What given cells accept, and why worked ones accept nothing: the data validations of the workbook."""

from __future__ import annotations

from openpyxl.worksheet.datavalidation import DataValidation

from costing.engine.table import Column, Entry
from costing.fields.types import NumberField

LARGEST = 1_000_000_000
FILLED = "_filled"  # a column down to its last filled row, as a list to choose from


def validation_for(part: Column | Entry, known_names: set[str]) -> DataValidation:
    """Return the rule for one given column or figure."""
    rule = _rule(part, known_names)
    rule.showErrorMessage = True
    rule.showInputMessage = True
    rule.promptTitle = part.heading[:32]
    rule.prompt = part.note[:255]
    rule.errorTitle = "Not like this"
    rule.error = f"{part.heading}: {_wanted(rule)}"[:255]
    rule.allow_blank = not str(rule.formula1).endswith(FILLED)  # else a blank in the list lets everything pass
    return rule


def _rule(part: Column | Entry, known_names: set[str]) -> DataValidation:
    reader = part.field
    choices = getattr(reader, "choices", ())
    refers = getattr(part, "refers", "").replace(".", "_") + FILLED
    if choices:
        return DataValidation(type="list", formula1='"' + ",".join(word for word in choices if word) + '"')
    if refers in known_names:
        return DataValidation(type="list", formula1=refers)
    if part.shape == "date":
        return DataValidation(type="date", operator="between", formula1="25569", formula2="109574")
    if isinstance(reader, NumberField):
        scale = 100 if part.shape == "percent" else 1
        low = reader.above if reader.above is not None else reader.least
        least = -LARGEST if low is None else low
        most = LARGEST if reader.most is None else reader.most / scale
        return DataValidation(type="decimal", operator="between", formula1=f"{least}", formula2=f"{most:g}")
    return DataValidation(type="textLength", operator="lessThanOrEqual", formula1="2000")


def _wanted(rule: DataValidation) -> str:
    if rule.type == "list":
        return "choose one of the list. A new one must first be entered where the list comes from."
    if rule.type == "date":
        return "write a date, as 2026-11-01."
    if rule.type == "decimal":
        return f"write a number from {rule.formula1} to {rule.formula2}, without its unit."
    return "write a text of at most 2000 letters."


def worked_rule() -> DataValidation:
    """Return the rule that guards worked cells against slips of the keyboard.

    The cells are locked too; but a sheet protected as a whole would stop the maker from inserting and sorting rows.
    """
    rule = DataValidation(type="custom", formula1="FALSE", allow_blank=False)
    rule.showErrorMessage = True
    rule.showInputMessage = False
    rule.errorTitle = "This is worked out"
    rule.error = "This cell holds a formula. Change the sand-coloured cells that it depends on; press Escape to leave it."
    return rule
