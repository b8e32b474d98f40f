"""The report of a brew day: one account in plain figures, written as text, page, table or JSON."""
