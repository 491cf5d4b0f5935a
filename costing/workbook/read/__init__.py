"""Reading a workbook back: safe opening, finding its tables, and cells as people type them."""
