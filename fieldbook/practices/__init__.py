"""A practice entry as a frozen value, its facts, what it lacks, and how two editions differ.

Not the safety rules (``fieldbook.review``), not photos, not files. Its one rule: everything here is a pure function of
a document.
"""
