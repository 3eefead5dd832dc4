"""Every cap on what others may hand us, with its unit and its reason.

Not settings: two sites with different limits would hold different sets. One rule: no number that bounds
foreign bytes stands anywhere else.
"""

from __future__ import annotations

KIB = 1024
MIB = 1024 * KIB

INTEGER_MAX = 2**53 - 1  # the largest whole number that every JSON reader keeps exactly (RFC 8259, section 6)
DEPTH_MAX = 16  # levels, counted from the signed value itself; enough for an entry, harmless to any parser
WRAPPED_DEPTH_MAX = DEPTH_MAX + 1  # the same, counted from the object that a file puts around the signed value

NETWORK_BYTES_MAX = 64 * KIB  # hundreds of stewards; it is read before anything is trusted
JOINING_BYTES_MAX = 4 * KIB  # a key, a letter and a name; anyone at all may leave one
JOININGS_MAX = 100  # files; carried by all, so strangers must not be able to fill a stick
RECEIPT_BYTES_MAX = 4 * MIB  # 100,000 logs
RECEIPT_VALUES_MAX = 160_000  # beside what is held: 30 MiB as values, so a stuffed file cannot fill a small board
BUNDLE_PACKED_BYTES_MAX = 1 * MIB  # what is read of one file before a signature is seen
BUNDLE_UNPACKED_BYTES_MAX = 8 * MIB  # inflating stops here, whatever the file promises
BUNDLE_STATEMENTS_MAX = 1000  # one transaction of the store
BUNDLE_LINES = 4  # bundle, headers, bodies, salts and signatures

SEALED_UNPACKED_BYTES_MAX = 900_000  # when sealing: well below what any reader inflates
SEALED_PACKED_BYTES_PREFERRED = 64 * KIB  # when sealing: a cut link or a bad block then costs little

HEADER_BYTES_MAX = 16 * KIB  # 64 + 64 ids take 8.6 KiB; the rest is room for names yet unknown
BODY_BYTES_MAX = 256 * KIB  # an entry in several languages takes 10 to 60 KiB
BODY_BYTES_MIN = 2  # a body is an object: "{}"
AFTER_MAX = 64  # statements answered; bounds the work of one statement in the fold
ATTACHMENTS_MAX = 64  # files named by one statement
ATTACHMENT_BYTES_MAX = 2 * MIB  # a prepared photo takes 0.2 MiB

NUMBER_MAX = 99_999_999  # bundles of a log, receipts of a site: eight digits in a file name
HEX_IN_NAMES = 26  # characters of an id in a file name: 104 bits, yet short enough for every file system
LOG_HEX = 16  # characters of the random id of a log: 64 bits

LOCKED_KEY_BYTES_MAX = 4 * KIB  # our own file, yet it may be damaged
KEY_CACHE_MAX = 8192  # public keys kept ready: a few MiB, and more people than a board holds

SEALED_HEAD_BYTES_MAX = 1 * KIB  # how a file was sealed; it takes 0.2 KiB
SEALED_PIECE_BYTES = 256 * KIB  # what is held in memory of a sealed file; 16 bytes are added to each
