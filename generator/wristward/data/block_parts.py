"""The block model's files as parts of a dataset: branches, territories, operations, drugs."""

from __future__ import annotations

from generator.data.block_checks import check_branches, check_drugs, check_operations, check_territories
from generator.data.branch_records import BranchesFile
from generator.data.part import Part
from generator.data.scenario_records import DrugsFile, OperationsFile, TerritoriesFile
from generator.data.teaching_checks import check_hand_map, check_teaching
from generator.data.teaching_records import HandMapFile, TeachingFile

PARTS: tuple[Part, ...] = (
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
)
