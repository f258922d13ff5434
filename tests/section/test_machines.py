"""A section does not depend on the processor: with other kernels and threads of linear algebra it is the same."""

import os
import subprocess
import sys

import pytest

from tests.projects import ROOT
from wristward.section.key import section_bytes

HEIGHTS_MM = (195, 97)
OLD = {"OPENBLAS_CORETYPE": "Nehalem", "NPY_DISABLE_CPU_FEATURES": "X86_V4 AVX512_ICL AVX512_SPR"}
PROGRAM = f"""
from wristward.anatomy.forearm import Forearm
from wristward.locate import where_is_data
from wristward.data.read import read_dataset
from wristward.section.key import section_bytes
from wristward.section.solve import solve_section

forearm = Forearm.from_dataset(read_dataset(where_is_data()))
for z_mm in {HEIGHTS_MM}:
    print(section_bytes(solve_section(forearm, z_mm=z_mm)).hex())
"""


@pytest.mark.parametrize(
    "machine",
    [{"OPENBLAS_NUM_THREADS": "2"}, OLD],
    ids=["two threads", "an old processor"],
)
def test_a_section_asked_for_alone_is_that_of_the_sweep_on_any_machine(machine, arm_sections):
    """Solved alone with two threads, or without what new processors know, a section is that of the sweep to the byte."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "generator"), **machine}
    said = subprocess.run([sys.executable, "-c", PROGRAM], env=environment, capture_output=True, text=True, check=True)

    assert [section_bytes(arm_sections[z]) for z in HEIGHTS_MM] == [*map(bytes.fromhex, said.stdout.split())]
