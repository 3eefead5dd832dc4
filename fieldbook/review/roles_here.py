"""Whom people ask on the spot: the roles of a camp, and for each danger whom to call about it.

Not who they are or where they sit (each site keeps that on its own board). Its one rule: a role is named, never a
person.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

ROLES_HERE: Final = MappingProxyType(
    {
        "builder": "builder or engineer",
        "health-officer": "health officer",
        "animal-health-worker": "animal-health worker",
        "clinic": "clinic",
        "vet": "vet",
        "fire-watch": "fire watch or rescue",
        "other": "others",
    }
)
"""Code to words, in the order of the board."""

CALLED_FOR: Final = MappingProxyType(
    {
        "C01": "health-officer",
        "C02": "health-officer",
        "C03": "health-officer",
        "C04": "health-officer",
        "C05": "health-officer",
        "C06": "health-officer",
        "C07": "builder",
        "C08": "builder",
        "C09": "clinic",
        "C10": "health-officer",
        "C11": "fire-watch",
        "C12": "animal-health-worker",
        "C13": "animal-health-worker",
        "C14": "clinic",
        "C15": "health-officer",
        "C16": "clinic",
        "C17": "animal-health-worker",
        "C18": "health-officer",
        "C19": "clinic",
        "C20": "clinic",
        "C21": "fire-watch",
        "C22": "clinic",
        "C23": "animal-health-worker",
        "C24": "clinic",
    }
)
"""For the key of each caution the role to call first; our own choice, and a site may put anybody on its board."""
