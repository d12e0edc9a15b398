"""Where phones find the page."""

import socket

import ifaddr


def lan_addresses() -> tuple[str, ...]:
    """IPv4 addresses of this computer on its networks, the likeliest for a phone first."""
    found = [
        address.ip
        for adapter in ifaddr.get_adapters()
        for address in adapter.ips
        if isinstance(address.ip, str) and not address.ip.startswith(("127.", "169.254."))
    ]
    towards = _address_towards_the_network()
    return tuple(sorted(dict.fromkeys(found), key=lambda ip: (ip != towards, not _private(ip), ip)))


def _private(ip: str) -> bool:
    return ip.startswith(("192.168.", "10."))


def _address_towards_the_network() -> str | None:
    """Address of the interface with the default route; opening a datagram socket sends nothing."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # TEST-NET-1 of RFC 5737: belongs to nobody
        except OSError:
            return None
        return str(probe.getsockname()[0])
