"""How a site that has no network yet finds one on a carrier, and asks to join it.

Not the granting: a steward does that with a statement. One rule: a wish to join gives no right to anything.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sync.carrier import CarrierError
from sync.errors import LocalError, RemoteError
from sync.exchange.layout import JOINING_PATH, NETWORK_FOLDER
from sync.keys import is_fingerprint_of
from sync.limits import JOINING_BYTES_MAX, NETWORK_BYTES_MAX
from sync.network import NETWORK_FILE, Joining, Network, ask_to_join, parse_joining, parse_network

if TYPE_CHECKING:
    from sync.exchange.report import Carrier
    from sync.keys import SigningKey
    from sync.store import Store

_NETWORKS_COUNTED = 1000  # whoever sees so many counts no further


def read_network(carrier: Carrier) -> Network:
    """The one network that a carrier holds.

    Raises:
        RemoteError: It holds none, several, or one whose file is damaged or of a newer version.
    """
    folders: set[str] = set()
    for found in carrier.look(wanted=NETWORK_FOLDER.fullmatch):
        if found.kind == "folder" and len(folders) < _NETWORKS_COUNTED:
            folders.add(found.name)
    if not folders:
        raise RemoteError(
            "the carrier holds no network", hint="bring one on which a site of the network left something"
        )
    if len(folders) > 1:
        raise RemoteError(
            f"the carrier holds {len(folders)} networks", hint="bring one that holds only the network to be joined"
        )
    (folder,) = folders
    network = parse_network(carrier.read(f"{folder}/{NETWORK_FILE}", limit_bytes=NETWORK_BYTES_MAX))
    if network.folder != folder:
        raise RemoteError(f"the network file in {folder} is that of another network", hint="bring another stick")
    return network


def leave_joining(store: Store, carrier: Carrier, *, site_key: SigningKey, letter: str, name: str) -> Joining:
    """Ask to join: keep the wish in the store, from where every exchange carries it, and leave it on a carrier.

    Args:
        store: Of the network that the site wishes to join.
        carrier: Where that network was found.
        site_key: The site's own.
        letter: By which the site wishes to be known.
        name: For people.

    Raises:
        LocalError: The network has granted this site already, or too many others are asking.
        CarrierError: It could not be left; it is kept, and the next exchange leaves it.
    """
    if site_key.public in store.charter.sites:
        raise LocalError("this site belongs to the network already", hint="exchange instead")
    joining = ask_to_join(key=site_key, letter=letter, name=name, network_id=store.network.id)
    store.papers.keep_joining(joining)
    file = f"{store.network.folder}/{joining.path}"
    carrier.prove([carrier.write(file, joining.to_bytes())], failed=_say)
    return joining


def _say(error: CarrierError) -> None:
    raise CarrierError(error.cause, error.file)


def find_joining(store: Store, carrier: Carrier, words: str) -> Joining | None:
    """The wish of the site whose fingerprint words these are, among all that lie on a carrier, kept here or not.

    A store keeps a hundred wishes, and anybody can leave more than that; whoever was told the words of one finds it
    all the same.

    Args:
        store: Of the network.
        carrier: Where to look.
        words: As the site said them.

    Raises:
        CarrierError: The folder of wishes cannot be listed.
    """
    folder = store.network.folder
    for found in carrier.look(f"{folder}/joining"):
        if found.kind != "file" or JOINING_PATH.fullmatch(f"joining/{found.name}") is None:
            continue
        try:
            data = carrier.read(f"{folder}/joining/{found.spelled}", limit_bytes=JOINING_BYTES_MAX)
            joining = parse_joining(data, network_id=store.network.id)
        except RemoteError:  # an exchange names what is wrong with it
            continue
        if is_fingerprint_of(words, joining.site.key):
            return joining
    return None
