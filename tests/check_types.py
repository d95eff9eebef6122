"""One name for one type: two headers that define a type of one name break the program only where both are linked."""

import collections
import pathlib
import re
import sys

root = pathlib.Path(sys.argv[1])
definition = re.compile(r"^(?:struct|class|enum class|enum) (?:\[\[\w+\]\] )?(\w+)(?: final)?(?: :[^;{]*)?\s*\{", re.M)
homes = collections.defaultdict(list)
for path in sorted((root / "src").rglob("*.hpp")):
    for name in definition.findall(path.read_text()):
        homes[name].append(path.relative_to(root).as_posix())

twice = [f"{name}: {', '.join(paths)}" for name, paths in sorted(homes.items()) if len(paths) > 1]
print("\n".join(twice) or f"{len(homes)} types of headers have a name of their own")
sys.exit(1 if twice or not homes else 0)
