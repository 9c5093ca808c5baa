"""The `size` command: cases in, arithmetic with its table cells out.

A case is an object with `id`, `inputs` and the name of its `check`, either beside or
inside `inputs`. Units stand in the input names.
"""

from .run import CHECKS, size, size_one

__all__ = ["CHECKS", "size", "size_one"]
