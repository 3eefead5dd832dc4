"""Every sentence about a damaged, foreign or unlawful document, with the situation in which a person reads it.

The documents are those that sites hand each other; each is spoiled in one place, signed as its writer would sign it
where only that lets the fault be reached, and read as it would be from a stick.
"""

from __future__ import annotations

import gzip
import json
from typing import TYPE_CHECKING, Any

import sync.keys
from sync.attachments import Attachments
from sync.bundle import Bundle, parse_bundle, seal_bundle
from sync.canonical import canonical_bytes, parse_canonical, parse_elements
from sync.errors import UnknownVersionError
from sync.keys import PieceSeal, SigningKey, lock_key, self_test, unlock_key
from sync.limits import ATTACHMENT_BYTES_MAX, BUNDLE_PACKED_BYTES_MAX, BUNDLE_UNPACKED_BYTES_MAX
from sync.network import SiteName, Steward, ask_to_join, found_network, parse_joining, parse_network
from sync.phrase import invent_phrase, read_phrase
from sync.receipt import parse_receipt, write_receipt
from sync.sealed import SealedReader, SealedWriter
from sync.shape import to_base64
from sync.statement import read_statement
from tests.sentences.scene import Scene, Situation
from tests.sync.scene import C1, C3, LOG, NETWORK, SITE, TIME, say, seeded

if TYPE_CHECKING:
    from collections.abc import Callable

COPY = "take another copy: this one is damaged, or was not written by this software"
NOT_TAKEN = "nothing of it was taken; whoever holds a sound copy leaves it again"
NEWER = "leave the file where it is, and bring this site's software up to date"
FORGED = "look for another copy of the same bundle; this one is damaged or forged"
SHEET = "compare each word with the sheet; a word is known by its first three letters"
SEAL = "seal 1 to 1,000 statements at once, none of them twice"
OBJECT = "{where} is not an object"


def packed(text: bytes) -> bytes:
    return gzip.compress(text, mtime=0)


def compact(value: Any) -> bytes:
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def text(data: bytes, *, most: int = 1000) -> Callable[[Scene], object]:
    """A text as it would be read from a file."""
    return lambda _: parse_canonical(data, limit_bytes=most)


def elements(data: bytes, *, most: int = 100) -> Callable[[Scene], object]:
    return lambda _: list(parse_elements(data, limit_bytes=most))


def value(thing: Any) -> Callable[[Scene], object]:
    """A value as we would write it."""
    return lambda _: canonical_bytes(thing)


def nested(levels: int) -> Any:
    return [nested(levels - 1)] if levels else []


def bundle_of(count: int = 2) -> Bundle:
    statements = [say(number, time=TIME) for number in range(count)]
    return seal_bundle(
        key=SITE, network_id=NETWORK.id, log=LOG, lane="text", number=1, previous=None, statements=statements
    )


def lines(change: Callable[[list[Any]], object]) -> Callable[[Scene], object]:
    """A bundle of which one line was changed."""

    def come(_: Scene) -> object:
        four = [json.loads(line) for line in bundle_of().lines().splitlines()]
        change(four)
        return parse_bundle(packed(b"".join(compact(line) + b"\n" for line in four)))

    return come


def header(**changes: Any) -> Callable[[Scene], object]:
    """A bundle whose own header was changed."""
    return lines(lambda four: four[0]["bundle"].update(changes))


def bundle_file(change: Callable[[bytes], bytes]) -> Callable[[Scene], object]:
    return lambda _: parse_bundle(change(bundle_of().to_bytes()))


def unpacked(content: bytes) -> Callable[[Scene], object]:
    return lambda _: parse_bundle(packed(content))


def statement(without: str = "", **changes: Any) -> Callable[[Scene], object]:
    """A statement whose header was changed."""

    def come(_: Scene) -> object:
        whole = say(1, time=TIME)
        said = {**whole.header, **changes}
        said.pop(without, None)
        return read_statement(compact(said), whole.body_bytes, whole.salt, whole.signature)

    return come


