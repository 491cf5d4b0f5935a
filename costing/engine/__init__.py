"""How is a figure traced? Expressions over cells, the closed table of operations, tables worked out, formulas spelled."""
