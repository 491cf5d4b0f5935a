"""Further engines that work the workbook out: HyperFormula, and the Python package formulas, beside LibreOffice.

What three engines of different makers agree on is what the formulas say, and not a habit of one program. They differ most in
blank cells, in names for ranges and in arrays inside of SUMPRODUCT.
"""