def receipt(data: Any = None, **changes: Any) -> Callable[[Scene], object]:
    """A receipt with other contents, signed as its site would."""

    def come(_: Scene) -> object:
        sound = write_receipt(
            key=SITE, network_id=NETWORK.id, log=LOG, counter=1, held={LOG: (1, 1)}, follows=[], fold=1,
            set_digest="ab" * 32, state_digest="cd" * 32,
        )  # fmt: skip
        said = compact({**json.loads(sound.signed), **changes} if data is None else data)
        signed = SITE.sign(b"sync 1 receipt\n" + bytes.fromhex(NETWORK.id) + said)
        file = b'{"receipt":' + said + b',"signature":"' + to_base64(signed).encode() + b'"}\n'
        return parse_receipt(file, network_id=NETWORK.id)

    return come


def network_file(*signers: SigningKey, whole: Any = None, **changes: Any) -> Callable[[Scene], object]:
    """A network file with other contents, signed by these."""

    def come(_: Scene) -> object:
        said = compact({**json.loads(NETWORK.signed), **changes} if whole is None else whole)
        signed = sorted((key.public, to_base64(key.sign(b"sync 1 network\n" + said))) for key in signers)
        signatures = [{"key": key, "signature": signature} for key, signature in signed]
        return parse_network(b'{"network":' + said + b',"signatures":' + compact(signatures) + b"}")

    return come


def founded(*, letter: str = "C", title: str = "Circle", threshold: int = 1) -> Callable[[Scene], object]:
    site = SiteName(SITE.public, letter, "Cloudstep Terrace")
    stewards = [Steward(C1.public, "C1", SITE.public)]
    return lambda _: found_network(title=title, site=site, stewards=stewards, threshold=threshold, keys=[C1])


def wish(change: Callable[[bytes], bytes], *, network_id: str = NETWORK.id) -> Callable[[Scene], object]:
    sound = ask_to_join(key=SITE, letter="C", name="Cloudstep Terrace", network_id=NETWORK.id).to_bytes()
    return lambda _: parse_joining(change(sound), network_id=network_id)


def lock(**changes: Any) -> Callable[[Scene], object]:
    """A locked key of which one field was changed."""
    return lambda _: unlock_key(compact({**json.loads(_LOCKED), **changes}).decode(), "lantern")


_LOCKED = lock_key(C1, "lantern", random=seeded("lock"))
_PHRASE = invent_phrase(seeded("phrase"))


def sealed_file(phrase: str = _PHRASE, change: Callable[[bytes], bytes] = bytes) -> Callable[[Scene], object]:
    """A sealed file, read to its end with a phrase."""

    def come(_: Scene) -> object:
        written: list[bytes] = []
        writer = SealedWriter(written.append, _PHRASE, random=seeded("sealed"))
        writer.write(b"all of a site")
        writer.finish()
        pending = bytearray(change(b"".join(written)))

        def source(size: int) -> bytes:
            taken = bytes(pending[:size])
            del pending[:size]
            return taken

        SealedReader(source, phrase).drain()
        return None

    return come


def library_that_accepts_all(_: Scene) -> object:
    sound = sync.keys.verify
    try:
        sync.keys.verify = lambda *_: True
        self_test()
    finally:
        sync.keys.verify = sound
    return None


def newer(document: str) -> Callable[[Scene], object]:
    return lambda _: UnknownVersionError(document, 2)


def row(says: str, hint: str, when: str, come: Callable[[Scene], object]) -> Situation:
    return Situation(says, hint, when, come)


