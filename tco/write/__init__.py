"""Results for people: the workbook, CSV, pandas frames, and what the terminal shows."""
