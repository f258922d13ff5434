"""The page Coverage: the hand map, how hands differ, and which nerves each operation of the scenario needs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

from wristward.block.coverage_band import how_often, needed_bands
from wristward.block.coverage_report import LayerCover, TakeOffAbove, cover_of, coverage_report, territory_name
from wristward.block.report import SURELY, percent
from wristward.data.records.scenario import TerritoriesFile, TerritoryRecord
from wristward.figure.hand import VIEWS, draw_hand, hand_style, swatch
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.common import COVERAGE, begin, nerve_names, of_hands, source_cell, stated
from wristward.pages.facts import said
from wristward.pages.html import one_line, table
from wristward.pages.markdown import plain

MAP = "hand"


def coverage_page(atlas: Atlas) -> str:
    """Return the page with the hand map and the operations."""
    words, file = atlas.words, atlas.dataset.territories
    parts = [begin(atlas, "coverage"), f"## {words('teach.coverage.map_title')}\n"]
    parts.append(
        one_line(
            hand_style(atlas.dataset.hand_map)
            + hand_pair(atlas, figure_id=MAP)
            + hand_key(atlas, figure_id=f"{MAP}-palm")
        )
    )
    parts.append(words("teach.coverage.map") + "\n")
    parts.append(f"{stated(atlas, words('teach.hand.drawn'), atlas.dataset.hand_map, here=COVERAGE)}\n")
    parts.append(one_line(_territories(atlas)))
    parts.append(f"## {words('teach.coverage.differ_title')}\n\n{words('teach.coverage.differ')}\n")
    parts.append(one_line(_factors(atlas, file)))
    parts.append(f"## {words('teach.coverage.operations_title')}\n")
    asked = percent(atlas.dataset.operations.covered_at_least, atlas.dataset.words)
    parts.append(words("teach.coverage.operations", asked=asked) + "\n")
    for operation in atlas.dataset.operations.operations:
        parts.append(operation_cover(atlas, operation, here=COVERAGE, heading="###", shapes_of=MAP))
    return "\n".join(parts)


def hand_pair(
    atlas: Atlas, *, figure_id: str, marked: tuple[str, ...] | None = None, shapes_of: str | None = None
) -> str:
    """Return palm and back side by side; only ``marked`` territories coloured, where given.

    ``shapes_of`` is the ``figure_id`` of an earlier pair on the page.
    """
    words, hand = atlas.dataset.words, atlas.dataset.hand_map
    territories = atlas.dataset.territories.territories
    names = {id_: territory_name(words, id_) for view in VIEWS for id_ in hand.views[view]}
    nerves_of = {id_: ordered_nerves(territories[id_]) for id_ in names}
    nerve_titles = {nerve: atlas.structures[nerve].name for nerve in hand.signs if nerve in atlas.structures}
    figures = []
    for view in VIEWS:
        drawn = draw_hand(
            hand,
            view,
            nerves_of,
            words,
            names=names,
            nerve_names=nerve_titles,
            figure_id=f"{figure_id}-{view}",
            marked=marked,
            shapes_of=f"{shapes_of}-{view}" if shapes_of is not None else None,
        )
        figures.append(f"<figure>{drawn}<figcaption>{escape(words[f'teach.hand.{view}'])}</figcaption></figure>")
    size = "" if shapes_of is None else " h-small"
    return f'<div class="h-pair{size}">{"".join(figures)}</div>'


def hand_key(atlas: Atlas, *, figure_id: str) -> str:
    """Return the key of the hand map; nerves that share a letter stand together."""
    by_sign: dict[str, list[str]] = {}
    for nerve, sign in atlas.dataset.hand_map.signs.items():
        if nerve in atlas.structures:
            by_sign.setdefault(sign, []).append(nerve)
    entries = [
        f"<li>{swatch(sign, figure_id=figure_id)}{escape(_key_name(atlas, sign, nerves))}</li>"
        for sign, nerves in by_sign.items()
    ]
    return f'<ul class="h-key">{"".join(entries)}</ul>'


def _key_name(atlas: Atlas, sign: str, nerves: list[str]) -> str:
    return atlas.words(f"teach.hand.shared.{sign}") if len(nerves) > 1 else atlas.structures[nerves[0]].name


def ordered_nerves(territory: TerritoryRecord) -> list[str]:
    """Return the nerves of a territory in the usual hand, the largest share first."""
    return [part.nerve for part in sorted(territory.supply, key=lambda part: -part.share)]


def operation_cover(
    atlas: Atlas, operation: str, *, here: str, heading: str | None = None, shapes_of: str | None = None
) -> str:
    """Return what an operation needs, layer by layer: map, table, smallest sets."""
    words = atlas.words
    report, record = (
        coverage_report(atlas.dataset, operation),
        atlas.dataset.operations.operations[operation],
    )
    layers = report.layers
    cuff = report.cuff
    under = cover_of(atlas.dataset, cuff.territories, covered_at_least=1.0) if cuff.territories else None
    parts = [f"{heading} {plain(report.name)} {{ #{operation} }}\n"] if heading is not None else []
    touched = "; ".join(one.name for key in ("skin", "deep") if key in layers for one in layers[key].territories)
    cuff_words = words(f"teach.cuff_site.{cuff.site}", minutes=f"{cuff.minutes:g}")
    says = words("teach.coverage.touches", touched=touched, cuff=cuff_words)
    parts.append(f"{stated(atlas, says, record, here=here)}\n")
    figure_id = f"h-{operation.replace('_', '-')}"
    parts.append(one_line(hand_pair(atlas, figure_id=figure_id, marked=tuple(record.skin), shapes_of=shapes_of)))
    if shapes_of is None:
        parts.append(one_line(hand_key(atlas, figure_id=f"{figure_id}-palm")))
    parts.append(one_line(_needs(atlas, report.name, layers, under, here=here)))
    for layer in ("skin", "deep", "all", "with_cuff"):
        if layer in layers:
            parts.append(f"- {_smallest(atlas, layer, layers[layer])}")
    above = layers["all"].above
    for one in above:
        parts.append("- " + words("teach.coverage.above", **_above(atlas, one)))
    return "\n".join(parts) + "\n"


def _needs(atlas: Atlas, name: str, layers: Mapping[str, LayerCover], under: LayerCover | None, *, here: str) -> str:
    words = atlas.words
    needed = {layer: {one.nerve: one.needed_in for one in found.nerves} for layer, found in layers.items()}
    needed["cuff"] = {one.nerve: one.needed_in for one in under.nerves} if under else {}
    bands = {
        layer: needed_bands(atlas.dataset, [one.id for one in found.territories])
        for layer, found in {**layers, **({"cuff": under} if under else {})}.items()
    }
    columns = ["skin", "deep", *(["cuff"] if under else []), "all"]
    nerves = list(dict.fromkeys(nerve for layer in ("all", "cuff") for nerve in needed[layer]))
    rows = [
        [
            atlas.link(nerve, here=here),
            *(_needed(atlas, needed.get(layer, {}).get(nerve), bands.get(layer, {}).get(nerve)) for layer in columns),
        ]
        for nerve in nerves
    ]
    headings = [words("teach.coverage.table.nerve"), *(words(f"teach.coverage.table.{one}") for one in columns)]
    return table(words("teach.coverage.needs_of", operation=name), headings, rows, numbers=range(1, 1 + len(columns)))


def _needed(atlas: Atlas, share: float | None, band: tuple[float, float] | None) -> str:
    """Return how often, with the share and its band; no share where every hand of the model is alike."""
    if share is None or band is None:
        return atlas.words("teach.none")
    often = atlas.words(f"teach.often.{how_often(share)}")
    if share > SURELY:
        return often
    low, high = (percent(end, atlas.dataset.words) for end in band)
    return atlas.words(
        "teach.often.with_band", often=often, share=percent(share, atlas.dataset.words), low=low, high=high
    )


def _smallest(atlas: Atlas, layer: str, found: LayerCover) -> str:
    words, smallest = atlas.words, found.smallest
    by_share: dict[str, list[str]] = {}
    for nerve, share in sorted(found.left_out.items(), key=lambda item: -item[1]):
        by_share.setdefault(of_hands(atlas, share), []).append(nerve)
    left_out = "; ".join(
        words("teach.coverage.left_out", nerve=_which(atlas, nerves, among=smallest.nerves), share=share)
        for share, nerves in by_share.items()
    )
    return words(
        "teach.coverage.smallest",
        layer=words(f"block.command.layer.{layer}"),
        nerves=nerve_names(atlas, smallest.nerves),
        covered=of_hands(atlas, smallest.covered),
        left_out=left_out,
    )


def _which(atlas: Atlas, nerves: list[str], *, among: Sequence[str]) -> str:
    if len(nerves) == len(among) > 1:
        return atlas.words("teach.coverage.any")
    return nerve_names(atlas, nerves)


def _above(atlas: Atlas, one: TakeOffAbove) -> dict[str, str]:
    return {
        "nerve": plain(atlas.structures[one.nerve].name),
        "event": plain(one.name),
        "share": of_hands(atlas, one.needed_in),
    }


def _territories(atlas: Atlas) -> str:
    """Return every territory with its usual supply and source."""
    words, file = atlas.words, atlas.dataset.territories
    rows = []
    for id_, record in file.territories.items():
        supply = "; ".join(
            words(
                "site.structure.share", name=plain(atlas.structures[part.nerve].name), percent=round(100 * part.share)
            )
            for part in sorted(record.supply, key=lambda part: -part.share)
        )
        layer = words(f"teach.layer.{record.layer}")
        rows.append(
            [plain(territory_name(atlas.dataset.words, id_)), layer, supply, source_cell(atlas, record, here=COVERAGE)]
        )
    headings = [words(f"teach.coverage.table.{one}") for one in ("territory", "layer", "supply", "source")]
    label = words("teach.coverage.territories")
    return f"<details class='ww-more'><summary>{escape(label)}</summary>{table(label, headings, rows)}</details>"


def _factors(atlas: Atlas, file: TerritoriesFile) -> str:
    words = atlas.words
    rows = [
        [
            said(atlas, record.says),
            "; ".join(
                words(
                    "teach.coverage.alternative",
                    name=words(f"teach.alternative.{id_}.{name}"),
                    percent=f"{100 * share:g}",
                )
                for name, share in record.alternatives.items()
            ),
            source_cell(atlas, record, here=COVERAGE),
        ]
        for id_, record in file.factors.items()
    ]
    headings = [words(f"teach.coverage.table.{one}") for one in ("factor", "alternatives", "source")]
    return table(words("teach.coverage.differ_title"), headings, rows)
