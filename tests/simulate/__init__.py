"""Whole networks, simulated: the real code of stores and exchanges, many sites in one thread, one seed for all chance.

``python -m tests.simulate --runs N --sites M --seed S`` runs N of them. Nothing is imitated but what befalls: power
cuts, sticks that are pulled, full, old or damaged, restored and cloned sites, old software. One rule: a seed gives the
same run for ever, so that a failure can be looked at again.
"""
