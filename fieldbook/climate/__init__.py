"""A site's climate and what it lets grow: pure computation from the site's own twelve months.

What it is: radiation, evapotranspiration, growing periods, water need and planting windows, each by a published method
that the answer names. What it is not: a forecast; nothing here knows today's date, opens a file or draws a picture.

Its one rule: the same inputs give the same answer to the byte, on any machine, and an answer says how sure it is.
"""