TEXTS = (
    row("the text has {bytes} bytes where at most {most} are allowed", COPY, "a text beyond its cap", text(b"[]" * 9, most=9)),
    row("the text is not valid UTF-8 at byte {at}", COPY, "bytes that are no text", text(b'["\xff"]')),
    row("the text is no JSON at character {at}: {cause}", COPY, "a torn text", text(b'{"a":')),
    row("the text nests deeper than {most} levels", COPY, "brackets in brackets", text(compact(nested(20)))),
    row("the name {name} stands twice in one object", COPY, "a name twice", text(b'{"a":1,"a":2}')),
    row("{name} is no name of a field (letters, digits, _ and -)", COPY, "a name with a space", text(b'{"a b":1}')),
    row("the number {text} is not a whole number within 2^53-1, in its one spelling", COPY, "a huge number", text(b"[99999999999999999]")),
    row("{text} is no whole number; decimals are written as strings", COPY, "a decimal", text(b"[1.5]")),
    row("the text is not in its one canonical spelling at character {at}: {text}", COPY, "a needless space", text(b"[1, 2]")),
    row("a list was expected at byte 0", COPY, "no list where one belongs", elements(b"{}")),
    row("a comma, or the end of the list, was expected at character {at}", COPY, "a list without commas", elements(b"[1 2]")),
    row("the element at character {at} has more than {most} bytes", COPY, "a long element", elements(b'["' + b"x" * 200 + b'"]', most=50)),
    row("a text holds half of a surrogate pair, which no file can keep", "type the text again", "half a sign pasted", value("\ud800")),
    row("a value nests deeper than {most} levels", "put fewer groups within groups", "an entry of groups in groups", value(nested(20))),
    row("{name} is no name of a field", "use letters, digits, _ and - only", "a name with a space, written here", value({"a b": 1})),
    row("the number {value} is not within 2^53-1", "write a number so large as text", "a huge number, written here", value(2**60)),
    row("{value} is of a kind that the files do not know", "write decimals as text", "a decimal, written here", value(1.5)),
)  # fmt: skip
STATEMENTS = (
    row(OBJECT, COPY, "a first line that is a list", lines(lambda four: four.__setitem__(0, []))),
    row("the header of a statement is not an object", COPY, "a header that is a list", lambda _: read_statement(b"[]", None, None, bytes(64))),
    row("{where} lacks {names}", COPY, "a header without its author", statement(without="author")),
    row("{where} has names that no signature covers: {names}", COPY, "a first line that says more", lines(lambda four: four[0].update(more=1))),
    row("{document} states no version", COPY, "a header without a version", statement(v="1")),
    row("the {document} is of version {version}, which this software does not know", NEWER, "a statement of newer software", statement(v=2)),
    row("{where} is not a list", COPY, "a list that is a number", statement(after=1)),
    row("{where} is not a text", COPY, "a kind that is a number", statement(kind=1)),
    row("{where} is not 64 lower-case hex digits", COPY, "an author who is no key", statement(author="C1")),
    row("{where} is not {digits} lower-case hex digits", COPY, "a log with a wrong name", header(log="1")),
    row("{where} is not a whole number from {least} to {most}", COPY, "a size below the least", statement(size=0)),
    row("{where} holds {given} where at most {most} are allowed", COPY, "an answer to too many", statement(after=[f"{n:064x}" for n in range(65)])),
    row("{where} is not sorted, or holds something twice", COPY, "an answer to one thing twice", statement(after=["ab" * 32] * 2)),
    row("{where} is neither null nor of the form 2026-11-25T10:02:00Z", COPY, "a time in words", statement(time="today")),
    row("critical holds what is no name of a field", COPY, "a critical name with a space", statement(critical=["a b"])),
    row("the body of a statement is not an object", COPY, "a body that is a list", lambda _: read_statement(say(1).header_bytes, b"[]", bytes(16), bytes(64))),
    row("a header has {bytes} bytes where at most {most} are allowed", COPY, "a header with much else in it", lines(lambda four: four[1][0].update(more="x" * (16_374 - len(compact(four[1][0])))))),
    row("statement {id} needs a salt of {bytes} bytes where its body is, and only there", COPY, "a body without its salt", lambda _: read_statement(say(1).header_bytes, say(1).body_bytes, None, bytes(64))),
    row("the body of statement {id} has {given} bytes, its header says {said}", FORGED, "a body of another length", lambda _: read_statement(say(1).header_bytes, b"{}", bytes(16), bytes(64))),
    row("the body of statement {id} is not the one that its header commits to", FORGED, "another body of the same length", lambda _: read_statement(say(1).header_bytes, say(2).body_bytes, say(2).salt, bytes(64))),
    row("the signature of statement {id} ({kind}) by {author} does not hold", FORGED, "a statement that somebody else signed", lambda _: read_statement(say(1).header_bytes, say(1).body_bytes, say(1).salt, say(2).signature).verify(NETWORK.id)),
    row("{time} is not a time of the form 2026-11-25T10:02:00Z", "set the clock of this machine", "a clock that shows no day", lambda _: say(1, time="2026-13-40T10:02:00Z")),
    row("{where} holds {given} where at most {most} are allowed", "say less at once: fewer words, or fewer photos", "an entry with too many photos", lambda _: say(1, attachments=[f"{n:064x}" for n in range(65)])),
)  # fmt: skip
BUNDLES = (
    row("the file has more than {most} bytes, too many for a bundle", NOT_TAKEN, "a huge file", lambda _: parse_bundle(bytes(BUNDLE_PACKED_BYTES_MAX + 1))),
    row("the file is no gzip member without flags and time", NOT_TAKEN, "a picture under the name of a bundle", lambda _: parse_bundle(b"\xff\xd8\xff")),
    row("the file cannot be unpacked: {error}", NOT_TAKEN, "a bundle with a scratched middle", bundle_file(lambda data: data[:12] + b"\xff" * 40 + data[52:])),
    row("the file unpacks to more than {most} bytes", NOT_TAKEN, "a small file that holds a huge one", unpacked(bytes(BUNDLE_UNPACKED_BYTES_MAX + 1))),
    row("the file is cut short", NOT_TAKEN, "a stick pulled out too early", bundle_file(lambda data: data[:-4])),
    row("{bytes} bytes follow the end of the bundle", NOT_TAKEN, "something hung on to a bundle", bundle_file(lambda data: data + b"more")),
    row("the file does not hold exactly {lines} lines", NOT_TAKEN, "three lines", unpacked(b"[]\n" * 3)),
    row("the lines of the bundle hold unequal numbers of elements", NOT_TAKEN, "a proof too few", lines(lambda four: four[3].pop())),
    row("the signature of site {site} under its bundle does not hold", NOT_TAKEN, "a bundle that another site signed", lambda _: Bundle(bundle_of().header, bundle_of().id, bytes(64), bundle_of().statements).verify(NETWORK.id)),
    row("a bundle of {count} statements; there may be 1 to {most}", COPY, "an empty bundle", lines(lambda four: [line.clear() for line in four[1:]])),
    row("a bundle of {count} statements; there may be 1 to {most}", SEAL, "nothing to seal", lambda _: bundle_of(0)),
    row("a bundle of more than {most} statements", COPY, "a bundle of a thousand and one", lines(lambda four: four.__setitem__(slice(1, 4), [line[:1] * 1001 for line in four[1:]]))),
    row("a bundle holds one statement twice", COPY, "a statement twice", lines(lambda four: four.__setitem__(slice(1, 4), [line[:1] * 2 for line in four[1:]]))),
    row("a bundle holds a header or a body that is not an object", COPY, "a body that is a number", lines(lambda four: four[2].__setitem__(0, 1))),
    row("a header beside its body states what is recomputed from it (body, size)", COPY, "a size that is stated", lines(lambda four: four[1][0].update(size=9))),
    row("the last line pairs a salt, null where the body is absent, with a signature", COPY, "a proof of one part", lines(lambda four: four[3][0].pop())),
    row("{where} is not {bytes} bytes in base64 in its one spelling", COPY, "a short salt", lines(lambda four: four[3][0].__setitem__(0, "AAAA"))),
    row("{where} is not base64", COPY, "a salt in words", lines(lambda four: four[3][0].__setitem__(0, "salt!"))),
    row("the bundle header is not an object", COPY, "a bundle's header that is a list", lines(lambda four: four[0].update(bundle=[]))),
    row("the first line names the statements, which are recomputed", COPY, "a first line with the statements", header(statements=[])),
    row("the lane of the bundle is neither urgent nor text", COPY, "a third lane", header(lane="slow")),
    row("{count} statements are too many bytes for one bundle", SEAL, "long entries in one bundle", lambda _: seal_bundle(key=SITE, network_id=NETWORK.id, log=LOG, lane="text", number=1, previous=None, statements=[say(n, body={"text": f"{n:06d}" + "x" * 262_000}) for n in range(33)])),
    row("the {document} is of version {version}, which this software does not know", NEWER, "a bundle of newer software", header(v=2)),
)  # fmt: skip
PAPERS = (
    row("a receipt has at most {most} bytes and ends in a newline", COPY, "a torn receipt", lambda _: parse_receipt(b"{", network_id=NETWORK.id)),
    row("the {document} holds more than the {most} single values that are read here", "leave the file where it is; it does no harm, and an exchange can do without it", "a receipt that is stuffed", lambda _: parse_receipt(b"," * 160_001 + b"\n", network_id=NETWORK.id)),
    row("the receipt is not an object", COPY, "a receipt that is a list", receipt([])),
    row("what the receipt says is held is not an object", COPY, "holdings that are a list", receipt(held=[])),
    row("what is held of a log is two numbers, urgent and text", COPY, "holdings of one number", receipt(held={LOG: [1]})),
    row("the signature of the receipt of site {site} does not hold for this network", COPY, "a receipt in another's name", receipt(site=C1.public)),
    row("{where} is not a whole number from {least} to {most}", "go on without a receipt; an exchange can do without", "a receipt counted too far", lambda _: write_receipt(key=SITE, network_id=NETWORK.id, log=LOG, counter=0, held={}, follows=[], fold=1, set_digest="ab" * 32, state_digest="cd" * 32)),
    row("the network is not an object", COPY, "a network that is a list", network_file(C1, whole=[])),
    row("the network file is signed by {key}, who is no signatory", COPY, "a stranger's signature", network_file(C1, C3)),
    row("the network file has {given} signatures where its threshold is {threshold}", COPY, "a network that nobody signed", network_file()),
    row("the signature of signatory {key} under the network file does not hold", COPY, "a network under an old signature", lambda _: parse_network(NETWORK.to_bytes().replace(b"Orrendal", b"Arrendal"))),
    row("a threshold over {stewards} signatories is a whole number from {least} to {most}", COPY, "a network in which no steward is needed", network_file(C1, threshold=0)),
    row("a threshold over {stewards} signatories is a whole number from {least} to {most}", "check who is a signatory, how many must agree, and who signs", "a network founded so that two of one must agree", founded(threshold=2)),
    row("{letter} is not the letter of a site", "choose one letter from A to Z", "a site founded with a small letter", founded(letter="c")),
    row("{where} has 1 to {most} characters on one line", "choose another one", "a network without a title", founded(title="")),
    row("a joining file has at most {most} bytes and ends in a newline", COPY, "a torn wish to join", wish(lambda data: data[:-1])),
    row("the signature of the joining file of {key} does not hold for this network", COPY, "a wish to join another network", wish(bytes, network_id="ab" * 32)),
    row("the file has {bytes} bytes where at most {most} are allowed", "make it smaller first", "a film in place of a photo", lambda scene: Attachments(scene.fresh()).put(bytes(ATTACHMENT_BYTES_MAX + 1))),
    row("{name} is not the id of an attachment", COPY, "a photo named by a path", lambda scene: Attachments(scene.fresh()).get("../site.key")),
)  # fmt: skip
KEYS = (
    row("a key is made from {wanted} bytes, here are {given}", "bring the key back from a backup", "half a key", lambda _: SigningKey.from_seed(bytes(16))),
    row("the cryptographic library of this machine does not sign and verify as RFC 8032 says", "install the package 'cryptography' anew; until then nothing can be signed or taken in", "a library that accepts every signature", library_that_accepts_all),
    row("a key cannot be locked with an empty passphrase", "choose a passphrase", "no passphrase", lambda _: lock_key(C1, "", random=seeded("x"))),
    row("the passphrase does not open this key", "try again; capitals and spaces count", "a passphrase typed wrong", lambda _: unlock_key(_LOCKED, "Lantern")),
    row("the locked key is damaged: {message}", "restore the notebook from a backup", "a locked key that a disk spoiled", lock(nonce="AAAA")),
    row("{where} names another method", "restore the notebook from a backup", "a locked key of another method", lock(kdf="other")),
    row("its n is no power of two", COPY, "a sealed file that would take any memory", lambda _: PieceSeal("lantern", {**json.loads(_LOCKED), "n": 2**14 + 1})),
    row("a recovery phrase has {wanted} words, here are {given}", SHEET, "three words", lambda _: read_phrase(" ".join(_PHRASE.split()[:3]))),
    row("word {place} of the recovery phrase is none of the list", SHEET, "a word that no sheet has", lambda _: read_phrase(" ".join(["qqq", *_PHRASE.split()[1:]]))),
    row("these words are not one recovery phrase: one is wrong, or two changed places", SHEET, "two words changed places", lambda _: read_phrase(" ".join([*_PHRASE.split()[1::-1], *_PHRASE.split()[2:]]))),
    row("these words do not open this file", "take the recovery sheet that was written for it; if it is that one, the file is damaged", "the sheet of another backup", sealed_file(invent_phrase(seeded("other")))),
    row("the file is cut or damaged", "use another copy of it", "a backup that was cut", sealed_file(change=lambda data: data[:-1])),
    row("this is no sealed file, or its beginning is damaged", "use another copy of it", "another file in place of a backup", sealed_file(change=lambda _: b"a letter\n")),
)  # fmt: skip

SITUATIONS: tuple[Situation, ...] = (*TEXTS, *STATEMENTS, *BUNDLES, *PAPERS, *KEYS)
