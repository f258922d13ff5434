"""An independent arm, loaded from the package ``myo-sim`` when the tests run: muscle paths and bones, cut by planes.

Nothing of it is kept here or shipped: its upstream licence is not clear. Its own faults are listed in
``KNOWN_FAULTS``. Lengths in mm; x medial, y anterior, both across the axis from elbow to wrist.
"""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import mujoco
import myo_sim
import numpy as np
from scipy.spatial import ConvexHull
from shapely.geometry import MultiPoint

FOLDER = Path(myo_sim.__file__).parent / "models"
PARTS = ("assets", "chain", "tendon", "muscle")
POSES = {"supinated": -np.pi / 2, "neutral": 0.0, "pronated": np.pi / 2}

MUSCLES = {
    "pronator_teres": ("PT",),
    "flexor_carpi_radialis": ("FCR",),
    "palmaris_longus": ("PL",),
    "flexor_carpi_ulnaris": ("FCU",),
    "flexor_digitorum_superficialis": ("FDS2", "FDS3", "FDS4", "FDS5"),
    "flexor_digitorum_profundus": ("FDP2", "FDP3", "FDP4", "FDP5"),
    "flexor_pollicis_longus": ("FPL",),
    "brachioradialis": ("BRD",),
    "extensor_carpi_radialis_longus": ("ECRL",),
    "extensor_carpi_radialis_brevis": ("ECRB",),
    "extensor_digitorum": ("EDC2", "EDC3", "EDC4", "EDC5"),
    "extensor_digiti_minimi": ("EDM",),
    "extensor_carpi_ulnaris": ("ECU",),
    "abductor_pollicis_longus": ("APL",),
    "extensor_pollicis_brevis": ("EPB",),
    "extensor_pollicis_longus": ("EPL",),
    "extensor_indicis": ("EIP",),
    "supinator": ("SUP",),
    "pronator_quadratus": ("PQ",),
    "anconeus": ("ANC",),
}
"""Our muscle to the model's paths; the fingers of one muscle are averaged."""

PLACED = tuple(name for name in MUSCLES if name not in ("supinator", "pronator_quadratus", "anconeus"))
"""Muscles whose place is compared. Supinator is one line, pronator quadratus runs across, anconeus meets no plane."""

KNOWN_FAULTS = (
    "flexor carpi ulnaris rides on the radius distally and is drawn 35 to 60 degrees too radial",
    "the finger extensors cut through the membrane when the forearm is supinated: compare with the neutral pose",
    "the deep finger flexor sits on the superficial one near the wrist",
)


@dataclass(frozen=True)
class ModelCut:
    """The model cut at a fraction of the way from elbow axis (0) to pisiform (1)."""

    muscle_uv_mm: dict[str, tuple[float, float]]
    """In the bone frame: origin midway between the bones' centres, u from radius to ulna, v volar."""

    radius_mm: tuple[float, float]
    """Long and short diameter."""

    ulna_mm: tuple[float, float]
    centre_distance_mm: float


