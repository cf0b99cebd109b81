"""Packets as files: read with a limit, written whole or not at all, and read back."""

import stat
from hashlib import sha256
from pathlib import Path

from trainer.paths import why, write_whole
from trainer.records.packet import MOST_BYTES, PacketError


def read_file(path: Path, what: str = "packet") -> bytes:
    """The bytes of a file, at most one more than a packet may have; nothing is written beside it.

    Args:
        path: the file.
        what: what it should hold, as it is called in a sentence.

    Raises:
        PacketError: one sentence, where there is no such file, it is no plain file, or it cannot be read.
    """
    try:
        mode = path.stat().st_mode
        if stat.S_ISREG(mode):
            with path.open("rb") as file:
                return file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise PacketError(f"There is no file {path}; check the path.") from None
    except (OSError, ValueError) as error:
        raise PacketError(
            f"{path} cannot be read: {why(error)}. Copy the {what} to this laptop and try again."
        ) from error
    kind = "a folder" if stat.S_ISDIR(mode) else "no plain file"
    raise PacketError(f"{path} is {kind}; give the path of a {what}.")


def write_file(path: Path, content: bytes) -> str:
    """Write a new file whole or not at all, read it back, and return the SHA-256 of what was read, in hex.

    Reading back may be served from memory, so a file that was written is written, and no more can be said before the
    medium was taken out by the system.

    Raises:
        PacketError: one sentence; nothing is left behind, and nothing that was there is touched.
    """
    try:
        write_whole(path, content, over=False)
        read = sha256(path.read_bytes()).hexdigest()
        if read != sha256(content).hexdigest():
            path.unlink()
            raise OSError("what was read back is not what was written")
    except FileExistsError:
        what = "a folder" if path.is_dir() else "a file"
        raise PacketError(
            f"There is {what} at {path} already, so no packet was written; choose another name."
        ) from None
    except (OSError, ValueError) as error:
        raise PacketError(f"The packet could not be written to {path}: {why(error)}. Choose another folder.") from error
    return read
