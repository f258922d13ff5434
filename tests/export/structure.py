"""Our own structural checker of QTI packages, written from the standard, not from the exporter.

It says what an importer would stumble over: names that lead nowhere, answers that no choice has, outlines outside the
picture, files that the manifest forgets. Where a folder with 1EdTech's schema is given, items are held to that too.
"""

from __future__ import annotations

import posixpath
import re
from pathlib import Path

from lxml import etree

SCHEMA_VARIABLE = "WRISTWARD_QTI_SCHEMA"
"""A folder with the published schema of QTI 3.0 items (and what it includes); it may not be passed on, so none is here."""

NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]*")
NEEDED = {
    "assessmentItem": {"identifier", "title", "adaptive", "timeDependent"},
    "assessmentTest": {"identifier", "title"},
    "testPart": {"identifier", "navigationMode", "submissionMode"},
    "assessmentSection": {"identifier", "title", "visible"},
    "assessmentItemRef": {"identifier", "href"},
    "responseDeclaration": {"identifier", "cardinality"},
    "outcomeDeclaration": {"identifier", "cardinality"},
    "mapping": {"defaultValue"},
    "mapEntry": {"mapKey", "mappedValue"},
    "simpleChoice": {"identifier"},
    "simpleAssociableChoice": {"identifier", "matchMax"},
    "hotspotChoice": {"identifier", "shape", "coords"},
    "choiceInteraction": {"responseIdentifier"},
    "orderInteraction": {"responseIdentifier"},
    "matchInteraction": {"responseIdentifier"},
    "hotspotInteraction": {"responseIdentifier", "maxChoices"},
    "textEntryInteraction": {"responseIdentifier"},
    "modalFeedback": {"outcomeIdentifier", "identifier", "showHide"},
    "rubricBlock": {"view"},
    "baseValue": {"baseType"},
    "variable": {"identifier"},
    "correct": {"identifier"},
    "mapResponse": {"identifier"},
    "setOutcomeValue": {"identifier"},
}
SUITS = {
    "choiceInteraction": {("single", "identifier"), ("multiple", "identifier")},
    "orderInteraction": {("ordered", "identifier")},
    "matchInteraction": {("multiple", "directedPair")},
    "hotspotInteraction": {("single", "identifier")},
    "textEntryInteraction": {("single", "float")},
}
CHOICES = ("simpleChoice", "simpleAssociableChoice", "hotspotChoice")
ORDER_OF_PARTS = (
    "responseDeclaration", "outcomeDeclaration", "itemBody", "responseProcessing", "modalFeedback",
)  # fmt: skip


def name_of(element) -> str:
    """Return an element's name as in QTI 2.1, whichever version it is written in."""
    return _camel(etree.QName(element).localname.removeprefix("qti-"))


def attributes(element) -> dict[str, str]:
    """Return an element's attributes by their names as in QTI 2.1."""
    return {_camel(key): value for key, value in element.attrib.items()}


def _camel(name: str) -> str:
    return re.sub(r"-([a-z])", lambda found: found[1].upper(), name)


def faults(files: dict[str, bytes]) -> list[str]:
    """Return every fault of a package, sorted; an empty list means none."""
    found = [*_manifest(files)]
    seen: set[str] = set()
    for name in sorted(one for one in files if one.startswith("items/")):
        root = etree.fromstring(files[name])
        found += [f"{name}: {fault}" for fault in (*_shape(root), *_item(root, name, files, seen))]
    test = etree.fromstring(files["test.xml"])
    found += [f"test.xml: {fault}" for fault in (*_shape(test), *_test(test, files))]
    return sorted(found)


def schema_faults(folder: Path, files: dict[str, bytes], top: str) -> list[str]:
    """Return where items leave a schema: the file ``top`` of a folder."""
    schema = etree.XMLSchema(etree.parse(str(folder / top)))
    found = []
    for name in sorted(one for one in files if one.startswith("items/")):
        if not schema.validate(etree.fromstring(files[name])):
            found += [f"{name}:{error.line}: {error.message}" for error in schema.error_log]
    return found


def _shape(root):
    names = [id_ for element in root.iter(etree.Element) if (id_ := element.get("identifier")) is not None]
    for element in root.iter(etree.Element):
        name = name_of(element)
        if missing := NEEDED.get(name, set()) - set(attributes(element)):
            yield f"{name} has no {', '.join(sorted(missing))}"
    for one in sorted(set(names)):
        if not NAME.fullmatch(one):
            yield f"'{one}' is no identifier"


