"""One network of four sites for each test."""

from tests.orrendal import circle

__all__ = ["circle"]