class ArmModel:
    """The model's right arm with a straight elbow, in one rotation of the forearm."""

    def __init__(self, pose: str) -> None:
        self._model = mujoco.MjModel.from_xml_string(_arm_xml())
        self._data = mujoco.MjData(self._model)
        self._elbow, self._axis, self._x, self._y, self.length_mm = self._frame()
        self._turn(pose)

    def cut(self, fraction: float) -> ModelCut:
        """Cut the model by the plane at a fraction of its length."""
        height = fraction * self.length_mm
        outlines = {bone: self._bone_points(bone, height) for bone in ("radius_r", "ulna_r")}
        centres = {bone: _hull_centroid(points) for bone, points in outlines.items()}
        middle = (centres["radius_r"] + centres["ulna_r"]) / 2
        u = centres["ulna_r"] - centres["radius_r"]
        apart = float(np.hypot(*u))
        u = u / apart
        v = np.array([-u[1], u[0]])
        muscles = {}
        for name, paths in MUSCLES.items():
            points = [point for path in paths if (point := self._crossing(path, height)) is not None]
            if points:
                away = np.mean(points, axis=0) - middle
                muscles[name] = (float(away @ u), float(away @ v))
        return ModelCut(muscles, rectangle_mm(outlines["radius_r"]), rectangle_mm(outlines["ulna_r"]), apart)

    def force_n(self, muscle: str) -> float:
        """Return the muscle's maximum isometric force, its paths together."""
        total = 0.0
        for path in MUSCLES[muscle]:
            index = mujoco.mj_name2id(self._model, mujoco.mjtObj.mjOBJ_ACTUATOR, path)
            total += float(self._model.actuator_gainprm[index, 2])
        return total

    def _turn(self, pose: str) -> None:
        mujoco.mj_resetData(self._model, self._data)
        joint = mujoco.mj_name2id(self._model, mujoco.mjtObj.mjOBJ_JOINT, "pro_sup_r")
        self._data.qpos[self._model.jnt_qposadr[joint]] = POSES[pose]
        mujoco.mj_forward(self._model, self._data)

    def _frame(self):
        """The section frame, fixed in the supinated pose; the same planes serve all poses."""
        self._turn("supinated")
        where = {name: self._data.body(name).xpos.copy() for name in ("ulna_r", "radius_r", "lunate_r", "pisiform_r")}
        hinge = self._data.joint("elbow_flexion_r").xaxis
        elbow = where["ulna_r"] + hinge * ((where["radius_r"] - where["ulna_r"]) @ hinge) / 2
        axis = where["lunate_r"] - elbow
        axis /= np.linalg.norm(axis)
        # The model's world: x anterior, y up, z to the right, which is lateral for a right arm.
        y = np.array([1.0, 0.0, 0.0]) - axis[0] * axis
        y /= np.linalg.norm(y)
        x = np.cross(y, axis)
        x = x if x[2] < 0 else -x
        pisiform = self._data.geom("pisiform_r").xpos
        return elbow, axis, x, y, 1000 * float((pisiform - elbow) @ axis)

    def _plane(self, points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """World points (m) to height along the axis and to (x, y) in the plane, mm."""
        away = 1000 * (points - self._elbow)
        return away @ self._axis, np.stack([away @ self._x, away @ self._y], axis=-1)

    def _crossing(self, path: str, height: float) -> np.ndarray | None:
        tendon = mujoco.mj_name2id(self._model, mujoco.mjtObj.mjOBJ_TENDON, f"{path}_tendon")
        start, count = self._data.ten_wrapadr[tendon], self._data.ten_wrapnum[tendon]
        points = self._data.wrap_xpos.reshape(-1, 3)[start : start + count]
        heights, flat = self._plane(points)
        found = None
        for (low, high), (a, b) in zip(_pairs(heights), _pairs(flat), strict=True):
            if (low - height) * (high - height) <= 0 and low != high:
                found = a + (b - a) * (height - low) / (high - low)
        return found

    def _bone_points(self, bone: str, height: float) -> np.ndarray:
        geom = self._model.geom(bone)
        mesh = geom.dataid[0]
        start, count = self._model.mesh_vertadr[mesh], self._model.mesh_vertnum[mesh]
        face, faces = self._model.mesh_faceadr[mesh], self._model.mesh_facenum[mesh]
        turn = self._data.geom(bone).xmat.reshape(3, 3)
        world = self._model.mesh_vert[start : start + count] @ turn.T + self._data.geom(bone).xpos
        heights, flat = self._plane(world)
        triangles = self._model.mesh_face[face : face + faces]
        cut = []
        for one, two in ((0, 1), (1, 2), (2, 0)):
            a, b = triangles[:, one], triangles[:, two]
            meets = (heights[a] - height) * (heights[b] - height) < 0
            a, b = a[meets], b[meets]
            share = ((height - heights[a]) / (heights[b] - heights[a]))[:, None]
            cut.append(flat[a] + (flat[b] - flat[a]) * share)
        return np.concatenate(cut)


@lru_cache(maxsize=4)
def arm_model(pose: str) -> ArmModel:
    """Return the model in a pose; loaded once."""
    return ArmModel(pose)


def _arm_xml() -> str:
    """Join the package's four files of the right arm, without the paths that need its trunk."""
    root = ElementTree.Element("mujoco", model="right_arm")
    worldbody = ElementTree.SubElement(root, "worldbody")
    for part in PARTS:
        tree = ElementTree.parse(FOLDER / "arm" / "assets" / f"myoarm_r_{part}.xml").getroot()
        for child in tree:
            if child.tag == "body":
                worldbody.append(child)
            elif child.tag not in ("contact", "equality"):
                root.append(child)
    for compiler in root.iter("compiler"):
        compiler.set("meshdir", str(FOLDER))
    for size in root.findall("size"):
        root.remove(size)
    sites = {site.get("name") for site in worldbody.iter("site")}
    geoms = {geom.get("name") for geom in worldbody.iter("geom")}
    gone = set()
    for tendons in root.findall("tendon"):
        for path in list(tendons):
            needs = {s.get("site") for s in path.iter("site")} - sites
            needs |= {g.get("geom") for g in path.iter("geom")} - geoms
            needs |= {s for g in path.iter("geom") if (s := g.get("sidesite"))} - sites
            if needs:
                gone.add(path.get("name"))
                tendons.remove(path)
    for actuators in root.findall("actuator"):
        for muscle in list(actuators):
            if muscle.get("tendon") in gone:
                actuators.remove(muscle)
    return ElementTree.tostring(root, encoding="unicode")


def _pairs(values):
    return list(zip(values, values[1:], strict=False))


def _hull_centroid(points: np.ndarray) -> np.ndarray:
    ring = points[ConvexHull(points).vertices]
    x, y = ring.T
    cross = x * np.roll(y, -1) - np.roll(x, -1) * y
    area = cross.sum() / 2
    return np.array(
        [((x + np.roll(x, -1)) * cross).sum() / (6 * area), ((y + np.roll(y, -1)) * cross).sum() / (6 * area)]
    )


def rectangle_mm(points) -> tuple[float, float]:
    """Long and short side of the smallest rectangle round some points, mm."""
    corners = np.array(MultiPoint(points).minimum_rotated_rectangle.exterior.coords)
    sides = np.hypot(*np.diff(corners[:3], axis=0).T)
    return float(sides.max()), float(sides.min())
