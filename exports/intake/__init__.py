"""The sheet to fill in on site: a job as an intake workbook, and a filled one back as a job document."""
