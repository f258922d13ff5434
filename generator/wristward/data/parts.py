"""Every file that a dataset may hold beside the region's core, in one row each; ``Dataset`` has a property for each."""

from __future__ import annotations

from typing import Any

from wristward.data.checks.blocks import check_branches, check_drugs, check_operations, check_territories
from wristward.data.checks.part import Part
from wristward.data.checks.quiz import check_items
from wristward.data.checks.teaching import check_hand_map, check_teaching
from wristward.data.records.branch import BranchesFile
from wristward.data.records.quiz import QuizItemsFile
from wristward.data.records.scenario import DrugsFile, OperationsFile, TerritoriesFile
from wristward.data.records.teaching import HandMapFile, TeachingFile

PARTS: tuple[Part[Any], ...] = (
    Part(
        name="branches",
        file="branches.yaml",
        record=BranchesFile,
        defines={"branch": "branches", "variant": "variants", "finding": "findings"},
        check=check_branches,
    ),
    Part(
        name="territories",
        file="territories.yaml",
        record=TerritoriesFile,
        defines={"territory": "territories", "factor": "factors"},
        check=check_territories,
    ),
    Part(
        name="operations",
        file="operations.yaml",
        record=OperationsFile,
        defines={"operation": "operations"},
        check=check_operations,
    ),
    Part(name="drugs", file="drugs.yaml", record=DrugsFile, defines={"drug": "drugs"}, check=check_drugs),
    Part(name="hand_map", file="hand_map.yaml", record=HandMapFile, check=check_hand_map),
    Part(name="teaching", file="teaching.yaml", record=TeachingFile, check=check_teaching),
    Part(
        name="quiz_items",
        file="quiz_items.yaml",
        record=QuizItemsFile,
        defines={"quiz_item": "items"},
        check=check_items,
    ),
)
