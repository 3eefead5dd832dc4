"""Review: the rules of safety as data, the states, the standings and the decisions of people.

Not signing and not storing. Its one rule: everything here is a pure function of values.
"""
