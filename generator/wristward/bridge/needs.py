"""Which of the runtime's files a page can do without: those of figures it does not hold."""

from __future__ import annotations

from generator.client import block_hosts, quiz_hosts

GROUPS = (
    (block_hosts.KINDS, (*block_hosts.block_scripts(), *block_hosts.block_styles())),
    (quiz_hosts.KINDS, (*quiz_hosts.quiz_scripts(), *quiz_hosts.quiz_styles())),
)
"""Kinds of host, and the files that only these need."""


def unneeded(html: str) -> list[str]:
    """Return the files, relative to the assets' folder, that no host on a page needs.

    Args:
        html: The page, or its body.
    """
    return [
        name
        for kinds, names in GROUPS
        if not any(f'data-wristward="{kind}"' in html for kind in kinds)
        for name in names
    ]
