"""Reading our own drawings back."""

from itertools import combinations
from xml.etree import ElementTree as ET

SVG = "{http://www.w3.org/2000/svg}"


def parse(text):
    """The drawing as a tree; it is our own output, not a stranger's."""
    return ET.fromstring(text)  # noqa: S314


def overlaps(boxes):
    """Pairs of texts whose plates overlap."""
    return [
        (a, b)
        for (a, p), (b, q) in combinations(boxes, 2)
        if p[0] < q[2] and q[0] < p[2] and p[1] < q[3] and q[1] < p[3]
    ]


def dim_texts(text):
    """Key of each dimension on a drawing -> the texts it has there."""
    found = {}
    for group in parse(text).iter(f"{SVG}g"):
        key = group.get("data-dim")
        for each in group.findall(f"{SVG}text") if key else ():
            found.setdefault(key, []).append(each.text)
    return found
