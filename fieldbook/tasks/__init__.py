"""What is due: beds, boxes, cans and pens, what went into them, the waits that follow, and what to do on which day.

Not the notebook that keeps it and not the pages that show it. Its one rule: everything here is a pure function of
values; today is an argument, and a day is a number counted from the day 0 of its bed.
"""
