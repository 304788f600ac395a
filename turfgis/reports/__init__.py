"""Tables, workbook, printed sheets and map. Arithmetic stops at sums of the rows shown."""
