"""Solids as files of open standards: 3MF (3MF Consortium, core specification 1.3) and binary STL.

Both in millimetres, x from front to back, y from left to right, z up; the same pieces give the same
bytes. Loads the solids.
"""

from __future__ import annotations

import io
import struct
import zipfile
from collections.abc import Iterable
from html import escape

import numpy

from shopstep.solids.bodies import Piece
from shopstep.solids.mesh import Mesh, mesh_of

_MOMENT = (1980, 1, 1, 0, 0, 0)
"""The earliest moment of a ZIP entry; a clock would make each file another one."""
_NAMESPACE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_TYPES = """<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels"
 ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="model"
 ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>
"""
_RELATIONS = """<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Target="/3D/3dmodel.model" Id="rel0"
 Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>
</Relationships>
"""


def write_3mf(pieces: Iterable[Piece], title: str) -> bytes:
    """Every piece as an object with its name, where it stands."""
    objects: list[str] = []
    items: list[str] = []
    for number, piece in enumerate(pieces, 1):
        objects.append(_object(number, piece.label, mesh_of(piece.body)))
        items.append(f'<item objectid="{number}"/>\n')
    model = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<model unit="millimeter" xml:lang="en" xmlns="{_NAMESPACE}">\n'
        f'<metadata name="Title">{escape(title)}</metadata>\n'
        f"<resources>\n{''.join(objects)}</resources>\n<build>\n{''.join(items)}</build>\n</model>\n"
    )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as package:
        for name, text in (
            ("[Content_Types].xml", _TYPES),
            ("_rels/.rels", _RELATIONS),
            ("3D/3dmodel.model", model),
        ):
            entry = zipfile.ZipInfo(name, _MOMENT)
            entry.compress_type = zipfile.ZIP_DEFLATED
            package.writestr(entry, text.encode())
    return out.getvalue()


def _object(number: int, name: str, mesh: Mesh) -> str:
    used, triangles = numpy.unique(mesh.triangles, return_inverse=True)
    triangles = triangles.reshape(-1, 3)
    corners = "".join(
        f'<vertex x="{x:.9g}" y="{y:.9g}" z="{z:.9g}"/>\n' for x, y, z in mesh.points[used]
    )
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>\n' for a, b, c in triangles)
    return (
        f'<object id="{number}" type="model" name="{escape(name)}">\n<mesh>\n'
        f"<vertices>\n{corners}</vertices>\n<triangles>\n{faces}</triangles>\n</mesh>\n</object>\n"
    )


def write_stl(pieces: Iterable[Piece], title: str) -> bytes:
    """All pieces in one binary STL file, which knows no names and rounds to seven digits."""
    facets: list[bytes] = []
    for piece in pieces:
        mesh = mesh_of(piece.body)
        for normal, corners in zip(mesh.normals, mesh.corners, strict=True):
            facets.append(struct.pack("<12fH", *normal, *corners.reshape(9), 0))
    head = title.encode("ascii", "replace")[:79].ljust(80, b" ")
    return head + struct.pack("<I", len(facets)) + b"".join(facets)
