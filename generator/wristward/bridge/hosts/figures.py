"""The HTML that hosts figures: complete without a script, taken over by the runtime where there is one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape

from wristward.bridge.inline import data_element
from wristward.bridge.setting import Setting, setting_of
from wristward.data.dataset import Dataset
from wristward.data.kinds import AS_SWITCHED
from wristward.figure import charts
from wristward.figure import telling as told
from wristward.figure.charts import Chart
from wristward.figure.drawing import draw_section
from wristward.measure.measures import measure_section
from wristward.measure.text import capital, height_words, short_height
from wristward.section.section import Section

ICONS = {
    "left": "M14.5 5.5L8 12l6.5 6.5",
    "right": "M9.5 5.5L16 12l-6.5 6.5",
    "level_left": "M17 5.5L10.5 12l6.5 6.5M6.5 5.5v13",
    "level_right": "M7 5.5l6.5 6.5L7 18.5M17.5 5.5v13",
}


def travel_html(
    sections: Mapping[int, Section],
    dataset: Dataset,
    *,
    assets_url: str,
    z_mm: int,
    shown: str | None = None,
    pages: Mapping[str, str] | None = None,
    figure_id: str = "w",
    others: Sequence[str] = (),
    sources_url: str | None = None,
) -> str:
    """Return the page's figure with its slider, switches, list and words.

    Args:
        sections: Right, mean-arm sections at every whole mm.
        dataset: The checked data, or a ``Setting``.
        assets_url: Address of the folder of ``asset_files``, from the page, with a slash at its end.
        z_mm: Height that is shown first.
        shown: Structure lit up first.
        pages: Address of each structure's own page, from this page.
        figure_id: Prefix of the ids inside.
        others: Arms drawn otherwise whose scripts lie beside the other assets, to choose from.
        sources_url: Address of the page of sources, from this page.

    Returns:
        HTML whose picture, paragraph and table are there before any script runs.
    """
    setting = setting_of(dataset)
    words, section = setting.words, sections[z_mm]
    measures = measure_section(section, partners=setting.partners)
    drawing = draw_section(section, setting.legend, words, figure_id=figure_id, shown=shown)
    data = {
        "figure": figure_id,
        "z": z_mm,
        "side": "right",
        "arm": "mean",
        "shown": shown,
        "assets": assets_url,
        "link": None,
        "others": list(others),
        "sources": sources_url,
        "levels": [{"z": z, "name": name} for z, name in setting.levels],
        "pages": dict(sorted((pages or {}).items())),
    }
    strip = charts.draw_strip(sections, setting.strip, z_mm=z_mm)
    paragraph = told.paragraph(section, measures, setting.legend, words)
    table = told.table_html(measures, setting.legend, words, pages=pages)
    return (
        f'<div class="w-app" data-wristward="travel">'
        f'<div class="w-stage">{boxed(drawing)}{_line(words)}'
        f"{_travel(setting, strip, z_mm=z_mm, top_mm=max(sections))}"
        f'<p class="w-live" data-part="live" role="status" data-script hidden></p></div>'
        f"{_switches(setting, figure_id, others)}"
        f'<section class="w-structures" data-script hidden><h2>{escape(words["client.list.heading"])}</h2>'
        f'<div data-part="list"></div></section>'
        f"<noscript><p>{escape(words['client.noscript'])}</p></noscript>"
        f'<section class="w-words"><h2>{escape(words["client.words.heading"])}</h2>'
        f'<p data-part="paragraph">{escape(paragraph)}</p>'
        f"<details open><summary>{escape(words['client.words.table'])}</summary>"
        f'<div class="w-scroll" data-part="table" tabindex="0" role="region"'
        f' aria-label="{escape(words["client.words.table"], quote=True)}">{table}</div></details></section>'
        # Deferred: the page is read, and the other scripts run, while the outlines are on their way.
        f'<script defer src="{escape(assets_url, quote=True)}wristward-geometry.js"></script>'
        f"{data_element(data)}</div>"
    )


def section_figure_html(
    section: Section,
    dataset: Dataset,
    *,
    figure_id: str,
    assets_url: str,
    shown: str | None = None,
    link: str | None = None,
    caption: str | None = None,
    mode: str = "named",
    numbers: Mapping[str, int] | None = None,
) -> str:
    """Return one section as a figure: names under the pointer, and it follows charts that share its ``link``.

    Modes other than "named" are plain pictures: no script learns what they show.
    """
    setting = setting_of(dataset)
    drawing = draw_section(
        section, setting.legend, setting.words, figure_id=figure_id, mode=mode, numbers=numbers, shown=shown
    )
    under = capital(height_words(section.z_mm, setting.words)) if caption is None else caption
    if mode != "named":
        return f'<figure class="w-figure"><div class="w-box">{drawing}</div></figure>'
    data = {"figure": figure_id, "z": section.z_mm, "assets": assets_url, "shown": shown, "link": link}
    return (
        f'<figure class="w-figure" data-wristward="section">{boxed(drawing)}'
        f'<figcaption data-part="caption">{escape(under)}</figcaption>{data_element(data)}</figure>'
    )


def chart_html(
    chart: Chart,
    dataset: Dataset,
    *,
    chart_id: str,
    assets_url: str,
    link: str | None = None,
    z_mm: float | None = None,
) -> str:
    """Return a chart over height: a static picture, linked to the section figures that share its ``link``."""
    words = setting_of(dataset).words
    data = {
        "figure": chart_id,
        "assets": assets_url,
        "link": link,
        "z": z_mm,
        "top": chart.top_mm,
        "left": charts.LEFT,
        "right": charts.WIDTH - charts.RIGHT,
        "width": charts.WIDTH,
        "plotly": charts.chart_figure(chart, words),
    }
    return (
        f'<figure class="w-chart" data-wristward="chart"><figcaption>{escape(chart.title)}</figcaption>'
        f'<div class="w-chart-box" data-part="picture">{charts.draw_chart(chart, words, chart_id=chart_id, z_mm=z_mm)}'
        f'</div><div data-part="zoom" class="w-chart-zoom" role="group" aria-label="{escape(chart.title, quote=True)}"'
        f' hidden></div><input type="range" class="w-slider" data-part="slider" min="0" max="{chart.top_mm}" step="1"'
        f' value="{chart.top_mm - round(z_mm or 0)}" aria-label="{escape(chart.title, quote=True)}" data-script hidden>'
        f'<p class="w-chart-told" data-part="told"></p>'
        f'<button type="button" class="w-button" data-part="zoom-button" aria-pressed="false" data-script hidden>'
        f"{escape(words['figure.chart.zoom'])}</button>{data_element(data)}</figure>"
    )


def boxed(drawing: str) -> str:
    """Return the box around a drawing, with the tag that names what is pointed at and the place of its zoomed chart."""
    return (
        f'<div class="w-box" data-part="figure">{drawing}<div class="w-tag" data-part="tag" aria-hidden="true" hidden>'
        f'</div></div><div class="w-zoom" data-part="zoom" role="group" hidden></div>'
    )


def _line(words: Mapping[str, str]) -> str:
    return (
        f'<p class="w-line-under" data-part="line" data-script hidden>'
        f"<strong>{escape(words['client.line.hint'])}</strong><span></span></p>"
    )


def _travel(setting: Setting, strip: str, *, z_mm: int, top_mm: int) -> str:
    words = setting.words

    def step(part: str, key: str, sign: str) -> str:
        name = escape(words[f"client.step.{key}"], quote=True)
        return (
            f'<button type="button" class="w-step" data-part="{part}" aria-label="{name}" title="{name}">'
            f'<svg viewBox="0 0 24 24" aria-hidden="true"><path d="{sign}"/></svg></button>'
        )

    return (
        f'<div class="w-travel" data-script hidden><div class="w-steps">'
        f"{step('proximal-level', 'proximal_level', ICONS['level_left'])}"
        f"{step('proximal-step', 'proximal', ICONS['left'])}"
        f'<p class="w-readout"><strong data-part="readout">{escape(short_height(z_mm, words))}</strong>'
        f'<span data-part="level">{escape(words["client.readout"])}</span></p>'
        f"{step('distal-step', 'distal', ICONS['right'])}"
        f"{step('distal-level', 'distal_level', ICONS['level_right'])}</div>"
        f'<div class="w-track">{strip}<input type="range" class="w-slider" data-part="slider" min="0" max="{top_mm}"'
        f' step="1" value="{top_mm - z_mm}" aria-label="{escape(words["client.slider.label"], quote=True)}"'
        f' aria-valuetext="{escape(height_words(z_mm, words), quote=True)}"></div>'
        f'<p class="w-ends" aria-hidden="true"><span>{escape(words["client.slider.ends.proximal"])}</span>'
        f"<span>{escape(words['client.slider.ends.distal'])}</span></p></div>"
    )


def _switches(setting: Setting, figure_id: str, others: Sequence[str]) -> str:
    words = setting.words
    sides = choices(f"{figure_id}-side", [(s, words[f"figure.side.{s}"]) for s in ("right", "left")], "right")
    arms = _arms(setting, f"{figure_id}-arm", others)
    kinds = "".join(
        f'<label class="w-chip"><input type="checkbox" name="{figure_id}-kind" value="{kind}" checked>'
        f'<span><i class="w-mark w-mark-{kind}"></i>{escape(words[f"figure.kinds.{kind}"])}</span></label>'
        for kind in AS_SWITCHED
    )
    names = (
        f'<label class="w-chip"><input type="checkbox" name="{figure_id}-names" checked>'
        f"<span>{escape(words['client.show.names'])}</span></label>"
    )
    return (
        f'<div class="w-switches" data-script hidden>'
        f"<fieldset><legend>{escape(words['client.side'])}</legend>{sides}</fieldset>"
        f'{arms}<section class="w-arm-note" data-part="arm-note" hidden'
        f' aria-label="{escape(words["client.arms.label"], quote=True)}"></section>'
        f'<fieldset class="w-shown"><legend>{escape(words["client.show.label"])}</legend>{names}{kinds}</fieldset>'
        f'<div class="w-actions"><button type="button" class="w-button w-main" data-part="zoom-button"'
        f' aria-pressed="false">{escape(words["client.zoom.open"])}</button>'
        f'<button type="button" class="w-button" data-part="copy">{escape(words["client.copy.open"])}</button>'
        f'<button type="button" class="w-button" data-part="save">{escape(words["client.save"])}</button>'
        f'<p class="w-note" data-part="note" role="status"></p></div></div>'
    )


def _arms(setting: Setting, name: str, others: Sequence[str]) -> str:
    """Return the choice of the arm: sizes of the drawn one, then those that are drawn otherwise."""
    words = setting.words

    def group(label: str, arms: Iterable[str]) -> str:
        options = "".join(
            f'<option value="{arm}"{" selected" if arm == "mean" else ""}>'
            f"{escape(capital(words[f'client.arms.name.{arm}']))}</option>"
            for arm in arms
        )
        return f'<optgroup label="{escape(label, quote=True)}">{options}</optgroup>' if options else ""

    return (
        f'<div class="w-arm"><label for="{name}">{escape(words["client.arms.label"])}</label>'
        f'<select id="{name}" name="{name}" autocomplete="off">{group(words["client.arms.sizes"], setting.arms)}'
        f"{group(words['client.arms.variants'], others)}</select></div>"
    )


def choices(name: str, options: Sequence[tuple[str, str]], checked: str) -> str:
    """Return radio buttons in one line: options as (value, label), one of them checked."""
    return (
        '<span class="w-choice">'
        + "".join(
            f'<label><input type="radio" name="{name}" value="{value}"{" checked" if value == checked else ""}>'
            f"<span>{escape(text)}</span></label>"
            for value, text in options
        )
        + "</span>"
    )
