"""The addresses of this machine in the local network: only private ones, so that a page is never shared further.

Source: RFC 1918 (1996), section 3 (private networks) and RFC 3927 (2005), section 2.1 (addresses without a router),
both from memory.
"""

from __future__ import annotations

import ipaddress
import socket
from contextlib import suppress

PRIVATE = tuple(map(ipaddress.IPv4Network, ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16")))
LOOPBACK = ipaddress.IPv4Network("127.0.0.0/8")
ASKED_ALONG = ("192.0.2.1", "10.255.255.255", "172.31.255.255", "192.168.255.255")
"""Where the way would lead: only the choice of the own address is asked, nothing is sent (RFC 5737 for the first)."""


def is_near(address: str, *, loopback: bool = False) -> bool:
    """Return whether an address belongs to a local network (``loopback``: or to this machine itself)."""
    try:
        found = ipaddress.IPv4Address(address)
    except ValueError:
        return False
    return any(found in network for network in (*PRIVATE, *((LOOPBACK,) if loopback else ())))


def own_addresses() -> list[str]:
    """Return the addresses under which the local network reaches this machine, the likeliest first."""
    found: list[str] = []
    for goal in ASKED_ALONG:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as ask:
            try:
                ask.connect((goal, 9))
                found.append(str(ask.getsockname()[0]))
            except OSError:
                continue
    with suppress(OSError):  # a machine may not know its own name
        found += socket.gethostbyname_ex(socket.gethostname())[2]
    return [address for address in dict.fromkeys(found) if is_near(address)]
