"""Writing the workbook: what stands where, how it is drawn, and the cells with their stored results."""
