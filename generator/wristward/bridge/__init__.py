"""The browser runtime and the HTML that hosts it. No page logic: whoever writes pages embeds what this returns."""

from __future__ import annotations

from pathlib import Path

from generator.client.assets import asset_files, scripts, styles
from generator.client.block_hosts import (
    BlockView,
    block_asset_files,
    block_levels_html,
    block_scripts,
    block_styles,
)
from generator.client.hosts import chart_html, elbow_to_wrist_html, section_figure_html
from generator.client.needs import unneeded
from generator.client.pack_arms import arm_name, arm_script
from generator.client.quiz_hosts import (
    practice_html,
    progress_html,
    quiz_asset_files,
    quiz_html,
    quiz_scripts,
    quiz_styles,
)
from generator.client.setting import Setting, setting_of

FOLDER = Path(__file__).parent

__all__ = [
    "FOLDER",
    "BlockView",
    "Setting",
    "arm_name",
    "arm_script",
    "asset_files",
    "block_asset_files",
    "block_levels_html",
    "block_scripts",
    "block_styles",
    "chart_html",
    "elbow_to_wrist_html",
    "practice_html",
    "progress_html",
    "quiz_asset_files",
    "quiz_html",
    "quiz_scripts",
    "quiz_styles",
    "scripts",
    "section_figure_html",
    "setting_of",
    "styles",
    "unneeded",
]
