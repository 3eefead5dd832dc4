"""Tests, one folder for each package they speak of; ``journeys`` run end to end, ``house`` keeps the shape."""
