"""Which skin a nerve has to itself, in how many hands of the model: where a block of it can be told from others."""

from __future__ import annotations

from dataclasses import dataclass

from wristward.block.coverage import hands, needed_in
from wristward.data.records.scenario import TerritoriesFile


@dataclass(frozen=True, slots=True, kw_only=True)
class SkinAlone:
    """A territory of skin and how a nerve serves it."""

    territory: str
    alone: float
    """Share of hands in which no other nerve serves a patch of it."""

    served: float
    """Share of hands in which the nerve serves a patch of it."""

    by: tuple[str, ...]
    """Take-offs that a block must lie above for it, in the usual hand."""


def skin_alone(file: TerritoriesFile, nerve: str) -> list[SkinAlone]:
    """Return every skin territory that a nerve serves in some hand, the least shared first, ties in the file's order.

    Args:
        file: Record of territories.yaml.
        nerve: The nerve that is blocked.
    """
    factors = {id_: record.alternatives for id_, record in file.factors.items()}
    found = []
    for id_, territory in file.territories.items():
        if territory.layer != "skin":
            continue
        alone = served = 0.0
        for chance, hand in hands(factors, file.territories, [id_]):
            nerves = {part.nerve for part in needed_in(territory, hand, patch_at_least=file.patch_at_least)}
            served += chance * (nerve in nerves)
            alone += chance * (nerves == {nerve})
        if served > 0:
            by = tuple(part.by for part in territory.supply if part.nerve == nerve and part.by is not None)
            found.append(SkinAlone(territory=id_, alone=alone, served=served, by=by))
    return sorted(found, key=lambda one: -round(one.alone, 9))
