"""Every hand that the factors of territories.yaml make, from the raw file: a second way to count what a hand needs."""

from itertools import product


def every_hand(territories, ids):
    """Go through all hands.

    Args:
        territories: territories.yaml as plain values.
        ids: Territories that are touched.

    Yields:
        The hand's chance, and the parts of the supplies it needs, each a map with ``nerve`` and ``share``.
    """
    factors = territories["factors"]
    for choice in product(*([(name, *one) for one in f["alternatives"].items()] for name, f in factors.items())):
        chance, hand = 1.0, {}
        for name, alternative, share in choice:
            chance *= share
            hand[name] = alternative
        parts = []
        for id_ in ids:
            record = territories["territories"][id_]
            supply = record["supply"]
            for variant in record.get("variants", []):
                if all(hand[factor] == value for factor, value in variant["when"].items()):
                    supply = variant["supply"]
                    break
            parts += [part for part in supply if part["share"] >= territories["patch_at_least"]]
        yield chance, parts


def nerves_needed(territories, ids):
    """Return the share of hands that need each nerve for some territories."""
    found = {}
    for chance, parts in every_hand(territories, ids):
        for nerve in {part["nerve"] for part in parts}:
            found[nerve] = found.get(nerve, 0.0) + chance
    return found
