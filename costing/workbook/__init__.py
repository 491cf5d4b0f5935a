"""The workbook: one face of a costed season. Only this package knows openpyxl."""
