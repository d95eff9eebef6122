"""Every #include of src/ against src/layers.txt: who may include whom."""

import fnmatch
import pathlib
import re
import sys

root = pathlib.Path(sys.argv[1])
allowed = {}
for line in (root / "src/layers.txt").read_text().splitlines():
    if line.startswith("#") or not line.strip():
        continue
    folder, _, names = line.partition(":")
    above = list(allowed)
    targets = {folder.strip()}
    for name in names.split():
        matched = [a for a in above if fnmatch.fnmatch(a, name)]
        if not matched:
            sys.exit(f"layers.txt: {folder} names {name}, which is not listed above it")
        targets.update(matched)
    allowed[folder.strip()] = targets

wrong = []
for path in sorted((root / "src").rglob("*.[ch]pp")):
    folder = path.parent.relative_to(root / "src").as_posix()
    if folder == "front":  # main.cpp only starts the command line
        continue
    if folder not in allowed:
        wrong.append(f"{path}: folder {folder} is not in layers.txt")
        continue
    for number, line in enumerate(path.read_text().splitlines(), 1):
        included = re.match(r'\s*#include "(.*)/[^/]+"', line)
        if included and included.group(1) not in allowed[folder]:
            wrong.append(f"{path}:{number}: {folder} may not include {included.group(1)}")

print("\n".join(wrong) or f"{len(allowed)} folders include only what they may")
sys.exit(1 if wrong else 0)
