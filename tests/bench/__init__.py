"""How fast, how small: every figure as a ratio to a floor that is measured in the same run.

Not a test: nothing here passes or fails by its time. One rule: what is measured is the real code over real files, and
beside it stands the least that any code would have to do for the same; floor and ours take turns, so that a busy
machine slows both.
"""
