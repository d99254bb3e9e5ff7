"""The child process in which an upload is parsed: bytes in, JSON out, 256 MB, 10 s.

Run as ``python -m heftwright.imports.child csv|xlsx``. What cannot be parsed there cannot hurt the
server: a refusal, a crash or a limit reached all end as a sentence.
"""

from __future__ import annotations

import gc
import json
import sys

from heftwright.imports.cells import RawFile, to_document
from heftwright.imports.limits import CHILD_BYTES, CHILD_SECONDS, HostileFileError


def parse(kind: str, content: bytes) -> RawFile:
    """Read the cells of a file, in whichever process this is."""
    if kind == "csv":
        from heftwright.imports.separated import read_separated

        return read_separated(content)
    from heftwright.imports.workbook import read_workbook

    return read_workbook(content)


def answer(kind: str, content: bytes) -> dict[str, object]:
    """The cells as JSON values, or the sentence that refuses the file."""
    try:
        return {"file": to_document(parse(kind, content))}
    except HostileFileError as error:
        return {"refused": str(error)}
    except MemoryError:
        return {"refused": "The file needs too much memory: split it into smaller files."}


def limit_this_process() -> None:
    """Cap address space and processor time; only POSIX systems can."""
    if sys.platform == "win32":
        return
    import resource

    resource.setrlimit(resource.RLIMIT_CPU, (CHILD_SECONDS, CHILD_SECONDS))
    if sys.platform == "linux":  # others refuse a cap on address space
        resource.setrlimit(resource.RLIMIT_AS, (CHILD_BYTES, CHILD_BYTES))


def main() -> None:
    """Parse standard input and write the answer to standard output."""
    limit_this_process()
    gc.disable()  # a short life under a memory cap; what is parsed holds no cycles
    document = answer(sys.argv[1], sys.stdin.buffer.read())
    sys.stdout.write(json.dumps(document))


if __name__ == "__main__":
    main()
