"""Photos and drawings on their way into an entry: made small, and stripped of all that is not the picture.

What it is: the one door for foreign pictures. What it is not: a judge of what a picture shows; whether people are in
it, and whether they are covered, is said by the person who adds it.

Its one rule: only pixels come through. Every picture is decoded, painted anew and encoded by us, so nothing that
travels in a file beside its pixels (place, time, device, names, a hidden second picture) can leave a site.
"""

from fieldbook.photos.formats import PhotoError
from fieldbook.photos.prepare import Prepared, prepare_photo

__all__ = ["PhotoError", "Prepared", "prepare_photo"]
