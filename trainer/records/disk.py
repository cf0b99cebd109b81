"""The disk beneath a record: network drives that are refused, and names that are settled."""

import os

from trainer.records import errors

NETWORK_SYSTEMS = frozenset(
    ["nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "ncpfs", "afs", "ceph", "davfs"]
    + [f"fuse.{name}" for name in ("sshfs", "rclone", "davfs2", "glusterfs")]
)


def refuse_network(path: str) -> None:
    """Refuse a path on a network drive, as far as the system tells.

    Raises:
        LogOnNetworkError: one sentence.
    """
    if is_network_path(path):
        raise errors.LogOnNetworkError(path, "a network share")
    try:
        with open("/proc/self/mountinfo", encoding="utf-8", errors="surrogateescape") as file:
            mounts = file.read()
    except OSError:
        return  # not Linux
    system = file_system(os.path.realpath(path), mounts)
    if system in NETWORK_SYSTEMS:
        raise errors.LogOnNetworkError(path, system)


def is_network_path(path: str) -> bool:
    r"""Whether this is a Windows share: \\server\share, also as \\?\UNC\server\share."""
    plain = path.replace("/", "\\") if os.name == "nt" else path
    return plain.upper().startswith("\\\\?\\UNC\\") or (plain.startswith("\\\\") and plain[2:4] not in ("?\\", ".\\"))


def file_system(path: str, mounts: str) -> str:
    """The kind of file system an absolute path lies on, "" if unknown.

    Args:
        path: absolute, links resolved.
        mounts: the text of /proc/self/mountinfo; its fields are those of proc(5), Linux man-pages 6.03.
    """
    best, kind = -1, ""
    for line in mounts.splitlines():
        before, _, after = line.partition(" - ")
        fields = before.split(" ")
        if len(fields) < 5 or not after:
            continue
        point = _unescaped(fields[4])
        inside = point == "/" or path == point or path.startswith(point + "/")
        # A later mount on the same point hides the earlier one.
        if inside and len(point) >= best:
            best, kind = len(point), after.split(" ")[0]
    return kind


def _unescaped(field: str) -> str:
    for code, character in (("\\040", " "), ("\\011", "\t"), ("\\012", "\n"), ("\\134", "\\")):
        field = field.replace(code, character)
    return field


def sync_folder(folder: str) -> None:
    """Settle the names in a folder on the disk, where the system can (not on Windows)."""
    if os.name == "nt":
        return
    handle = os.open(folder or ".", os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