def _item(root, name, files, seen):
    every = list(root.iter(etree.Element))
    of = {kind: [one for one in every if name_of(one) == kind] for kind in map(name_of, every)}
    if name_of(root) != "assessmentItem":
        yield f"begins with {name_of(root)}"
        return
    if (own := root.get("identifier")) in seen:
        yield f"'{own}' is used twice"
    seen.add(own)
    order = [ORDER_OF_PARTS.index(part) for child in root if (part := name_of(child)) in ORDER_OF_PARTS]
    if order != sorted(order):
        yield "its parts stand in the wrong order"
    responses = {one.get("identifier"): one for one in of.get("responseDeclaration", ())}
    outcomes = {one.get("identifier") for one in of.get("outcomeDeclaration", ())}
    if "SCORE" not in outcomes:
        yield "no outcome SCORE"
    interactions = [one for one in every if name_of(one).endswith("Interaction")]
    if len(interactions) != 1:
        yield f"{len(interactions)} interactions"
    for one in interactions:
        yield from _interaction(one, responses, name, files)
    for one in of.get("img", []) + of.get("object", []):
        yield from _picture(one, name, files)
    for kind in ("variable", "correct", "mapResponse"):
        for one in of.get(kind, ()):
            if one.get("identifier") not in {*responses, *outcomes}:
                yield f"{kind} of '{one.get('identifier')}', which is not declared"
    for one in of.get("setOutcomeValue", ()):
        if one.get("identifier") not in outcomes:
            yield f"sets '{one.get('identifier')}', which is not declared"
    if "equal" in of:
        yield "compares numbers by tolerance, which players ignore"
    for one in of.get("responseProcessing", ()):
        if (one.get("template") is None) == (len(one) == 0):
            yield "is scored by a template and by rules, or by neither"
    for one in of.get("modalFeedback", ()):
        if attributes(one)["outcomeIdentifier"] not in outcomes:
            yield "shows feedback on what is not declared"


def _interaction(one, responses, name, files):
    kind, given = name_of(one), attributes(one)
    declared = responses.get(given["responseIdentifier"])
    if declared is None:
        yield f"answers '{given['responseIdentifier']}', which is not declared"
        return
    told = attributes(declared)
    if (told["cardinality"], told.get("baseType")) not in SUITS[kind]:
        yield f"{kind} cannot answer {told['cardinality']} {told.get('baseType')}"
    choices = [child.get("identifier") for child in one.iter(etree.Element) if name_of(child) in CHOICES]
    if len(choices) != len(set(choices)):
        yield "two choices have one identifier"
    values = [value.text for value in declared.iter(etree.Element) if name_of(value) == "value"]
    keys = [attributes(e)["mapKey"] for e in declared.iter(etree.Element) if name_of(e) == "mapEntry"]
    if not values:
        yield "no right answer"
    if kind == "textEntryInteraction":
        if not all(re.fullmatch(r"-?\d+(\.\d+)?", value) for value in values):
            yield f"{values} are no numbers"
    else:
        for word in " ".join([*values, *keys]).split():
            if word not in choices:
                yield f"'{word}' is the right answer or earns marks, and no choice"
    if kind == "orderInteraction" and sorted(values) != sorted(choices):
        yield "the right order leaves choices out"
    most = int(given.get("maxChoices", 0))
    if most and len(values) > most:
        yield f"{len(values)} right answers, and {most} may be chosen"
    if kind == "hotspotInteraction":
        yield from _outlines(one)


def _outlines(one):
    picture = next(child for child in one if name_of(child) in ("img", "object"))
    width, height = int(picture.get("width")), int(picture.get("height"))
    for spot in (child for child in one if name_of(child) == "hotspotChoice"):
        coords = [int(value) for value in spot.get("coords").split(",")]
        if spot.get("shape") == "circle":
            right = len(coords) == 3 and coords[2] > 0
            points = [tuple(coords[:2])]
        else:
            right = spot.get("shape") == "poly" and len(coords) % 2 == 0 and len(coords) >= 6
            points = list(zip(coords[::2], coords[1::2], strict=False))
        if not right:
            yield f"'{spot.get('identifier')}' is no {spot.get('shape')}"
        if not all(0 <= x <= width and 0 <= y <= height for x, y in points):
            yield f"'{spot.get('identifier')}' lies outside the picture"


def _picture(one, name, files):
    address = one.get("src") or one.get("data")
    path = posixpath.normpath(posixpath.join(posixpath.dirname(name), address))
    if path not in files:
        yield f"the picture '{address}' is not there"
        return
    drawn = etree.fromstring(files[path])
    if (drawn.get("width"), drawn.get("height")) != (one.get("width"), one.get("height")):
        yield f"the picture '{address}' has another size"
    if not (one.get("alt") or one.text or "").strip():
        yield f"the picture '{address}' has no words"


def _test(root, files):
    asked = [one.get("href") for one in root.iter(etree.Element) if name_of(one) == "assessmentItemRef"]
    items = sorted(one for one in files if one.startswith("items/"))
    if asked != items:
        yield f"asks {asked}, and there are {items}"


def _manifest(files):
    root = etree.fromstring(files["imsmanifest.xml"])
    resources = [one for one in root.iter(etree.Element) if name_of(one) == "resource"]
    known = [one.get("identifier") for one in resources]
    listed = {"imsmanifest.xml"}
    for one in root.iter(etree.Element):
        if name_of(one) in ("resource", "file"):
            listed.add(one.get("href"))
        if name_of(one) == "dependency" and one.get("identifierref") not in known:
            yield f"imsmanifest.xml: depends on '{one.get('identifierref')}', which is not there"
    for one in known:
        if known.count(one) > 1 or not NAME.fullmatch(one):
            yield f"imsmanifest.xml: '{one}' is used twice or no identifier"
    for one in sorted(listed ^ set(files)):
        yield f"imsmanifest.xml: '{one}' is {'not in the package' if one in listed else 'not listed'}"
