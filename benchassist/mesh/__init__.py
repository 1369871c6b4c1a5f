"""A part's shape from its print file: how large it is, and how sure that is.

Read by trimesh (STL, 3MF, OBJ); what the program needs are a handful of lengths,
an area and a volume. A file is never needed: an item class has its usual size.
"""

from benchassist.mesh.reading import UNITS, MeshError, Shape, read_shape

__all__ = ["UNITS", "MeshError", "Shape", "read_shape"]
