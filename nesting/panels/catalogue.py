"""Our own products: importing this module registers every file of ``nesting.panels.goods``."""

import pkgutil
from importlib import import_module

from nesting.panels import goods

for _file in pkgutil.iter_modules(goods.__path__, f"{goods.__name__}."):
    import_module(_file.name)
